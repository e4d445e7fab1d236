"""The flight against closed forms, measured coefficients, and what others found."""

import math
from dataclasses import replace

import numpy as np
import pytest

from leadfoot.physics import many, motion
from leadfoot.physics.air import STANDARD_AIR, Air, pressure_pa_at
from leadfoot.physics.ball import (
    AIR_MODELS,
    DIAMETER_LIMIT_M,
    MASS_LIMIT_KG,
    REGRESSION,
    STANDARD_BALL,
    AirModel,
    Ball,
    regression_coefficients,
)
from leadfoot.physics.bounce import run_m
from leadfoot.physics.flight import Flight, Launch, Wind, fly
from leadfoot.physics.motion import GRAVITY_MPS2, Series
from leadfoot.physics.slow_drag import still_drag_coefficient
from tests.outside.checks import Row, against, each

RPM = math.pi / 30.0
YARD_M = 0.9144
MPH = 0.44704
EVERYWHERE = (-math.inf, math.inf)


def isa_air() -> Air:
    """Air of 288.15 K and 1.225 kg/m³ by CIPM-2007, as the regression values want it."""
    pressure = 101_325.0
    for _ in range(3):
        pressure *= 1.225 / Air(temperature_k=288.15, pressure_pa=pressure).density_kgm3
    return Air(temperature_k=288.15, pressure_pa=pressure)


def launch(speed_mps: float, angle_deg: float, spin_rpm: float) -> Launch:
    return Launch(
        ball_speed_mps=speed_mps,
        launch_angle_rad=math.radians(angle_deg),
        spin_rate_radps=spin_rpm * RPM,
    )


@against(model="flight", table="flight_table", check=(22, 23, 24))
@each("flight_table")
def test_regression_values(row: Row) -> None:
    start = launch(row["ball_speed_mps"], row["launch_angle_deg"], row["spin_rate_rpm"])
    flight = fly(start, air=isa_air(), model=AIR_MODELS[row.words["model"]])
    assert flight.carry_m == pytest.approx(row["carry_m"], rel=1e-3)
    assert flight.apex_m == pytest.approx(row["apex_m"], rel=1e-3)
    assert flight.hang_time_s == pytest.approx(row["hang_time_s"], rel=1e-3)
    angle = math.degrees(flight.landing_angle_rad)
    assert angle == pytest.approx(row["landing_angle_deg"], rel=1e-3)
    assert flight.landing_speed_mps == pytest.approx(row["landing_speed_mps"], rel=1e-3)
    assert flight.landing_spin_radps / RPM == pytest.approx(row["landing_spin_rpm"], rel=1e-3)


@against(model="ball", table="flight_coefficients", check=17)
@each("flight_coefficients")
def test_measured_coefficients(row: Row) -> None:
    drag, lift = regression_coefficients(
        np.array([row["spin_parameter"]]), np.array([row["reynolds"]])
    )
    assert row["drag_low"] <= drag[0] <= row["drag_high"]
    assert row["lift_low"] <= lift[0] <= row["lift_high"]


@against(model="flight", table="flight_range", check=25)
@each("flight_range")
def test_range_of_a_problem_set(row: Row) -> None:
    carry = fly(launch(58.0, row["launch_angle_deg"], 2000.0)).carry_m
    assert carry == pytest.approx(row["carry_m"], rel=0.05)


@against("ball_rules", "sphere_table", model="ball", check=(1, 2))
def test_ball_limits() -> None:
    # source: ball_rules (check 1), exact; sphere_table (check 2), tolerance set with the check
    assert (MASS_LIMIT_KG, DIAMETER_LIMIT_M) == (0.04593, 0.04267)
    assert STANDARD_BALL.inertia_kgm2 * 1e7 == pytest.approx(83.63, abs=0.05)


@against("vacuum", model="flight", check=19)
def test_without_air() -> None:
    # source: vacuum (check 19); tolerance: 10 mm; the solver does far better
    bare = Ball(drag_factor=0.0, lift_factor=0.0)
    flight = fly(launch(60.0, 12.0, 3000.0), ball=bare)
    assert flight.carry_m == pytest.approx(149.31, abs=0.01)
    exact = 60.0**2 * math.sin(math.radians(24.0)) / GRAVITY_MPS2
    assert flight.carry_m == pytest.approx(exact, abs=2e-3)
    assert flight.apex_m == pytest.approx((60 * math.sin(math.radians(12))) ** 2 / 2 / 9.80665)


@against("linear_model", model="flight", check=20)
def test_drag_and_lift_in_proportion_to_speed() -> None:
    # source: linear_model (check 20); tolerance: set with the check, before the code.
    # x'' = -(a x' + b y'), y'' = -g - (a y' - b x') is linear in speed and gravity together: the
    # case for g = 9.81 is ours with every speed and length scaled by the ratio of the two.
    air, ball = STANDARD_AIR, STANDARD_BALL
    per_reynolds = air.density_kgm3 * ball.diameter_m / air.viscosity_pas
    per_speed = 0.5 * air.density_kgm3 * ball.area_m2 / ball.mass_kg

    def linear(_: Series, reynolds: Series) -> tuple[Series, Series]:
        speed = reynolds / per_reynolds
        return 0.25 / (per_speed * speed), 0.20 / (per_speed * speed)

    model = AirModel(
        name="linear",
        coefficients=linear,
        spin_parameter_range=EVERYWHERE,
        reynolds_range=EVERYWHERE,
        source="closed form",
    )
    scale = GRAVITY_MPS2 / 9.81
    flight = fly(launch(60.0 * scale, 12.0, 3000.0), model=model)
    assert flight.carry_m / scale == pytest.approx(176.7960, abs=1e-3)
    assert flight.hang_time_s == pytest.approx(6.27775, abs=1e-3)
    assert flight.apex_m / scale == pytest.approx(22.7549, abs=1e-3)
    assert math.degrees(flight.landing_angle_rad) == pytest.approx(43.501, abs=1e-2)


@against("nathan_spin", model="ball", check=15)
def test_spin_decays_as_filmed() -> None:
    # source: nathan_spin (check 15): 23.8 ± 0.1 s at 100 mph, here over the first hundredth of it
    radius, decay, speed = STANDARD_BALL.radius_m, 2.0e-5, 100.0 * MPH
    assert radius / (decay * speed) == pytest.approx(23.8, abs=0.1)
    short = fly(launch(speed, 0.3, 2500.0), ball=Ball(drag_factor=0.0, lift_factor=0.0))
    lost = 1.0 - short.landing_spin_radps / (2500.0 * RPM)
    assert short.hang_time_s / lost == pytest.approx(23.8, rel=0.005)


@against("penner2001", "ref_table", model="flight", check=16)
def test_a_drive_keeps_most_of_its_spin() -> None:
    # source: penner2001 and ref_table (check 16): 75 to 83 % of the launch spin at landing
    flight = drive()
    assert 0.75 <= flight.landing_spin_radps / (2600.0 * RPM) <= 0.83


def drive(air: Air = STANDARD_AIR, along_mph: float = 0.0, across_mph: float = 0.0) -> Flight:
    wind = Wind(along_mps=along_mph * MPH, across_mps=across_mph * MPH)
    return fly(launch(70.0, 11.0, 2600.0), air=air, wind=wind)


@against("altitude_press", model="flight", check=26)
def test_a_mile_up_a_drive_carries_farther() -> None:
    # source: altitude_press (check 26): +6 ± 2 %; same temperature and humidity
    thin = Air(temperature_k=293.15, pressure_pa=pressure_pa_at(1609.344), humidity_frac=0.5)
    assert 0.04 <= drive(thin).carry_m / drive().carry_m - 1.0 <= 0.08


@against("wind_press", model="flight", check=27)
def test_a_head_wind_costs_more_than_a_tail_wind_gives() -> None:
    # source: wind_press and the spread between models (check 27): ratio 1.2 to 1.55
    loss = drive().carry_m - drive(along_mph=-10.0).carry_m
    gain = drive(along_mph=10.0).carry_m - drive().carry_m
    assert 1.2 <= loss / gain <= 1.55
    assert 13.8 <= loss / YARD_M <= 19.9  # spread between three models
    # The spread, 10.5 to 15.4 yd, is for wind that is the same at every height; wind that falls
    # toward the ground gives a little less.
    assert 10.0 <= gain / YARD_M <= 15.4


@against("wind_press", model="flight", check=28)
def test_a_cross_wind_moves_a_drive() -> None:
    # source: wind_press (check 28): 15 ± 3 yd
    assert drive(across_mph=10.0).offline_m / YARD_M == pytest.approx(15.0, abs=3.0)


@against("distance_standard", model="flight", check=(4, 5))
def test_the_distance_standard() -> None:
    # source: distance_standard (checks 4 and 5). With a ball as in the model (no multiplier) the
    # an independent solver gave 280.9 + 29.3 and 293.2 + 28.0 yd; the run is good to 30 %, and
    # the official limit of 317 + 3 yd is for the longest ball allowed.
    air = Air(temperature_k=297.04, pressure_pa=101_591.7, humidity_frac=0.5)
    present = fly(launch(78.68, 10.0, 2520.0), air=air)
    revised = fly(launch(81.81, 11.0, 2220.0), air=air)
    assert present.carry_m / YARD_M == pytest.approx(280.9, abs=0.2)
    assert revised.carry_m / YARD_M == pytest.approx(293.2, abs=0.2)
    assert (present.total_m - present.carry_m) / YARD_M == pytest.approx(29.3, rel=0.1)
    assert (revised.total_m - revised.carry_m) / YARD_M == pytest.approx(28.0, rel=0.1)
    longest = fly(launch(78.68, 10.0, 2520.0), air=air, ball=Ball(drag_factor=0.965))
    assert longest.total_m / YARD_M == pytest.approx(317.0, abs=3.0)
    assert (revised.total_m - present.total_m) / YARD_M == pytest.approx(13.0, abs=5.0)


@against("penner2001", model="flight", check=42)
@pytest.mark.parametrize("compiled", [False, True])
@pytest.mark.parametrize("along_mph", [0.0, -10.0])
def test_halving_the_step_changes_nothing(
    compiled: bool, along_mph: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    # source: penner2001 (check 42): under 0.1 yd. The steps in NumPy are halved; the compiled loop,
    # which has steps of its own, is held to the same halved flight.
    monkeypatch.setattr(many, "use_loop", lambda *_, **__: compiled)
    once = drive(along_mph=along_mph).carry_m
    monkeypatch.setattr(many, "use_loop", lambda *_, **__: False)
    for name in ("STEP_SHARE", "LONGEST_STEP_S", "WIND_STEP_SHARE"):
        monkeypatch.setattr(motion, name, 0.5 * getattr(motion, name))
    halved = drive(along_mph=along_mph).carry_m
    assert 0.0 < abs(halved - once) / YARD_M < 0.1


@against(model="ball", table="drag_without_spin", check=18)
@each("drag_without_spin")
def test_drag_of_a_slow_ball_that_does_not_spin(row: Row) -> None:
    drag = still_drag_coefficient(np.array([row["reynolds"]]))[0]
    assert abs(drag - row["expected"]) <= row["tolerance"]


@against("lyu2018", model="ball", check=18)
def test_the_default_has_the_drag_of_a_fast_ball_and_leaves_out_the_rise_of_a_slow_one() -> None:
    # source: lyu2018 (check 18): about 0.2 at Re 100,000 is met; about 0.5 at 50,000 is not: the
    # default says 0.22 there, and flags flights that fall under Re 60,000
    slow, fast = regression_coefficients(np.zeros(2), np.array([5e4, 1e5]))[0]
    assert fast == pytest.approx(0.2, abs=0.05)
    assert slow == pytest.approx(0.22, abs=0.01)
    assert REGRESSION.reynolds_range[0] > 5e4


@against(model="ball", table="drag_s_curve")
@each("drag_s_curve")
def test_drag_of_another_ball_in_a_wind_tunnel(row: Row) -> None:
    for reynolds in (1.3e5, 2.0e5):
        drag = regression_coefficients(np.array([row["spin_parameter"]]), np.array([reynolds]))[0]
        assert drag[0] == pytest.approx(row["drag"], abs=0.05)


SHOTS = {
    "driver": (70.0, 11.0, 2600.0),
    "iron": (53.0, 18.0, 6500.0),
    "wedge": (40.0, 28.0, 9000.0),
}


@against(model="flight", table="flight_surroundings")
@each("flight_surroundings")
def test_effects_of_air_and_tilt(row: Row) -> None:
    shot = launch(*SHOTS[row.words["shot"]])

    def carry_m(temperature_k: float, pressure_pa: float, humidity: float) -> float:
        air = Air(temperature_k=temperature_k, pressure_pa=pressure_pa, humidity_frac=humidity)
        return fly(shot, air=air).carry_m

    base = carry_m(293.15, 101_325.0, 0.5)
    change, _, degrees = row.words["change"].partition(" ")
    if change == "altitude":
        found = 100.0 * (carry_m(293.15, pressure_pa_at(1609.344), 0.5) / base - 1.0)
    elif change == "temperature":
        found = (carry_m(303.15, 101_325.0, 0.5) - base) / YARD_M
    elif change == "humidity":
        dry, wet = (carry_m(303.15, 101_325.0, humidity) for humidity in (0.0, 1.0))
        found = (wet - dry) / YARD_M
    else:
        tilted = fly(replace(shot, spin_axis_rad=math.radians(float(degrees))))
        found = 100.0 * tilted.offline_m / tilted.carry_m
    assert row["low"] <= found <= row["high"]


@against("ref_table", "smits_smith", model="ball")
def test_two_published_models_disagree_as_known() -> None:
    # source: ref_table, smits_smith: within 3 % for a driver, 137 to 157 m for a high-spin iron
    driver = [fly(launch(60, 12, 3000), model=m).carry_m for m in AIR_MODELS.values()]
    iron = [fly(launch(50, 18, 6500), model=m).carry_m for m in AIR_MODELS.values()]
    assert max(driver) / min(driver) < 1.03
    assert 1.10 < max(iron) / min(iron) < 1.16


@against("trade", model="bounce")
def test_run_of_a_drive() -> None:
    # source: trade: a drive runs 20 to 30 yd on medium turf; the model's run is good
    # to 30 % and stands at the upper end
    flight = drive()
    run = run_m(
        np.array([flight.landing_speed_mps * math.cos(flight.landing_angle_rad)]),
        np.array([flight.landing_speed_mps * math.sin(flight.landing_angle_rad)]),
        np.array([flight.landing_spin_radps]),
    )
    assert 20.0 <= run[0] / YARD_M <= 32.0
    assert run[0] == pytest.approx(flight.total_m - flight.carry_m)
