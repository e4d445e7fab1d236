"""A plan while it is hit: counted from the balls, corrected by undo and move, kept by lot."""

from datetime import UTC, datetime
from types import MappingProxyType

import numpy as np
import pytest

from leadfoot.desk import bays, running_plan, switching
from leadfoot.desk import lesson as deeds
from leadfoot.desk.bays import add_bay, arrive
from leadfoot.desk.desk import Desk
from leadfoot.desk.live_shots import LiveShot
from leadfoot.desk.running_plan import RunningPlan, standing
from leadfoot.evidence.drawn_order import drawn_order, possible_orders
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.plan import Pattern, PlannedBlock, PlannedOrder, plan_lesson
from leadfoot.evidence.second.by_lot import randomisation_test
from leadfoot.shots.shot import Reading
from tests.desk.fake_book import FakeBook

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)


class Lesson:
    """A lesson with a bay that sends balls into it."""

    def __init__(self) -> None:
        self.desk = Desk(
            book=FakeBook(), clock=lambda: NOON, printer=lambda *_, **__: b"", version="0.0.test"
        )
        student = deeds.add_student(self.desk, name="Ida Invented", hand="right")
        self.id = deeds.add_lesson(self.desk, student.id, change="soft block", club="driver").id
        self.bay = add_bay(self.desk, "bay-1", lesson_id=self.id).bay
        self.n = 0

    def hit(self, n: int, speed_mph: float = 94.0) -> None:
        for _ in range(n):
            self.n += 1
            values = MappingProxyType({"club_speed": Reading(value=speed_mph, unit="mph")})
            arrive(self.desk, self.bay, LiveShot(key=f"k{self.n}", club=None, values=values))

    def start(self, *blocks: tuple[bool, int], by_itself: bool, pattern: Pattern = "twice") -> None:
        order = PlannedOrder(
            pattern=pattern,
            blocks=tuple(PlannedBlock(with_change=on, balls=n) for on, n in blocks),
            chance=0.5,
            expected_balls=9.0,
            likely_balls=None,
            smallest_likely_si=1.0,
            seed=7 if pattern == "drawn" else None,
        )
        running_plan.start_plan(
            self.desk, self.id, order, quantity="club_speed", by_itself=by_itself
        )

    @property
    def plan(self) -> RunningPlan:
        found = standing(
            self.desk.book.running_plan(self.id),
            self.desk.book.blocks(self.id),
            self.desk.book.shots(self.id),
        )
        assert found is not None
        return found

    @property
    def roles(self) -> str:
        role = {block.id: block.role for block in self.desk.book.blocks(self.id)}
        said = {"before": "A", "with_change": "B", "other": "-"}
        return "".join(said[role[shot.block_id]] for shot in self.desk.book.shots(self.id))


@pytest.fixture
def lesson() -> Lesson:
    return Lesson()


def test_it_counts_the_balls_and_asks_for_the_change(lesson: Lesson) -> None:
    lesson.start((False, 3), (True, 3), (False, 2), by_itself=False)
    said = [lesson.plan.words]
    for _ in range(3):
        lesson.hit(1)
        said.append(lesson.plan.words)
    assert said == [
        "3 without the change",
        "2 more without the change",
        "1 more without the change",
        "Now change over: 3 with the change",
    ]
    lesson.hit(1)  # nobody said that the student changed over: it is one more as usual
    assert (lesson.roles, lesson.plan.words) == ("AAAA", "Now change over: 3 with the change")
    switching.switch_block(lesson.desk, lesson.id, "with_change")
    assert lesson.plan.words == "3 with the change"
    lesson.hit(3)
    switching.switch_block(lesson.desk, lesson.id, "before")
    lesson.hit(2)
    assert lesson.plan.is_done
    assert lesson.plan.words == "The plan is done"
    assert lesson.roles == "AAAABBBAA"


def test_it_switches_by_itself_where_that_was_asked_for(lesson: Lesson) -> None:
    lesson.start((False, 2), (True, 3), (False, 2), by_itself=True)
    lesson.hit(7)
    assert lesson.roles == "AABBBAA"
    assert lesson.plan.is_done
    lesson.hit(2)
    assert lesson.roles == "AABBBAAAA"


def test_a_switch_that_a_restart_cut_off_is_made_up_for(
    lesson: Lesson, monkeypatch: pytest.MonkeyPatch
) -> None:
    lesson.start((False, 2), (True, 2), by_itself=True)
    lesson.hit(1)
    with monkeypatch.context() as cut:
        cut.setattr(bays, "follow_plan", lambda *_: None)
        lesson.hit(1)  # the program ended before it could switch
    assert lesson.desk.book.blocks(lesson.id)[-1].role == "before"
    lesson.hit(2)
    assert lesson.roles == "AABB"


def test_balls_as_usual_that_are_there_count_unless_the_order_is_drawn(lesson: Lesson) -> None:
    lesson.hit(2)
    lesson.start((False, 3), (True, 3), by_itself=True)
    assert lesson.plan.words == "1 more without the change"
    order = drawn_order(7)
    lesson.start(*((on, 5) for on in order.with_change), by_itself=True, pattern="drawn")
    assert lesson.plan.words == "10 without the change"


def test_a_ball_left_out_is_hit_again_and_a_moved_one_counts_where_it_belongs(
    lesson: Lesson,
) -> None:
    lesson.start((False, 2), (True, 2), by_itself=True)
    lesson.hit(3)
    assert lesson.plan.words == "1 more with the change"
    bays.undo_last(lesson.desk, lesson.id)
    assert lesson.plan.words == "2 with the change"
    lesson.hit(1)
    usual = lesson.desk.book.blocks(lesson.id)[0]
    moved = lesson.desk.book.shots(lesson.id)[-1]
    bays.move_shot(lesson.desk, moved.id, usual.id)  # the student had not changed over yet
    assert [(step.hit, step.balls) for step in lesson.plan.steps] == [(3, 2), (0, 2)]
    assert lesson.plan.words == "2 with the change"


def test_going_on_early_is_said_and_other_balls_count_nowhere(lesson: Lesson) -> None:
    lesson.start((False, 5), (True, 5), by_itself=False)
    lesson.hit(3)
    switching.switch_block(lesson.desk, lesson.id, "other")
    lesson.hit(4)
    assert lesson.plan.words == "2 more without the change"
    switching.switch_block(lesson.desk, lesson.id, "with_change")
    lesson.hit(1)
    assert lesson.plan.words == "4 more with the change"
    assert [step.left for step in lesson.plan.short] == [2]


def test_a_drawn_order_keeps_its_exact_odds_by_lot(lesson: Lesson) -> None:
    order = drawn_order(7)
    rng = np.random.default_rng(3)
    lesson.start(*((on, 5) for on in order.with_change), by_itself=True, pattern="drawn")
    means = []
    for on in order.with_change:
        speeds = rng.normal(96.0 if on else 94.0, 2.0, 5)
        means.append(float(speeds.mean()))
        assert lesson.plan.by_lot is None
        for speed in speeds:
            lesson.hit(1, float(speed))
    found = lesson.plan.by_lot
    assert found is not None
    expected = randomisation_test(means, order.with_change, possible_orders(8))
    assert (found.p_greater, found.n_orders) == (expected.p_greater, 34)
    assert found.difference == pytest.approx(expected.difference * 0.44704)
    # One ball of the first block is left out: the block goes on with four, and the lot with it.
    deeds.leave_out(lesson.desk, lesson.desk.book.shots(lesson.id)[0].id, "misread")
    assert lesson.plan.by_lot is None  # ten were wanted there, and nine count


@pytest.mark.parametrize("seed", range(1, 6))
def test_the_lot_of_the_planner_is_that_of_its_small_blocks(seed: int) -> None:
    """Neighbours of one kind are hit in one go, and stay two blocks of the urn."""
    usual = UsualSpread(sd=0.54, n_shots=60)
    plan = plan_lesson(0.9, usual, n_balls=40, seed=seed)
    order = next(one for one in (plan.advised, *plan.others) if one.pattern == "drawn")
    drawn = drawn_order(seed).with_change
    assert len(order.blocks) < len(drawn)
    lesson = Lesson()
    running_plan.start_plan(lesson.desk, lesson.id, order, quantity="club_speed", by_itself=True)
    means = []
    for number, on in enumerate(drawn):
        speeds = [94.0 + 2.0 * on + 0.3 * number + 0.1 * ball for ball in range(5)]
        means.append(float(np.mean(speeds)))
        for speed in speeds:
            lesson.hit(1, speed)
    found, expected = lesson.plan.by_lot, randomisation_test(means, drawn, possible_orders(8))
    assert found is not None
    assert (found.p_greater, found.n_orders) == (expected.p_greater, 34)


def test_a_plan_of_another_version_is_no_plan(lesson: Lesson) -> None:
    for text in ("{", "[]", '{"pattern":"spiral","blocks":[[true,5]],"quantity":"carry"}', "{}"):
        lesson.desk.book.start_plan(
            lesson.id, plan_json=text, from_place=0, by_itself=True, at=NOON
        )
        assert standing(lesson.desk.book.running_plan(lesson.id), (), ()) is None
        lesson.hit(1)  # and no ball is lost for it
    assert len(lesson.roles) == 4
