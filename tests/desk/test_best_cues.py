"""The coach's own best cues: the right quantity, the right way, the students, the warning."""

from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest

from leadfoot.coaching.drills import drills
from leadfoot.coaching.rules import rules
from leadfoot.desk.best_cues import (
    MOST_CUES,
    best_by_finding,
    best_cues,
    lines_of_drills,
    way_of,
)
from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import add_lesson, add_student
from leadfoot.desk.records import NewShot
from leadfoot.desk.works import POOLED, Works, what_works_for_whom
from leadfoot.shots.shot import Reading
from tests.desk.simulated_book import simulated


@pytest.fixture(scope="module")
def works() -> Works:
    return what_works_for_whom(simulated(30, 4_800, seed=2).desk)


def test_the_best_for_speed_are_those_that_truly_move_it_most(works: Works) -> None:
    best = best_cues(works, "speed_short", "more")
    assert best is not None
    assert (best.quantity, best.unit) == ("club_speed", "mph")
    assert {line.cue for line in best.cues} <= {"cue 6", "cue 7", "cue 8"}
    assert len(best.cues) == MOST_CUES
    assert best.sentence.startswith(f"For club speed more: {best.cues[0].cue}, about ")
    assert f"({best.cues[0].n_students} students)" in best.sentence


def test_the_best_of_many_alike_is_warned_of(works: Works) -> None:
    (speed,) = works.quantities
    alike = tuple(replace(line, odds_most=1.0 / len(speed.lines)) for line in speed.lines)
    best = best_cues(
        replace(works, quantities=(replace(speed, lines=alike),)), "speed_short", "more"
    )
    assert best is not None
    assert "Mind: it is the best of 8 tries" in best.sentence


def test_the_other_way_takes_the_other_end_and_leaves_what_moves_it_wrongly(works: Works) -> None:
    best = best_cues(works, "speed_short", "less")
    assert best is not None
    assert all(line.mean < 0.0 for line in best.cues)


def test_where_no_cue_helps_it_says_so(works: Works) -> None:
    (speed,) = works.quantities
    worse = tuple(replace(line, mean=-abs(line.mean) - 0.1) for line in speed.lines)
    best = best_cues(
        replace(works, quantities=(replace(speed, lines=worse),)), "speed_short", "more"
    )
    assert best is not None
    assert best.cues == ()
    assert best.sentence == "For club speed more: no cue so far moves it that way."


def test_what_no_level_answers_has_no_cue(works: Works) -> None:
    assert best_cues(works, "face_spread", "less") is None
    assert best_cues(works, "face_off", "less") is None  # no face was measured in this book
    assert [one.finding for one in best_by_finding(works)] == ["speed_short"]


def test_a_finding_on_either_side_has_a_line_for_each(works: Works) -> None:
    (speed,) = works.quantities
    face = replace(speed, quantity="face_angle", name="face angle", unit="deg")
    found = best_by_finding(replace(works, quantities=(face,)))
    assert [(one.finding, one.way) for one in found] == [("face_off", "less"), ("face_off", "more")]
    assert found[0].sentence.startswith("For face angle farther left: ")


def test_the_way_is_against_the_side_or_that_of_the_rule() -> None:
    assert way_of(rules()["path_off"], 1) == "less"
    assert way_of(rules()["path_off"], -1) == "more"
    assert way_of(rules()["speed_short"], 1) == "more"


def test_strike_loft_and_curve_have_their_cues(desk: Desk) -> None:
    """Two cues with a known effect on the face, the loft and the axis, from a real book."""
    rng = np.random.default_rng(4)
    moves = {"tee it higher": (0.0, 6.0, 1.0, -4.0), "stand closer": (-7.0, 0.0, -3.0, 0.0)}
    for _ in range(5):
        student = add_student(desk, name="Ada Nowhere", hand="right")
        for cue, moved in moves.items():
            lesson = add_lesson(desk, student.id, change=cue, club="driver")
            for role, share in (("before", 0.0), ("with_change", 1.0)):
                block = desk.book.add_block(lesson.id, label=role, role=role)  # type: ignore[arg-type]
                for _ in range(12):
                    desk.book.add_shot(block.id, strike(rng, share, moved), at=desk.clock())
    pooled = what_works_for_whom(desk)
    expected = {
        ("strike_side", "less"): ("For strike heel to toe nearer the heel: stand closer", -7.0),
        ("strike_height", "more"): (
            "For strike high to low higher on the face: tee it higher", 6.0,
        ),
        ("loft_high", "less"): ("For dynamic loft less: stand closer", -3.0),
        ("loft_low", "more"): ("For dynamic loft more: tee it higher", 1.0),
        ("curves", "less"): ("For spin axis farther left: tee it higher", -4.0),
    }  # fmt: skip
    for (finding, way), (sentence, size) in expected.items():
        best = best_cues(pooled, finding, "less" if way == "less" else "more")
        assert best is not None
        assert best.sentence.startswith(sentence)
        assert "(5 students)" in best.sentence
        assert best.cues[0].mean == pytest.approx(size, abs=2.0)
    assert {one.finding for one in best_by_finding(pooled)} == {finding for finding, _ in expected}


def strike(rng: np.random.Generator, share: float, moved: tuple[float, ...]) -> NewShot:
    """One drive by its strike, loft and axis; `moved` is what the cue does to each."""
    middle, spread = (4.0, -3.0, 15.0, 6.0), (5.0, 5.0, 1.5, 4.0)
    keys = ("strike_heel_toe", "strike_high_low", "dynamic_loft", "spin_axis")
    values = {
        key: Reading(
            value=float(rng.normal(at + share * by, sd)), unit="mm" if place < 2 else "deg"
        )
        for place, (key, at, by, sd) in enumerate(zip(keys, middle, moved, spread, strict=True))
    }
    return NewShot(club="driver", values=MappingProxyType(values))


def test_every_quantity_of_the_catalogue_is_pooled() -> None:
    named = {rule.quantity for rule in rules().values() if rule.quantity}
    assert named <= set(POOLED)
    assert len(named) >= 10
    # A spread, a share and two patterns are no level of one quantity.
    assert {rule.key for rule in rules().values() if rule.quantity is None} == {
        "speed_uneven",
        "strike_spread",
        "face_spread",
        "path_spread",
        "curve_spread",
        "two_patterns",
        "mishits",
    }


def test_a_drill_that_was_tried_by_its_name_has_its_line(works: Works) -> None:
    (speed,) = works.quantities
    named = replace(speed.lines[2], cue="press the soft block flat.")
    lines = (*speed.lines[:2], named, *speed.lines[3:])
    own = replace(works, quantities=(replace(speed, lines=lines),))
    best = best_cues(own, "speed_short", "more")
    assert best is not None
    some = [drills()["push_block"], drills()["push_ground"]]
    assert lines_of_drills(own, best, some) == {"push_block": named}
    merged = replace(own, merged={"push the ground away": "press the soft block flat"})
    assert set(lines_of_drills(merged, best, some)) == {"push_block", "push_ground"}
