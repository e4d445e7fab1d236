"""Many open pages of a lesson ask at once: rendered once, and never older than the asking."""

import asyncio
from collections.abc import Callable, Coroutine
from concurrent.futures import ThreadPoolExecutor
from secrets import token_urlsafe
from typing import TypeVar

import pytest
from fastapi import Request
from fastapi.responses import HTMLResponse
from starlette.testclient import TestClient

from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import LessonView, lesson_view
from leadfoot.web.app import build_app
from leadfoot.web.packed import PackedPage
from leadfoot.web.page_asked import PageAsked, Render
from leadfoot.web.shared_pages import SharedPages
from leadfoot.web.visitor import Visitor
from tests.web.conftest import PORT
from tests.web.lessons import give_lesson

_T = TypeVar("_T")


def _asked(render: Render, path: str) -> PageAsked:
    owner = Visitor(standing="owner", who="", secret=token_urlsafe(), address="")
    return PageAsked(render=render, path=path, query="", choices=("", "", ""), visitor=owner)


def _run(work: Callable[[], Coroutine[None, None, _T]]) -> _T:
    """A browser of other tests may run a loop in this thread."""
    with ThreadPoolExecutor(1) as beside:
        return beside.submit(lambda: asyncio.run(work())).result()


def test_who_asks_at_once_shares_and_who_comes_later_gets_the_newer(desk: Desk) -> None:
    given = give_lesson(desk, n_before=5, n_with=5)
    pages, rendered = SharedPages(build_app(desk, port=PORT)), list[int]()

    def render(_: Request, change: int, view: LessonView) -> HTMLResponse:
        rendered.append(change)
        if len(rendered) == 1:  # while the first is at work, a ball is left out
            desk.book.leave_out(view.shots[0].id, reason="a bird")
            loops[0].call_soon_threadsafe(ask_later)
        return HTMLResponse(str(sum(shot.left_out_reason is None for shot in view.shots)))

    async def ask() -> bytes:
        return (await pages.sheet(given.lesson.id, _asked(render, "/laptop"))).plain(b"")

    def ask_later() -> None:
        late.extend(asyncio.ensure_future(ask()) for _ in range(5))

    async def all_of_them() -> tuple[list[bytes], list[bytes]]:
        loops.append(asyncio.get_running_loop())
        early = await asyncio.gather(*(ask() for _ in range(5)))
        return early, await asyncio.gather(*late)

    loops: list[asyncio.AbstractEventLoop] = []
    late: list[asyncio.Future[bytes]] = []
    early, after = _run(all_of_them)
    assert early == [b"10"] * 5
    assert after == [b"9"] * 5
    assert len(rendered) == 2


def test_all_that_wait_for_a_lesson_are_made_from_one_judging(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    given = give_lesson(desk, n_before=5, n_with=5)
    pages, judged = SharedPages(build_app(desk, port=PORT)), list[int]()

    def counted(desk: Desk, lesson_id: int) -> LessonView:
        judged.append(lesson_id)
        return lesson_view(desk, lesson_id)

    def render(_: Request, change: int, view: LessonView) -> HTMLResponse:
        desk.book.leave_out(view.shots[0].id, reason="a ball that came meanwhile")
        return HTMLResponse(str(change))

    def fails(_: Request, __: int, ___: LessonView) -> HTMLResponse:
        raise ZeroDivisionError("a fault of one page")

    async def all_of_them() -> list[PackedPage | BaseException]:
        ways = ((render, "/bay"), (fails, "/broken"), (render, "/laptop"))
        asked = [pages.sheet(given.lesson.id, _asked(draw, path)) for draw, path in ways]
        return await asyncio.gather(*asked, return_exceptions=True)

    monkeypatch.setattr("leadfoot.web.views.lesson_view", counted)
    bay, broken, laptop = _run(all_of_them)
    assert isinstance(bay, PackedPage)
    assert isinstance(laptop, PackedPage)
    assert bay.plain(b"") == laptop.plain(b"")
    assert isinstance(broken, ZeroDivisionError)  # its own trouble, and nobody else's
    assert judged == [given.lesson.id]


def test_each_browser_gets_the_key_of_its_own_forms(client: TestClient, desk: Desk) -> None:
    given = give_lesson(desk, n_before=2, n_with=2)
    keys = set()
    for secret in ("one", "other"):
        client.cookies.set(f"page-{PORT}", secret)
        text = client.get(f"/lessons/{given.lesson.id}").text
        keys.add(text.partition('name="form-key" content="')[2].partition('"')[0])
        assert text.count('name="form_key"') >= 2
    assert len(keys) == 2
    assert "" not in keys
