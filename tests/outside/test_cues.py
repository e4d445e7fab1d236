"""Several cues weighed together against the eight schools of Rubin (1981)."""

import math

import numpy as np
import pytest

from leadfoot.evidence.cues import _given, weigh_cues

EFFECTS = np.array([28.0, 8.0, -3.0, 7.0, -1.0, 1.0, 18.0, 12.0])
ERRORS = np.array([15.0, 10.0, 16.0, 11.0, 9.0, 11.0, 10.0, 18.0])
"""D. B. Rubin, Estimation in parallel randomized experiments, J. Educ. Stat. 6:377-401, 1981; the
data from memory."""


def test_a_known_spread_of_five() -> None:
    # source: the closed form, worked out beforehand; tolerance: its printed digits
    found = _given(EFFECTS, ERRORS, np.array([5.0]), math.inf)
    assert found.middle[0] == pytest.approx(7.851, abs=0.001)
    assert found.mean[0, 0] == pytest.approx(9.866, abs=0.001)


def test_a_flat_prior_on_the_spread() -> None:
    # source: the model of Gelman and others, Bayesian Data Analysis, worked out beforehand
    # place: posterior means, schools A to H; tolerance: their printed digits
    found = weigh_cues(EFFECTS, ERRORS, 1.0, spread_sd=1e3, average_sd=math.inf)
    means = [school.gain for school in found]
    assert means == pytest.approx([11.4, 7.9, 6.1, 7.6, 5.1, 6.1, 10.7, 8.5], abs=0.1)
