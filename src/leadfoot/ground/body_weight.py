"""Body weight: the mean force of the quietest second before the first movement."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError
from leadfoot.ground.method import GRAVITY_MPS2

Values = NDArray[np.float64]

WINDOW_S = 1.0
"""Length of the window (Owen and others, Journal of Strength and Conditioning Research 28, 1552,
2014: 1 s). Windows of 0.25 to 0.4 s move a jump's height by 3 to 5 mm (computed on an open
recording). [s]"""
LEAST_WINDOW_S = 0.5
"""A shorter one is refused (own choice). [s]"""
NEAR_ENTERED = 0.03
"""How far a window may lie from the weight that was entered (own choice). [-]"""
LEAST_SHARE_OF_LOAD = 0.4
"""A window must hold at least this share of the recording's middle load: nobody is weighed with one
foot beside the plate (own choice). [-]"""
GREATEST_SD_SHARE = 0.05
"""A window whose force strays by more of its mean is a movement (own choice). [-]"""
LEAST_DOUBT_N = 0.5
"""Doubt of any weighing: other windows of one recording move it by 0.4 to 0.7 N (computed). [N]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighing:
    """The body weight, and the window in which it was found.

    Attributes
    ----------
    weight_n
        Mean vertical force of the window, club and clothes included. [N]
    sd_n
        Standard deviation of its samples (n - 1). [N]
    doubt_n
        Standard error of the weight, from the means of fifths of the window; 0.5 at least. [N]
    start_s, length_s
        Of the window, from the first sample. [s]

    Examples
    --------
    >>> round(Weighing(weight_n=784.532, sd_n=2.0, start_s=0.0, length_s=1.0).mass_kg, 6)
    80.0
    """

    weight_n: float
    sd_n: float
    start_s: float
    length_s: float
    doubt_n: float = LEAST_DOUBT_N

    @property
    def mass_kg(self) -> float:
        """The mass that has this weight, in kg."""
        return self.weight_n / GRAVITY_MPS2

    @property
    def window_s(self) -> tuple[float, float]:
        """Start and length of the window, in s."""
        return self.start_s, self.length_s

    @property
    def end_s(self) -> float:
        """End of the window, in s."""
        return self.start_s + self.length_s


def weigh_in(
    vertical_n: Values, rate_hz: float, *, start_s: float, length_s: float = WINDOW_S
) -> Weighing:
    """Weigh in a window that was chosen.

    Parameters
    ----------
    vertical_n
        Vertical force of all plates, shape (n,). [N]
    rate_hz
        Samples a second. [Hz]
    start_s, length_s
        The window; at least 0.5 s. [s]

    Raises
    ------
    InputError
        If the window is too short, or does not lie in the recording.

    Examples
    --------
    >>> weigh_in(np.full(3000, 800.0), 1000.0, start_s=1.0).weight_n
    800.0
    """
    first, count = round(start_s * rate_hz), round(length_s * rate_hz)
    lasts_s = len(vertical_n) / rate_hz
    if length_s < LEAST_WINDOW_S:
        raise InputError(
            f"The weighing lasts {length_s:g} s.", fix=f"Weigh for {LEAST_WINDOW_S:g} s or longer."
        )
    if first < 0 or first + count > len(vertical_n):
        raise InputError(
            f"The weighing from {start_s:g} to {start_s + length_s:g} s does not lie in the "
            f"recording of {lasts_s:.2f} s.",
            fix="Choose a window in which the person stands still.",
        )
    window = vertical_n[first : first + count]
    if not np.isfinite(window).all():
        raise InputError(
            f"The weighing from {start_s:g} to {start_s + length_s:g} s has gaps.",
            fix="Choose another window.",
        )
    return Weighing(
        weight_n=float(window.mean()),
        sd_n=float(window.std(ddof=1)),
        doubt_n=_doubt_n(window),
        start_s=first / rate_hz,
        length_s=count / rate_hz,
    )


def weigh(
    vertical_n: Values,
    rate_hz: float,
    *,
    before_s: float,
    entered_n: float | None = None,
    length_s: float = WINDOW_S,
    also_still: Sequence[Values] = (),
) -> Weighing:
    """Weigh in the quietest window before a movement.

    Parameters
    ----------
    vertical_n
        Vertical force of all plates, shape (n,). [N]
    rate_hz
        Samples a second. [Hz]
    before_s
        Where the movement is at the latest: take-off, impact. [s]
    entered_n
        The weight by a scale; windows further than 3 % from it are passed over. [N]
    length_s
        Length of the window. [s]
    also_still
        Other forces that must rest in it, such as the load from foot to foot; their variances are
        added when the quietest window is looked for. [N]

    Raises
    ------
    InputError
        If there is no such window.

    Examples
    --------
    >>> noise = np.random.default_rng(1).normal(0.0, 1.0, 4000)
    >>> restless = noise * np.where(np.arange(4000) < 1500, 20.0, 1.0)
    >>> found = weigh(800.0 + restless, 1000.0, before_s=4.0)
    >>> 1.5 <= found.start_s <= 3.0, round(found.weight_n)
    (True, 800)
    """
    count = round(length_s * rate_hz)
    part = vertical_n[: min(len(vertical_n), max(0, round(before_s * rate_hz)))]
    if len(part) < count:
        raise InputError(
            f"There are {len(part) / rate_hz:.2f} s before the movement; weighing needs "
            f"{length_s:g} s.",
            fix="Start the recording while the person stands still for two seconds.",
        )
    mean, sd = _rolling(part, count)
    usable = np.isfinite(sd) & (mean >= LEAST_SHARE_OF_LOAD * _middle_load_n(vertical_n))
    usable &= sd <= GREATEST_SD_SHARE * mean
    if entered_n is not None:
        usable &= np.abs(mean - entered_n) <= NEAR_ENTERED * entered_n
    if not usable.any():
        said = "" if entered_n is None else f" within 3 % of the entered {entered_n:.0f} N"
        raise InputError(
            f"No {length_s:g} s before the movement have a steady load{said}.",
            fix="Check the entered weight, and record two seconds of standing still.",
        )
    restless = sd**2
    for other in also_still:
        restless = restless + _rolling(other[: len(part)], count)[1] ** 2
    first = int(np.argmin(np.where(usable, restless, np.inf)))
    return weigh_in(vertical_n, rate_hz, start_s=first / rate_hz, length_s=length_s)


def _rolling(values: Values, count: int) -> tuple[Values, Values]:
    """Means and standard deviations of all windows of `count` samples."""
    middle = float(np.nanmedian(values))
    shifted = values - middle
    sums = np.concatenate(([0.0], np.cumsum(shifted)))
    squares = np.concatenate(([0.0], np.cumsum(shifted**2)))
    mean = (sums[count:] - sums[:-count]) / count
    square = (squares[count:] - squares[:-count]) / count
    return mean + middle, np.sqrt(np.maximum(square - mean**2, 0.0))


def _middle_load_n(vertical_n: Values) -> float:
    loaded = vertical_n[vertical_n > 20.0]
    return float(np.median(loaded)) if len(loaded) else np.inf


def _doubt_n(window: Values) -> float:
    fifths = [float(part.mean()) for part in np.array_split(window, 5)]
    return max(LEAST_DOUBT_N, float(np.std(fifths, ddof=1) / np.sqrt(5.0)))
