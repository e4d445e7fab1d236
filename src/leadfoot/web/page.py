"""Renders a template into a page, with what every page needs beside its own data."""

from collections.abc import AsyncIterator
from functools import cache
from importlib.resources import files
from typing import Annotated, Any

from fastapi import Depends, Query, Request
from fastapi.responses import HTMLResponse
from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from starlette.datastructures import FormData, UploadFile
from starlette.requests import HTTPConnection

from leadfoot.desk.desk import Desk
from leadfoot.desk.places import PLACES
from leadfoot.desk.why import PART_NAMES
from leadfoot.errors import InputError
from leadfoot.language.say import say, say_as, say_n, spoken
from leadfoot.quantities import glossary
from leadfoot.web import words
from leadfoot.web.form_key import MAX_FIELDS, with_key
from leadfoot.web.guard import LIMIT_BYTES
from leadfoot.web.marks import finding_mark, range_mark, share_mark
from leadfoot.web.recordings import Recordings
from leadfoot.web.views import Views
from leadfoot.web.visitor import Visitor, visitor_of

LOOKS = ("auto", "paper", "slate")
"""By the machine's own setting, ink on paper, chalk on slate."""


@cache
def templates() -> Environment:
    """The environment of all templates; everything is escaped unless a template says otherwise."""
    environment = Environment(
        loader=PackageLoader("leadfoot.web"),
        autoescape=select_autoescape(default=True),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters.update(words.FILTERS)
    environment.globals.update(
        change_range=words.change_range,
        range_mark=range_mark,
        share_mark=share_mark,
        finding_mark=finding_mark,
        part_names=PART_NAMES,
        verdict_words=words.VERDICT_WORDS,
        sided=words.SIDED,
        glossary=glossary(),
        say=say,
        say_n=say_n,
        say_as=say_as,
        all_places=PLACES,
        limit_mb=LIMIT_BYTES // 2**20,
        limit_bytes=LIMIT_BYTES,
    )
    return environment


def look_of(connection: HTTPConnection) -> str:
    """The look that this browser asked for."""
    look = connection.cookies.get("look", "auto")
    return look if look in LOOKS else "auto"


def page(request: Request, template: str, *, status: int = 200, **data: Any) -> HTMLResponse:
    """Render a page.

    Parameters
    ----------
    request
        The request that it answers.
    template
        Name of the template.
    status
        HTTP status.
    data
        What the template shows; ``change`` (the last change of the book that the data holds) makes
        the page live.
    """
    visitor = visitor_of(request)
    shared = {
        "visitor": visitor,
        "look": look_of(request),
        "language": spoken().code,
        "path": request.url.path,
        "version": request.app.version,
        "change": None,
        "lesson_id": None,
        "invented": False,
        "crumbs": (),
    }
    text = templates().get_template(template).render({**shared, **data})
    return HTMLResponse(with_key(text, visitor.key), status_code=status)


def static_folder() -> str:
    """Where the style, the scripts and the fonts lie."""
    return str(files("leadfoot.web").joinpath("static"))


def desk_of(connection: HTTPConnection) -> Desk:
    """The desk that the pages stand on."""
    desk: Desk = connection.app.state.desk
    return desk


def views_of(connection: HTTPConnection) -> Views:
    """The lessons as they were last judged."""
    views: Views = connection.app.state.views
    return views


def recordings_of(connection: HTTPConnection) -> Recordings:
    """The force recordings as they were read last."""
    recordings: Recordings = connection.app.state.recordings
    return recordings


async def _form(request: Request) -> AsyncIterator[FormData]:
    async with request.form(max_files=1, max_fields=MAX_FIELDS, max_part_size=LIMIT_BYTES) as form:
        yield form


VisitorHere = Annotated[Visitor, Depends(visitor_of)]
"""Who asks for the page."""
DeskHere = Annotated[Desk, Depends(desk_of)]
"""The desk, for a page's function."""
ViewsHere = Annotated[Views, Depends(views_of)]
"""The lessons as they were last judged."""
RecordingsHere = Annotated[Recordings, Depends(recordings_of)]
"""The force recordings as they were read last."""
LanguageAsked = Annotated[str | None, Query(max_length=20)]
"""Code of a language for this once; None: the student's."""
FormHere = Annotated[FormData, Depends(_form)]
"""The form as it was sent."""


def said(form: FormData, name: str, default: str = "") -> str:
    """One text of a form, with plain line ends; a missing one is `default`."""
    value = form.get(name, default)
    return value.replace("\r\n", "\n") if isinstance(value, str) else default


def given_file(form: FormData, fix: str) -> tuple[str, bytes]:
    """Name and bytes of the file of a form.

    Raises
    ------
    InputError
        If none was given; `fix` says what to do.
    """
    file = form.get("file")
    if not isinstance(file, UploadFile) or not file.filename:
        raise InputError(say("No file was given."), fix=fix)
    return file.filename, file.file.read()
