"""No number that is none reaches a loop: each record refuses it, and says which value it was."""

import dataclasses
import math
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.errors import OutOfRangeError
from leadfoot.physics import flight
from leadfoot.physics.air import Air
from leadfoot.physics.arc import Arc
from leadfoot.physics.ball import Ball
from leadfoot.physics.best import best_loft
from leadfoot.physics.bounce import TURF_RANGES, Turf
from leadfoot.physics.clubs import CLUB_RANGES, Restitution, club
from leadfoot.physics.conditions import Conditions
from leadfoot.physics.delivery import DELIVERY_RANGES, Delivery
from leadfoot.physics.inverse import Known
from leadfoot.physics.launch import LAUNCH_RANGES, Launch, Wind
from leadfoot.physics.lift import Lift
from leadfoot.physics.monitor import USUAL, MonitorErrors

NO_NUMBERS = (math.nan, math.inf, -math.inf)
LAUNCH = {"ball_speed_mps": 60.0, "launch_angle_rad": 0.2, "spin_rate_radps": 300.0}
SWING = {"club_speed_mps": 42.0, "dynamic_loft_rad": 0.3}
AIR = {"temperature_k": 290.0, "pressure_pa": 1e5}
RECORDS: dict[str, tuple[Callable[..., Any], dict[str, float], tuple[str, ...]]] = {
    "launch": (Launch, LAUNCH, tuple(LAUNCH_RANGES)),
    "delivery": (Delivery, SWING, tuple(DELIVERY_RANGES)),
    "wind": (Wind, {}, ("along_mps", "across_mps")),
    "air": (Air, AIR, ("temperature_k", "pressure_pa", "humidity_frac")),
    "conditions": (Conditions, {}, tuple(one.name for one in dataclasses.fields(Conditions))),
    "ball": (Ball, {}, tuple(one.name for one in dataclasses.fields(Ball))),
    "turf": (Turf, {}, tuple(TURF_RANGES)),
    "errors": (MonitorErrors, {}, tuple(one.name for one in dataclasses.fields(MonitorErrors))),
    "restitution": (Restitution, {"value": 0.8}, ("value", "at_mps", "slope_per_mps")),
    "arc": (
        Arc,
        {"radius_m": 1.6, "plane_rad": 1.0, "low_point_m": 0.05},
        ("radius_m", "plane_rad", "low_point_m"),
    ),
    "lift": (Lift, {"height_m": 0.06}, ("height_m", "duration_s", "lead_s")),
}
CASES = [(record, field) for record, (_, _, fields) in RECORDS.items() for field in fields]


@pytest.mark.parametrize("value", NO_NUMBERS)
@pytest.mark.parametrize(("record", "field"), CASES, ids=[f"{r}-{f}" for r, f in CASES])
def test_what_is_no_number_is_refused_with_its_value(record: str, field: str, value: float) -> None:
    make, sane, _ = RECORDS[record]
    make(**sane)
    with pytest.raises(OutOfRangeError) as refused:
        make(**{**sane, field: value})
    assert f" {value:g}" in str(refused.value)
    assert field.partition("_")[0] in str(refused.value).lower()


@pytest.mark.parametrize(
    ("field", "value"),
    [
        (field, value)
        for field in ("head_mass_kg", "friction", *CLUB_RANGES)
        for value in NO_NUMBERS
        if CLUB_RANGES.get(field, (0.0, 0.0))[1] != value  # a flat face has an infinite radius
    ],
)
def test_a_club_refuses_it_too(field: str, value: float) -> None:
    change: dict[str, Any] = {field: value}
    with pytest.raises(OutOfRangeError, match=f"{value:g}"):
        dataclasses.replace(club("iron7"), **change)


@pytest.mark.parametrize("name", ["strike_heel_toe_sd_m", "attack_middle_rad", "path_sd_rad"])
def test_a_usual_swing_refuses_it_too(name: str) -> None:
    with pytest.raises(OutOfRangeError, match="nan"):
        dataclasses.replace(USUAL["iron"], **{name: math.nan})


@pytest.mark.parametrize("name", list(DELIVERY_RANGES))
def test_what_is_known_may_be_missing_but_not_endless(name: str) -> None:
    Known(**{name: math.nan})
    with pytest.raises(OutOfRangeError, match="inf"):
        Known(**{name: math.inf})


@given(
    st.one_of(st.floats(max_value=0.0), st.sampled_from(NO_NUMBERS)),
    st.one_of(st.floats(max_value=-1e-9), st.sampled_from(NO_NUMBERS)),
)
def test_no_ball_without_speed_or_with_negative_spin(speed: float, spin: float) -> None:
    with pytest.raises(OutOfRangeError, match=r"Ball speed is .*a ball can be flown from 0\.1"):
        Launch(**{**LAUNCH, "ball_speed_mps": speed})
    with pytest.raises(OutOfRangeError, match=r"Spin rate is .*a ball can be flown from 0 to"):
        Launch(**{**LAUNCH, "spin_rate_radps": spin})
    with pytest.raises(OutOfRangeError, match=r"Club speed is .*the impact model takes 0\.1"):
        Delivery(**{**SWING, "club_speed_mps": speed})
    with pytest.raises(OutOfRangeError, match="Club speed is"):
        best_loft(speed, 0.0, club("driver"))


@pytest.mark.parametrize("value", [*NO_NUMBERS, 101.0, -101.0])
def test_a_landing_that_is_no_height_never_reaches_the_loop(
    value: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    def entered(*_: object, **__: object) -> None:
        raise AssertionError("the loop was entered")

    monkeypatch.setattr(flight, "_fly", entered)
    with pytest.raises(OutOfRangeError, match=f"Landing height is {value:g} m"):
        flight.fly(Launch(**LAUNCH), landing_height_m=value)


@pytest.mark.parametrize(
    ("make", "text"),
    [
        (
            lambda: Turf(friction=-1.0),
            "Friction is -1; a turf takes 0 to 2. Check the value and its unit.",
        ),
        (
            lambda: Turf(bobble_per_m=0.0),
            "Bobble is 0 1/m; a turf takes 1e-06 to 10 1/m. Check the value and its unit.",
        ),
        (
            lambda: MonitorErrors(spin_rate_share=-0.1),
            "Spin rate share is -0.1; a monitor takes 1e-12 to 1000. Check the value and its unit.",
        ),
        (
            lambda: Restitution(value=1.2),
            "Value is 1.2; a restitution takes 0 to 1. Check the value and its unit.",
        ),
        (
            lambda: dataclasses.replace(club("driver"), com_depth_m=38.0),
            "Com depth is 38 m; the club 'driver' takes -0.1 to 0.1 m. "
            "Check the value and its unit.",
        ),
    ],
)
def test_the_words_of_a_refusal(make: Callable[[], Any], text: str) -> None:
    with pytest.raises(OutOfRangeError) as refused:
        make()
    assert str(refused.value) == text
