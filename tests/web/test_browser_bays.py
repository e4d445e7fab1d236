"""Two bays, two pages, a cut of the network and a restart: nothing lost, nothing doubled."""

import threading
from collections.abc import Iterator
from dataclasses import dataclass, field

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from leadfoot.bay.sending import ByHttp
from leadfoot.bay.simulated import InventedStudent
from leadfoot.desk import bays
from leadfoot.desk import lesson as deeds
from leadfoot.desk.records import Lesson
from tests.web.studio import Studio, Watch

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]

N_BALLS = 10
"""Balls of each bay."""
PACE_S = 0.6


@dataclass
class Hitting:
    """An invented student who hits into a bay by HTTP, in a thread of its own."""

    sending: ByHttp
    seed: int
    stop: threading.Event = field(default_factory=threading.Event)
    faults: list[str] = field(default_factory=list)
    sent: set[str] = field(default_factory=set)

    def run(self) -> None:
        balls = InventedStudent(change="faster", seed=self.seed).hit(N_BALLS)
        try:
            for number in range(N_BALLS):
                role = self.sending.running()
                shot = balls.shot(number, role, run=f"run-{self.seed}")
                place = self.sending.send(shot)
                # As a sender does that did not hear the answer.
                if self.sending.send(shot) != place:
                    self.faults.append(f"{shot.key} is there twice")
                self.sent.add(shot.key)
                if self.stop.wait(PACE_S):
                    return
        except Exception as error:  # noqa: BLE001  (it is told in the test's own thread)
            self.faults.append(repr(error))


@pytest.fixture
def lesson(studio: Studio) -> Lesson:
    student = studio.desk.book.add_student(
        name="Ida Invented", hand="right", goals="", cautions="", invented=True,
        at=studio.desk.clock(),
    )  # fmt: skip
    return deeds.add_lesson(studio.desk, student.id, change="soft block", club="driver")


@pytest.fixture
def hitters(studio: Studio, lesson: Lesson) -> Iterator[list[Hitting]]:
    found = []
    for number, name in enumerate(("left", "right")):
        new = bays.add_bay(studio.desk, name, lesson_id=lesson.id)
        sending = ByHttp(address=studio.address, bay=name, token=new.token)
        found.append(Hitting(sending=sending, seed=number + 1))
    yield found
    for hitter in found:
        hitter.stop.set()


@pytest.fixture
def away(browser: Browser, studio: Studio, watch: Watch) -> Iterator[BrowserContext]:
    """A second device."""
    context = browser.new_context(base_url=studio.address, reduced_motion="reduce")
    watch.over(context)
    yield context
    context.close()


def is_live(page: Page) -> None:
    expect(page.get_by_role("status", name="Link to the book")).to_have_text("live", timeout=30_000)


def test_two_bays_through_a_cut_and_a_restart(
    *,
    page: Page,
    away: BrowserContext,
    studio: Studio,
    lesson: Lesson,
    hitters: list[Hitting],
    watch: Watch,
) -> None:
    watch.expected += [
        "ERR_INTERNET_DISCONNECTED",
        "ERR_CONNECTION_REFUSED",
        "ERR_CONNECTION_RESET",
        "ERR_EMPTY_RESPONSE",
        "WebSocket connection to",
    ]
    screen = away.new_page()
    page.goto(f"/lessons/{lesson.id}")
    screen.goto(f"/lessons/{lesson.id}/bay")
    for one in (page, screen):
        is_live(one)
        one.evaluate("window.stayed = true")
    threads = [threading.Thread(target=hitter.run) for hitter in hitters]
    for thread in threads:
        thread.start()
    expect(page.locator("#hitting")).to_contain_text("left, right")
    expect(page.locator("table.shots tr[data-place='4']")).to_be_visible(timeout=30_000)
    page.get_by_role("button", name="With the change").click()
    expect(page.get_by_role("button", name="With the change")).to_have_attribute(
        "aria-pressed", "true"
    )
    away.set_offline(True)
    expect(page.locator("table.shots tr[data-place='8']")).to_be_visible(timeout=30_000)
    studio.stop()
    page.wait_for_timeout(700)
    studio.start()
    away.set_offline(False)
    for thread in threads:
        thread.join(timeout=90)
        assert not thread.is_alive()
    assert [hitter.faults for hitter in hitters] == [[], []]
    n_all = 2 * N_BALLS
    expect(page.locator(f"table.shots tr[data-place='{n_all}']")).to_be_visible(timeout=30_000)
    n_with = sum(
        shot.block_id == studio.desk.book.blocks(lesson.id)[-1].id
        for shot in studio.desk.book.shots(lesson.id)
    )
    # On the large screen the count stands beside what is hit now: all balls that count.
    expect(screen.locator("#bay-words")).to_contain_text(f"{n_all} balls", timeout=30_000)
    for one in (page, screen):
        is_live(one)
        assert one.evaluate("window.stayed") is True
    arrived = [studio.desk.book.arrived(bay.id) for bay in bays.bays_of(studio.desk, lesson.id)]
    assert [set(keys) for keys in arrived] == [hitter.sent for hitter in hitters]
    shots = studio.desk.book.shots(lesson.id)
    assert sorted(shot.id for shot in shots) == sorted(
        shot_id for keys in arrived for shot_id in keys.values() if shot_id is not None
    )
    assert len(shots) == n_all
    assert 0 < n_with < n_all
    view = deeds.lesson_view(studio.desk, lesson.id)
    assert view.answer is not None
    for one in (page, screen):
        expect(one.get_by_role("heading", level=1)).to_have_text(view.answer.sentence)


def test_undo_move_and_the_switch_by_hand(page: Page, studio: Studio, lesson: Lesson) -> None:
    new = bays.add_bay(studio.desk, "net", lesson_id=lesson.id)
    balls = InventedStudent().hit(4)
    sending = ByHttp(address=studio.address, bay="net", token=new.token)
    page.goto(f"/lessons/{lesson.id}")
    is_live(page)
    for number in range(3):
        sending.send(balls.shot(number, "before", run="a"))
    expect(page.locator("table.shots tr[data-place='3']")).to_be_visible()
    page.get_by_role("button", name="Undo the last ball").click()
    expect(page.locator("tr[data-place='3'] .why")).to_contain_text("undone")
    page.get_by_role("button", name="Take ball 3 back").click()
    expect(page.locator("tr[data-place='3'] .why")).to_have_text("")
    with_change = page.get_by_role("button", name="With the change")
    with_change.click()
    # Where a ball falls is decided when it arrives, so the switch has to be in the book.
    expect(with_change).to_have_attribute("aria-pressed", "true")
    sending.send(balls.shot(3, "with_change", run="a"))
    expect(page.locator("table.shots tr[data-place='4']")).to_contain_text("soft block")
    page.get_by_role("radio", name="Ball 3", exact=True).check()
    page.get_by_label("Or put the chosen ball into").select_option("soft block (block 2)")
    page.get_by_role("button", name="Move it").click()
    expect(page.locator("table.shots tr[data-place='3']")).to_contain_text("soft block")


@pytest.mark.parametrize("size", [(1280, 800), (390, 844)])
def test_the_page_of_the_bays(
    page: Page, studio: Studio, lesson: Lesson, size: tuple[int, int]
) -> None:
    page.set_viewport_size({"width": size[0], "height": size[1]})
    name = f"bay-{size[0]}"
    page.goto("/bays")
    page.get_by_label("Name").fill(name)
    page.get_by_role("button", name="Add the bay").click()
    token = page.locator("#token").inner_text()
    assert bays.admitted(studio.desk, name, token) is not None
    point = page.get_by_role("form", name=f"What {name} hits for")
    point.get_by_label("Hits for").select_option(value=str(lesson.id))
    point.get_by_role("button", name="Keep this").click()
    page.wait_for_url("**/bays")
    assert bays.bay_named(studio.desk, name).lesson_id == lesson.id
    assert page.locator("#token").count() == 0
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    page.get_by_role("button", name=f"Withdraw {name}").click()
    expect(page.locator("#bays")).to_contain_text("Withdrawn:")
