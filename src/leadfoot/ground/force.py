"""What the vertical force of one foot, or of both, shows of a swing."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.ground.integral import between

Values = NDArray[np.float64]

RISE_OVER_S = 0.05
"""The rate of rise is that of the mean slope over this time (own choice: shorter ones show noise).
[s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """The vertical force of one foot, or of both together.

    Attributes
    ----------
    peak_n
        Greatest smoothed force from the first movement to 0.05 s after the strike. [N]
    peak_share
        The same over body weight. [-]
    peak_s
        When, on the clock of the recording. [s]
    before_impact_s
        How long before the strike; negative after it; None without a strike. [s]
    rise_nps
        Greatest mean slope over 0.05 s between first movement and peak. [N/s]
    impulse_ns
        Of the raw force from the turn to the strike; None without a strike. [N s]
    """

    peak_n: float
    peak_share: float
    peak_s: float
    before_impact_s: float | None
    rise_nps: float
    impulse_ns: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """The samples that matter, in one cut.

    Attributes
    ----------
    move, turn
        First movement, and where the load turns.
    impact
        The strike; None where nobody said when.
    last
        Last sample at which a peak is looked for.
    """

    move: int
    turn: int
    impact: int | None
    last: int


def load_of(
    raw_n: Values,
    smooth_n: Values,
    rate_hz: float,
    *,
    span: Span,
    start_s: float,
    weight_n: float,
) -> Load:
    """Measure one vertical force.

    Parameters
    ----------
    raw_n, smooth_n
        The force as measured and smoothed, shape (n,). [N]
    rate_hz
        Samples a second. [Hz]
    span
        Where to look.
    start_s
        Time of the first sample. [s]
    weight_n
        Body weight. [N]

    Examples
    --------
    >>> force_n = 400.0 + 300.0 * np.sin(np.linspace(0.0, np.pi, 1001))
    >>> found = load_of(force_n, force_n, 1000.0, start_s=0.0, weight_n=800.0,
    ...                 span=Span(move=0, turn=100, impact=900, last=950))
    >>> found.peak_share, round(found.before_impact_s, 3), round(found.impulse_ns, 2)
    (0.875, 0.4, 501.64)
    """
    peak = span.move + int(np.argmax(smooth_n[span.move : span.last + 1]))
    impulse = None if span.impact is None else between(raw_n, rate_hz, span.turn, span.impact)
    return Load(
        peak_n=float(smooth_n[peak]),
        peak_share=float(smooth_n[peak]) / weight_n,
        peak_s=start_s + peak / rate_hz,
        before_impact_s=None if span.impact is None else (span.impact - peak) / rate_hz,
        rise_nps=_rise_nps(smooth_n[span.move : peak + 1], rate_hz),
        impulse_ns=impulse,
    )


def _rise_nps(force_n: Values, rate_hz: float) -> float:
    count = min(max(1, round(RISE_OVER_S * rate_hz)), len(force_n) - 1)
    if count < 1:
        return 0.0
    return float((force_n[count:] - force_n[:-count]).max() * rate_hz / count)
