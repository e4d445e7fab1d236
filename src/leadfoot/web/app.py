"""Builds the application: the pages around one desk."""

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from functools import partial

from fastapi import Depends, FastAPI
from starlette.middleware.gzip import GZipMiddleware
from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

from leadfoot.desk.bays import AnswerKeeper
from leadfoot.desk.desk import Desk
from leadfoot.desk.exports import KIND, make_export
from leadfoot.web import works_job
from leadfoot.web.doors import Doors
from leadfoot.web.form_key import key_checked
from leadfoot.web.gate import Gate
from leadfoot.web.guard import Guard
from leadfoot.web.jobs import Jobs
from leadfoot.web.keeping import keeping, sweeping
from leadfoot.web.live import Feed, live_routes
from leadfoot.web.memory import giving_back
from leadfoot.web.noting import Noter
from leadfoot.web.page import static_folder
from leadfoot.web.pages import (
    access,
    access_log,
    bay,
    bay_shots,
    bays,
    book,
    clubs,
    columns,
    drills,
    exports,
    find,
    flight,
    follow_up,
    ground,
    home_shots,
    homework,
    jumps,
    lesson,
    lesson_figures,
    look,
    method,
    recording,
    screen,
    settings,
    shots,
    sign_in,
    speed,
    student,
    student_link,
    today,
    try_it,
    why,
    works,
    years,
)
from leadfoot.web.recordings import Recordings
from leadfoot.web.rights import Places
from leadfoot.web.second_process import SecondProcess, at_hand
from leadfoot.web.shared_pages import SharedPages
from leadfoot.web.trouble import install_troubles, refusal_page
from leadfoot.web.views import Views
from leadfoot.web.warming import warm


def build_app(
    desk: Desk,
    *,
    port: int,
    doors: Doors | None = None,
    again: Callable[[], Desk] | None = None,
) -> FastAPI:
    """Build the desk in the browser.

    Parameters
    ----------
    desk
        The desk that the pages work on.
    port
        Port on which the pages will be served; requests under another name or port are refused.
    doors
        How the desk is opened; without it, on this machine alone.
    again
        Opens the same desk once more, in a second process that makes pages where many wait; a
        function of a module, or a part of one. Without it, one process does all.

    Returns
    -------
    FastAPI
        The application; serve it with one process, which begins a second one itself, bound to
        what `doors` says.
    """
    doors = Doors(port=port) if doors is None else doors
    feed = Feed(desk.book)
    noter = Noter(desk)
    views = Views(desk)
    keeper = AnswerKeeper(desk, keep=views.keep_answer)
    work = {works_job.KIND: works_job.reckon, book.KIND: book.back_up_now, KIND: make_export}
    second = None if again is None else SecondProcess(partial(_second, again, doors))
    jobs = Jobs(desk, {kind: partial(do, desk) for kind, do in work.items()})

    @asynccontextmanager
    async def lifespan(_: FastAPI) -> AsyncIterator[None]:
        warm()
        async with (
            feed.running(),
            keeping(keeper, desk),
            noter.running(),
            giving_back(),
            sweeping(desk),
            at_hand(second),
        ):
            with jobs.running():
                yield

    app = FastAPI(
        title="Leadfoot",
        version=desk.version,
        lifespan=lifespan,
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        dependencies=[Depends(key_checked)],
    )
    app.state.desk = desk
    app.state.views = views
    app.state.second = second
    app.state.shared_pages = SharedPages(app, second)
    app.state.feed = feed
    app.state.keeper = keeper
    app.state.doors = doors
    app.state.noter = noter
    app.state.recordings = Recordings(desk)
    app.state.jobs = jobs
    app.state.works = works_job.WorksJob(desk, jobs)
    app.state.benches = try_it.Benches()
    app.mount("/static", Static(directory=static_folder()), name="static")
    lessons = (lesson, lesson_figures, shots, columns, flight, why, try_it, find)
    bay_pages = (bay, bays, bay_shots, screen)
    after = (homework, home_shots, student_link, follow_up, works, drills)
    at_the_door = (sign_in, access, access_log)
    pages = (
        today,
        student,
        years,
        book,
        exports,
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
        settings,
        *at_the_door,
    )
    routers = [*(one.router for one in pages), live_routes(feed, desk)]
    for router in routers:
        app.include_router(router)
    app.state.places = Places(routers)
    install_troubles(app)
    app.add_middleware(GZipMiddleware, minimum_size=2000, compresslevel=2)
    app.add_middleware(
        Gate, desk=desk, doors=doors, places=app.state.places, noter=noter, refuse=refusal_page
    )
    app.add_middleware(Guard, doors=doors, refuse=refusal_page)
    return app


def _second(again: Callable[[], Desk], doors: Doors) -> FastAPI:
    """The application of the second process; it serves nobody, and makes pages for the first."""
    return build_app(again(), port=doors.port, doors=doors)


class Static(StaticFiles):
    """Files that a browser keeps, and asks about each time whether they are still the same."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        """Answer with the file, and let the browser keep it."""
        response = await super().get_response(path, scope)
        response.headers["Cache-Control"] = "no-cache"
        return response
