"""Which foot stood on which plate: as said, by target, by name, or by the load at the finish."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError
from leadfoot.ground.choices import Axis, Choices
from leadfoot.ground.frame import direction, nearest_axis
from leadfoot.ground.recording import Foot, Hand, Remark

Values = NDArray[np.float64]

_END_S = 0.5
"""How much of the stance counts at its start and at its end (own choice). [s]"""
_FINISH_SHARE = 0.65
_GROWN = 0.15
"""A golfer ends on the lead foot: it bears this share at the end, and so much more than at the
start (own choice; skilled and less skilled golfers both shift toward it, ground sheet 2)."""
_LEAST_TOGETHER_S = 0.5
"""Two plates that are loaded together for less are stepped on one after the other. [s]"""
_WORDS = {
    "lead": re.compile(r"\blead\b|\bfront\b"),
    "trail": re.compile(r"\btrail\b|\brear\b|\bback\b"),
    "left": re.compile(r"\bleft\b|\blinks\b|\bgauche\b"),
    "right": re.compile(r"\bright\b|\brechts\b|\bdroite?\b"),
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stand:
    """One plate, as much of it as tells the foot.

    Attributes
    ----------
    words
        Its name and the labels of its channels.
    vertical_n
        Vertical force, up positive, shape (n,). [N]
    middle_m
        Where on the floor it bears in the laboratory, shape (3,); None where not known. [m]
    """

    words: str
    vertical_n: Values
    middle_m: Values | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """The foot on each plate, where the target lies, and how both were found."""

    feet: tuple[Foot | None, ...]
    target: Axis
    remarks: tuple[Remark, ...]


def find_standing(
    stands: Sequence[Stand], *, up: Axis, rate_hz: float, threshold_n: float, choices: Choices
) -> Standing:
    """Find the foot on each plate and the direction of the target.

    Parameters
    ----------
    stands
        The plates, in the order of the file.
    up
        Where up is in the laboratory.
    rate_hz
        Samples a second. [Hz]
    threshold_n
        Vertical force from which a plate is loaded. [N]
    choices
        What is known beside the file.

    Raises
    ------
    InputError
        If feet are given for another number of plates.
    """
    if choices.feet is not None and len(choices.feet) != len(stands):
        raise InputError(
            f"Feet are given for {len(choices.feet)} plates; the recording has {len(stands)}.",
            fix="Give lead, trail, both or none for each plate, in the order of the file.",
        )
    usual = choices.target or _usual_target(up)
    loaded = np.array([stand.vertical_n >= threshold_n for stand in stands])
    together = _pair(loaded, rate_hz)
    if choices.feet is None and together is None:
        feet: tuple[Foot | None, ...] = tuple("both" if row.any() else None for row in loaded)
        return Standing(feet=feet, target=usual, remarks=_assumed(choices, usual))
    if choices.feet is not None:
        return _with_target(stands, choices.feet, usual, choices, "as given")
    first, second = together or (0, 1)
    lead, how = _lead(stands, (first, second), loaded, rate_hz, choices)
    if lead is None:
        return Standing(feet=(None,) * len(stands), target=usual, remarks=(_unknown(usual),))
    trail = second if lead == first else first
    by_place: dict[int, Foot] = {lead: "lead", trail: "trail"}
    found = tuple(by_place.get(place) for place in range(len(stands)))
    return _with_target(stands, found, usual, choices, how)


def _usual_target(up: Axis) -> Axis:
    targets: dict[str, Axis] = {"x": "+y", "y": "+x", "z": "+y"}
    return targets[up[1]]


def _pair(loaded: NDArray[np.bool_], rate_hz: float) -> tuple[int, int] | None:
    """Find the two plates that bear a person together for longest, if for long enough."""
    best, most = None, _LEAST_TOGETHER_S * rate_hz
    for first in range(len(loaded)):
        for second in range(first + 1, len(loaded)):
            n = int(np.count_nonzero(loaded[first] & loaded[second]))
            if n >= most:
                best, most = (first, second), n
    return best


def _lead(
    stands: Sequence[Stand],
    pair: tuple[int, int],
    loaded: NDArray[np.bool_],
    rate_hz: float,
    choices: Choices,
) -> tuple[int | None, str]:
    """Tell the plate under the lead foot of two, and how it is told."""
    first, second = (stands[place] for place in pair)
    if choices.target is not None and first.middle_m is not None and second.middle_m is not None:
        ahead = float(direction(choices.target) @ (second.middle_m - first.middle_m))
        if abs(ahead) > 0.05:
            return pair[1] if ahead > 0.0 else pair[0], "by the direction of the target"
    named = [foot_in_words(stand.words, choices.hand) for stand in (first, second)]
    if set(named) == {"lead", "trail"}:
        return pair[named.index("lead")], "by the names of plates or channels"
    both = np.flatnonzero(loaded[pair[0]] & loaded[pair[1]])
    n = max(1, round(_END_S * rate_hz))
    shares = [
        float(first.vertical_n[part].sum())
        / float((first.vertical_n[part] + second.vertical_n[part]).sum())
        for part in (both[:n], both[-n:])
    ]
    how = (
        f"by the load, {100.0 * shares[0]:.0f} % at the start, {100.0 * shares[1]:.0f} % at the end"
    )
    if shares[1] >= _FINISH_SHARE and shares[1] - shares[0] >= _GROWN:
        return pair[0], f"{how} on it"
    if shares[1] <= 1.0 - _FINISH_SHARE and shares[0] - shares[1] >= _GROWN:
        return pair[1], f"{how} on the other"
    return None, how


def foot_in_words(words: str, hand: Hand) -> Foot | None:
    """Tell the foot that a name says, or None.

    Parameters
    ----------
    words
        A name, such as that of a plate.
    hand
        The golfer's hand: a right-hander leads with the left foot.

    Examples
    --------
    >>> foot_in_words("left plate", "right"), foot_in_words("left plate", "left")
    ('lead', 'trail')
    >>> foot_in_words("plate 1", "right") is None
    True
    """
    text = re.sub(r"[\W_\d]+", " ", words).casefold()
    said = {name for name, pattern in _WORDS.items() if pattern.search(text)}
    leading = {"lead", "left" if hand == "right" else "right"}
    if len(said) != 1:
        return None
    return "lead" if said & leading else "trail"


def _with_target(
    stands: Sequence[Stand],
    feet: tuple[Foot | None, ...],
    usual: Axis,
    choices: Choices,
    how: str,
) -> Standing:
    """Take the target to lie from the trail foot to the lead foot, unless it is given."""
    names = ", ".join(f"plate {place + 1} {foot or 'none'}" for place, foot in enumerate(feet))
    remark = Remark(
        kind="feet",
        weight="doubt" if how.startswith("by the load") else "note",
        text=f"Feet: {names}, {how}.",
        fix="Say which foot stood on which plate if this is wrong.",
    )
    places = {foot: stands[place].middle_m for place, foot in enumerate(feet)}
    lead_m, trail_m = places.get("lead"), places.get("trail")
    if choices.target is not None or lead_m is None or trail_m is None:
        return Standing(feet=feet, target=usual, remarks=(remark, *_assumed(choices, usual)))
    target = nearest_axis(lead_m - trail_m)
    note = Remark(
        kind="target",
        weight="note",
        text=f"The target is taken to lie at {target} of the laboratory: from trail to lead foot.",
        fix="Give the direction of the target if this is wrong.",
    )
    return Standing(feet=feet, target=target, remarks=(remark, note))


def _assumed(choices: Choices, usual: Axis) -> tuple[Remark, ...]:
    if choices.target is not None:
        return ()
    return (
        Remark(
            kind="target",
            weight="doubt",
            text=f"Nothing tells where the target lies; {usual} of the laboratory is assumed.",
            fix="Give the direction of the target where it matters; a jump does not need it.",
        ),
    )


def _unknown(usual: Axis) -> Remark:
    return Remark(
        kind="feet",
        weight="doubt",
        text="Nothing tells which foot stood on which plate, nor where the target lies; "
        f"{usual} of the laboratory is assumed.",
        fix="Give the feet or the direction of the target; a jump does not need them.",
    )
