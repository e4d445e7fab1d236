"""Homework, the phone page, what follows a lesson and what works: by axe, and on small screens."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from leadfoot.coaching.homework import Week
from leadfoot.desk.follow_up import plan_tests
from leadfoot.desk.home_shots import give_table
from leadfoot.desk.homework import give_homework, log_session, make_link
from tests.web.lessons import give_lesson
from tests.web.studio import Studio

TABLE = (
    b"Club,Club Speed [mph],Carry [yd]\n"
    + b"".join(b"Driver,%d.5,%d\n" % (91 + k % 4, 205 + k % 9) for k in range(20))
    + b"Driver,fast,190\n"
)

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]


@pytest.fixture(scope="module")
def paths(studio: Studio) -> dict[str, str]:
    """Every kind of page after a lesson."""
    desk = studio.desk
    given = give_lesson(desk, cautions="Lower back")
    week = Week(days=(0, 2, 5), minutes=45, balls=40, place="net", usual_balls=20)
    plan = give_homework(desk, given.lesson.id, week, cue="press the block", criterion="straight")
    log_session(
        desk,
        plan.id,
        session=1,
        n_balls=40,
        n_counted=20,
        n_met=4,
        pain=True,
        notes="windy",
        logged_by="student",
    )
    given_table = give_table(
        desk,
        plan.id,
        name="range.csv",
        data=TABLE,
        session=2,
        place="range",
        given_by="student",
    )
    plan_tests(desk, given.lesson.id)
    secret, _ = make_link(desk, plan.id)
    return {
        "form": f"/students/{given.student.id}/homework",
        "plan": f"/students/{given.student.id}/homework/{plan.id}",
        "phone": f"/h/{secret}",
        "phone, German": f"/h/{secret}?language=de",
        "taken": f"/h/{secret}?taken={given_table.table.id}",
        "there": f"/h/{secret}?there={given_table.table.id}",
        "season": f"/students/{given.student.id}",
        "after": f"/lessons/{given.lesson.id}/after",
        "works": "/works",
    }


@pytest.mark.parametrize("look", ["paper", "slate"])
def test_axe_finds_nothing(page: Page, studio: Studio, paths: dict[str, str], look: str) -> None:
    page.context.add_cookies([{"name": "look", "value": look, "url": studio.address}])
    for name, path in paths.items():
        page.goto(path)
        page.evaluate("document.querySelectorAll('details').forEach(fold => { fold.open = true })")
        found = Axe().run(page)
        assert found.violations_count == 0, (name, found.generate_report())


@pytest.mark.parametrize("width", [360, 820])
def test_no_page_is_wider_than_its_screen(page: Page, paths: dict[str, str], width: int) -> None:
    page.set_viewport_size({"width": width, "height": 800})
    for name, path in paths.items():
        page.goto(path)
        beyond = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert beyond <= 0, name
