"""Builds the application: the pages around one desk."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from fastapi import FastAPI
from starlette.middleware.gzip import GZipMiddleware
from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

from leadfoot.desk.bays import AnswerKeeper
from leadfoot.desk.desk import Desk
from leadfoot.web.guard import Guard
from leadfoot.web.keeping import keeping
from leadfoot.web.live import Feed, live_routes
from leadfoot.web.page import static_folder
from leadfoot.web.pages import (
    bay,
    bay_shots,
    bays,
    book,
    clubs,
    columns,
    find,
    flight,
    follow_up,
    ground,
    homework,
    jumps,
    lesson,
    lesson_figures,
    look,
    method,
    recording,
    shots,
    speed,
    student,
    today,
    try_it,
    why,
    works,
    years,
)
from leadfoot.web.recordings import Recordings
from leadfoot.web.trouble import install_troubles, refusal_page
from leadfoot.web.views import Views
from leadfoot.web.works_job import WorksJob


def build_app(desk: Desk, *, port: int) -> FastAPI:
    """Build the desk in the browser.

    Parameters
    ----------
    desk
        The desk that the pages work on.
    port
        Port of the loopback on which the pages will be served; requests under another name or
        port are refused.

    Returns
    -------
    FastAPI
        The application; serve it with one process, bound to 127.0.0.1.
    """
    feed = Feed(desk.book)
    keeper = AnswerKeeper(desk)

    @asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        async with feed.running(), keeping(keeper):
            yield

    app = FastAPI(
        title="Leadfoot",
        version=desk.version,
        lifespan=lifespan,
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
    )
    app.state.desk = desk
    app.state.views = Views(desk)
    app.state.feed = feed
    app.state.keeper = keeper
    app.state.recordings = Recordings(desk)
    app.state.works = WorksJob(desk)
    app.state.benches = try_it.Benches()
    app.mount("/static", Static(directory=static_folder()), name="static")
    lessons = (lesson, lesson_figures, shots, columns, flight, why, try_it, find)
    bay_pages = (bay, bays, bay_shots)
    after = (homework, follow_up, works)
    for pages in (
        today,
        student,
        years,
        book,
        clubs,
        speed,
        *lessons,
        *bay_pages,
        *after,
        ground,
        recording,
        jumps,
        method,
        look,
    ):
        app.include_router(pages.router)
    app.include_router(live_routes(feed))
    install_troubles(app)
    app.add_middleware(GZipMiddleware, minimum_size=2000)
    app.add_middleware(Guard, port=port, refuse=refusal_page)
    return app


class Static(StaticFiles):
    """Files that a browser keeps, and asks about each time whether they are still the same."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        """Answer with the file, and let the browser keep it."""
        response = await super().get_response(path, scope)
        response.headers["Cache-Control"] = "no-cache"
        return response
