"""Swings of a block on one clock about the strike: each curve, their mean, and its band."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import stdtrit

from leadfoot.ground.swing import PlateSwing, PressureSwing

Values = NDArray[np.float64]
Curve = Literal["lead", "trail", "total", "pressure", "turning", "frontal"]

BEFORE_S, AFTER_S = 1.5, 0.3
"""How much of a swing is laid over others, before and after the strike (own choice). [s]"""
STEP_S = 0.004
"""Step of the common clock: the curves are smoothed at 50 Hz, so that nothing is lost. [s]"""
CURVES: dict[Curve, tuple[str, str]] = {
    "lead": ("lead foot, vertical force", "% of weight"),
    "trail": ("trail foot, vertical force", "% of weight"),
    "total": ("both feet, vertical force", "% of weight"),
    "pressure": ("centre of pressure toward the target", "cm"),
    "turning": ("pivoting and free moment", "N·m"),
    "frontal": ("frontal-plane moment about the centre of mass", "N·m"),
}
"""Each curve with its name and its unit."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Aligned:
    """One curve of k swings, the strike at 0; n places.

    Attributes
    ----------
    time_s
        Shape (n,). [s]
    each
        Shape (k, n), in the unit of `CURVES`; NaN where a swing was not recorded.
    mean, low, high
        Mean of the swings known at each place and nine in ten for it by Student's t, shape (n,);
        the band is NaN for fewer than two.
    """

    time_s: Values
    each: Values
    mean: Values
    low: Values
    high: Values


def aligned(swings: Sequence[PressureSwing], curve: Curve) -> Aligned | None:
    """Lay one curve of some swings over each other; None where no swing with a strike has it.

    Parameters
    ----------
    swings
        Of one block; those without a strike are passed over.
    curve
        Which one.

    Examples
    --------
    >>> from leadfoot.ground.made_swing import usual_swing
    >>> from leadfoot.ground.phases import Impact
    >>> from leadfoot.ground.swing import swing_of
    >>> made = usual_swing()
    >>> strike = Impact(time_s=made.impact_s, source="trigger channel")
    >>> found = aligned([swing_of(made.recording(1000.0), strike)] * 2, "lead")
    >>> found.each.shape, round(float(np.nanmax(found.mean)))
    ((2, 451), 74)
    """
    time_s = clock_s()
    rows = []
    for swing in swings:
        values = _OF[curve](swing)
        if values is None or swing.impact is None:
            continue
        since_s = swing.series.time_s - swing.impact.time_s
        rows.append(np.interp(time_s, since_s, values, left=np.nan, right=np.nan))
    if not rows:
        return None
    each = np.array(rows)
    known = np.isfinite(each)
    n = known.sum(axis=0)
    enough = n > 1
    mean = np.where(n > 0, np.where(known, each, 0.0).sum(axis=0) / np.maximum(n, 1), np.nan)
    off = np.where(known, each - mean, 0.0)
    sd = np.sqrt((off**2).sum(axis=0) / np.maximum(n - 1, 1))
    reach = np.where(
        enough, stdtrit(np.maximum(n - 1, 1), 0.95) * sd / np.sqrt(np.maximum(n, 1)), np.nan
    )
    return Aligned(time_s=time_s, each=each, mean=mean, low=mean - reach, high=mean + reach)


def clock_s() -> Values:
    """The common clock, the strike at 0, in s.

    Examples
    --------
    >>> clock_s()[[0, -1]]
    array([-1.5,  0.3])
    """
    places = np.arange(round(-BEFORE_S / STEP_S), round(AFTER_S / STEP_S) + 1, dtype=np.float64)
    return np.asarray(STEP_S * places)


def _share(values: Values | None, swing: PressureSwing) -> Values | None:
    if values is None or not swing.basis.is_known:
        return None
    return 100.0 * values / swing.weighing.weight_n


def _pressure(swing: PressureSwing) -> Values | None:
    """Toward the target from where it was at the strike's own address, in cm."""
    cop_m = swing.series.cop_m
    if cop_m is None:
        return None
    start_s, length_s = swing.phases.address_s, swing.weighing.length_s
    time_s = swing.series.time_s
    still = (time_s >= start_s) & (time_s <= start_s + length_s)
    return np.asarray(100.0 * (cop_m[:, 1] - np.nanmean(cop_m[still, 1])))


def _turning(swing: PressureSwing) -> Values | None:
    return swing.turning.series_nm if isinstance(swing, PlateSwing) else None


def _frontal(swing: PressureSwing) -> Values | None:
    if not isinstance(swing, PlateSwing) or swing.about_centre is None:
        return None
    return np.asarray(swing.about_centre.total_nm[:, 0])


_OF: dict[Curve, Callable[[PressureSwing], Values | None]] = {
    "lead": lambda swing: _share(swing.series.lead_n, swing),
    "trail": lambda swing: _share(swing.series.trail_n, swing),
    "total": lambda swing: _share(swing.series.total_n, swing),
    "pressure": _pressure,
    "turning": _turning,
    "frontal": _frontal,
}
