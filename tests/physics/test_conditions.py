"""Conditions, landing heights, gradients, and the spread between models."""

import math

import numpy as np
import pytest

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.physics import many
from leadfoot.physics.air import STANDARD_AIR, Air
from leadfoot.physics.ball import AIR_MODELS
from leadfoot.physics.conditions import STUDIO, Conditions
from leadfoot.physics.flight import Launch, Wind, fly, fly_many
from leadfoot.physics.gradient import INPUTS, gradients
from leadfoot.physics.spread import model_spread
from tests.kernels.test_flight_kernel import given

DRIVE = Launch(ball_speed_mps=70.0, launch_angle_rad=0.2, spin_rate_radps=270.0)
IRON = Launch(ball_speed_mps=50.0, launch_angle_rad=math.radians(18), spin_rate_radps=680.68)


def test_conditions_are_air_and_wind() -> None:
    windy = Conditions(temperature_k=300.0, altitude_m=1_000.0, wind_along_mps=3.0)
    apart = fly(DRIVE, air=windy.air, wind=windy.wind)
    assert fly(DRIVE, conditions=windy).carry_m == apart.carry_m
    assert fly(DRIVE).carry_m == fly(DRIVE, air=STANDARD_AIR, wind=Wind()).carry_m
    assert STUDIO.air == STANDARD_AIR
    assert Conditions(pressure_pa=90_000.0).air == Air(pressure_pa=90_000.0, humidity_frac=0.5)


def test_pressure_and_altitude_together_are_refused() -> None:
    with pytest.raises(InputError) as refused:
        Conditions(pressure_pa=90_000.0, altitude_m=500.0)
    assert str(refused.value) == (
        "Conditions have a pressure (90000 Pa) and an altitude (500 m); one follows from the "
        "other. Give the pressure alone where a barometer shows it, else the altitude."
    )


@pytest.mark.parametrize("numpy_alone", [False, True])
def test_a_landing_that_cannot_be_reached(
    numpy_alone: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    if numpy_alone:
        monkeypatch.setattr(many, "use_loop", lambda *_, **__: False)
    top_m = fly(IRON).apex_m
    assert fly(IRON, landing_height_m=top_m - 0.5).carry_m < fly(IRON).carry_m
    assert fly(IRON, landing_height_m=-20.0).carry_m > fly(IRON).carry_m
    with pytest.raises(InputError) as refused:
        fly(IRON, landing_height_m=60.0)
    assert str(refused.value) == (
        "A ball of 50 m/s and 680.68 rad/s never comes up to a landing 60 m above the tee. "
        "Check the height, or take more club."
    )
    flights = fly_many(50.0, 0.31416, 680.68, landing_height_m=[0.0, 60.0, -5.0])
    assert flights.flags_of(1) == ("never came up to the landing",)
    assert np.isnan(flights.carry_m).tolist() == [False, True, False]


@pytest.mark.parametrize("height", [math.nan, 101.0])
def test_a_landing_too_far_off_is_refused(height: float) -> None:
    with pytest.raises(OutOfRangeError, match="a landing lies within 100 m above or below the tee"):
        fly(DRIVE, landing_height_m=height)


def test_a_level_ball_from_a_raised_tee_flies() -> None:
    level = Launch(ball_speed_mps=40.0, launch_angle_rad=0.0, spin_rate_radps=300.0)
    flight = fly(level, landing_height_m=-10.0, path=True)
    assert flight.carry_m > 40.0
    assert flight.path is not None
    assert flight.path.y_m[-1] == pytest.approx(-10.0, abs=1e-6)


@pytest.mark.parametrize("model", list(AIR_MODELS))
@pytest.mark.parametrize("windy", [False, True])
def test_numpy_and_the_loop_fly_alike(
    model: str, windy: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    rows = given(60, 31, "narrow", windy=windy)
    rows[7, :30] = -12.0
    speed, angle, direction, spin, tilt, along, across, landing = rows

    def flights() -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
        found = fly_many(
            speed,
            angle,
            spin,
            direction,
            tilt,
            wind_along_mps=along,
            wind_across_mps=across,
            landing_height_m=landing,
            model=AIR_MODELS[model],
        )
        return np.stack([found.carry_m, found.offline_m, found.apex_m, found.hang_time_s])

    monkeypatch.setattr(many, "use_loop", lambda *_, **__: True)
    loop = flights()
    monkeypatch.setattr(many, "use_loop", lambda *_, **__: False)
    np.testing.assert_allclose(loop, flights(), atol=0.012)


def test_gradients_are_slopes() -> None:
    rows = given(5, 41, "narrow", windy=True)
    names = [*list(INPUTS)]
    rates = gradients(dict(zip(names, rows[:7], strict=True)))
    wide = {name: 3.0 * half for name, half in INPUTS.items()}
    for k, name in enumerate(names):
        up, down = rows[:7].copy(), rows[:7].copy()
        up[k] += wide[name]
        down[k] -= wide[name]
        above = fly_many(**dict(zip(names, up, strict=True))).carry_m
        below = fly_many(**dict(zip(names, down, strict=True))).carry_m
        slope = (above - below) / (2.0 * wide[name])
        size = 1.0 / (2.0 * INPUTS[name])
        np.testing.assert_allclose(rates[name].carry_m, slope, rtol=0.02, atol=0.02 * size)


def test_the_spread_of_a_driver_is_small_and_of_an_iron_large() -> None:
    # source: ref_table: the sheet's own flights of three models
    drive = Launch(ball_speed_mps=60.0, launch_angle_rad=math.radians(12), spin_rate_radps=314.16)
    assert model_spread(drive).carry_frac < 0.03
    assert 0.10 < model_spread(IRON).carry_frac < 0.16
    assert len(model_spread(IRON).flights) == 3
