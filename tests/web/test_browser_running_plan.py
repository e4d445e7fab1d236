"""A real Chromium: a plan is hit by the invented student, and the screen says what is next."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from leadfoot.bay.sending import ByHttp
from leadfoot.bay.simulated import InventedStudent
from leadfoot.desk import bays
from leadfoot.desk import lesson as deeds
from tests.web.studio import Studio, Watch

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]


class Hitter:
    """An invented student who hits one ball when asked to, as the running block says."""

    def __init__(self, studio: Studio, bay: str) -> None:
        student = deeds.add_student(studio.desk, name=f"Ida {bay}", hand="right")
        lesson = deeds.add_lesson(studio.desk, student.id, change="soft block", club="driver")
        self.lesson_id = lesson.id
        new = bays.add_bay(studio.desk, bay, lesson_id=lesson.id)
        self._sending = ByHttp(address=studio.address, bay=bay, token=new.token)
        self._balls = InventedStudent(change="faster", seed=5).hit(60)
        self._n = 0

    def hit(self, n: int) -> None:
        for _ in range(n):
            self._sending.send(self._balls.shot(self._n, self._sending.running(), run="run"))
            self._n += 1


def test_a_plan_is_hit_by_presses_and_undone_balls_are_hit_again(
    page: Page, studio: Studio, watch: Watch
) -> None:
    watch.expected += ["WebSocket", "ERR_CONNECTION_REFUSED"]  # the desk is restarted
    hitter = Hitter(studio, "plan-1")
    hitter.hit(4)
    page.goto(f"/lessons/{hitter.lesson_id}?gain=3&unit=mph&balls=20")
    screen = page.context.new_page()
    screen.goto(f"/lessons/{hitter.lesson_id}/bay")
    page.get_by_role("button", name="Hit this plan: Once").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#plan-next")).to_have_text("6 more without the change")
    expect(screen.locator("#bay-plan")).to_have_text("6 more without the change")
    hitter.hit(6)
    expect(screen.locator("#bay-plan")).to_have_text("Now change over: 10 with the change")
    page.get_by_role("button", name="The student has changed over").click()
    expect(screen.locator("#bay-plan")).to_have_text("10 with the change")
    hitter.hit(7)
    expect(screen.locator("#bay-plan")).to_have_text("3 more with the change")
    page.get_by_role("button", name="Undo the last ball").click()
    expect(screen.locator("#bay-plan")).to_have_text("4 more with the change")
    studio.stop()
    studio.start()  # the plan is in the book
    hitter.hit(4)
    expect(screen.locator("#bay-plan")).to_have_text("The plan is done", timeout=30_000)
    expect(page.locator("#plan-next")).to_have_text("The plan is done", timeout=30_000)
    roles = {block.id: block.role for block in studio.desk.book.blocks(hitter.lesson_id)}
    hit = [roles[shot.block_id] for shot in studio.desk.book.shots(hitter.lesson_id)]
    assert hit == ["before"] * 10 + ["with_change"] * 11
    page.get_by_role("button", name="Put the plan away").click()
    expect(screen.locator("#bay-plan")).to_have_count(0)


def test_an_order_by_lot_switches_by_itself_and_gives_its_odds(page: Page, studio: Studio) -> None:
    hitter = Hitter(studio, "plan-2")
    hitter.hit(3)
    page.goto(f"/lessons/{hitter.lesson_id}?gain=3&unit=mph&balls=40")
    page.get_by_label("the next ball counts as the other kind by itself").check()
    page.get_by_role("button", name="Hit this plan: By lot").click()
    expect(page.locator("#plan-next")).to_contain_text("the change")
    hitter.hit(40)
    expect(page.locator("#plan-next")).to_have_text("The plan is done")
    expect(page.locator(".second-opinion")).to_contain_text("orders that could have been drawn")
    for look in ("paper", "slate"):
        page.context.add_cookies([{"name": "look", "value": look, "url": studio.address}])
        for path in ("", "/bay"):
            page.goto(f"/lessons/{hitter.lesson_id}{path}")
            found = Axe().run(page)
            assert found.violations_count == 0, found.generate_report()
