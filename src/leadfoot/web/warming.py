"""Makes ready what the first pages need, beside them: templates and languages, one at a time.

A template is compiled when it is asked for first, a good part of the wait for the first page of a
desk that has just begun. Nothing here is needed: a page that comes first does it itself.
"""

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from starlette.concurrency import run_in_threadpool

from leadfoot.language.catalogue import languages
from leadfoot.web.page import templates

FIRST = ("base.html", "today.html", "student.html", "lesson.html", "bay.html")
"""The pages that a coach opens first."""


@asynccontextmanager
async def warming() -> AsyncIterator[None]:
    """Make ready while the application runs."""
    task = asyncio.create_task(run_in_threadpool(_warm))
    try:
        yield
    finally:
        await task


def _warm() -> None:
    """Compile every template, those of the first pages first, and read the languages."""
    environment = templates()
    names = environment.list_templates(extensions=["html"])
    for name in sorted(names, key=lambda name: (name not in FIRST, name)):
        environment.get_template(name)
    languages()
