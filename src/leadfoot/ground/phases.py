"""The parts of a swing as far as plates can see them, and the strike, which they cannot see."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError
from leadfoot.ground.body_weight import Weighing
from leadfoot.ground.recording import Recording

Values = NDArray[np.float64]
ImpactFrom = Literal["launch monitor", "trigger channel", "mark in the file", "set by hand"]

CLOCK_DOUBT_S = 0.02
"""Doubt of a strike by another clock (own choice). [s]"""
HAND_DOUBT_S = 0.01
"""Doubt of a strike set by hand in a picture (own choice). [s]"""
TRIGGER_SHARE = 0.5
"""A trigger fires where its signal crosses this share of the way from rest to its extreme (common
practice, no source). [-]"""
REST_S = 0.1
"""Time from the start of a recording in which a trigger rests (own choice). [s]"""
MOVE_SD = 5.0
"""The load moves where it leaves its mean by so many standard deviations ..."""
MOVE_SHARE, SHEAR_SHARE = 0.02, 0.01
"""... and by this share of body weight at least, vertical and sideways (own choice) ..."""
MOVE_LASTS_S = 0.05
"""... for so long (own choice). [s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Impact:
    """When the club meets the ball, and who says so; plates alone do not know.

    Attributes
    ----------
    time_s
        On the clock of the recording. [s]
    source
        Who says so.
    doubt_s
        Standard uncertainty. [s]
    """

    time_s: float
    source: ImpactFrom
    doubt_s: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SwingPhases:
    """What the plates see of a swing, in s on the clock of the recording.

    The top of the backswing, and where the club is, they do not see. `turn_s` stands for the start
    of the downswing: there the load turns from the trail foot to the lead foot.

    Attributes
    ----------
    address_s
        Start of the quiet window.
    first_move_s
        Where the load first leaves its quiet place.
    turn_s
        Where the lead foot bears its smallest share before the strike.
    turn_from
        ``load`` or ``set by hand``.
    impact_s
        The strike; None where nobody said when.
    """

    address_s: float
    first_move_s: float
    turn_s: float
    turn_from: Literal["load", "set by hand"]
    impact_s: float | None


def impact_by_clock(monitor_s: float, recording_start_s: float) -> Impact:
    """The strike by the launch monitor's clock.

    Parameters
    ----------
    monitor_s, recording_start_s
        Strike and first sample on one common clock. [s]

    Examples
    --------
    >>> impact_by_clock(1000.25, 998.0).time_s
    2.25
    """
    return Impact(
        time_s=monitor_s - recording_start_s, source="launch monitor", doubt_s=CLOCK_DOUBT_S
    )


def impact_of(recording: Recording, *, by_hand_s: float | None = None) -> Impact | None:
    """The strike as set by hand, else as marked in the file, else by the trigger; None if by none.

    Parameters
    ----------
    recording
        With or without trigger and marks.
    by_hand_s
        On the clock of the recording. [s]

    Raises
    ------
    InputError
        If the time that was set does not lie in the recording.

    Examples
    --------
    >>> from leadfoot.ground.recording import Plate
    >>> plate = Plate(name="p", foot="both", force_n=np.zeros((5, 3)), cop_m=np.zeros((5, 2)),
    ...               free_moment_nm=np.zeros(5))
    >>> trigger = np.array([0.0, 0.0, 0.0, 5.0, 5.0])
    >>> impact_of(Recording(rate_hz=10.0, plates=(plate,), trigger=trigger)).time_s
    0.3
    """
    if by_hand_s is not None:
        first_s, last_s = float(recording.time_s[0]), float(recording.time_s[-1])
        if not first_s <= by_hand_s <= last_s:
            raise InputError(
                f"The strike at {by_hand_s:g} s does not lie in the recording of {first_s:g} to "
                f"{last_s:g} s.",
                fix="Give the time on the clock of the recording.",
            )
        return Impact(time_s=by_hand_s, source="set by hand", doubt_s=HAND_DOUBT_S)
    for mark in recording.marks:
        if mark.label.strip().lower() in ("impact", "strike", "contact", "ball contact"):
            return Impact(time_s=mark.time_s, source="mark in the file", doubt_s=HAND_DOUBT_S)
    if recording.trigger is None:
        return None
    place = _fires(recording.trigger, recording.rate_hz)
    if place is None:
        return None
    return Impact(
        time_s=float(recording.time_s[place]),
        source="trigger channel",
        doubt_s=1.0 / recording.rate_hz,
    )


def first_move(signals: Sequence[tuple[Values, float]], rate_hz: float, *, still: slice) -> int:
    """Sample at which the first of some signals leaves its quiet place for good.

    Parameters
    ----------
    signals
        Smoothed, each of shape (n,), with the least change that counts, in its own unit.
    rate_hz
        Samples a second. [Hz]
    still
        The quiet samples.

    Raises
    ------
    InputError
        If none ever moves.

    Examples
    --------
    >>> load_n = np.where(np.arange(2000) < 1500, 400.0, 500.0)
    >>> first_move([(load_n, 16.0)], 1000.0, still=slice(0, 1000))
    1500
    """
    count = max(1, round(MOVE_LASTS_S * rate_hz))
    found = []
    for values, least in signals:
        quiet = values[still]
        limit = max(MOVE_SD * float(quiet.std(ddof=1)), least)
        away = np.abs(values[still.stop :] - quiet.mean()) > limit
        inside = np.concatenate(([0], np.cumsum(away)))
        lasting = np.flatnonzero(inside[count:] - inside[:-count] == count)
        found += [int(still.stop + place) for place in lasting[:1]]
    if not found:
        raise InputError(
            "The load never leaves its quiet place.", fix="Check that the recording holds a swing."
        )
    return min(found)


def quiet_part(weighing: Weighing, rate_hz: float) -> slice:
    """The samples of a weighing."""
    first = round(weighing.start_s * rate_hz)
    return slice(first, first + round(weighing.length_s * rate_hz))


def _fires(trigger: Values, rate_hz: float) -> int | None:
    rest = float(np.nanmedian(trigger[: max(1, round(REST_S * rate_hz))]))
    off = np.abs(np.nan_to_num(trigger, nan=rest) - rest)
    if float(off.max()) <= 0.0:
        return None
    return int(np.argmax(off >= TRIGGER_SHARE * off.max()))
