"""What a signal alone gives away: clipping, held values, drop-outs and spikes."""

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]

_CLIPPED_RUN = 3
"""Equal samples in a row at the extreme of a channel that look clipped (ground sheet 1.7)."""
_FULL_SCALE = 0.98
"""Share of the full scale from which a channel is clipped (ground sheet 1.7)."""
_FLANK_STEPS = 8
"""A smooth peak leaves its top by a step or two; a clipped one by more (own choice)."""
_LONGEST_CLIPPED_S = 0.25
"""A longer run is a held value or a still plate, not a clipped peak (own choice). [s]"""
_TALL = 0.5
"""An extreme below this share of the channel's largest is no peak (own choice)."""
_HELD_S = 0.02
_LONGEST_DROP_S = 0.1
_SPIKE_N = 500.0
"""No body makes a force of a single sample beside both its neighbours by so much (own choice).
[N]"""
_LEAP_SHARE = 0.15
"""Share of the largest force by which a force leaps, if its neighbours hardly move (own choice)."""
_LEAST_LEAP_N = 60.0
_CALM = 0.1
"""A sample moves hardly if by less than this share of the leap beside it (own choice)."""
_LEAST_LEAP_HZ = 400.0
"""At fewer samples a second a landing rises within one of them (own choice). [Hz]"""


def clipped_channels(raw: Values, rate_hz: float, full: float | None) -> list[int]:
    """Find the channels that stay at their extreme, or reach their full scale.

    Parameters
    ----------
    raw
        Samples as stored, shape (channels, n).
    rate_hz
        Samples a second. [Hz]
    full
        Largest sample that the file can hold; None where it is not known.

    Examples
    --------
    >>> wave = 900.0 * np.sin(np.linspace(0.0, 20.0, 2001))
    >>> clipped_channels(np.stack([wave, np.minimum(wave, 700.0)]), 1000.0, None)
    [1]
    """
    return [place for place, row in enumerate(raw) if _is_clipped(row, rate_hz, full)]


def _is_clipped(row: Values, rate_hz: float, full: float | None) -> bool:
    row = row[np.isfinite(row)]
    if row.size < 10 or row.min() == row.max():
        return False
    if full is not None and float(np.abs(row).max()) >= _FULL_SCALE * full:
        return True
    tallest = max(abs(float(row.min())), abs(float(row.max())))
    return any(
        abs(extreme) >= _TALL * tallest and _stays_at(row, extreme, rate_hz)
        for extreme in (float(row.min()), float(row.max()))
    )


def _stays_at(row: Values, extreme: float, rate_hz: float) -> bool:
    """Tell whether a run of equal samples at the extreme is left by a leap."""
    starts, ends = runs(row == extreme)
    lengths = ends - starts
    if not ((lengths >= _CLIPPED_RUN) & (lengths <= _LONGEST_CLIPPED_S * rate_hz)).any():
        return False
    steps = np.abs(np.diff(row))
    least = float(steps[steps > 0.0].min())
    for start, end in zip(starts, ends, strict=True):
        if not _CLIPPED_RUN <= end - start <= _LONGEST_CLIPPED_S * rate_hz:
            continue
        flanks = [steps[place] for place in (start - 1, end - 1) if 0 <= place < steps.size]
        if flanks and max(flanks) > _FLANK_STEPS * least:
            return True
    return False


def runs(where: NDArray[np.bool_]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Give start and end (not included) of every run of True.

    Examples
    --------
    >>> runs(np.array([False, True, True, False, True]))
    (array([1, 4]), array([3, 5]))
    """
    edges = np.diff(np.concatenate([[0], where.astype(np.int8), [0]]))
    return np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)


def held(raw: Values, loaded: NDArray[np.bool_], rate_hz: float) -> list[tuple[int, int]]:
    """Find the stretches in which every channel of a loaded plate stands still.

    Parameters
    ----------
    raw
        Samples as stored, shape (channels, n).
    loaded
        Where the plate is loaded, shape (n,).
    rate_hz
        Samples a second. [Hz]

    Examples
    --------
    >>> raw = np.arange(100.0)[None, :].repeat(2, axis=0)
    >>> raw[:, 40:70] = 40.0
    >>> held(raw, np.full(100, True), 1000.0)
    [(40, 70)]
    """
    same = (np.diff(raw, axis=1) == 0.0).all(axis=0) & loaded[1:] & loaded[:-1]
    starts, ends = runs(same)
    least = max(3, round(_HELD_S * rate_hz))
    return [
        (int(start), int(end) + 1)
        for start, end in zip(starts, ends, strict=True)
        if end - start >= least
    ]


def drop_outs(vertical_n: Values, rate_hz: float, bearing_n: float) -> list[tuple[int, int]]:
    """Find the short stretches of exactly nothing between loaded samples.

    Parameters
    ----------
    vertical_n
        Vertical force of one plate, shape (n,). [N]
    rate_hz
        Samples a second. [Hz]
    bearing_n
        Force on both sides from which it is a drop-out. [N]

    Examples
    --------
    >>> force_n = np.full(50, 700.0)
    >>> force_n[20:24] = 0.0
    >>> drop_outs(force_n, 1000.0, 100.0)
    [(20, 24)]
    """
    starts, ends = runs(vertical_n == 0.0)
    return [
        (int(start), int(end))
        for start, end in zip(starts, ends, strict=True)
        if start > 0
        and end < vertical_n.size
        and end - start <= _LONGEST_DROP_S * rate_hz
        and vertical_n[start - 1] >= bearing_n
        and vertical_n[end] >= bearing_n
    ]


def spikes(vertical_n: Values) -> list[int]:
    """Find single samples that stand off both their neighbours.

    Parameters
    ----------
    vertical_n
        Vertical force of one plate, shape (n,). [N]

    Examples
    --------
    >>> force_n = np.full(50, 700.0)
    >>> force_n[20] = 9000.0
    >>> spikes(force_n)
    [20]
    """
    before, after = np.diff(vertical_n)[:-1], -np.diff(vertical_n)[1:]
    off = (before * after > 0.0) & (np.minimum(np.abs(before), np.abs(after)) > _SPIKE_N)
    return [int(place) + 1 for place in np.flatnonzero(off)]


def leaps(values: Values, rate_hz: float) -> list[int]:
    """Find the samples at which a channel is somewhere else at once, and goes on calmly there.

    A body's force rises over several samples, a landing's too: the steepest steps of open
    recordings stand beside others of a third or more. A piece of another place, or of another
    channel, begins and ends with a step between calm neighbours.

    Parameters
    ----------
    values
        One channel, or the force of one plate, shape (n,).
    rate_hz
        Samples a second; below 400 nothing is told. [Hz]

    Examples
    --------
    >>> force_n = 700.0 + 5.0 * np.sin(np.arange(90.0))
    >>> force_n[40:51] -= 300.0
    >>> leaps(force_n, 1000.0)
    [40, 51]
    """
    if rate_hz < _LEAST_LEAP_HZ or values.size < 8:
        return []
    steps = np.abs(np.diff(np.nan_to_num(values)))
    size = float(np.percentile(np.abs(np.nan_to_num(values)), 99.0))
    beside = np.maximum.reduce([steps[:-4], steps[1:-3], steps[3:-1], steps[4:]])
    tall = steps[2:-2] > max(_LEAST_LEAP_N, _LEAP_SHARE * size)
    return [int(place) + 3 for place in np.flatnonzero(tall & (beside < _CALM * steps[2:-2]))]
