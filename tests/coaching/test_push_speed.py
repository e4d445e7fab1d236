"""The student's own links: ranges that hold, honest odds, and no word where luck may do."""

from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from leadfoot.coaching.push_speed import PushedShots, push_links
from leadfoot.errors import InputError

Values = NDArray[np.float64]


def made(
    rng: np.random.Generator, slope: float, *, n: int, blocks: int, **how: float
) -> PushedShots:
    """Shots whose speed goes by `slope` spreads a spread of the peak; two measures do nothing."""
    label = np.repeat(np.arange(blocks), n)
    size = n * blocks
    level = rng.normal(0.0, 2.0, blocks)[label]
    peak = rng.normal(0.0, 1.0, size)
    impulse = 0.6 * peak + 0.8 * rng.normal(0.0, 1.0, size)
    time = rng.normal(0.0, 1.0, size)
    left = np.sqrt(max(1.0 - slope**2, 0.05))
    speed = level + slope * peak + left * rng.normal(0.0, 1.0, size)
    speed += how.get("drift", 0.0) * np.tile(np.arange(n), blocks)
    missed = rng.random(size) < how.get("mishits", 0.0)
    speed[missed] -= 4.0 * rng.random(int(missed.sum())) * 2.0
    return PushedShots(
        block=tuple(str(k) for k in label),
        push={
            "lead_peak_share": 1.1 + 0.05 * (peak + level),
            "lead_peak_before_impact_s": 0.08 + 0.01 * time,
            "lead_impulse_ns": 150.0 + 5.0 * impulse,
        },
        outcome={"club_speed": 42.0 + 0.5 * speed},
    )


def of(shots: PushedShots, push: str = "lead_peak_share") -> Any:
    return next(one for one in push_links(shots).within if one.push == push)


@pytest.mark.parametrize(
    ("n", "blocks", "mishits"), [(8, 2, 0.0), (10, 4, 0.0), (10, 4, 0.08), (25, 2, 0.08)]
)
def test_ranges_hold_the_truth_nine_times_in_ten(n: int, blocks: int, mishits: float) -> None:
    """Slopes drawn as the prior has them, 400 students each."""
    rng = np.random.default_rng(n + blocks)
    held: dict[str, list[bool]] = {}
    for _ in range(400):
        slope = float(np.clip(rng.normal(0.0, 0.4), -0.9, 0.9))
        shots = made(rng, slope, n=n, blocks=blocks, mishits=mishits)
        truths = {"lead_peak_share": slope * 0.5 / 0.05}
        for link in push_links(shots).within:
            held.setdefault(link.push, []).append(
                link.low <= truths.get(link.push, 0.0) <= link.high
            )
    for name, found in held.items():
        assert 0.86 <= np.mean(found) <= 0.97, name


def test_without_a_link_it_seldom_says_one() -> None:
    """At most one in ten says a direction where there is none, with drift and mishits."""
    rng = np.random.default_rng(12)
    said = [
        link.says != "cannot tell yet"
        for _ in range(300)
        for link in push_links(made(rng, 0.0, n=10, blocks=3, mishits=0.08, drift=0.03)).within
    ]
    assert np.mean(said) <= 0.11


def test_a_real_link_is_found_and_is_that_of_the_peak_not_of_what_goes_with_it() -> None:
    rng = np.random.default_rng(13)
    shots = [made(rng, 0.8, n=12, blocks=3, mishits=0.05) for _ in range(100)]
    assert np.mean([of(one).says == "more" for one in shots]) >= 0.95
    assert np.mean([of(one, "lead_impulse_ns").says == "more" for one in shots]) <= 0.12
    assert np.mean([of(one).slope for one in shots]) == pytest.approx(8.0, rel=0.12)


def test_a_difference_between_blocks_is_no_link_within_them() -> None:
    """The blocks' levels move push and speed together; the shots inside do not."""
    rng = np.random.default_rng(14)
    said = [of(made(rng, 0.0, n=8, blocks=5)).says for _ in range(100)]
    assert said.count("more") <= 10
    links = push_links(made(rng, 0.0, n=8, blocks=8)).between
    peak = next(one for one in links if one.push == "lead_peak_share")
    assert peak.says == "more"
    assert peak.n == 8


def test_few_shots_or_blocks_say_nothing() -> None:
    rng = np.random.default_rng(15)
    few = made(rng, 0.9, n=5, blocks=2)
    assert of(few).says == "cannot tell yet"
    assert push_links(few).between == ()


def test_missing_values_are_left_out_shot_by_shot() -> None:
    shots = made(np.random.default_rng(16), 0.5, n=10, blocks=3)
    speed = shots.outcome["club_speed"].copy()
    speed[::7] = np.nan
    gaps = PushedShots(block=shots.block, push=shots.push, outcome={"club_speed": speed})
    assert of(gaps).n == 25
    nothing = PushedShots(
        block=shots.block, push=shots.push, outcome={"offline": np.full(30, np.nan)}
    )
    assert push_links(nothing).within == ()


def test_units_do_not_matter() -> None:
    shots = made(np.random.default_rng(17), 0.5, n=10, blocks=3)
    other = PushedShots(
        block=shots.block,
        push={name: 100.0 * values for name, values in shots.push.items()},
        outcome={"club_speed": 3.6 * shots.outcome["club_speed"]},
    )
    one, two = of(shots), of(other)
    assert two.slope == pytest.approx(one.slope * 3.6 / 100.0)
    assert two.odds_more == pytest.approx(one.odds_more)


def test_what_does_not_fit_is_refused() -> None:
    with pytest.raises(InputError) as error:
        PushedShots(block=("a", "a"), push={"x": np.zeros(3)}, outcome={"club_speed": np.zeros(2)})
    assert str(error.value) == (
        "'x' has the shape (3,); there are 2 shots. Give one value a shot, NaN where it is missing."
    )
    with pytest.raises(InputError, match="There is no measure of the push"):
        PushedShots(block=(), push={}, outcome={})
