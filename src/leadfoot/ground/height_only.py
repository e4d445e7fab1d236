"""Jumps of which only the height is known: mats that time the flight, and reach to a mark.

Peak power is then an estimate by an equation from other people's jumps. It must never stand in one
trend with power measured on a plate.
"""

from dataclasses import dataclass
from typing import Literal

from leadfoot.errors import OutOfRangeError
from leadfoot.ground.jump import height_m_from_flight

By = Literal["flight time", "reach"]

LEAST_HEIGHT_M, GREATEST_HEIGHT_M = 0.03, 1.2
"""Heights that are taken (own choice). [m]"""
LEAST_MASS_KG, GREATEST_MASS_KG = 20.0, 250.0
"""Masses that are taken (own choice). [kg]"""
LOW_BY = (
    "11 to 20 % low: the equation wants the height from standing, and this is from the take-off"
)
REACH_OFF = "on three recorded jumps −3 to +4 % off for Sayers, −13 to −4 % for Harman"


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerEstimate:
    """Peak power by an equation, not measured.

    Attributes
    ----------
    value_w
        The estimate. [W]
    equation
        Its name and form.
    doubt
        How far it may be off, in words.
    label
        Always ``estimate``: it stands beside the number.
    """

    value_w: float
    equation: str
    doubt: str
    label: Literal["estimate"] = "estimate"


@dataclass(frozen=True, slots=True, kw_only=True)
class HeightOnlyJump:
    """A jump by its height alone.

    Attributes
    ----------
    height_m
        From the take-off to the top by flight time; from standing to the top by reach: two
        quantities that must not be compared. [m]
    by
        How the height was found.
    power
        Estimates of the peak power; empty without a body mass.
    """

    height_m: float
    by: By
    power: tuple[PowerEstimate, ...] = ()


def sayers_power_w(height_m: float, mass_kg: float) -> float:
    """Peak power by Sayers: ``60.7 h + 45.3 m - 2055``, h in cm from standing to the top, in W.

    Sayers and others, Medicine and Science in Sports and Exercise 31, 572, 1999, 108 people
    (abstract; the equation second-hand).

    Examples
    --------
    >>> round(sayers_power_w(0.4632, 78.078))
    4294
    """
    _check(height_m, mass_kg)
    return 60.7 * height_m * 100.0 + 45.3 * mass_kg - 2055.0


def harman_power_w(height_m: float, mass_kg: float) -> float:
    """Peak power by Harman: ``61.9 h + 36.0 m - 1822``, h in cm from standing to the top, in W.

    Harman and others, 1991 (from memory). Some pages print the last term with a plus; on three
    recorded jumps that is 67 to 83 % too high, and the minus −4 to −13 %.

    Examples
    --------
    >>> round(harman_power_w(0.4632, 78.078))
    3856
    """
    _check(height_m, mass_kg)
    return 61.9 * height_m * 100.0 + 36.0 * mass_kg - 1822.0


def by_flight_time(flight_s: float, *, mass_kg: float | None = None) -> HeightOnlyJump:
    """A jump on a mat that timed the flight.

    Parameters
    ----------
    flight_s
        Time in the air. [s]
    mass_kg
        Body mass, for estimates of the power. [kg]

    Raises
    ------
    OutOfRangeError
        If height or mass are impossible.

    Examples
    --------
    >>> round(by_flight_time(0.55).height_m, 4)
    0.3708
    """
    return _height_only(height_m_from_flight(flight_s), "flight time", mass_kg)


def by_reach(
    standing_m: float, jumping_m: float, *, mass_kg: float | None = None
) -> HeightOnlyJump:
    """A jump to a mark on the wall: highest reach jumping less highest reach standing.

    Parameters
    ----------
    standing_m, jumping_m
        Heights of the marks. [m]
    mass_kg
        Body mass, for estimates of the power. [kg]

    Raises
    ------
    OutOfRangeError
        If height or mass are impossible.

    Examples
    --------
    >>> jump = by_reach(2.30, 2.7632, mass_kg=78.078)
    >>> [(round(one.value_w), one.label) for one in jump.power]
    [(4294, 'estimate'), (3856, 'estimate')]
    """
    return _height_only(jumping_m - standing_m, "reach", mass_kg)


def _height_only(height_m: float, by: By, mass_kg: float | None) -> HeightOnlyJump:
    _check(height_m, mass_kg if mass_kg is not None else LEAST_MASS_KG)
    if mass_kg is None:
        return HeightOnlyJump(height_m=height_m, by=by)
    doubt = LOW_BY if by == "flight time" else REACH_OFF
    power = (
        PowerEstimate(
            value_w=sayers_power_w(height_m, mass_kg),
            equation="Sayers 1999: 60.7 h/cm + 45.3 m/kg − 2055",
            doubt=doubt,
        ),
        PowerEstimate(
            value_w=harman_power_w(height_m, mass_kg),
            equation="Harman 1991 (from memory): 61.9 h/cm + 36.0 m/kg − 1822",
            doubt=doubt,
        ),
    )
    return HeightOnlyJump(height_m=height_m, by=by, power=power)


def _check(height_m: float, mass_kg: float) -> None:
    ranges = (
        ("Height", height_m, LEAST_HEIGHT_M, GREATEST_HEIGHT_M, "m"),
        ("Mass", mass_kg, LEAST_MASS_KG, GREATEST_MASS_KG, "kg"),
    )
    for name, value, low, high, unit in ranges:
        if not low <= value <= high:
            raise OutOfRangeError(
                f"{name} is {value:g} {unit}; a jump takes {low:g} to {high:g} {unit}.",
                fix="Check the value and its unit.",
            )
