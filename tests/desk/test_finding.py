"""What limits the student: from a table to sentences, costs, drills and the published form."""

import json

import numpy as np
import pytest

from leadfoot.desk.baseline import baseline_for_file
from leadfoot.desk.finding import NOTHING, Found, find_for
from leadfoot.errors import InputError
from tests.desk.test_why import HEADS
from tests.rates.faults import FACE, FAULTS, PATH, Student, baseline, sound, student_with

STRIKE = {
    "strike_heel_toe_m": ("strike heel-toe (mm)", 1e3),
    "strike_high_low_m": ("strike high-low (mm)", 1e3),
}


def table_of(student: Student, n: int = 16, *, block: str | None = None) -> bytes:
    """A table of balls hit as usual, as a coach would have it."""
    read = baseline(student, n, np.random.default_rng(3), strike_read=True)
    heads = {name: head for name, head in {**HEADS, **STRIKE}.items() if name in read}
    first = ["club"] if block is None else ["block", "club"]
    lines = [",".join([*first, *(head for head, _ in heads.values())])]
    for k in range(n):
        values = (f"{read[name][k] * scale:.3f}" for name, (_, scale) in heads.items())
        lead = ["driver"] if block is None else [block, "driver"]
        lines.append(",".join([*lead, *values]))
    return "\n".join(lines).encode()


def off(degrees: float) -> Student:
    student = sound("driver", np.random.default_rng(3))
    student.middle[PATH], student.middle[FACE] = 0.0, np.radians(degrees)
    return student


def found(data: bytes, **how: object) -> Found:
    return find_for(baseline_for_file(data), **how)  # type: ignore[arg-type]


def test_the_finding_is_said_with_side_cost_and_odds() -> None:
    answer = found(table_of(off(6.0)))
    assert "right of the target at the strike on average: open." in answer.sentence
    assert "of average miss" in answer.sentence
    assert "in 100 that it is truly there" in answer.sentence
    assert "mostly bias" in answer.miss_said


def test_a_left_handers_face_to_the_right_is_closed() -> None:
    data = table_of(off(6.0))
    assert ": closed." in find_for(baseline_for_file(data), hand="left").findings[0].said


def test_nothing_stands_out_when_nothing_does() -> None:
    answer = found(table_of(off(0.0)))
    assert answer.sentence.startswith(NOTHING)
    assert answer.findings == ()
    assert "may be luck" in answer.miss_said


def test_a_goal_of_the_students_own_is_what_speed_is_held_against() -> None:
    answer = found(table_of(off(0.0)), goal_speed_mps=50.0)
    assert [one.key for one in answer.findings] == ["speed_short"]
    assert "that the student wants" in answer.sentence
    assert any(one.when == "maximal" for one in answer.cautions)


def test_every_finding_brings_drills_and_what_would_refute_it() -> None:
    student = student_with(FAULTS["mishits"], np.random.default_rng(2))
    student.club_key = "driver"
    for one in found(table_of(off(6.0))).findings:
        assert len(one.drills) >= 3
        assert one.confirm
        assert one.refute


def test_the_scale_holds_every_ball() -> None:
    (one,) = found(table_of(off(6.0))).findings
    low, high = one.ends
    assert low < one.balls.min() < one.balls.max() < high
    assert one.sound is not None
    assert one.middle is not None
    assert not one.sound[0] <= one.middle <= one.sound[1]


def test_only_the_balls_hit_as_usual_count() -> None:
    usual, other = table_of(off(0.0), block="usual"), table_of(off(9.0), block="push")
    data = usual + b"\n" + other.split(b"\n", 1)[1]
    answer = found(data)
    assert answer.n_balls == 16
    assert answer.findings == ()


def test_the_published_form() -> None:
    form = found(table_of(off(6.0))).as_json()
    assert form["schema"] == "leadfoot.find/1"
    assert form["findings"][0]["finding"] == "face_off"
    assert len(form["findings"][0]["drills"]) >= 3
    json.dumps(form, allow_nan=False)


def test_the_coachs_own_drill_is_among_the_answers() -> None:
    own = (
        '[mine]\nname = "My post"\nkind = "cue"\nchanges = ["face_angle"]\nanswers = ["face_off"]\n'
        'setup = "s"\nfeel = "f"\nfocus = "external"\neasier = "e"\nharder = "h"\n'
    )
    (one,) = found(table_of(off(6.0)), own_drills=own).findings
    assert "My post" in {drill.name for drill in one.drills}


def test_a_club_that_is_not_known_is_asked_for() -> None:
    data = table_of(off(6.0)).replace(b"driver,", b"the long one,")
    with pytest.raises(InputError, match="No generic club stands for 'the long one'"):
        found(data)
    assert found(data, club_key="driver").model_club == "driver"


def test_a_club_that_was_not_hit_is_refused() -> None:
    with pytest.raises(InputError, match="No ball was hit with 'putter' as usual"):
        find_for(baseline_for_file(table_of(off(6.0)), club="putter"))


def test_mishits_are_noted() -> None:
    student = off(0.0)
    student.mishits = 0.3
    answer = found(table_of(student))
    assert answer.n_mishits == 5
    assert any("5 mishits count for themselves" in note for note in answer.notes)
