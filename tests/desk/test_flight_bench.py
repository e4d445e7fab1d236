"""The flight bench: mirror images, which change moved the ball, and where a lesson begins."""

from dataclasses import replace
from types import MappingProxyType
from unittest.mock import patch

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leadfoot.desk import lesson as deeds
from leadfoot.desk.bench_parts import changed, parts
from leadfoot.desk.bench_start import lesson_start
from leadfoot.desk.desk import Desk
from leadfoot.desk.flight_bench import (
    BESIDE_THE_FACE,
    SLID,
    Bench,
    bench_flight,
    usual_bench,
)
from leadfoot.desk.records import NewShot, Role
from leadfoot.physics.air import STANDARD_AIR
from leadfoot.physics.clubs import clubs
from leadfoot.physics.flight import fly
from leadfoot.physics.impact import strike
from leadfoot.shots.shot import Reading

_SIDES = ("launch_direction", "spin_axis", "offline")
small = st.floats(-0.15, 0.15)


@given(path=small, face=small, toe=st.floats(-0.03, 0.03), across=st.floats(-10.0, 10.0))
@settings(max_examples=20)
def test_a_left_hander_is_the_mirror_image(
    path: float, face: float, toe: float, across: float
) -> None:
    right = usual_bench("iron7").having(
        club_path_rad=path, face_angle_rad=face, strike_heel_toe_m=toe, wind_across_mps=across
    )
    left = replace(right, hand="left").having(
        club_path_rad=-path, face_angle_rad=-face, wind_across_mps=-across
    )
    seen, mirrored = bench_flight(right).numbers, bench_flight(left).numbers
    for key, value in seen.items():
        sign = -1.0 if key in _SIDES else 1.0
        assert mirrored[key] == pytest.approx(sign * value, rel=1e-9, abs=1e-9), key


def test_flights_kept_from_before_the_loop_was_ready_are_flown_anew() -> None:
    bench = usual_bench("iron7").having(club_path_rad=0.0123)
    found = []
    for ready in (False, True, True, False):
        with (
            patch("leadfoot.desk.flight_bench.use_loop", return_value=ready),
            patch("leadfoot.physics.flight.many.use_loop", return_value=False),
        ):
            found.append(bench_flight(bench))
    assert found[1] is found[2]
    assert found[0] is found[3]
    assert found[0] is not found[1]


def test_from_the_middle_the_hand_changes_nothing() -> None:
    right = usual_bench("driver").having(face_angle_rad=0.03, club_path_rad=-0.02)
    assert bench_flight(right).numbers == bench_flight(replace(right, hand="left")).numbers


def test_the_bench_strikes_and_flies_as_the_models_do() -> None:
    bench = usual_bench("driver").having(face_angle_rad=0.02)
    launch = strike(bench.delivery, bench.club)
    found = bench_flight(bench)
    assert found.launch == launch
    assert found.flight.carry_m == fly(launch).carry_m
    assert found.flight.path is not None
    assert found.flight.path.x_m[-1] == pytest.approx(found.flight.carry_m, abs=0.02)


def test_still_air_at_the_sea_is_the_standard_air() -> None:
    assert usual_bench("driver").weather.air == STANDARD_AIR


@pytest.mark.parametrize("key", list(clubs()))
def test_the_usual_swing_of_every_club_flies_straight(key: str) -> None:
    numbers = bench_flight(usual_bench(key)).numbers
    assert numbers["carry"] > 50.0
    assert numbers["offline"] == pytest.approx(0.0, abs=1e-9)


def test_longer_clubs_carry_farther() -> None:
    # Common practice, no source: from the 3 wood to the lob wedge each club carries less.
    carries = [bench_flight(usual_bench(key)).flight.carry_m for key in clubs()]
    assert carries == sorted(carries, reverse=True)


def test_what_the_models_do_not_know_is_flagged() -> None:
    assert (
        BESIDE_THE_FACE in bench_flight(usual_bench("iron7").having(strike_heel_toe_m=0.039)).flags
    )
    assert SLID in bench_flight(usual_bench("lob_wedge").having(dynamic_loft_rad=1.25)).flags
    assert (
        "lands at once"
        in bench_flight(
            usual_bench("driver").having(dynamic_loft_rad=0.0, attack_angle_rad=-0.2)
        ).flags
    )


def test_one_change_owns_the_whole_difference() -> None:
    before = usual_bench("iron7")
    now = before.having(face_angle_rad=0.05)
    (only,) = parts(before, now)
    assert only.name == "face_angle_rad"
    whole = bench_flight(now).flight.offline_m - bench_flight(before).flight.offline_m
    assert only.offline_m == whole
    assert only.offline_m > 5.0


def test_each_of_several_changes_counts_by_itself() -> None:
    before = usual_bench("driver")
    now = before.having(
        club_speed_mps=45.0, face_angle_rad=0.03, altitude_m=1500.0, wind_across_mps=3.0
    )
    found = {part.name: part for part in parts(before, now)}
    assert set(found) == {"club_speed_mps", "face_angle_rad", "air", "wind_across_mps"}
    for name, one in (
        ("club_speed_mps", before.having(club_speed_mps=45.0)),
        ("face_angle_rad", before.having(face_angle_rad=0.03)),
        ("air", before.having(altitude_m=1500.0)),
        ("wind_across_mps", before.having(wind_across_mps=3.0)),
    ):
        alone = bench_flight(one).flight.carry_m - bench_flight(before).flight.carry_m
        assert found[name].carry_m == pytest.approx(alone, abs=0.01)


def test_another_club_brings_its_swing_along() -> None:
    before, now = usual_bench("driver"), usual_bench("iron7").having(face_angle_rad=0.02)
    assert changed(before, now) == ("club", "face_angle_rad")
    assert parts(before, now)[0].name == "club"


def test_nothing_changed_has_no_parts() -> None:
    assert parts(usual_bench("driver"), usual_bench("driver")) == ()


def _lesson(desk: Desk, club: str, values: dict[Role, list[dict[str, float]]]) -> int:
    student = desk.book.add_student(
        name="Lea Invented", hand="left", goals="", cautions="", invented=True, at=desk.clock()
    )
    lesson = deeds.add_lesson(desk, student.id, club=club)
    units = {"club_speed": "mph", "face_angle": "deg", "carry": "yd"}
    for role, balls in values.items():
        block = desk.book.add_block(lesson.id, label=role, role=role)
        for one in balls:
            readings = {key: Reading(value=value, unit=units[key]) for key, value in one.items()}
            shot = NewShot(club=club, values=MappingProxyType(readings))
            desk.book.add_shot(block.id, shot, at=desk.clock())
    return lesson.id


def test_a_lesson_begins_with_the_medians_of_what_both_sides_have(desk: Desk) -> None:
    speeds = [80.0, 82.0, 81.0, 120.0, 79.0]
    number = _lesson(
        desk,
        "7i",
        {
            "before": [{"club_speed": v, "carry": 150.0, "face_angle": 1.0} for v in speeds],
            "with_change": [{"club_speed": v + 3.0, "carry": 155.0} for v in speeds],
        },
    )
    left_out = desk.book.shots(number)[3]
    desk.book.leave_out(left_out.id, reason="a bird")
    start = lesson_start(deeds.lesson_view(desk, number))
    assert start is not None
    assert start.club_key == "iron7"
    assert start.speed_unit == "mph"
    assert (start.n_before, start.n_after) == (4, 5)
    assert start.before == {"club_speed_mps": pytest.approx(np.median([80, 82, 81, 79]) * 0.44704)}
    assert start.after == {"club_speed_mps": pytest.approx(84.0 * 0.44704)}


@pytest.mark.parametrize(
    ("club", "key"), [("7i", "carry"), ("the long one", "club_speed")], ids=["no speed", "no club"]
)
def test_without_speed_or_a_known_club_there_is_no_start(desk: Desk, club: str, key: str) -> None:
    balls = [{key: 90.0 + n} for n in range(5)]
    number = _lesson(desk, club, {"before": balls, "with_change": balls})
    assert lesson_start(deeds.lesson_view(desk, number)) is None


def test_an_empty_lesson_has_no_start(desk: Desk) -> None:
    assert lesson_start(deeds.lesson_view(desk, _lesson(desk, "driver", {}))) is None


def test_a_bench_is_a_key_of_its_flight() -> None:
    bench = usual_bench("driver")
    assert isinstance(bench, Bench)
    assert bench_flight(bench) is bench_flight(usual_bench("driver"))
