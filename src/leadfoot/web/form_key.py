"""The key of every form: put into each page that is rendered, asked of each form that is sent.

Beside it stands the guard's look at Origin and Sec-Fetch-Site. A script that no browser sent has no
cookies to misuse: where nobody has to sign in, it needs no key.
"""

import re
from collections.abc import AsyncIterator
from html import escape

from fastapi import Request
from starlette.requests import HTTPConnection

from leadfoot.errors import LeadfootError
from leadfoot.web.guard import LIMIT_BYTES
from leadfoot.web.visitor import KEY_FIELD, KEY_HEADER, visitor_of

MAX_FIELDS = 4000
"""Most fields of one form: a table of 1,000 columns has three questions a column."""

_FORM = re.compile(r"<form\b[^>]*\bmethod=\"post\"[^>]*>")
_HEAD = "<head>"
_READS = frozenset({"GET", "HEAD", "OPTIONS"})
_BY_TOKEN = re.compile(r"/bays/[^/]+/shots")
_OF_FORMS = ("application/x-www-form-urlencoded", "multipart/form-data")


class StaleFormError(LeadfootError):
    """A form came without the key of this browser, or with an old one."""


def with_key(text: str, key: str) -> str:
    """A page whose forms carry a key, and whose scripts find it in the head.

    Examples
    --------
    >>> with_key('<form method="post">', "k")
    '<form method="post"><input type="hidden" name="form_key" value="k">'
    """
    field = f'<input type="hidden" name="{KEY_FIELD}" value="{escape(key)}">'
    keyed = _FORM.sub(lambda found: found[0] + field, text)
    return keyed.replace(_HEAD, f'{_HEAD}\n<meta name="form-key" content="{escape(key)}">', 1)


async def key_checked(connection: HTTPConnection) -> AsyncIterator[None]:
    """Let a form pass only with the key of the browser that sends it.

    Raises
    ------
    StaleFormError
        If it has another one or none.
    """
    # FastAPI gives a request where there is one; a socket sends no forms.
    if not isinstance(connection, Request) or not _needs_key(connection):
        yield
        return
    try:
        if not visitor_of(connection).has_key(await _given(connection)):
            raise StaleFormError(
                "This page is older than your sign-in, or it is not from this desk. Nothing was "
                "done.",
                fix="Go back, load the page anew, and send it once more.",
            )
        yield
    finally:
        # A refused form is closed too: its file may lie in a temporary one.
        await connection.close()


def _needs_key(request: Request) -> bool:
    if request.method in _READS or _BY_TOKEN.fullmatch(request.url.path):
        return False
    marks = {"origin", "sec-fetch-site", "sec-fetch-mode"} & set(request.headers)
    return visitor_of(request).sign_in is not None or bool(marks)


async def _given(request: Request) -> str:
    in_header = request.headers.get(KEY_HEADER)
    if in_header is not None:
        return in_header
    if not request.headers.get("content-type", "").startswith(_OF_FORMS):
        return ""
    form = await request.form(max_files=1, max_fields=MAX_FIELDS, max_part_size=LIMIT_BYTES)
    given = form.get(KEY_FIELD, "")
    return given if isinstance(given, str) else ""
