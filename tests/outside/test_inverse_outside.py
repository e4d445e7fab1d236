"""The inverse and the optimum against worked examples, closed forms and practice."""

import dataclasses
import math

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from leadfoot.physics.ball import Ball
from leadfoot.physics.best import Surroundings, best_loft
from leadfoot.physics.clubs import Club, Restitution, club
from leadfoot.physics.delivery import Delivery
from leadfoot.physics.impact import strike
from leadfoot.physics.inverse import Known, explain, explain_many
from leadfoot.physics.launch import Launch
from leadfoot.physics.monitor import MonitorErrors
from tests.outside.checks import Row, against, each

RPM = math.pi / 30.0
MPH = 0.44704
MIDDLE = Known(strike_heel_toe_m=0.0, strike_high_low_m=0.0)
EXACT = MonitorErrors(strike_sd_m=1e-9)


def plain_head(mass_kg: float, restitution: Restitution) -> Club:
    return Club(
        name="test head",
        club_class="driver",
        head_mass_kg=mass_kg,
        loft_rad=0.0,
        restitution=restitution,
    )


@against(model="impact backward", table="impact_cases")
@each("impact_cases")
def test_vector_cases_backward(row: Row) -> None:
    launch = Launch(
        ball_speed_mps=row["ball_speed_mps"],
        launch_angle_rad=math.radians(row["launch_angle_deg"]),
        launch_direction_rad=math.radians(row["launch_direction_deg"]),
        spin_rate_radps=row["spin_rate_rpm"] * RPM,
        spin_axis_rad=math.radians(row["spin_axis_deg"]),
    )
    head = plain_head(row["head_mass_kg"], Restitution(value=row["restitution"], slope_per_mps=0.0))
    found = explain(launch, head, known=MIDDLE, errors=EXACT).delivery
    assert found is not None
    assert found.club_speed_mps == pytest.approx(row["club_speed_mps"], rel=0.001)
    # The ball is printed to 0.01 deg and 1 rpm; the face lies some four times nearer to it than
    # the path does, so the path is back to 0.1 deg and the face to 0.02.
    for name, tolerance_deg in (
        ("attack_angle", 0.1),
        ("club_path", 0.1),
        ("face_angle", 0.02),
        ("dynamic_loft", 0.02),
    ):
        angle = math.degrees(getattr(found, f"{name}_rad"))
        assert angle == pytest.approx(row[f"{name}_deg"], abs=tolerance_deg), name


@against(model="impact backward", table="impact_planar")
@each("impact_planar")
def test_planar_cases_backward(row: Row) -> None:
    launch = Launch(
        ball_speed_mps=row["ball_speed_mps"],
        launch_angle_rad=math.radians(row["launch_angle_deg"]),
        spin_rate_radps=row["spin_rate_rpm"] * RPM,
    )
    wood = plain_head(0.2, Restitution(value=0.86, at_mps=0.0, slope_per_mps=-0.0029))
    ball = Ball(mass_kg=0.0459, diameter_m=0.04268)
    found = explain(launch, wood, known=MIDDLE, errors=EXACT, ball=ball).delivery
    assert found is not None
    assert found.club_speed_mps == pytest.approx(row["club_speed_mps"], rel=0.001)
    assert math.degrees(found.dynamic_loft_rad) == pytest.approx(row["dynamic_loft_deg"], abs=0.02)
    assert math.degrees(found.attack_angle_rad) == pytest.approx(0.0, abs=0.05)


@against("impulse", model="impact backward")
def test_spin_shows_how_far_the_push_leans() -> None:
    # source: impulse: one push at one place gives a sphere v and ω with r ω / (2.5 v) = sin of the
    # angle between push and normal, whatever the club: read off the launch without any model
    launch = Launch(ball_speed_mps=50.0, launch_angle_rad=0.35, spin_rate_radps=600.0)
    lean = math.asin(0.021335 * 600.0 / (2.5 * 50.0))
    for key in ("iron5", "iron9"):
        found = explain(launch, club(key)).delivery
        assert found is not None
        assert found.dynamic_loft_rad == pytest.approx(0.35 + lean, abs=1e-9)


@against("vacuum", "penner2001", model="flight")
def test_best_loft_without_air_is_that_of_the_closed_form() -> None:
    # source: vacuum, penner2001: range v² sin(2φ) / g with v and φ of his planar impact; another
    # program, scipy 1.15 minimize_scalar (bounded), finds the loft
    ratio, e = 0.04593 / 0.2, 0.8

    def shorter(loft: float) -> float:
        across = (1.0 + e) * math.cos(loft) / (1.0 + ratio)
        along = math.sin(loft) / (3.5 + ratio)
        angle = loft - math.atan2(along, across)
        return -(across**2 + along**2) * math.sin(2.0 * angle)

    expected = minimize_scalar(shorter, bounds=(0.2, 1.2), method="bounded").x
    head = dataclasses.replace(
        plain_head(0.2, Restitution(value=e, slope_per_mps=0.0)),
        loft_rad=float(expected) + 0.05,
        friction=1.0,
    )
    airless = Surroundings(ball=Ball(drag_factor=0.0, lift_factor=0.0))
    best = best_loft(30.0, 0.0, head, around=airless)
    assert best.delivery.dynamic_loft_rad == pytest.approx(expected, abs=0.005)
    assert best.carry_m == pytest.approx(-(30.0**2) * shorter(expected) / 9.80665, rel=1e-4)


@against("erlichson1983", model="flight")
def test_lift_brings_the_best_loft_down_to_a_drivers() -> None:
    # source: erlichson1983: drivers have some 11 deg of loft though 45 deg goes farthest without
    # air; between 8 and 18 deg for all who swing at 85 to 125 mph
    for speed_mph in (85.0, 105.0, 125.0):
        best = best_loft(speed_mph * MPH, 0.0, club("driver"), goal="total")
        assert 8.0 < math.degrees(best.delivery.dynamic_loft_rad) < 18.0


@against("trade", model="impact backward")
def test_a_slice_reads_as_a_face_right_of_the_path() -> None:
    # source: trade: a ball that starts a little left and curves right was hit with a path left and
    # a face between path and target
    launch = strike(
        Delivery(
            club_speed_mps=42.0,
            dynamic_loft_rad=0.23,
            club_path_rad=math.radians(-6.0),
            face_angle_rad=math.radians(-1.0),
        ),
        club("driver"),
    )
    assert launch.launch_direction_rad < 0.0 < launch.spin_axis_rad
    found = explain_many(
        launch.ball_speed_mps,
        launch.launch_angle_rad,
        launch.spin_rate_radps,
        launch.launch_direction_rad,
        launch.spin_axis_rad,
        club=club("driver"),
        known=Known(club_speed_mps=42.0, attack_angle_rad=0.0, club_path_rad=math.radians(-6.0)),
    )
    face, path = found.delivery.face_angle_rad[0], found.delivery.club_path_rad[0]
    assert path < face < 0.0
    assert np.degrees(face) == pytest.approx(-1.0, abs=0.3)
