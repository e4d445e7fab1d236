"""Faster against straighter: planted widenings are found, none is invented, drift is no speed."""

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from leadfoot.coaching.speed_straightness import SpeedAgainst, SpeedBlock, speed_against
from leadfoot.errors import InputError

Floats = NDArray[np.float64]
USUAL_MPS, SD = 0.6, 0.05


def student(
    rng: np.random.Generator,
    *,
    widening: float = 0.0,
    lean: float = 0.0,
    drift: float = 0.0,
    n_blocks: int = 10,
    n: int = 15,
) -> list[SpeedBlock]:
    """Blocks of a student whose spread grows by exp(widening) for a usual difference faster."""
    blocks = []
    for _ in range(n_blocks):
        number = np.arange(float(n))
        tired = drift * (number - number.mean())
        faster = rng.normal(size=n)
        missed = np.where(rng.random(n) < 0.06, 3.0, 1.0)
        direction = SD * (
            rng.normal()  # the day's own level
            + lean * faster
            + tired
            + missed * np.exp(widening * faster) * rng.normal(size=n)
        )
        speed = 42.0 + rng.normal() + USUAL_MPS * (faster - 0.5 * tired)
        blocks.append(SpeedBlock(club_speed_mps=speed, direction=direction, ball_number=number))
    return blocks


def many(n: int, **how: float) -> list[SpeedAgainst]:
    rng = np.random.default_rng(7)
    return [speed_against(student(rng, **how)) for _ in range(n)]  # type: ignore[arg-type]


def test_without_a_link_a_direction_is_hardly_ever_said() -> None:
    said = sum(found.says != "cannot tell yet" for found in many(60))
    assert said <= stats.binom.ppf(0.99, 60, 0.10)


def test_getting_tired_is_not_taken_for_speed() -> None:
    """The balls drift and slow down together: the lean must not follow."""
    held = sum(found.lean_low <= 0.0 <= found.lean_high for found in many(40, drift=0.06))
    assert held >= stats.binom.ppf(0.01, 40, 0.90)


def test_a_planted_widening_is_found_and_its_range_holds_it() -> None:
    found = many(30, widening=0.35, n_blocks=20)
    assert sum(each.says == "wider" for each in found) >= 0.9 * 30
    truth = np.exp(0.35)
    held = sum(each.widening_low <= truth <= each.widening_high for each in found)
    assert held >= stats.binom.ppf(0.01, 30, 0.88)


def test_a_planted_lean_is_found() -> None:
    found = many(20, lean=0.5)
    assert np.mean([each.lean for each in found]) == pytest.approx(0.5 * SD, rel=0.15)
    assert sum(each.lean_low > 0.0 for each in found) >= 0.9 * 20


def test_where_slower_is_straighter_the_best_speed_lies_below() -> None:
    rng = np.random.default_rng(2)
    found = speed_against(student(rng, widening=0.5, n_blocks=25))
    assert found.best_speed_mps is not None
    assert found.best_speed_mps < 42.0
    assert found.miss_there < found.miss_here


def test_left_and_right_are_mirror_images() -> None:
    blocks = student(np.random.default_rng(3), widening=0.2, lean=0.3)
    mirror = [
        SpeedBlock(
            club_speed_mps=each.club_speed_mps,
            direction=-each.direction,
            ball_number=each.ball_number,
        )
        for each in blocks
    ]
    one, other = speed_against(blocks), speed_against(mirror)
    assert other.odds_wider == pytest.approx(one.odds_wider, abs=1e-9)
    assert other.lean == pytest.approx(-one.lean, abs=1e-9)


def test_few_balls_are_refused() -> None:
    with pytest.raises(InputError, match="30 balls have club speed and direction"):
        speed_against(student(np.random.default_rng(1), n_blocks=2))


def test_a_speed_that_never_varies_is_refused() -> None:
    blocks = [
        SpeedBlock(
            club_speed_mps=np.full(50, 42.0),
            direction=np.linspace(-1.0, 1.0, 50),
            ball_number=np.arange(50.0),
        )
    ]
    with pytest.raises(InputError, match="is the same for all balls"):
        speed_against(blocks)
