"""The clock of a table: its rate from the times, and what is uneven about them."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError
from leadfoot.ground.recording import Remark

Values = NDArray[np.float64]

_EVEN_STEPS = 0.6
"""Times that lie so many steps off an even clock, rounding left aside, are still even."""
_LEAP = 1.6
"""A step so many times the usual one leaves rows out, or is uneven; rounding makes 1.5 at most."""
_ROUND_SHARE = 1e-3
"""A rate that lies so near to a whole number is that number. [-]"""
_MOST_GROWN = 4
"""A table with more gaps than samples is none (own choice)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Clock:
    """An even clock, and how the rows lie on it.

    Attributes
    ----------
    rate_hz
        Samples a second. [Hz]
    start_s
        Time of the first sample. [s]
    places
        Place of each row on the clock, shape (n,), where rows are missing; None where none is.
    times_s
        Times of the rows, where they must be put on the clock by straight lines; else None. [s]
    remarks
        What is uneven.
    """

    rate_hz: float
    start_s: float
    places: NDArray[np.int64] | None = None
    times_s: Values | None = None
    remarks: tuple[Remark, ...] = ()

    def put(self, values: Values) -> Values:
        """Put one column on the clock: rows that are missing are NaN."""
        if self.places is not None:
            out = np.full(int(self.places[-1]) + 1, np.nan)
            out[self.places] = values
            return out
        if self.times_s is not None:
            n = int((self.times_s[-1] - self.start_s) * self.rate_hz) + 1
            even_s = self.start_s + np.arange(n) / self.rate_hz
            return np.interp(even_s, self.times_s, values)
        return values


def clock_of(times_s: Values, rows: Sequence[int] | range) -> Clock:
    """Find the clock of a column of times.

    Parameters
    ----------
    times_s
        Times, shape (n,). [s]
    rows
        The spreadsheet row of each, for messages.

    Raises
    ------
    InputError
        If a time is missing or they do not grow.

    Examples
    --------
    >>> clock = clock_of(np.array([0.0, 0.01, 0.02, 0.05, 0.06, 0.07]), range(2, 8))
    >>> clock.rate_hz, clock.put(np.arange(6.0))[:6]
    (100.0, array([ 0., 1., 2., nan, nan, 3.]))
    """
    steps = np.diff(times_s)
    if times_s.size < 3 or not np.isfinite(times_s).all() or (steps < 0.0).any():
        bad = int(np.argmax(~(np.diff(times_s, prepend=times_s[0]) >= 0.0))) if times_s.size else 0
        where = f"at row {rows[bad]}" if times_s.size else "for there are no rows"
        raise InputError(
            f"The times of the table do not grow, {where}.",
            fix="Sort the rows by time and fill in what is missing.",
        )
    if times_s[-1] == times_s[0]:
        raise InputError("The times of the table are all the same.", fix="Give the rate instead.")
    n = times_s.size
    rate_hz = _rounded((n - 1) / float(times_s[-1] - times_s[0]))
    start_s = float(times_s[0])
    leaps = float(steps.max()) > _LEAP * _usual_step_s(times_s)
    if not leaps and _off_clock(times_s, np.arange(n), rate_hz) <= _EVEN_STEPS:
        return Clock(rate_hz=rate_hz, start_s=start_s)
    return _with_gaps(times_s, rows) or _uneven(times_s)


def _rounded(rate_hz: float) -> float:
    whole = round(rate_hz)
    return float(whole) if whole and abs(rate_hz - whole) <= _ROUND_SHARE * whole else rate_hz


def _off_clock(times_s: Values, places: NDArray[np.int64], rate_hz: float) -> float:
    """Give how far the times lie off a clock at most, in steps."""
    off_s = times_s - times_s[0] - places / rate_hz
    return float(np.abs(off_s).max()) * rate_hz


def _usual_step_s(times_s: Values) -> float:
    """Give the step between rows that none is missing between: its mean is the exact one."""
    steps = np.diff(times_s)
    middle = float(np.median(steps[steps > 0.0]))
    return float(steps[(steps > 0.0) & (steps <= _LEAP * middle)].mean())


def _with_gaps(times_s: Values, rows: Sequence[int] | range) -> Clock | None:
    """Try a clock on which some rows are missing."""
    rate_hz = _rounded(1.0 / _usual_step_s(times_s))
    places = np.round((times_s - times_s[0]) * rate_hz).astype(np.int64)
    fits = _off_clock(times_s, places, rate_hz) <= 0.25 and (np.diff(places) > 0).all()
    if not fits or places[-1] > _MOST_GROWN * times_s.size:
        return None
    missing = int(places[-1]) + 1 - times_s.size
    first = int(np.argmax(np.diff(places) > 1))
    remark = Remark(
        kind="gap",
        weight="fault",
        text=f"{missing} rows are missing, the first after row {rows[first]} at "
        f"{times_s[first]:.3f} s; they are left empty.",
        fix="Export the recording again; what uses these stretches is left out.",
    )
    return Clock(rate_hz=rate_hz, start_s=float(times_s[0]), places=places, remarks=(remark,))


def _uneven(times_s: Values) -> Clock:
    """Put uneven times on an even clock by straight lines, and say so."""
    steps_ms = 1000.0 * np.diff(times_s)
    rate_hz = _rounded((times_s.size - 1) / float(times_s[-1] - times_s[0]))
    remark = Remark(
        kind="uneven",
        weight="fault",
        text=f"The steps of time vary from {steps_ms.min():.2f} to {steps_ms.max():.2f} ms; the "
        f"values were put on {rate_hz:g} even samples a second by straight lines.",
        fix="Record with a steady clock, or give the rate if the times are wrong.",
    )
    return Clock(
        rate_hz=rate_hz, start_s=float(times_s[0]), times_s=times_s.copy(), remarks=(remark,)
    )
