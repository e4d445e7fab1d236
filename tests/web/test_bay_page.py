"""The bay's big screen: what stands on it, what never does, and that it can be read from afar."""

import numpy as np
import pytest
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient

from leadfoot.desk.desk import Desk
from tests.web.lessons import Given, ball, give_lesson, new_shot
from tests.web.studio import Studio


@pytest.fixture
def given(desk: Desk) -> Given:
    return give_lesson(desk, name="Ann Secret", cautions="Lower back")


def test_nothing_private_stands_on_it(client: TestClient, desk: Desk, given: Given) -> None:
    desk.book.change_student(
        given.student.id, name="Ann Secret", hand="right", goals="a pro card", cautions="Lower back"
    )
    desk.book.change_lesson(
        given.lesson.id, title="Secret title", change="press", club="Driver", notes="shy"
    )
    shown = client.get(f"/lessons/{given.lesson.id}/bay").text
    for private in ("Ann", "Secret", "Lower back", "pro card", "shy"):
        assert private not in shown


def test_the_answer_and_the_last_ball_stand_on_it(client: TestClient, given: Given) -> None:
    shown = client.get(f"/lessons/{given.lesson.id}/bay").text
    assert "Now: with the change" in shown
    assert "club speed" in shown
    assert "yd right" in shown or "yd left" in shown


def test_a_ball_left_out_is_not_the_last(client: TestClient, desk: Desk, given: Given) -> None:
    last = desk.book.shots(given.lesson.id)[-1]
    carry = f"{last.values['carry'].value:.1f}"
    assert carry in client.get(f"/lessons/{given.lesson.id}/bay").text
    desk.book.leave_out(last.id, reason="a bird")
    words = client.get(f"/lessons/{given.lesson.id}/bay").text.split('id="pictures"')[0]
    assert f"<dd>{carry}" not in words


def test_the_coach_chooses_at_most_five_numbers(client: TestClient, given: Given) -> None:
    address = f"/lessons/{given.lesson.id}/bay"
    form = {f"number{k}": "carry" for k in range(9)} | {"number1": "ball_speed", "number2": "no"}
    client.post(f"{address}/numbers", data=form)
    shown = client.get(address).text
    assert shown.count("<dt>") == 2
    client.cookies.set("bay", ".".join(["carry", "offline", "club_speed", "ball_speed"] * 5))
    assert client.get(address).text.count("<dt>") <= 5
    client.post(f"{address}/numbers", data={})
    client.cookies.delete("bay")


def test_a_lesson_without_balls_says_what_to_do(client: TestClient, desk: Desk) -> None:
    empty = give_lesson(desk, n_before=0, n_with=0)
    shown = client.get(f"/lessons/{empty.lesson.id}/bay").text
    assert "Hit some balls as usual first" in shown


@pytest.mark.browser
@pytest.mark.xdist_group("browser")
def test_no_word_is_small_and_a_new_ball_comes_by_itself(page: Page, studio: Studio) -> None:
    given = give_lesson(studio.desk, name="Bo Bay")
    page.set_viewport_size({"width": 1920, "height": 1080})
    page.goto(f"{studio.address}/lessons/{given.lesson.id}/bay")
    expect(page.get_by_role("status", name="Link to the book")).to_contain_text("live")
    expect(page.locator("#pattern svg text").first).to_be_visible()
    smallest = page.evaluate(
        """() => Math.min(...[...document.querySelectorAll("main *, footer *")]
            .filter((one) => one.checkVisibility() && !one.closest(".visually-hidden")
                && one.getBoundingClientRect().height > 0
                && [...one.childNodes].some((n) => n.nodeType === 3 && n.data.trim()))
            .map((one) => parseFloat(getComputedStyle(one).fontSize)))"""
    )
    assert smallest >= 32.0
    fast = ball(np.random.default_rng(9), 30.0)
    block = studio.desk.book.blocks(given.lesson.id)[-1]
    studio.desk.book.add_shot(block.id, new_shot(fast), at=studio.desk.clock())
    expect(page.locator(".bay-numbers")).to_contain_text(f"{fast['club_speed']:.1f}", timeout=5000)
