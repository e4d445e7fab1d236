"""The whole way in a real browser with a set clock: baseline, change, homework, test, "lasted"."""

import re
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, FilePayload, Page, expect

from leadfoot.book.store import open_book
from leadfoot.desk.desk import Desk
from tests.reports.pdf import read
from tests.web.conftest import NOON, print_plainly
from tests.web.studio import Studio, Watch, free_port

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]

BEFORE = (92.1, 91.0, 93.2, 92.4, 91.7, 92.9, 90.8, 92.2, 93.0, 91.5, 92.6, 91.9)
WITH = (98.3, 97.2, 99.1, 98.0, 98.8, 97.5, 99.4, 98.6, 97.9, 98.4, 99.0, 97.7)
TEST = (97.9, 96.8, 98.8, 98.1, 97.4, 98.5, 99.0, 97.2, 98.3, 98.0, 97.6, 98.7)


class Clocked(Studio):
    """A desk whose clock stands `days` after the first of the story."""

    days: int = 0

    def later(self, days: int) -> None:
        """Close the desk, and open it so many days after the first one."""
        self.stop()
        self.days = days
        self.start(clock=NOON + timedelta(days=days))


@pytest.fixture
def clocked(tmp_path: Path) -> Iterator[Clocked]:
    path = tmp_path / "lessons.book"
    book = open_book(path)
    desk = Desk(book=book, clock=lambda: NOON, printer=print_plainly, version="0.0.test")
    studio = Clocked(path=path, port=free_port(), desk=desk)
    studio.start(clock=NOON)
    yield studio
    studio.stop()
    book.close()


@pytest.fixture
def story(browser: Browser, clocked: Clocked) -> Iterator[BrowserContext]:
    watch = Watch(own=clocked.address)
    context = browser.new_context(
        base_url=clocked.address, viewport={"width": 1280, "height": 800}, reduced_motion="reduce"
    )
    watch.over(context)
    watch.expected += ["WebSocket", "ERR_CONNECTION_REFUSED", "422"]
    yield context
    context.close()
    assert watch.found() == []


def type_balls(page: Page, kind: str | None, speeds: tuple[float, ...]) -> None:
    """Type balls into a new block, or into the one that stands ready."""
    line = page.get_by_label("One ball")
    for place, mph in enumerate(speeds):
        if place == 0 and kind is not None:
            page.get_by_label("Into").select_option(f"a new block: {kind}")
        line.fill(f"{mph} {2.3 * mph:.0f} {place % 5}R")
        line.press("Enter")
        expect(line).to_have_value("")


def test_from_the_baseline_to_what_lasted(story: BrowserContext, clocked: Clocked) -> None:
    page = story.new_page()
    page.goto("/")
    page.get_by_label("Name", exact=True).fill("Ida Invented")
    page.get_by_role("button", name="Write into the book").click()
    page.get_by_label("What you change").fill("Press the soft block")
    page.get_by_label("Club", exact=True).fill("driver")
    page.get_by_role("button", name="Begin the lesson").click()
    type_balls(page, "before", BEFORE)
    type_balls(page, "with the change", WITH)
    expect(page.locator("#answer")).to_contain_text("Keep it")
    lesson = page.url.partition("?")[0]
    page.goto(f"{lesson}/why")
    expect(page.locator("h1")).not_to_be_empty()

    page.goto(f"{lesson}/after")
    page.get_by_label("Stop at pain").check()
    page.get_by_role("button", name="Record what was said").click()
    expect(page.get_by_label("Stop at pain")).to_be_disabled()
    page.get_by_role("button", name="Plan these tests").click()
    expect(page.locator("#tests .entry")).to_have_count(3)

    page.get_by_role("link", name="Homework", exact=True).click()
    page.get_by_label("A ball counts as met when").fill("it starts between the posts")
    page.get_by_role("button", name="Give this homework").click()
    expect(page.locator("h1")).to_have_text("Press the soft block")
    plan = page.url
    sheet = read(page.request.get(f"{plan}/sheet.pdf").body())
    assert "Press the soft block" in sheet.pages[0]
    assert "What this plan rests on".casefold() in sheet.pages[1].casefold()
    page.get_by_role("button", name="Make a private link").click()
    private = page.locator("#private-link").get_attribute("href")
    assert private
    assert re.search(r"/h/[\w-]{32}$", private)

    practised(story, page, plan, private)

    clocked.later(8)
    page.goto("/")
    expect(page.locator("#due")).to_contain_text("Due: retention")
    hit_the_test(page, lesson, n_open=3)
    clocked.later(23)
    hit_the_test(page, lesson, n_open=2)
    page.goto(f"{lesson}/after")
    expect(page.locator("h1")).to_contain_text("It lasted: about")
    page.get_by_role("navigation").get_by_role("link", name="Ida Invented").click()
    expect(page.locator("#season")).to_contain_text("It lasted: about")
    figure = page.locator("img.season")
    expect(figure).to_have_attribute("alt", re.compile("test without it"))
    figure.scroll_into_view_if_needed()
    assert figure.evaluate("image => image.decode().then(() => image.naturalWidth > 0)")
    page.goto("/works")
    expect(page.locator("main")).to_contain_text("Press the soft block", timeout=20_000)


def on_the_phone(story: BrowserContext, private: str) -> None:
    """Fill in a session on a phone of 360 px; what was typed outlives a reload and a refusal."""
    phone = story.new_page()
    phone.set_viewport_size({"width": 360, "height": 740})
    phone.goto(private)
    assert phone.evaluate("document.documentElement.scrollWidth") <= 360
    expect(phone.locator("body")).not_to_contain_text("Ida")
    button = phone.get_by_role("button", name="Write it down")
    box = button.bounding_box()
    assert box is not None
    assert box["height"] >= 44
    phone.get_by_label("Balls in all").fill("40")
    phone.get_by_label("Notes").fill("windy")
    phone.reload()
    expect(phone.get_by_label("Balls in all")).to_have_value("40")
    expect(phone.get_by_label("Notes")).to_have_value("windy")
    phone.get_by_label("Balls you counted").fill("20")
    phone.get_by_label("Of these, met it").fill("24")
    button.click()
    expect(phone.get_by_role("alert")).to_contain_text("24 of 20 counted balls met it")
    expect(phone.get_by_label("Notes")).to_have_value("windy")
    phone.get_by_label("Of these, met it").fill("14")
    button.click()
    expect(phone.get_by_role("status")).to_contain_text("Session 1 is written down.")
    expect(phone.get_by_label("Balls in all")).to_have_value("")
    phone.close()


def practised(story: BrowserContext, page: Page, plan: str, private: str) -> None:
    """Counts and shots: given on a phone, seen by the coach on the plan and in the season."""
    on_the_phone(story, private)
    page.goto(plan)
    expect(page.locator("main")).to_contain_text("14 of 20")
    shots_on_the_phone(story, private)
    page.goto(plan)
    expect(page.locator("#practice")).to_contain_text("24 balls with the driver at Hill Farm")
    expect(page.locator("#practice")).to_contain_text("Practice is not a test")
    expect(page.locator("main")).to_contain_text("2 of 12 sessions done")
    page.get_by_role("navigation").get_by_role("link", name="Ida Invented").click()
    expect(page.locator("#season")).to_contain_text("at Hill Farm: 24 balls")
    expect(page.locator("img.season")).to_have_attribute(
        "alt", re.compile("practice at Hill Farm, 24 balls")
    )


def shots_on_the_phone(story: BrowserContext, private: str) -> None:
    """Give a table on a phone of 360 px: what was taken, what was not, and not twice."""
    phone = story.new_page()
    phone.set_viewport_size({"width": 360, "height": 740})
    phone.goto(private)
    rows = [f"{92 + k % 5}.5,{212 + k % 7},{k % 4}R" for k in range(24)]
    table = "\n".join(["Club Speed [mph],Carry [yd],Side", *rows, "fast,,"]).encode()
    form = phone.get_by_role("form", name="Give shots from practice")
    form.get_by_label("Of which session").select_option("2")
    form.get_by_label("Or its name").fill("Hill Farm")
    button = form.get_by_role("button", name="Give these shots")
    nothing: FilePayload = {"name": "nothing.csv", "mimeType": "text/csv", "buffer": b"no,table\n"}
    form.get_by_label("A table of shots").set_input_files(nothing)
    button.click()
    expect(form.get_by_role("alert")).to_contain_text("nothing.csv")
    expect(form.get_by_label("Or its name")).to_have_value("Hill Farm")
    expect(form.get_by_label("Of which session")).to_have_value("2")
    file: FilePayload = {"name": "range.csv", "mimeType": "text/csv", "buffer": table}
    form.get_by_label("A table of shots").set_input_files(file)
    button.click()
    expect(phone.get_by_role("status")).to_contain_text("24 balls of range.csv are taken.")
    expect(phone.locator("#shots")).to_contain_text("24 balls with the driver at Hill Farm")
    expect(phone.locator("#shots")).to_contain_text("Row 26")
    assert phone.evaluate("document.documentElement.scrollWidth") <= 360
    box = button.bounding_box()
    assert box is not None
    assert box["height"] >= 44
    form.get_by_label("A table of shots").set_input_files(file)
    button.click()
    expect(phone.get_by_role("status")).to_contain_text("given before, in range.csv")
    phone.close()


def hit_the_test(page: Page, lesson: str, *, n_open: int) -> None:
    """Hit the first test that is open, without the cue."""
    page.goto(f"{lesson}/after")
    expect(page.get_by_role("button", name="Hit it now")).to_have_count(n_open)
    page.get_by_role("button", name="Hit it now").first.click()
    type_balls(page, None, TEST)
