"""Exact factors between the units that people use and SI: used where people type or read.

The mile, yard, foot and inch are exact by the international yard and pound agreement (1959):
1 yd = 0.9144 m (NIST Special Publication 811, 2008, appendix B.8). Degrees and revolutions are
exact by definition. So are the forces of a kilogram and of a pound at standard gravity.
"""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from leadfoot.errors import UnitError

Dimension = Literal[
    "speed", "length", "angle", "spin", "time", "temperature", "pressure", "share", "force"
]
"""The kinds of quantity that a unit can measure."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """A unit of measure: ``si = value * si_per_unit + si_offset``.

    Examples
    --------
    >>> UNITS["mph"].si_per_unit
    0.44704
    """

    symbol: str
    dimension: Dimension
    si_per_unit: float
    si_offset: float = 0.0
    spellings: tuple[str, ...] = ()


def _units() -> Mapping[str, Unit]:
    rows: list[tuple[str, Dimension, float, float, str]] = [
        ("m/s", "speed", 1.0, 0.0, "mps m/sec ms-1 m·s⁻¹"),
        ("mph", "speed", 0.44704, 0.0, "mi/h miles/h"),
        ("km/h", "speed", 1 / 3.6, 0.0, "kmh kph km/hr"),
        ("ft/s", "speed", 0.3048, 0.0, "fps ft/sec"),
        ("m", "length", 1.0, 0.0, "meter meters metre metres mtr mts"),
        ("yd", "length", 0.9144, 0.0, "yds yard yards"),
        ("ft", "length", 0.3048, 0.0, "feet foot '"),
        ("in", "length", 0.0254, 0.0, 'inch inches "'),
        ("cm", "length", 0.01, 0.0, "centimeter centimetre"),
        ("mm", "length", 0.001, 0.0, "millimeter millimetre"),
        ("rad", "angle", 1.0, 0.0, "radian radians"),
        ("deg", "angle", math.pi / 180.0, 0.0, "° º degree degrees degs"),
        ("rpm", "spin", math.pi / 30.0, 0.0, "r/min rev/min 1/min min-1"),
        ("rad/s", "spin", 1.0, 0.0, ""),
        ("s", "time", 1.0, 0.0, "sec secs second seconds"),
        ("K", "temperature", 1.0, 0.0, "kelvin"),
        ("degC", "temperature", 1.0, 273.15, "°c c celsius"),
        ("degF", "temperature", 5.0 / 9.0, 273.15 - 32.0 * 5.0 / 9.0, "°f f fahrenheit"),
        ("Pa", "pressure", 1.0, 0.0, "pascal"),
        ("hPa", "pressure", 100.0, 0.0, "mbar millibar"),
        ("inHg", "pressure", 3386.389, 0.0, "in.hg"),
        ("N", "force", 1.0, 0.0, "newton newtons"),
        ("kN", "force", 1000.0, 0.0, ""),
        ("kgf", "force", 9.80665, 0.0, "kg kp"),
        ("lbf", "force", 4.4482216152605, 0.0, "lb lbs"),
        ("%", "share", 0.01, 0.0, "percent pct"),
    ]
    return MappingProxyType(
        {
            symbol: Unit(
                symbol=symbol,
                dimension=dimension,
                si_per_unit=factor,
                si_offset=offset,
                spellings=tuple(spellings.split()),
            )
            for symbol, dimension, factor, offset, spellings in rows
        }
    )


UNITS: Mapping[str, Unit] = _units()
"""All units by their symbol. Inches of mercury: NIST SP 811, conventional value at 0 °C."""

_BY_SPELLING: Mapping[str, str] = MappingProxyType(
    {
        spelling.casefold(): unit.symbol
        for unit in UNITS.values()
        for spelling in (unit.symbol, *unit.spellings)
    }
)


def find_unit(text: str) -> Unit | None:
    """Find a unit by any of its spellings, or None.

    Parameters
    ----------
    text
        The unit as people write it; case and blanks around it do not matter.

    Examples
    --------
    >>> find_unit("Yards").symbol
    'yd'
    >>> find_unit("furlongs") is None
    True
    """
    symbol = _BY_SPELLING.get(text.strip().casefold().rstrip("."))
    return UNITS[symbol] if symbol else None


def unit_named(symbol: str) -> Unit:
    """Look up a unit by its symbol or a spelling.

    Raises
    ------
    UnitError
        If no such unit is known.

    Examples
    --------
    >>> unit_named("yd").si_per_unit
    0.9144
    """
    unit = find_unit(symbol)
    if unit is None:
        raise UnitError(f"Unit {symbol!r} is not known.", fix=f"Use one of: {' '.join(UNITS)}.")
    return unit


def si_from(value: float, symbol: str | None) -> float:
    """Turn a value in a unit people use into SI; a ratio (no unit) stays as it is.

    Examples
    --------
    >>> si_from(100.0, "mph")
    44.704
    """
    if symbol is None:
        return value
    unit = unit_named(symbol)
    return value * unit.si_per_unit + unit.si_offset


def si_into(value: float, symbol: str | None) -> float:
    """Turn an SI value into a unit people use; a ratio (no unit) stays as it is.

    Examples
    --------
    >>> round(si_into(44.704, "mph"), 9)
    100.0
    """
    if symbol is None:
        return value
    unit = unit_named(symbol)
    return (value - unit.si_offset) / unit.si_per_unit


_WRITTEN = re.compile(r"^\s*([+\-−]?\d+(?:[.,]\d+)?)\s*(\S.*?)?\s*$")


def parse_written(text: str, dimension: Dimension) -> tuple[float, str]:
    """Read a quantity as people write it, such as ``160mph`` or ``11.5 deg``.

    Parameters
    ----------
    text
        Number and unit, with or without a blank between them.
    dimension
        The kind of quantity that is expected.

    Returns
    -------
    tuple of float and str
        The value as written and the symbol of its unit.

    Raises
    ------
    UnitError
        If there is no number, no unit, or a unit of another kind.

    Examples
    --------
    >>> parse_written("160mph", "speed")
    (160.0, 'mph')
    """
    choices = " ".join(u.symbol for u in UNITS.values() if u.dimension == dimension)
    found = _WRITTEN.match(text)
    if found is None:
        raise UnitError(
            f"{text!r} is not a number with a unit.",
            fix=f"Write it like 12.5{choices.split()[0]}; units for {dimension}: {choices}.",
        )
    if not found[2]:
        raise UnitError(f"{text!r} has no unit.", fix=f"Add one of: {choices}.")
    unit = find_unit(found[2])
    if unit is None or unit.dimension != dimension:
        raise UnitError(
            f"{found[2]!r} in {text!r} is not a unit of {dimension}.",
            fix=f"Use one of: {choices}.",
        )
    return float(found[1].replace(",", ".").replace("−", "-")), unit.symbol
