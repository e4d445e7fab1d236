"""Curves of a block about the strike: mean and band as another program computes them."""

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from leadfoot.ground.aligned import CURVES, aligned, clock_s
from leadfoot.ground.made_swing import usual_swing
from leadfoot.ground.phases import Impact
from leadfoot.ground.swing import PressureSwing, swing_of


def swings(n: int, *, known: bool = True) -> list[PressureSwing]:
    made, rng = usual_swing(), np.random.default_rng(4)
    strike = Impact(time_s=made.impact_s, source="trigger channel") if known else None
    return [swing_of(made.recording(500.0, rng=rng, noise_n=3.0), strike) for _ in range(n)]


def test_the_band_is_that_of_students_t() -> None:
    found = aligned(swings(4), "lead")
    assert found is not None
    place = int(np.argmax(found.mean))
    low, high = stats.t.interval(  # scipy's own interval, an outside check
        0.9, 3, loc=found.each[:, place].mean(), scale=stats.sem(found.each[:, place])
    )
    assert found.mean[place] == pytest.approx(found.each[:, place].mean())
    assert (found.low[place], found.high[place]) == pytest.approx((low, high))


def test_every_curve_is_there_and_aligned_at_the_strike() -> None:
    for curve in CURVES:
        found = aligned(swings(2), curve)
        assert found is not None, curve
        assert found.time_s[0] == -1.5
        assert np.isfinite(found.mean[clock_s() == 0.0]).all()


def test_one_swing_has_no_band_and_none_without_a_strike_counts() -> None:
    found = aligned([*swings(1), *swings(2, known=False)], "total")
    assert found is not None
    assert len(found.each) == 1
    assert np.isnan(found.low).all()
    assert aligned(swings(2, known=False), "total") is None


def test_what_a_device_cannot_see_has_no_curve() -> None:
    made = usual_swing()
    whole = made.recording(500.0)
    plates = tuple(replace(plate, sees="vertical") for plate in whole.plates)
    recording = replace(whole, plates=plates)
    strike = Impact(time_s=made.impact_s, source="trigger channel")
    swing = swing_of(recording, strike)
    assert aligned([swing], "lead") is not None
    assert [aligned([swing], curve) for curve in ("pressure", "turning", "frontal")] == [None] * 3
