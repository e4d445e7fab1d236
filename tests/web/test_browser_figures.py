"""The sums behind the figures, done in the browser and held against SciPy."""

from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Page
from scipy import stats

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]


@pytest.fixture
def sums(page: Page) -> Page:
    page.goto("/method")
    return page


def call(page: Page, module: str, name: str, *given: Any) -> Any:
    script = f"async given => (await import('/static/js/{module}.js')).{name}(...given)"
    return page.evaluate(script, list(given))


@pytest.mark.parametrize("n", [3, 5, 11, 14, 31, 80])
def test_the_band_of_a_middle_is_students(sums: Page, n: int) -> None:
    values = np.random.default_rng(n).normal(190.0, 7.0, size=n)
    band = call(sums, "spread", "middleBand", values.tolist())
    low, high = stats.t.interval(0.9, n - 1, loc=values.mean(), scale=stats.sem(values))
    # Between the rows of the table the wider band is taken: never narrower, at most 2 % wider.
    wider = (band["high"] - band["low"]) / (high - low)
    assert band["middle"] == pytest.approx(values.mean())
    assert 0.9995 <= wider <= 1.02


def test_axes_stay_until_a_ball_lies_outside_and_never_narrow(sums: Page) -> None:
    rng = np.random.default_rng(2)
    values = rng.normal(190.0, 6.0, size=10).tolist()
    kept = call(sums, "steps", "widened", values, None)
    assert kept["low"] <= min(values)
    assert kept["high"] >= max(values)
    assert call(sums, "steps", "widened", values[:3], kept) == kept
    for far in (260.0, 120.0, 1000.0):
        values.append(far)
        wider = call(sums, "steps", "widened", values, kept)
        assert wider["low"] <= min(kept["low"], far)
        assert wider["high"] >= max(kept["high"], far)
        assert wider["low"] / wider["step"] == pytest.approx(round(wider["low"] / wider["step"]))
        kept = wider


@pytest.mark.parametrize("values", [[], [5.0], [0.0, 0.0], [1e-9, 2e-9], [-3.0, -3.0]])
def test_an_axis_always_has_a_length(sums: Page, values: list[float]) -> None:
    axis = call(sums, "steps", "widened", values, None)
    assert axis["high"] > axis["low"]
    assert axis["step"] > 0.0
