"""The student's bench in a browser: by slider, by keyboard, by lever, and back."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.web.lessons import Given, give_lesson
from tests.web.studio import Studio

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]


@pytest.fixture(scope="module")
def given(studio: Studio) -> Given:
    return give_lesson(studio.desk, n_before=16, n_with=16)


def test_a_slider_moved_by_keyboard_shows_its_balls(page: Page, given: Given) -> None:
    page.goto(f"/lessons/{given.lesson.id}/try")
    expect(page.locator("#sentence")).to_contain_text("As it is: an average miss of")
    expect(page.locator("#try-pattern circle")).to_have_count(200)
    slider = page.get_by_role("slider", name="Face angle, spread")
    slider.focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    expect(page.locator("#sentence")).to_contain_text("Tried: an average miss of")
    expect(page.locator("#try-pattern circle.with")).to_have_count(200)
    expect(page).to_have_url(re.compile(r"spread\.face_angle="))
    expect(page.locator("[id='spread.face_angle-way']")).to_contain_text("% of today")
    address = page.url
    page.reload()
    expect(page.locator("#try-pattern circle.with")).to_have_count(200)
    assert page.url == address
    page.get_by_role("link", name="As it is").click()
    expect(page.locator("#sentence")).to_contain_text("As it is: an average miss of")
    expect(page.locator("#try-pattern circle.with")).to_have_count(0)


def test_a_lever_puts_its_values_into_the_fields(page: Page, given: Given) -> None:
    page.goto(f"/lessons/{given.lesson.id}/try")
    lever = page.get_by_role("button", name=re.compile("^Try it with ")).first
    lever.focus()
    page.keyboard.press("Enter")
    expect(page.locator("#sentence")).to_contain_text("Tried: an average miss of")
    expect(page.locator(".slider.is-moved").first).to_be_visible()


def test_a_typed_number_is_tried_and_a_wide_fairway_holds_more(page: Page, given: Given) -> None:
    page.goto(f"/lessons/{given.lesson.id}/try")
    page.get_by_role("textbox", name="middle of face angle").fill("2")
    expect(page.locator("#sentence")).to_contain_text("Tried: an average miss of")
    expect(page.locator("#face_angle-way")).to_have_text("right, open")
    chance = page.locator("[data-row='fairway'] [data-now]")
    before = int(chance.inner_text())
    page.get_by_role("textbox", name="Fairway, width").fill("110")
    expect(chance).not_to_have_text(str(before))
    assert int(chance.inner_text()) > before
