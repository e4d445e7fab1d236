"""Signing in and what follows, in a real Chromium: by keyboard, in both looks, over a sign-out."""

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from leadfoot.book.store import open_book
from leadfoot.coaching.homework import Week
from leadfoot.desk import bays
from leadfoot.desk.accounts import account_of, add_account, change_password
from leadfoot.desk.desk import Desk
from leadfoot.desk.homework import give_homework, make_link
from leadfoot.desk.signing_in import make_screen
from tests.web.conftest import print_plainly
from tests.web.door import PASSWORD
from tests.web.lessons import Given, give_lesson
from tests.web.studio import Studio, Watch, free_port

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]


@pytest.fixture(scope="module")
def studio(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Studio]:
    """A desk of its own, where everyone has to sign in."""
    path = tmp_path_factory.mktemp("locked") / "lessons.book"
    book = open_book(path)
    desk = Desk(
        book=book, clock=lambda: datetime.now(UTC), printer=print_plainly, version="0.0.test"
    )
    add_account(desk, "Olga Owner", PASSWORD, role="owner")
    add_account(desk, "Carl Coach", PASSWORD, role="coach")
    studio = Studio(path=path, port=free_port(), desk=desk)
    studio.start()
    yield studio
    studio.stop()
    book.close()


@pytest.fixture(scope="module")
def given(studio: Studio) -> Given:
    return give_lesson(studio.desk)


def sign_in(page: Page, name: str, password: str = PASSWORD) -> None:
    page.get_by_label("Name").fill(name)
    page.get_by_label("Password").fill(password)
    page.get_by_role("button", name="Sign in").click()


def test_in_and_out_by_keyboard(page: Page, studio: Studio) -> None:
    page.goto("/bays")
    expect(page).to_have_url(f"{studio.address}/sign-in?next=/bays")
    page.keyboard.press("Tab")  # past the head
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.type("olga owner")
    page.keyboard.press("Tab")
    page.keyboard.type(PASSWORD)
    page.keyboard.press("Enter")
    expect(page).to_have_url(f"{studio.address}/bays")
    out = page.get_by_role("button", name="Sign out Olga Owner")
    for _ in range(12):
        page.keyboard.press("Tab")
        if out.evaluate("button => button === document.activeElement"):
            break
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Sign in")
    page.go_back()
    page.reload()
    expect(page.get_by_role("heading", level=1)).to_have_text("Sign in")


def test_a_wrong_password_is_said_and_the_name_is_kept(page: Page, watch: Watch) -> None:
    watch.expected.append("422")
    page.goto("/")
    sign_in(page, "Carl Coach", "wrong")
    expect(page.get_by_role("alert")).to_contain_text("Name or password is not right.")
    expect(page.get_by_label("Name")).to_have_value("Carl Coach")
    expect(page.get_by_label("Password")).to_have_value("")
    sign_in(page, "Carl Coach")
    expect(page.get_by_role("button", name="Sign out Carl Coach")).to_be_visible()
    assert page.evaluate("document.cookie") == ""  # no script can read what the browser keeps


@pytest.mark.parametrize("look", ["paper", "slate"])
def test_axe_finds_nothing(page: Page, studio: Studio, given: Given, look: str) -> None:
    page.context.add_cookies([{"name": "look", "value": look, "url": studio.address}])
    new = bays.add_bay(studio.desk, f"bay-{look}", lesson_id=given.lesson.id)
    secret, _ = make_screen(studio.desk, new.bay.id)
    week = Week(days=(0, 2), minutes=30, balls=20, place="range", usual_balls=None)
    plan = give_homework(studio.desk, given.lesson.id, week, cue="press", criterion="straight")
    make_link(studio.desk, plan.id)
    page.goto("/sign-in")
    _check(page)
    sign_in(page, "Olga Owner")
    for path in (
        "/access",
        "/access/log",
        "/access/mine",
        "/bays",
        f"/students/{given.student.id}/homework/{plan.id}",
        f"/screen/{secret}",
    ):
        page.goto(path)
        page.evaluate("document.querySelectorAll('details').forEach(fold => { fold.open = true })")
        _check(page)
        beyond = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert beyond <= 0, path
    page.set_viewport_size({"width": 390, "height": 844})
    for path in ("/access", "/access/log", "/sign-in"):
        page.goto(path)
        page.evaluate("document.querySelectorAll('details').forEach(fold => { fold.open = true })")
        beyond = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert beyond <= 0, path


def _check(page: Page) -> None:
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


def test_a_sign_out_loses_nothing_that_was_typed(
    page: Page, studio: Studio, given: Given, watch: Watch
) -> None:
    watch.expected += ["401", "403"]
    page.goto("/")
    sign_in(page, "Carl Coach")
    page.goto(f"/lessons/{given.lesson.id}")
    expect(page.locator("#link-state .says")).to_have_text("live")
    n_balls = len(studio.desk.book.shots(given.lesson.id))
    line = page.locator("form[data-quiet] input[name='line']").first
    line.fill("94 165 2R")
    change_password(studio.desk, account_of(studio.desk, "Carl Coach"), PASSWORD)
    studio.desk.book.change_lesson(
        given.lesson.id, title="Anew", change=given.lesson.change, club=None, notes=""
    )
    expect(page.locator("#link-state .says")).to_contain_text("signed out", timeout=25_000)
    expect(line).to_have_value("94 165 2R")
    line.press("Enter")
    expect(page.locator(".form-trouble:visible").first).to_contain_text("You are not signed in")
    expect(line).to_have_value("94 165 2R")
    other = page.context.new_page()
    other.goto("/")
    sign_in(other, "Carl Coach")
    expect(other.get_by_role("button", name="Sign out Carl Coach")).to_be_visible()
    line.press("Enter")  # the same page goes on, under its new key
    expect(line).to_have_value("")
    assert len(studio.desk.book.shots(given.lesson.id)) == n_balls + 1
    expect(page.locator("#link-state .says")).to_have_text("live", timeout=15_000)


def test_a_screen_follows_its_bay_and_opens_nothing_else(
    page: Page, studio: Studio, given: Given, watch: Watch
) -> None:
    watch.expected.append("403")
    new = bays.add_bay(studio.desk, "bay-wall")
    secret, _ = make_screen(studio.desk, new.bay.id)
    page.goto(f"/screen/{secret}")
    page.get_by_role("button", name="Show bay-wall here").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("No lesson yet.")
    expect(page.locator("#link-state .says")).to_have_text("live")
    bays.point_bay(studio.desk, "bay-wall", given.lesson.id)
    expect(page.locator("#pattern svg")).to_be_visible(timeout=10_000)
    expect(page.locator("#link-state .says")).to_have_text("live")
    assert given.student.name not in page.content()
    _check(page)
    other = give_lesson(studio.desk, name="Other Example", n_before=0, n_with=0)
    bays.point_bay(studio.desk, "bay-wall", other.lesson.id)
    expect(page.locator("body")).to_have_attribute(
        "data-lesson", str(other.lesson.id), timeout=10_000
    )
    page.goto(f"/lessons/{given.lesson.id}")
    expect(page.get_by_role("heading", level=1)).to_have_text("This is not for you to open.")


def test_a_private_link_on_a_phone(page: Page, studio: Studio, given: Given) -> None:
    week = Week(days=(0, 2), minutes=30, balls=20, place="range", usual_balls=None)
    plan = give_homework(studio.desk, given.lesson.id, week, cue="press", criterion="straight")
    secret, _ = make_link(studio.desk, plan.id)
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(f"/h/{secret}")
    _check(page)
    page.locator("[name='n_balls']").fill("20")
    page.get_by_role("button", name="Write it down").click()
    expect(page.get_by_role("status")).to_contain_text("is written down")
    assert len(studio.desk.book.homework_logs(plan.id)) == 1
    page.goto("/")
    expect(page.get_by_role("heading", level=1)).to_have_text("Sign in")
