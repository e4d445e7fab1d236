import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.evidence.mishits import MARGIN, PRIOR_MISHITS, PRIOR_SOLID, mishit_change


def shares(before: int, n_before: int, after: int, n_after: int) -> tuple[np.ndarray, np.ndarray]:
    mishit = np.concatenate(
        (np.arange(n_before) < before, np.arange(n_after) < after), dtype=np.float64
    )
    return mishit, np.arange(n_before + n_after) >= n_before


@given(st.integers(0, 20), st.integers(1, 20), st.integers(0, 20), st.integers(1, 20))
def test_shares_and_odds_hang_together(before: int, n_b: int, after: int, n_a: int) -> None:
    found = mishit_change(*shares(before, n_b, after, n_a))
    assert 0 < found.before < 1
    assert 0 < found.after < 1
    assert found.low <= found.after - found.before <= found.high
    assert 0 <= found.odds_more <= 1
    assert found.odds_fewer + found.odds_more <= 1


def test_against_plain_draws_of_two_beta_distributions() -> None:
    rng = np.random.default_rng(11)
    found = mishit_change(*shares(1, 12, 4, 15))
    before = rng.beta(PRIOR_MISHITS + 1, PRIOR_SOLID + 11, 400_000)
    after = rng.beta(PRIOR_MISHITS + 4, PRIOR_SOLID + 11, 400_000)
    change = after - before
    assert found.odds_fewer == pytest.approx((change < 0).mean(), abs=0.005)
    assert found.odds_more == pytest.approx((change > MARGIN).mean(), abs=0.005)
    assert (found.low, found.high) == pytest.approx(np.quantile(change, (0.05, 0.95)), abs=0.005)


def test_a_few_solid_balls_do_not_prove_anything() -> None:
    found = mishit_change(*shares(0, 5, 0, 5))
    assert 0.3 < found.odds_fewer < 0.7
    assert found.odds_more < 0.35


def test_many_mishits_do() -> None:
    assert mishit_change(*shares(0, 15, 7, 15)).odds_more > 0.98
    assert mishit_change(*shares(7, 15, 0, 15)).odds_fewer > 0.98
