"""The bands behind the doubts: held against ball flight, and against every wrong unit."""

import math

import numpy as np
import pytest

from leadfoot.physics.flight import fly
from leadfoot.physics.launch import Launch
from leadfoot.quantities import ClubClass, glossary
from leadfoot.shots.ranges import carry_fits, clubs_of, impossible, share_plausible, usual_units

LAUNCHES: list[tuple[ClubClass, float, float, float]] = [
    ("driver", 45.0, 15.0, 3200.0),
    ("driver", 55.0, 14.0, 2900.0),
    ("driver", 65.0, 12.0, 2600.0),
    ("driver", 75.0, 11.0, 2500.0),
    ("driver", 85.0, 11.0, 2300.0),
    ("wood", 50.0, 13.0, 3600.0),
    ("wood", 65.0, 10.0, 3600.0),
    ("hybrid", 45.0, 15.0, 4400.0),
    ("hybrid", 58.0, 12.0, 4400.0),
    ("iron", 35.0, 20.0, 5200.0),
    ("iron", 45.0, 18.0, 6000.0),
    ("iron", 54.0, 16.5, 6900.0),
    ("wedge", 15.0, 32.0, 4000.0),
    ("wedge", 25.0, 30.0, 6500.0),
    ("wedge", 35.0, 28.0, 9000.0),
    ("wedge", 45.0, 24.5, 9300.0),
]
"""Class, ball speed [m/s], launch angle [deg], spin [rpm] of usual full swings and pitches.
Common practice, no source; the carry comes from the flight model, whose air is published."""


def carry_of(ball_speed_mps: float, launch_deg: float, spin_rpm: float) -> float:
    launch = Launch(
        ball_speed_mps=ball_speed_mps,
        launch_angle_rad=math.radians(launch_deg),
        spin_rate_radps=spin_rpm * math.pi / 30,
    )
    return fly(launch).carry_m


@pytest.mark.parametrize(("club", "ball_speed_mps", "launch_deg", "spin_rpm"), LAUNCHES)
def test_the_carry_of_a_usual_shot_fits_its_ball_speed(
    club: ClubClass, ball_speed_mps: float, launch_deg: float, spin_rpm: float
) -> None:
    carry_m = carry_of(ball_speed_mps, launch_deg, spin_rpm)
    assert carry_fits(carry_m, ball_speed_mps, club)
    assert carry_fits(carry_m, ball_speed_mps, None)
    assert carry_fits(0.9 * carry_m, ball_speed_mps, club)  # a block with its poor shots
    assert carry_fits(carry_m * 0.9144, ball_speed_mps, club)  # yards read as metres can't be told


FULL = [row for row in LAUNCHES if row[0] != "wedge"]


@pytest.mark.parametrize(("club", "ball_speed_mps", "launch_deg", "spin_rpm"), FULL)
def test_a_ball_speed_in_a_wrong_unit_does_not_fit_its_carry(
    club: ClubClass, ball_speed_mps: float, launch_deg: float, spin_rpm: float
) -> None:
    carry_m = carry_of(ball_speed_mps, launch_deg, spin_rpm)
    assert not carry_fits(carry_m, ball_speed_mps * 1.609344, club)  # km/h read as mph
    assert not carry_fits(carry_m, ball_speed_mps / 1.609344, club)
    assert not carry_fits(carry_m, ball_speed_mps * 0.44704, club)  # m/s read as mph
    assert not carry_fits(carry_m * 0.3048, ball_speed_mps, club)  # yards read as feet, nearly
    assert not carry_fits(carry_m * 3.0, ball_speed_mps, club)  # feet read as yards


def test_no_carry_beats_a_throw_without_air_twice() -> None:
    """With lift a ball outdoes the vacuum's v²/g only at low speed; the band stays below it."""
    for speed in np.linspace(35.0, 110.0, 20):
        assert not carry_fits(speed**2 / 9.80665 * 1.3, float(speed), None)


@pytest.mark.parametrize(
    ("median", "club", "units"),
    [(95.0, "driver", ["mph"]), (153.0, "driver", ["km/h"]), (42.5, "driver", ["m/s"])],
)
def test_usual_speeds_tell_their_unit(median: float, club: str, units: list[str]) -> None:
    values = np.array([median - 1, median, median + 1])
    assert usual_units(values, "club_speed", clubs_of([club] * 3)) == units


def test_every_plausible_value_is_possible() -> None:
    for key, quantity in glossary().items():
        for low, high in quantity.plausible.values():
            inside = np.array([high, max(low, 0.01) if low >= 0 else low])
            assert impossible(inside, quantity.unit, key) == {}, key


def test_shares_are_counted_by_the_class_of_each_shot() -> None:
    values = np.array([140.0, 140.0, math.nan])
    clubs = clubs_of(["driver", "wedge", None])
    assert share_plausible(values, "mph", "club_speed", clubs) == 0.5
    assert share_plausible(np.array([math.nan]), "mph", "club_speed", clubs_of([None])) == 1.0
