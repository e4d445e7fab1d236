"""Findings: each rule on balls that show it, odds, costs, what steps back, what is asked for."""

import numpy as np
import pytest
from numpy.typing import NDArray

from leadfoot.coaching.block import Block, block_of
from leadfoot.coaching.findings import STANDS_FROM, WORTH_M, Findings, find, key_list
from leadfoot.coaching.measures import MEASURES
from leadfoot.coaching.repairs import REPAIR_NAMES
from leadfoot.coaching.rules import rules, rules_from
from leadfoot.coaching.two_groups import two_groups
from leadfoot.errors import InputError
from leadfoot.physics.clubs import club
from tests.rates.faults import FACE, FAULTS, PATH, SOUND, Student, baseline, sound, student_with

Floats = NDArray[np.float64]


def block(student: Student, n: int = 18, seed: int = 1, *, strike_read: bool = True) -> Block:
    read = baseline(student, n, np.random.default_rng(seed), strike_read=strike_read)
    return block_of(read, club(student.club_key), goal_speed_mps=student.goal)


def plain(key: str = "driver") -> Student:
    """A student whose middles are where they should be."""
    student = sound(key, np.random.default_rng(3))
    student.middle[[PATH, FACE]] = 0.0
    return student


def looked(student: Student) -> Findings:
    return find(block(student))


def test_a_sound_student_has_nothing_that_stands_out() -> None:
    assert looked(plain()).found == ()


def test_an_open_face_is_found_with_its_side_and_cost() -> None:
    student = plain()
    student.middle[FACE] = np.radians(5.0)
    (one,) = looked(student).found
    assert one.rule.key == "face_off"
    assert one.side == 1
    assert one.odds > 0.95
    assert one.miss.low_m < one.miss.value_m < one.miss.high_m
    assert 8.0 < one.miss.value_m < 30.0


def test_the_cost_grows_with_the_fault() -> None:
    costs = []
    for degrees in (4.0, 6.0, 8.0):
        student = plain()
        student.middle[FACE] = np.radians(degrees)
        costs.append(looked(student).found[0].miss.value_m)
    assert costs == sorted(costs)


def test_a_mirrored_student_has_the_mirrored_finding() -> None:
    student = plain()
    student.middle[FACE] = np.radians(5.0)
    read = baseline(student, 16, np.random.default_rng(2), strike_read=True)
    turned = {
        name: -values
        if name in {"club_path_rad", "face_angle_rad", "launch_direction_rad", "spin_axis_rad"}
        or name == "offline_m"
        else values
        for name, values in read.items()
    }
    one = find(block_of(read, club("driver"))).found[0]
    other = find(block_of(turned, club("driver"), hand="left")).found[0]
    assert (one.rule.key, one.side) == (other.rule.key, -other.side)
    assert one.odds == pytest.approx(other.odds, abs=0.02)
    assert one.miss.value_m == pytest.approx(other.miss.value_m, rel=0.05)


def test_aim_covers_face_and_path() -> None:
    student = plain()
    student.middle[[PATH, FACE]] = np.radians(5.0)
    found = looked(student)
    assert key_list(found.found) == ("aim_off",)
    assert set(key_list(found.behind)) <= {"face_off", "path_off"}


def test_without_a_goal_nobody_is_told_to_be_faster() -> None:
    student = plain()
    student.goal = None
    assert "speed_short" not in {rule.key for rule in looked(student).looked_at}


def test_a_strike_that_was_not_read_is_asked_for() -> None:
    found = find(block(plain(), strike_read=False))
    assert {"strike_side", "strike_spread"} <= {rule.key for rule in found.not_told}
    assert "speed_lost" in {rule.key for rule in found.looked_at}


def test_mishits_count_for_themselves() -> None:
    student = plain()
    student.mishits = 0.3
    found = looked(student)
    assert found.n_mishits == 5
    assert key_list(found.found)[0] == "mishits"
    assert found.n_solid + found.n_mishits <= found.n_balls


def test_bias_is_told_from_spread() -> None:
    student = plain()
    student.middle[FACE] = np.radians(6.0)
    assert looked(student).miss.bias_share > 0.5
    assert looked(plain()).miss.bias_share < 0.5


def test_the_ball_alone_is_judged_by_its_own_numbers() -> None:
    student = plain()
    student.middle[FACE] = np.radians(7.0)
    read = baseline(student, 16, np.random.default_rng(2), strike_read=True)
    names = (
        "ball_speed_mps", "launch_angle_rad", "launch_direction_rad", "spin_rate_radps",
        "spin_axis_rad",
    )  # fmt: skip
    found = find(block_of({name: read[name] for name in names}, club("driver")))
    assert "start_off" in key_list(found.found)
    assert not {"face_off", "path_off"} & set(key_list(found.found))


def test_an_iron_is_not_judged_as_a_driver() -> None:
    keys = {rule.key for rule in looked(plain("iron7")).looked_at}
    assert {"low_point_back", "too_steep"} <= keys
    assert not {"driver_down", "loft_low", "strike_height"} & keys


def test_a_low_point_that_was_read_is_taken_before_the_attack_angle() -> None:
    read = baseline(plain("iron7"), 14, np.random.default_rng(4), strike_read=True)
    behind = {**read, "low_point_m": np.random.default_rng(5).normal(-0.04, 0.012, 14)}
    assert key_list(find(block_of(behind, club("iron7"))).found)[0] == "low_point_back"


def test_what_is_told_is_likely_and_worth_telling() -> None:
    rng = np.random.default_rng(8)
    for fault in FAULTS.values():
        found = find(block(student_with(fault, rng), strike_read=fault.strike_read))
        severities = [one.severity_m for one in found.found]
        assert severities == sorted(severities, reverse=True)
        for one in found.found:
            assert STANDS_FROM <= one.odds <= 1.0
            assert one.severity_m >= STANDS_FROM * WORTH_M


def test_few_balls_are_refused() -> None:
    with pytest.raises(InputError, match="There are 4 balls; what limits a student is looked for"):
        block(plain(), n=4)


def test_a_goal_of_another_club_is_refused() -> None:
    student = plain("iron7")
    student.goal = 60.0
    with pytest.raises(InputError, match="with this club; the usual ball has"):
        block(student)


def test_the_same_balls_give_the_same_answer() -> None:
    student = student_with(FAULTS["face_spread"], np.random.default_rng(1))
    one, other = find(block(student)), find(block(student))
    assert [(f.odds, f.carry) for f in one.found] == [(f.odds, f.carry) for f in other.found]


@pytest.mark.parametrize(("apart", "two"), [(0.0, False), (2.0, False), (9.0, True)])
def test_two_groups_are_told_from_one(apart: float, *, two: bool) -> None:
    rng = np.random.default_rng(6)
    told = []
    for _ in range(40):
        values = rng.normal(size=16) + apart * (np.arange(16) % 2)
        told.append(two_groups(values, 0.3).odds > STANDS_FROM)
    assert np.mean(told) > 0.9 if two else np.mean(told) < 0.1


def test_a_few_strays_are_no_second_group() -> None:
    values = np.concatenate([np.random.default_rng(1).normal(size=14), [12.0, 13.0]])
    assert two_groups(values, 0.3).odds == 0.0


def test_every_rule_names_a_measure_and_a_repair_that_are_there() -> None:
    assert len(rules()) >= 12
    for rule in rules().values():
        assert rule.measure in MEASURES
        assert rule.repair in REPAIR_NAMES


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (("unit", '"deg"', '"furlong"'), "unit of the finding 'mine' is 'furlong'"),
        (("statistic", '"mean"', '"mode"'), "statistic of the finding 'mine' is 'mode'"),
        (("covers", "[]", '["nothing"]'), "names 'nothing', which is not there"),
        (("fault_from", "3", '"much"'), "fault_from of the finding 'mine' is 'much'"),
        (("fault_from", "3", "{ driver = 3 }"), "has no number for other clubs"),
        (("title", "", '"x"'), "has a field 'title' that is not known"),
    ],
)
def test_a_rule_that_is_off_is_said_with_its_field(change: tuple[str, str, str], said: str) -> None:
    field, _, value = change
    fields = {**_MINE, field: value}
    text = "[mine]\n" + "\n".join(f"{key} = {one}" for key, one in fields.items())
    with pytest.raises(InputError, match=said):
        rules_from(text)


_MINE = {
    "name": '"n"', "statistic": '"mean"', "measure": '"face"', "unit": '"deg"', "costs": '"both"',
    "fault_from": "3", "repair": '"face"', "covers": "[]", "said_more": '"s"', "why": '"w"',
    "confirm": '"c"', "refute": '"r"', "axis": '"a"', "low_word": '"l"', "high_word": '"h"',
    "source": '"common practice, no source"',
}  # fmt: skip


def test_the_rule_of_the_test_is_good() -> None:
    text = "[mine]\n" + "\n".join(f"{key} = {one}" for key, one in _MINE.items())
    assert rules_from(text)["mine"].fault_from["other"] == pytest.approx(np.radians(3.0))


def test_a_sound_student_is_planted_without_a_fault() -> None:
    student = student_with(SOUND, np.random.default_rng(1))
    assert student.mishits == 0.0
    assert student.groups_rad == 0.0
