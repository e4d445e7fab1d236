"""A day of lessons: six students in two bays, five devices, a cut of each, one restart in between.

The coach of each bay has a tablet, somebody looks on from a laptop, and each bay has its screen.
Each student hits half the balls as usual and half with the change. Every device is cut off once
while balls arrive, one of them with something half typed; once the desk is killed and started
again. What then is not as the book and the bays have it is told in words.
"""

import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from playwright.sync_api import Browser, expect

from leadfoot.bay.sending import ByHttp
from leadfoot.bay.simulated import CHANGES, FAULTS, InventedStudent
from leadfoot.desk import bays
from leadfoot.desk import lesson as deeds
from tests.web.day_bays import Hitter, book_faults
from tests.web.day_devices import Device, devices
from tests.web.day_pages import first_page_faults, lesson_faults, screen_faults
from tests.web.day_report import Day
from tests.web.studio import Studio

if TYPE_CHECKING:
    from leadfoot.desk.records import Lesson

SIDES = ("left", "right")
NAMES = (("Ada", "Ben"), ("Cleo", "Dan"), ("Eva", "Finn"))
"""The students of both bays, one pair after the other. Invented."""
SETTLED_S = 20.0
"""How long after the last ball a page may become right: the answer is kept after 4 s."""
LINE = "94 165 2R"
NOTES = "hands quieter, to be seen again"
NEW_NAME = "Vera Half"


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """How long the day is."""

    n_balls: int = 20
    """Balls of each student."""
    pace_s: float = 1.5
    """From ball to ball of one bay."""
    down_s: float = 1.0
    """How long the desk stays away after it was killed."""


def run_day(browser: Browser, studio: Studio, plan: Plan) -> Day:
    """Let the day go by on a new book, and say what came of it."""
    hitters = {}
    for side in SIDES:
        new = bays.add_bay(studio.desk, side)
        sending = ByHttp(address=studio.address, bay=side, token=new.token)
        hitters[side] = Hitter(bay=new.bay, sending=sending)
    with devices(browser, studio) as opened:
        course = _Course(studio, plan, hitters, opened)
        course.run()
    return course.day


class _Course:
    """The day as it goes on."""

    def __init__(
        self, studio: Studio, plan: Plan, hitters: dict[str, Hitter], opened: dict[str, Device]
    ) -> None:
        self.day = Day()
        self._studio, self._desk, self._plan = studio, studio.desk, plan
        self._hitters, self._devices = hitters, opened
        self._first_page = opened["laptop"].context.new_page()
        self._lessons: list[Lesson] = []
        self._typed: dict[int, int] = {}

    def run(self) -> None:
        disturbing: dict[tuple[int, str], Callable[[], None]] = {
            (0, "with_change"): partial(self._cut, "left tablet"),
            (1, "before"): partial(self._cut, "right screen"),
            (1, "with_change"): self._restart,
            (2, "before"): partial(self._cut, "left screen", "laptop"),
            (2, "with_change"): partial(self._cut, "right tablet"),
        }
        self._open_for_the_day()
        for turn, names in enumerate(NAMES):
            self._begin(turn, names)
            for half in ("before", "with_change"):
                if half == "with_change":
                    self._press_with_change()
                self._hit(half)
                disturbing.get((turn, half), _nothing)()
                while any(one.is_hitting for one in self._hitters.values()):
                    self._pass(0.05)
            self._compare()
        self._end()

    # What the coaches do

    def _open_for_the_day(self) -> None:
        """The screens; and a new student, whom somebody begins to write down and forgets."""
        self._first_page.goto("/")
        self._first_page.get_by_label("Name").fill(NEW_NAME)
        for side in SIDES:
            self._devices[f"{side} screen"].page.goto(f"/bays/{side}/screen")

    def _begin(self, turn: int, names: tuple[str, str]) -> None:
        lessons = {}
        for side, name in zip(SIDES, names, strict=True):
            student = self._desk.book.add_student(
                name=f"{name} Invented", hand="left" if turn == 1 else "right", goals="",
                cautions="", invented=True, at=self._desk.clock(),
            )  # fmt: skip
            lesson = deeds.add_lesson(
                self._desk, student.id, change=f"cue {turn + 1}", club="driver"
            )
            bays.point_bay(self._desk, side, lesson.id)
            lessons[side] = lesson
        self._lessons += lessons.values()
        for name, device in self._devices.items():
            side = SIDES[turn % 2] if device.kind == "laptop" else name.split()[0]
            device.lessons.append(lessons[side].id)
            if device.kind != "bay screen":  # a screen finds the lesson of its bay by itself
                device.page.goto(f"/lessons/{device.lesson_id}")
            device.page.bring_to_front()  # a browser draws what is covered once a second alone
            device.page.locator(f"body[data-lesson='{device.lesson_id}']").wait_for()
            device.is_live()
            device.page.evaluate("window.stayed = true")

    def _press_with_change(self) -> None:
        for side in SIDES:
            page = self._devices[f"{side} tablet"].page
            button = page.get_by_role("button", name="With the change")
            button.click()
            expect(button).to_have_attribute("aria-pressed", "true")

    def _hit(self, half: str) -> None:
        n_half = self._plan.n_balls // 2
        numbers = range(n_half) if half == "before" else range(n_half, 2 * n_half)
        for number, side in enumerate(SIDES):
            if number:
                self._pass(self._plan.pace_s / 3)  # the bays do not hit in step
            seed = self._devices[f"{side} tablet"].lesson_id
            student = InventedStudent(
                fault=tuple(FAULTS)[seed % len(FAULTS)],
                change=tuple(CHANGES)[seed % len(CHANGES)],
                seed=seed,
            )
            self._hitters[side].hit(seed, student.hit(2 * n_half), numbers, self._plan.pace_s)

    def _pass(self, for_s: float) -> None:
        """Let time go by, and hear what the pages tell."""
        self._first_page.wait_for_timeout(1000 * for_s)

    def _balls_later(self, n_balls: int) -> None:
        """Wait until each bay is on its way with so many more balls, or has no more."""
        wanted = {side: one.n_begun + n_balls for side, one in self._hitters.items()}
        while any(
            one.n_begun < wanted[side] and one.is_hitting for side, one in self._hitters.items()
        ):
            self._pass(0.02)

    # What goes wrong

    def _cut(self, *names: str) -> None:
        """Cut devices off while balls arrive; on a tablet something is half typed meanwhile."""
        cut = [self._devices[name] for name in names]
        typing = [device for device in cut if device.kind == "tablet"]
        self._balls_later(1)
        for device in typing:
            device.page.get_by_label("One ball").fill(LINE[:4])
        begun_s = time.time()
        for device in cut:
            device.context.set_offline(True)
        for device in typing:
            device.page.get_by_label("One ball").press_sequentially(LINE[4:])
            device.page.get_by_text("What this lesson is about").click()
            device.page.get_by_label("Notes").fill(NOTES[:-4])
        self._balls_later(2)
        for device in cut:
            device.context.set_offline(False)
        self._catch_up({device.name: device for device in cut}, begun_s)
        for device in typing:
            self._finish_line(device)
            self._finish_notes(device)

    def _restart(self) -> None:
        """Kill the desk, send a typed ball into the void, start it again, send the ball again."""
        typing = self._devices["right tablet"]
        self._balls_later(1)
        typing.page.get_by_label("One ball").fill(LINE)
        begun_s = time.time()
        self._studio.kill()
        typing.page.get_by_label("One ball").press("Enter")
        expect(typing.page.locator("#type-trouble")).to_contain_text("The desk does not answer.")
        self._pass(self._plan.down_s)
        self._studio.start()
        self._catch_up({f"{name}, restart": one for name, one in self._devices.items()}, begun_s)
        self._finish_line(typing)

    def _catch_up(self, cut: dict[str, Device], begun_s: float) -> None:
        """Wait until devices show what came in while they were cut off."""
        back_s = time.time()
        missed = {
            device.lesson_id: len(self._desk.book.shots(device.lesson_id))
            for device in cut.values()
        }
        for what, device in cut.items():
            device.show_ball(missed[device.lesson_id])
            device.is_live()
            self.day.caught_up_s[what] = time.time() - back_s
        for device in cut.values():
            device.disturbed.append((begun_s, time.time()))

    def _finish_line(self, device: Device) -> None:
        """The typed ball still stands there; it is sent now."""
        line = device.page.get_by_label("One ball")
        self._expect(device.name, "the typed line", line.input_value(), LINE)
        line.press("Enter")
        expect(line).to_have_value("")
        self._typed[device.lesson_id] = self._typed.get(device.lesson_id, 0) + 1

    def _finish_notes(self, device: Device) -> None:
        notes = device.page.get_by_label("Notes")
        self._expect(device.name, "the notes", notes.input_value(), NOTES[:-4])
        notes.focus()
        notes.press("End")
        notes.press_sequentially(NOTES[-4:])
        device.page.locator("#about").get_by_role("button", name="Keep this").click()
        self._settled(f"{device.name}, notes", partial(self._notes_faults, device.lesson_id))

    def _notes_faults(self, lesson_id: int) -> list[str]:
        kept = self._desk.book.lesson(lesson_id).notes
        return [] if kept == NOTES else [f"the book has {kept!r}"]

    # What came of it

    def _expect(self, where: str, what: str, found: object, wanted: object) -> None:
        if found != wanted:
            self.day.faults.append(f"{where}: {what}: {found!r}, not {wanted!r}")

    def _settled(self, where: str, faults_now: Callable[[], list[str]]) -> None:
        """Give a page some time to become right; what is wrong then, is wrong."""
        deadline = time.monotonic() + SETTLED_S
        while (found := faults_now()) and time.monotonic() < deadline:
            self._pass(0.2)
        self.day.faults += [f"{where}: {one}" for one in found]

    def _compare(self) -> None:
        """Compare every open page with the book."""
        for device in self._devices.values():
            compare = screen_faults if device.kind == "bay screen" else lesson_faults
            now = partial(compare, device.page, self._desk, device.lesson_id)
            self._settled(f"{device.name}, lesson {device.lesson_id}", now)
            stayed = device.page.evaluate("window.stayed")
            self._expect(device.name, "it stayed open", stayed, wanted=True)
        self._settled("first page", partial(first_page_faults, self._first_page, self._desk))

    def _end(self) -> None:
        """Measure; open every lesson anew and compare; finish the new student; count the book."""
        hitters = tuple(self._hitters.values())
        for device in self._devices.values():
            self.day.measure(device, [ball for one in hitters for ball in one.sent])
        page = self._devices["left tablet"].page
        for lesson in self._lessons:
            page.goto(f"/lessons/{lesson.id}")
            now = partial(lesson_faults, page, self._desk, lesson.id)
            self._settled(f"lesson {lesson.id}, opened anew", now)
        self._finish_student()
        for device in self._devices.values():
            self.day.faults += [f"{device.name}: {one}" for one in device.watch.found()]
        self.day.faults += book_faults(self._desk, hitters, self._typed)
        self.day.n_balls = sum(len(one.sent) for one in hitters)

    def _finish_student(self) -> None:
        name = self._first_page.get_by_label("Name")
        self._expect("first page", "the new name", name.input_value(), NEW_NAME)
        name.press("End")
        name.press_sequentially("-Typed")
        self._first_page.get_by_role("button", name="Write into the book").click()
        self._first_page.wait_for_url("**/students/*")
        names = [one.name for one in self._desk.book.students()]
        self._expect("the book", "new students", names.count(f"{NEW_NAME}-Typed"), 1)


def _nothing() -> None:
    """No disturbance in this half."""
