"""The plan on the page of a lesson in a real browser: asked anew, and gone with the first balls."""

import re

import pytest
from playwright.sync_api import Page, expect

from leadfoot.desk import lesson as deeds
from tests.web.lessons import give_lesson
from tests.web.studio import Studio

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]


def test_a_plan_is_asked_anew_and_makes_room_for_the_answer(page: Page, studio: Studio) -> None:
    given = give_lesson(studio.desk)
    lesson = deeds.add_lesson(studio.desk, given.student.id, change="feet together", club="driver")
    page.goto(f"/lessons/{lesson.id}")
    plan = page.locator("#plan")
    expect(plan).to_contain_text("to show 8 yd more carry.")
    expect(plan).to_contain_text("learnt from 1 earlier lesson with this club")
    expect(plan.locator("tr.advised .dots i")).to_have_count(30)
    page.get_by_label("Gain worth finding").fill("2")
    page.get_by_label("Unit", exact=True).select_option("mph")
    page.get_by_label("Balls in all").fill("40")
    page.get_by_label("Balls in all").press("Enter")
    expect(plan).to_contain_text("to show 2 mph more club speed.")
    expect(plan.locator("tr.advised .dots i")).to_have_count(40)
    page.get_by_label("Balls in all").fill("4")
    page.get_by_role("button", name="Plan again").click()
    expect(page.locator("#planner-trouble")).to_contain_text("4 balls can't be planned.")
    expect(page.get_by_label("Balls in all")).to_have_value("4")
    expect(page.get_by_label("Gain worth finding")).to_have_value("2")


def test_the_next_step_follows_the_balls(page: Page, studio: Studio) -> None:
    given = give_lesson(studio.desk)
    lesson = deeds.add_lesson(studio.desk, given.student.id, change="feet together", club="driver")
    page.goto(f"/lessons/{lesson.id}")
    line = page.get_by_label("One ball")
    page.wait_for_load_state("load")
    for kind, balls in (
        ("before", ("92 190 2R", "91 188 6L", "93 192 1R", "92 189 0", "92 191 3L")),
        ("with the change", ("92 192 2R", "93 189 6L", "92 193 1R", "91 190 0", "92 191 3L")),
    ):
        for place, text in enumerate(balls):
            if place == 0:
                page.get_by_label("Into").select_option(f"a new block: {kind}")
            line.fill(text)
            line.press("Enter")
            expect(line).to_have_value("")
    expect(page.locator(".next-step")).to_contain_text(re.compile("next", re.IGNORECASE))
    page.reload()
    expect(page.locator("#planner-title")).to_have_count(0)
