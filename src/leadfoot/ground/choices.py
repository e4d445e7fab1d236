"""What a person may say of a recording, where the file does not know or is wrong."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.ground.recording import Foot, Hand

Axis = Literal["+x", "-x", "+y", "-y", "+z", "-z"]
"""A direction of the laboratory."""

FORCE_UNITS: Mapping[str, float] = {"N": 1.0, "kN": 1000.0, "kgf": 9.80665, "lbf": 4.4482216152605}
"""Newton a unit; the pound-force is exact by definition (NIST SP 811)."""
LENGTH_UNITS: Mapping[str, float] = {"m": 1.0, "cm": 0.01, "mm": 0.001, "in": 0.0254}
MOMENT_UNITS: Mapping[str, float] = {"N·m": 1.0, "N·cm": 0.01, "N·mm": 0.001}
_THICKEST_M = 0.3
"""No turf board on a plate is thicker (own choice). [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """What is known beside the file; None leaves it to be found.

    Attributes
    ----------
    hand
        The golfer's hand.
    target
        The direction of the laboratory in which the target lies, such as ``+y``.
    feet
        The foot on each plate, in the order of the file.
    sign
        1 where the file holds the force of the ground on the person, -1 for the other way.
    rate_hz
        Samples a second. [Hz]
    force_unit, length_unit, moment_unit
        Units of the file.
    mat_m
        Thickness of a board or a mat on the plates. [m]
    depth_m
        How deep the sensors lie under the plate's own surface, instead of the file's. [m]
    z_down
        True where z of a table's axes points down, as in the frame of many plates.
    scale_n
        The person's weight on a scale, with club where it was held. [N]
    confirmed_n
        The weight of an earlier look, which the coach said is about right. [N]

    Raises
    ------
    InputError
        If a unit or a direction is not known.
    OutOfRangeError
        If a number can't be.

    Examples
    --------
    >>> Choices(hand="left", target="+x").mat_m
    0.0
    """

    hand: Hand = "right"
    target: Axis | None = None
    feet: tuple[Foot | None, ...] | None = None
    sign: Literal[1, -1] | None = None
    rate_hz: float | None = None
    force_unit: str | None = None
    length_unit: str | None = None
    moment_unit: str | None = None
    mat_m: float = 0.0
    depth_m: float | None = None
    z_down: bool = False
    scale_n: float | None = None
    confirmed_n: float | None = None

    def __post_init__(self) -> None:
        for kind, unit, known in (
            ("force", self.force_unit, FORCE_UNITS),
            ("length", self.length_unit, LENGTH_UNITS),
            ("moment", self.moment_unit, MOMENT_UNITS),
        ):
            if unit is not None and unit not in known:
                raise InputError(
                    f"{unit!r} is no unit of {kind} that plates are read in.",
                    fix=f"Use one of: {' '.join(known)}.",
                )
        for name, value, low, high in (
            ("Rate", self.rate_hz, 1.0, 200_000.0),
            ("Thickness of the mat", self.mat_m, 0.0, _THICKEST_M),
            ("Depth of the sensors", self.depth_m, 0.0, _THICKEST_M),
            ("Weight on the scale", self.scale_n, 100.0, 3000.0),
            ("Confirmed weight", self.confirmed_n, 100.0, 3000.0),
        ):
            if value is not None and not (math.isfinite(value) and low <= value <= high):
                raise OutOfRangeError(
                    f"{name} is {value:g}; it takes {low:g} to {high:g} in SI units.",
                    fix="Check the number and its unit.",
                )
