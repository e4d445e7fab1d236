"""Bounce and roll: no ball gains energy, none runs off for ever."""

import math

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.physics.ball import STANDARD_BALL
from leadfoot.physics.bounce import MEDIUM_TURF, Turf, bounce, roll_m, run_m

speeds = st.floats(0.0, 60.0)
spins = st.floats(-500.0, 1_500.0)


def energy(along: float, down: float, spin: float) -> float:
    radius = STANDARD_BALL.radius_m
    return 0.5 * (along**2 + down**2) + 0.2 * (radius * spin) ** 2


@given(speeds, st.floats(0.01, 40.0), spins)
def test_no_bounce_gains_energy(along: float, down: float, spin: float) -> None:
    out_along, up, out_spin = bounce(np.array([along]), np.array([down]), np.array([spin]))
    before = energy(along, down, spin)
    assert energy(float(out_along[0]), float(up[0]), float(out_spin[0])) <= before * (1 + 1e-9)


@given(speeds, st.floats(0.0, 40.0), spins)
def test_every_run_ends(along: float, down: float, spin: float) -> None:
    run = run_m(np.array([along]), np.array([down]), np.array([spin]))[0]
    assert math.isfinite(run)
    # Backward a ball gets no more than its spin has to give: 0.2 (r w)² of energy, all of it in a
    # roll of 0.7 v², spent at 5/7 of 0.131 g (Penner 2002), with a second of hops before it.
    fastest = STANDARD_BALL.radius_m * abs(spin) * math.sqrt(0.2 / 0.7)
    assert -(fastest**2 / (2 * 5 / 7 * 0.131 * 9.80665) + fastest + 0.1) < run < 130.0


def test_a_missing_landing_has_no_run() -> None:
    run = run_m(np.array([np.nan, 20.0]), np.array([10.0, 15.0]), np.array([200.0, 200.0]))
    assert np.isnan(run[0])
    assert np.isfinite(run[1])


def test_more_backspin_runs_less_and_a_steeper_landing_runs_less() -> None:
    same = np.full(4, 20.0)
    runs = run_m(same, np.full(4, 18.0), np.array([0.0, 250.0, 500.0, 900.0]))
    assert (np.diff(runs) < 0.0).all()
    angles = np.radians([35.0, 42.0, 50.0])
    runs = run_m(26.0 * np.cos(angles), 26.0 * np.sin(angles), np.full(3, 250.0))
    assert (np.diff(runs) < 0.0).all()


def test_softer_turf_runs_less() -> None:
    landing = np.array([22.0]), np.array([17.0]), np.array([220.0])
    soft = Turf(bounce_factor=0.8, rolling=0.2)
    assert run_m(*landing, turf=soft)[0] < run_m(*landing, turf=MEDIUM_TURF)[0]


@given(st.floats(0.0, 50.0), st.floats(0.01, 5.0))
def test_a_faster_ball_rolls_farther(speed: float, more: float) -> None:
    ways = roll_m(np.array([speed, speed + more]))
    assert ways[0] < ways[1]
