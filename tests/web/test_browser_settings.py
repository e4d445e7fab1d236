"""A real Chromium: units are chosen, and lesson, sheet and bay follow; keyboard, both looks."""

import re
from collections.abc import Iterator

import pypdfium2
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from leadfoot.desk.settings import set_back, studio_of
from tests.web.lessons import give_lesson
from tests.web.studio import Studio, Watch


@pytest.fixture(autouse=True)
def as_usual(studio: Studio) -> Iterator[None]:
    yield
    set_back(studio.desk, "units", by="test")


def test_pages_that_are_open_follow_a_change_of_units(
    page: Page, studio: Studio, browser: Browser
) -> None:
    lesson_id = give_lesson(studio.desk).lesson.id
    page.goto(f"/lessons/{lesson_id}")
    expect(page.locator("main")).to_contain_text(" yd longer")
    bay = page.context.new_page()
    bay.goto(f"/lessons/{lesson_id}/bay")
    expect(bay.locator("#bay-sentence")).to_contain_text(" yd longer")
    chooser = page.context.new_page()
    chooser.goto("/settings")
    # By keyboard alone: the choice, and the button after the last one.
    chooser.locator("#unit-speed").focus()
    chooser.keyboard.press("k")
    expect(chooser.locator("#unit-speed")).to_have_value("km/h")
    chooser.locator("#unit-distance").focus()
    chooser.keyboard.press("m")
    chooser.locator("#unit-pressure").focus()
    chooser.keyboard.press("Tab")
    expect(chooser.get_by_role("button", name="Keep the units")).to_be_focused()
    chooser.keyboard.press("Enter")
    expect(chooser.get_by_role("status").filter(has_text="Kept.")).to_be_visible()
    assert studio_of(studio.desk).units.speed == "km/h"
    expect(bay.locator("#bay-sentence")).to_contain_text(" m longer")
    expect(bay.locator(".bay-unit").first).to_have_text("km/h")
    expect(page.locator("main")).to_contain_text(" m longer")
    # The line that stood open still says mph, and means it; loaded anew it is in the new unit.
    expect(page.locator("#line-hint")).to_have_text(re.compile("club speed in mph"))
    page.reload()
    expect(page.locator("#line-hint")).to_have_text(re.compile("club speed in km/h, carry in m"))
    sheet = pypdfium2.PdfDocument(page.request.get(f"/lessons/{lesson_id}/sheet.pdf").body())
    assert re.search(r"\bm\s+longer", sheet[0].get_textpage().get_text_range())
    set_back(studio.desk, "units", by="test")
    expect(bay.locator("#bay-sentence")).to_contain_text(" yd longer")
    assert browser.is_connected()


@pytest.mark.parametrize("look", ["paper", "slate"])
@pytest.mark.parametrize("width", [1280, 390])
def test_settings_are_accessible(page: Page, studio: Studio, look: str, width: int) -> None:
    page.context.add_cookies([{"name": "look", "value": look, "url": studio.address}])
    page.set_viewport_size({"width": width, "height": 800})
    page.goto("/settings")
    page.get_by_text("All its numbers").click()
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_a_refusal_keeps_what_was_typed(page: Page, watch: Watch) -> None:
    watch.expected.append("422")  # a refusal is an answer; the browser writes it down all the same
    page.goto("/settings")
    page.locator("#air-temperature").fill("500")
    page.locator("#air-humidity").fill("44")
    page.get_by_role("button", name="Keep the air").click()
    expect(page.locator("#air-trouble")).to_contain_text("Temperature is 500 °F")
    expect(page.locator("#air-humidity")).to_have_value("44")
