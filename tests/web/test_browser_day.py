"""A day of lessons in a real Chromium: nothing is lost, nothing doubled, every page is right."""

import pytest
from playwright.sync_api import Browser

from tests.web.day import Plan, run_day
from tests.web.studio import Studio

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]


def test_a_day_of_lessons(browser: Browser, studio: Studio) -> None:
    day = run_day(browser, studio, Plan(n_balls=6, pace_s=0.4, down_s=0.5))
    assert day.faults == []
    assert day.n_balls == 36
    assert set(day.to_screen_s) == set(day.to_answer_s) == {"tablet", "laptop", "bay screen"}
