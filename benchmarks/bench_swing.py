"""Swings and arcs: one swing beside the slow twin in the same run, a range, chances of mishits."""

import math
from time import perf_counter

import numpy as np
from pytest_benchmark.fixture import BenchmarkFixture

from leadfoot.physics.arc import Arc
from leadfoot.physics.golfer import generic_golfer
from leadfoot.physics.lift import Lift
from leadfoot.physics.push import push_worth
from leadfoot.physics.swing import GRAVITY_MPS2, swing, with_speed
from leadfoot.physics.turf_contact import Lie, Spread, chances
from tests.naive import swing as naive

GOLFER = with_speed(generic_golfer("driver"), 42.5)
HUB = Lift(height_m=0.06).hub(swing(GOLFER).strike_s, GOLFER.plane_rad)
FEW = 5


def seconds_by_the_twin() -> float:
    """Time of one swing with the pins' forces solved for at every moment, at the same tolerance."""
    arms, club = GOLFER.arms, GOLFER.club
    bodies = naive.Bodies(
        arms_kg=arms.mass_kg,
        arms_centre_m=arms.centre_m,
        arms_m=arms.length_m,
        arms_kgm2=arms.inertia_kgm2,
        club_kg=club.mass_kg,
        club_centre_m=club.centre_m,
        club_m=club.length_m,
        club_kgm2=club.inertia_kgm2,
    )
    start = perf_counter()
    for _ in range(FEW):
        naive.strike(
            bodies,
            top_rad=GOLFER.top_rad,
            cock_rad=GOLFER.cock_rad,
            torques=lambda time_s, radps: (
                GOLFER.drive.shoulder_nm_at(time_s, radps),
                GOLFER.drive.wrist_nm_at(time_s),
            ),
            hub_mps2=lambda time_s: HUB.at(time_s)[4:],
            weight_mps2=GRAVITY_MPS2 * math.sin(GOLFER.plane_rad),
            tolerance=1e-8,
        )
    return (perf_counter() - start) / FEW


def test_one_swing(benchmark: BenchmarkFixture) -> None:
    found = benchmark(lambda: swing(GOLFER, HUB))
    assert found.club_speed_mps > 42.5
    ratio = seconds_by_the_twin() / benchmark.stats.stats.median
    benchmark.extra_info["times_the_twin"] = round(ratio, 1)
    print(f"\n{benchmark.name}: {ratio:.1f} times the twin")


def test_a_push_with_its_range(benchmark: BenchmarkFixture) -> None:
    lift = Lift(height_m=0.06)
    worth = benchmark.pedantic(
        lambda: push_worth(42.5, lift, rng=np.random.default_rng(1), club_key="driver"),
        rounds=3,
        warmup_rounds=1,
    )
    assert worth.low_mps < worth.gain_mps < worth.high_mps


def test_chances_of_mishits(benchmark: BenchmarkFixture) -> None:
    arc = Arc(radius_m=1.6, plane_rad=1.05, low_point_m=0.05, depth_m=-0.003)
    lie, spread = Lie(dynamic_loft_rad=0.44), Spread(low_point_m=0.02, depth_m=0.003)
    found = benchmark(lambda: chances(arc, lie, spread))
    assert 0.0 < found.fat < found.thin < found.clean
