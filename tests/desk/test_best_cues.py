"""The coach's own best cues: the right quantity, the right way, the students, the warning."""

from dataclasses import replace

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
from leadfoot.desk.works import POOLED, Works, what_works_for_whom
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


def test_every_quantity_of_the_catalogue_is_pooled() -> None:
    named = {rule.quantity for rule in rules().values() if rule.quantity}
    assert named <= set(POOLED)
    assert len(named) >= 6


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
