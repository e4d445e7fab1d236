"""The flight: against its slow twin, and what must hold for every ball."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.physics import integrate, many
from leadfoot.physics.air import STANDARD_AIR, Air
from leadfoot.physics.ball import Ball
from leadfoot.physics.flight import FLAGS, Flight, Launch, Wind, fly, fly_many
from leadfoot.physics.motion import GRAVITY_MPS2, Series
from tests.naive import flight as naive
from tests.physics.launches import RPM, anything, struck

NUMBERS = [
    field.name
    for field in dataclasses.fields(Flight)
    if field.name not in {"model", "flags", "path"}
]


def box(n: int, seed: int, *, wide: bool) -> list[Series]:
    """Launches and winds of the accuracy box: speed, angle, spin, direction, tilt, two winds."""
    rng = np.random.default_rng(seed)
    lows = [5, 0.5, 100, -5, -90, -12, -12] if wide else [40, 5, 1_500, -5, -25, -8, -8]
    highs = [90, 65, 12_000, 5, 90, 12, 12] if wide else [85, 35, 10_000, 5, 25, 8, 8]
    units = [1.0, math.radians(1), RPM, math.radians(1), math.radians(1), 1.0, 1.0]
    return [
        unit * rng.uniform(low, high, n) for low, high, unit in zip(lows, highs, units, strict=True)
    ]


@pytest.mark.parametrize("windy", [False, True])
@pytest.mark.parametrize("wide", [False, True])
def test_lands_where_its_slow_twin_lands(windy: bool, wide: bool) -> None:
    n = 40
    speed, angle, spin, direction, tilt, along, across = box(n, 20, wide=wide)
    if not windy:
        along, across = np.zeros(n), np.zeros(n)
    fast = fly_many(
        speed, angle, spin, direction, tilt, wind_along_mps=along, wind_across_mps=across
    )
    for k in range(n):
        slow = naive.fly(
            speed[k],
            angle[k],
            direction[k],
            spin[k],
            tilt[k],
            density_kgm3=STANDARD_AIR.density_kgm3,
            viscosity_pas=STANDARD_AIR.viscosity_pas,
            wind=(along[k], across[k]),
        )
        assert math.hypot(fast.carry_m[k] - slow.x_m, fast.offline_m[k] - slow.z_m) < 5e-3
        assert abs(fast.apex_m[k] - slow.apex_m) < 5e-3
        assert abs(fast.hang_time_s[k] - slow.time_s) < 1e-3
        assert abs(fast.landing_angle_rad[k] - slow.angle_rad) < math.radians(0.02)
        assert abs(fast.landing_speed_mps[k] - slow.speed_mps) < 1e-3
        assert fast.landing_spin_radps[k] == pytest.approx(slow.spin_radps, rel=1e-4)


@given(launch=anything(), along=st.floats(-30, 30), across=st.floats(-30, 30))
@settings(max_examples=60)
def test_anything_a_monitor_sends_gives_sane_numbers(
    launch: Launch, along: float, across: float
) -> None:
    flight = fly(launch, wind=Wind(along_mps=along, across_mps=across), path=True)
    for name in NUMBERS:
        assert math.isfinite(getattr(flight, name)), name
    assert 0.0 <= flight.hang_time_s <= integrate.LONGEST_FLIGHT_S
    assert flight.apex_m >= 0.0
    assert -math.pi / 2 <= flight.landing_angle_rad <= math.pi / 2
    assert 0.0 <= flight.landing_spin_radps <= launch.spin_rate_radps
    assert set(flight.flags) <= set(FLAGS)
    run = math.hypot(flight.total_m - flight.carry_m, flight.total_offline_m - flight.offline_m)
    assert run < 130.0
    assert flight.path is not None
    assert np.isfinite(flight.path.x_m).all()
    assert flight.path.x_m[-1] == pytest.approx(flight.carry_m, abs=1e-6)
    assert flight.path.y_m.min() >= 0.0
    assert flight.path.y_m.max() == pytest.approx(flight.apex_m, abs=0.02 + 0.01 * flight.apex_m)


@given(launch=anything())
@settings(max_examples=60)
def test_in_the_mirror(launch: Launch) -> None:
    other = dataclasses.replace(
        launch,
        launch_direction_rad=-launch.launch_direction_rad,
        spin_axis_rad=-launch.spin_axis_rad,
    )
    here = fly(launch, wind=Wind(along_mps=3.0, across_mps=2.0))
    there = fly(other, wind=Wind(along_mps=3.0, across_mps=-2.0))
    sign = {"offline_m": -1.0, "total_offline_m": -1.0}
    for name in NUMBERS:
        mirrored = sign.get(name, 1.0) * getattr(there, name)
        assert getattr(here, name) == pytest.approx(mirrored, rel=1e-9, abs=1e-9), name


@given(launch=struck())
@settings(max_examples=40)
def test_no_energy_comes_out_of_still_air(launch: Launch) -> None:
    path = fly(launch, path=True).path
    assert path is not None
    step = np.diff(path.time_s)
    speed = np.sqrt(sum((np.diff(way) / step) ** 2 for way in (path.x_m, path.y_m, path.z_m)))
    middle = 0.5 * (path.y_m[:-1] + path.y_m[1:])
    energy = 0.5 * speed**2 + GRAVITY_MPS2 * middle
    assert (np.diff(energy) < 1e-3 * energy[:-1]).all()
    assert energy[-1] < energy[0]
    assert energy[0] <= 0.5 * launch.ball_speed_mps**2 * (1.0 + 1e-9)


@given(launch=struck())
@settings(max_examples=40)
def test_a_faster_ball_carries_farther(launch: Launch) -> None:
    straight = dataclasses.replace(launch, launch_direction_rad=0.0, spin_axis_rad=0.0)
    faster = dataclasses.replace(straight, ball_speed_mps=straight.ball_speed_mps * 1.03)
    assert fly(faster).carry_m > fly(straight).carry_m


def vacuum_gaps(launch: Launch) -> list[float]:
    """How far carries in ever thinner air, and in none, lie from the exact range."""
    straight = dataclasses.replace(launch, launch_direction_rad=0.0, spin_axis_rad=0.0)
    exact = straight.ball_speed_mps**2 * math.sin(2 * straight.launch_angle_rad) / GRAVITY_MPS2
    return [
        abs(fly(straight, ball=Ball(drag_factor=share, lift_factor=share)).carry_m - exact)
        for share in (1e-2, 1e-3, 0.0)
    ]


@given(launch=struck(), numpy=st.booleans())
@settings(max_examples=60)
def test_thin_air_nears_the_vacuum(launch: Launch, numpy: bool) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("NUMBA_DISABLE_JIT", "1" if numpy else "0")
        gaps = vacuum_gaps(launch)
    assert gaps[1] < 0.2 * gaps[0] + 1e-6
    assert gaps[2] < 1e-6


@given(launch=struck(), tilt=st.floats(0.02, 0.5))
@settings(max_examples=40)
def test_a_tilt_to_the_right_curves_right(launch: Launch, tilt: float) -> None:
    straight = dataclasses.replace(launch, launch_direction_rad=0.0, spin_axis_rad=0.0)
    assert fly(straight).offline_m == pytest.approx(0.0, abs=1e-9)
    assert fly(dataclasses.replace(straight, spin_axis_rad=tilt)).offline_m > 0.0


@given(launch=struck())
@settings(max_examples=40)
def test_without_wind_left_is_as_right(launch: Launch) -> None:
    other = dataclasses.replace(
        launch,
        launch_direction_rad=-launch.launch_direction_rad,
        spin_axis_rad=-launch.spin_axis_rad,
    )
    here, there = fly(launch), fly(other)
    assert here.carry_m == pytest.approx(there.carry_m, rel=1e-12)
    assert here.offline_m == pytest.approx(-there.offline_m, rel=1e-9, abs=1e-9)
    assert here.total_offline_m == pytest.approx(-there.total_offline_m, rel=1e-9, abs=1e-9)
    straight = fly(dataclasses.replace(launch, launch_direction_rad=0.0, spin_axis_rad=0.0))
    assert (straight.offline_m, straight.total_offline_m) == (0.0, 0.0)


@given(launch=struck(), turn=st.floats(-0.3, 0.3))
@settings(max_examples=40)
def test_without_wind_no_direction_is_better_than_another(launch: Launch, turn: float) -> None:
    turned = dataclasses.replace(launch, launch_direction_rad=launch.launch_direction_rad + turn)
    here, there = fly(launch), fly(turned)
    assert math.hypot(here.carry_m, here.offline_m) == pytest.approx(
        math.hypot(there.carry_m, there.offline_m), abs=1e-6
    )
    way = math.atan2(here.offline_m, here.carry_m) + turn
    assert math.atan2(there.offline_m, there.carry_m) == pytest.approx(way, abs=1e-8)


def distances_m(drive: Launch, thin_pa: float, more_pa: float) -> tuple[Flight, Flight]:
    """A drive in thinner and in denser air."""
    thin, dense = (
        fly(drive, air=Air(temperature_k=293.15, pressure_pa=pressure))
        for pressure in (thin_pa, thin_pa + more_pa)
    )
    return thin, dense


drives = st.builds(
    Launch,
    ball_speed_mps=st.floats(65.0, 85.0),
    launch_angle_rad=st.floats(math.radians(10.0), math.radians(18.0)),
    spin_rate_radps=st.floats(2_000.0 * RPM, 3_500.0 * RPM),
)


@given(drive=drives, thin_pa=st.floats(70e3, 104e3), more_pa=st.floats(100.0, 4e3))
@settings(max_examples=60)
def test_denser_air_never_lengthens_a_drive(drive: Launch, thin_pa: float, more_pa: float) -> None:
    thin, dense = distances_m(drive, thin_pa, more_pa)
    assert dense.total_m < thin.total_m
    # A ball that starts lower than 12 deg needs the lift in the air more than it minds the drag.
    if drive.launch_angle_rad > math.radians(12.0):
        assert dense.carry_m < thin.carry_m


def test_a_low_start_needs_the_air() -> None:
    low = Launch(ball_speed_mps=60.0, launch_angle_rad=0.14, spin_rate_radps=2_500 * RPM)
    thin, dense = distances_m(low, 80e3, 20e3)
    assert dense.carry_m > thin.carry_m


def test_many_are_the_same_as_one_by_one() -> None:
    columns = box(30, 5, wide=True)
    speed, angle, spin, direction, tilt, along, across = columns
    many = fly_many(
        speed, angle, spin, direction, tilt, wind_along_mps=along, wind_across_mps=across
    )
    for k in range(len(many)):
        one = fly(
            Launch(
                ball_speed_mps=speed[k],
                launch_angle_rad=angle[k],
                launch_direction_rad=direction[k],
                spin_rate_radps=spin[k],
                spin_axis_rad=tilt[k],
            ),
            wind=Wind(along_mps=along[k], across_mps=across[k]),
        )
        for name in NUMBERS:
            assert getattr(one, name) == pytest.approx(getattr(many, name)[k], rel=1e-12), name
        assert one.flags == many.flags_of(k)


def test_a_batch_larger_than_the_cache_is_flown_in_pieces(monkeypatch: pytest.MonkeyPatch) -> None:
    speed, angle, spin, *_ = box(25, 6, wide=False)
    whole = fly_many(speed, angle, spin)
    monkeypatch.setattr(integrate, "AT_A_TIME", 7)
    np.testing.assert_array_equal(whole.carry_m, fly_many(speed, angle, spin).carry_m)


def test_a_missing_value_gives_missing_numbers_for_that_ball_only() -> None:
    flights = fly_many(
        [60.0, np.nan, np.inf, 60.0, -3.0, 60.0], 0.2, [300, 300, 300, np.nan, 1, 300]
    )
    flown = np.array([True, False, False, False, False, True])
    for name in NUMBERS:
        np.testing.assert_array_equal(np.isfinite(getattr(flights, name)), flown)
    assert [flights.flags_of(k) for k in range(1, 5)] == [("cannot be flown",)] * 4
    assert flights.flags_of(0) == flights.flags_of(5) == ()
    assert flights.carry_m[0] == flights.carry_m[5]


def test_no_balls_give_no_flights() -> None:
    nothing = fly_many(np.zeros(0), np.zeros(0), np.zeros(0))
    assert len(nothing) == 0
    assert nothing.carry_m.shape == (0,)


@pytest.mark.parametrize("angle", [-0.6, -0.05, 0.0])
def test_a_topped_ball_lands_at_once_and_runs(angle: float) -> None:
    flight = fly(
        Launch(ball_speed_mps=35.0, launch_angle_rad=angle, spin_rate_radps=100.0), path=True
    )
    assert (flight.carry_m, flight.apex_m, flight.hang_time_s) == (0.0, 0.0, 0.0)
    assert "lands at once" in flight.flags
    assert flight.landing_angle_rad == pytest.approx(-angle)
    assert flight.landing_speed_mps == pytest.approx(35.0)
    assert 10.0 < flight.total_m < 80.0
    assert flight.path is not None
    assert not flight.path.x_m.any()


def test_a_ball_without_spin_flies_without_lift() -> None:
    flight = fly(Launch(ball_speed_mps=60.0, launch_angle_rad=0.2, spin_rate_radps=0.0))
    bare = fly(
        Launch(ball_speed_mps=60.0, launch_angle_rad=0.2, spin_rate_radps=0.0),
        ball=Ball(lift_factor=0.0),
    )
    assert flight.carry_m == pytest.approx(bare.carry_m, abs=1e-12)
    assert "spin under the model's data" in flight.flags


def test_flags_say_where_the_model_has_no_data() -> None:
    wedge = fly(Launch(ball_speed_mps=30.0, launch_angle_rad=0.6, spin_rate_radps=9_500 * RPM))
    assert wedge.flags == ("spin over the model's data", "speed under the model's data")
    drive = fly(Launch(ball_speed_mps=70.0, launch_angle_rad=0.2, spin_rate_radps=2_600 * RPM))
    assert drive.flags == ()
    flat = fly(Launch(ball_speed_mps=70.0, launch_angle_rad=0.05, spin_rate_radps=2_600 * RPM))
    assert flat.flags == ("run is a guess",)


def give_up_after_a_second(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(integrate, "LONGEST_FLIGHT_S", 1.0)
    monkeypatch.setattr(many, "use_loop", lambda *_, **__: False)


def test_a_ball_that_never_lands_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    give_up_after_a_second(monkeypatch)
    drive = Launch(ball_speed_mps=30.0, launch_angle_rad=0.6, spin_rate_radps=300.0)
    with pytest.raises(InputError) as refused:
        fly(drive)
    assert str(refused.value) == (
        "A ball of 30 m/s and 300 rad/s does not come down within a minute. "
        "Check the launch and the wind."
    )


def test_a_ball_that_never_lands_is_missing_in_a_batch(monkeypatch: pytest.MonkeyPatch) -> None:
    give_up_after_a_second(monkeypatch)
    flights = fly_many([30.0, 6.0], 0.6, 300.0)
    assert np.isnan([getattr(flights, name)[0] for name in NUMBERS]).all()
    assert np.isfinite([getattr(flights, name)[1] for name in NUMBERS]).all()
    assert "never landed" in flights.flags_of(0)


@pytest.mark.parametrize(
    ("change", "text"),
    [
        (
            {"ball_speed_mps": math.nan},
            "Ball speed is nan m/s; a ball can be flown from 0.1 to 120 m/s. "
            "Check the value and its unit.",
        ),
        (
            {"ball_speed_mps": 0.0},
            "Ball speed is 0 m/s; a ball can be flown from 0.1 to 120 m/s. "
            "Check the value and its unit.",
        ),
        (
            {"spin_rate_radps": -1.0},
            "Spin rate is -1 rad/s; a ball can be flown from 0 to 2100 rad/s. "
            "Check the value and its unit.",
        ),
        (
            {"launch_angle_rad": 11.0},
            "Launch angle is 11 rad; a ball can be flown from -1.5708 to 1.5708 rad. "
            "Check the value and its unit.",
        ),
        (
            {"spin_axis_rad": math.inf},
            "Spin axis is inf rad; a ball can be flown from -3.14159 to 3.14159 rad. "
            "Check the value and its unit.",
        ),
    ],
)
def test_a_launch_out_of_range_is_refused(change: dict[str, float], text: str) -> None:
    sane = {"ball_speed_mps": 60.0, "launch_angle_rad": 0.2, "spin_rate_radps": 300.0}
    with pytest.raises(OutOfRangeError) as refused:
        Launch(**{**sane, **change})
    assert str(refused.value) == text


def test_a_hurricane_is_refused() -> None:
    with pytest.raises(OutOfRangeError) as refused:
        Wind(across_mps=-41.0)
    assert str(refused.value) == (
        "Wind across is -41 m/s; it can be up to 40 m/s. Check the value and its unit."
    )
