"""The spread shared out: known shares, the monitor's error taken off, and too few balls."""

import numpy as np
import pytest
from numpy.typing import NDArray

from leadfoot.coaching.attribution import Balls, Model
from leadfoot.coaching.swings import explainable
from leadfoot.coaching.wideness import wideness
from leadfoot.errors import InputError
from leadfoot.physics.clubs import club
from tests.rates.students import Player, readings, some_player

Floats = NDArray[np.float64]
START = 200.0 * np.pi / 180.0
SLOPES = np.array([0.8 * START + 3.0, 0.2 * START - 3.0])
MODEL = Model(parts={"face": (0,), "path": (1,)}, land=lambda rows: (0.0 * rows[0], SLOPES @ rows))
NO_ERROR = np.zeros((2, 2))


def balls(n: int, tied: float = 0.0, error: float = 0.0) -> Balls:
    rng = np.random.default_rng(4)
    root = np.linalg.cholesky(np.array([[9.0, 6.0 * tied], [6.0 * tied, 4.0]]))
    rows = root @ rng.normal(size=(2, n)) + error * rng.normal(size=(2, n))
    nothing = np.full(n, np.nan)
    return Balls(rows=rows, carry_m=nothing, offline_m=nothing)


@pytest.mark.parametrize(("tied", "sd", "face"), [(0.0, 17.977, 0.9344), (0.5, 15.594, 0.9330)])
def test_shares_of_very_many_balls_are_those_of_the_formula(
    tied: float, sd: float, face: float
) -> None:
    found = wideness([balls(200_000, tied)], MODEL, NO_ERROR)
    assert found.offline_sd_m == pytest.approx(sd, rel=0.01)
    assert found.shares[0].share == pytest.approx(face, abs=0.005)


def test_the_error_of_the_monitor_is_taken_off() -> None:
    found = wideness([balls(200_000, error=1.5)], MODEL, np.diag([2.25, 2.25]))
    assert found.offline_sd_m == pytest.approx(17.977, rel=0.01)
    assert found.error_sd_m == pytest.approx(1.5 * np.hypot(*SLOPES))


def test_where_all_spread_may_be_error_the_shares_are_even() -> None:
    found = wideness([balls(50)], MODEL, np.diag([100.0, 100.0]))
    assert found.offline_sd_m == 0.0
    assert [each.share for each in found.shares] == [0.5, 0.5]


def test_shares_add_up_to_one_and_lie_in_their_ranges() -> None:
    found = wideness([balls(12)], MODEL, NO_ERROR)
    assert sum(each.share for each in found.shares) == pytest.approx(1.0)
    assert all(0.0 <= each.low <= each.share <= each.high <= 1.0 for each in found.shares)
    wide = wideness([balls(12)], MODEL, NO_ERROR).shares[0]
    narrow = wideness([balls(1_000)], MODEL, NO_ERROR).shares[0]
    assert narrow.high - narrow.low < wide.high - wide.low


def test_ranges_hold_the_truth() -> None:
    """400 blocks of 15 balls: at least 93 in 100 ranges hold the share of very many balls."""
    rng = np.random.default_rng(9)
    root = np.linalg.cholesky(np.array([[9.0, 3.0], [3.0, 4.0]]))
    nothing = np.full(15, np.nan)
    truth, n_held = 0.9330, 0
    for _ in range(400):
        rows = root @ rng.normal(size=(2, 15))
        found = wideness(
            [Balls(rows=rows, carry_m=nothing, offline_m=nothing)], MODEL, NO_ERROR, n_draws=200
        )
        n_held += found.shares[0].low <= truth <= found.shares[0].high
    assert n_held >= 0.93 * 400


def test_a_student_whose_face_strays_is_told_so() -> None:
    rng = np.random.default_rng(2)
    player = some_player("driver", rng)
    stray = Player(
        middle=player.middle,
        sd=np.array([0.4, 0.015, 0.01, 0.06, 0.02, 0.004, 0.004]),
        face_with_path=0.0,
    )
    side = readings(stray.swings(30, rng), club("driver"), rng)
    told = explainable(side, side, club("driver"))
    found = wideness([told.before], told.model, told.error_covariance)
    assert max(found.shares, key=lambda each: each.share).part == "face"


def test_few_balls_are_refused() -> None:
    with pytest.raises(InputError, match="9 balls can be struck and flown; a spread is shared"):
        wideness([balls(9)], MODEL, NO_ERROR)


def test_a_change_between_blocks_is_no_spread() -> None:
    one = balls(100)
    other = Balls(rows=one.rows + 50.0, carry_m=one.carry_m, offline_m=one.offline_m)
    apart = wideness([one, other], MODEL, NO_ERROR)
    alone = wideness([one], MODEL, NO_ERROR)
    assert apart.offline_sd_m == pytest.approx(alone.offline_sd_m, rel=0.01)
    assert apart.n_balls == 200
