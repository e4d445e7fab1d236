"""Swings of a block together: the mean of each number with its band, and block against block."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import stdtr, stdtrit

from leadfoot.errors import InputError
from leadfoot.ground.swing import PressureSwing
from leadfoot.ground.swing_numbers import numbers_of

ENOUGH_SWINGS = 5
"""Swings below which a block says too little (own choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockNumber:
    """One number over a block.

    Attributes
    ----------
    key, label, unit
        As in one swing.
    mean, sd
        Mean and standard deviation from swing to swing (n - 1; NaN for one swing).
    low, high
        Nine in ten for the mean, by Student's t; NaN for one swing.
    n
        Swings that have the number.
    """

    key: str
    label: str
    unit: str
    mean: float
    sd: float
    low: float
    high: float
    n: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockChange:
    """One number of two blocks of one golfer, same club, same warm-up.

    Attributes
    ----------
    key, label, unit
        As in one swing.
    change, low, high
        Mean of the later block less the earlier, and nine in ten for it (Welch's t).
    odds_more
        Probability that it grew, by the same t.
    enough
        False: fewer than five swings on a side.
    """

    key: str
    label: str
    unit: str
    change: float
    low: float
    high: float
    odds_more: float
    enough: bool


def block_of(swings: Sequence[PressureSwing]) -> tuple[BlockNumber, ...]:
    """Mean and band of every number over some swings.

    Parameters
    ----------
    swings
        One or more, all found in one way.

    Raises
    ------
    InputError
        If there is none, or rate, filter or device differ.

    Examples
    --------
    >>> from leadfoot.ground.made_swing import usual_swing
    >>> from leadfoot.ground.phases import Impact
    >>> from leadfoot.ground.swing import swing_of
    >>> made = usual_swing()
    >>> rng = np.random.default_rng(1)
    >>> swings = [swing_of(made.recording(1000.0, rng=rng, noise_n=2.0),
    ...     Impact(time_s=made.impact_s, source="trigger channel")) for _ in range(3)]
    >>> lead = block_of(swings)[1]
    >>> lead.label, round(lead.mean), lead.n
    ('lead foot, peak', 505, 3)
    """
    check_one_way(swings)
    columns: dict[str, list[float]] = {}
    named = {}
    for swing in swings:
        for number in numbers_of(swing):
            columns.setdefault(number.key, []).append(number.value)
            named[number.key] = number
    return tuple(
        _summed(key, named[key].label, named[key].unit, values) for key, values in columns.items()
    )


def change_of_blocks(
    before: Sequence[PressureSwing], after: Sequence[PressureSwing]
) -> tuple[BlockChange, ...]:
    """Compare two blocks of one golfer, number by number.

    Parameters
    ----------
    before, after
        Two swings or more each, all found in one way.

    Raises
    ------
    InputError
        If a block has fewer than two swings, or they were found in different ways.

    Notes
    -----
    Many numbers are compared at once: some of them will seem to change by luck alone. Choose the
    one number that the change was meant for before looking.

    Examples
    --------
    >>> from leadfoot.ground.made_swing import usual_swing
    >>> from leadfoot.ground.phases import Impact
    >>> from leadfoot.ground.swing import swing_of
    >>> made = usual_swing()
    >>> rng = np.random.default_rng(1)
    >>> swings = [swing_of(made.recording(500.0, rng=rng, noise_n=2.0),
    ...     Impact(time_s=made.impact_s, source="trigger channel")) for _ in range(4)]
    >>> change_of_blocks(swings[:2], swings[2:])[1].enough
    False
    """
    if min(len(before), len(after)) < 2:
        raise InputError(
            f"The blocks have {len(before)} and {len(after)} swings.",
            fix="Record two swings or more in each; five or more say something.",
        )
    check_one_way([*before, *after])
    later = {one.key: one for one in block_of(after)}
    pairs = [(one, later[one.key]) for one in block_of(before) if one.key in later]
    return tuple(_change(one, other) for one, other in pairs if min(one.n, other.n) >= 2)


def check_one_way(swings: Sequence[PressureSwing]) -> None:
    """Refuse swings that were found in different ways.

    Raises
    ------
    InputError
        If there is none, or rate, filter or device differ.
    """
    if not swings:
        raise InputError("The block has no swing.", fix="Give one recording or more.")
    ways = {(type(one).__name__, one.peaks.rate_hz, one.peaks.filter) for one in swings}
    if len(ways) > 1:
        rates = sorted({f"{one.peaks.rate_hz:g} Hz" for one in swings})
        raise InputError(
            f"The swings were recorded in different ways ({', '.join(rates)}).",
            fix="Compare only swings of one device, rate and filter.",
        )


def _summed(key: str, label: str, unit: str, values: list[float]) -> BlockNumber:
    mean, n = float(np.mean(values)), len(values)
    sd = float(np.std(values, ddof=1)) if n > 1 else float("nan")
    reach = float(stdtrit(n - 1, 0.95)) * sd / n**0.5 if n > 1 else float("nan")
    return BlockNumber(
        key=key,
        label=label,
        unit=unit,
        mean=mean,
        sd=sd,
        low=mean - reach,
        high=mean + reach,
        n=n,
    )


def _change(one: BlockNumber, other: BlockNumber) -> BlockChange:
    change = other.mean - one.mean
    parts = (one.sd**2 / one.n, other.sd**2 / other.n)
    error = sum(parts) ** 0.5
    if error > 0.0:
        freedom = error**4 / (parts[0] ** 2 / (one.n - 1) + parts[1] ** 2 / (other.n - 1))
        reach = float(stdtrit(freedom, 0.95)) * error
        odds = float(stdtr(freedom, change / error))
    else:
        reach, odds = 0.0, 0.5 if change == 0.0 else float(change > 0.0)
    return BlockChange(
        key=one.key,
        label=one.label,
        unit=one.unit,
        change=change,
        low=change - reach,
        high=change + reach,
        odds_more=odds,
        enough=min(one.n, other.n) >= ENOUGH_SWINGS,
    )
