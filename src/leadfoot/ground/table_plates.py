"""The plates of a table: units found, and force, place and moment from the columns there are."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from leadfoot.ground.assemble import LabPlate
from leadfoot.ground.channels import Push, push_of_placed, push_of_six
from leadfoot.ground.choices import FORCE_UNITS, LENGTH_UNITS, MOMENT_UNITS, Choices
from leadfoot.ground.recording import Remark, Sees

Values = NDArray[np.float64]

_LARGEST_M = 1.5
_LARGEST_CM = 60.0
"""Without a unit a centre of pressure up to the first is in m, up to the second in cm, beyond in mm
(own choice)."""
_LONGEST_ARM_M = 1.0
"""Moments over force beyond it can't be in N m (own choice). [m]"""
_APART_M = 0.15
"""Feet that seem nearer than this were each measured from their own plate (own choice). [m]"""
_LEAST_BEARING_N = 50.0
_SAME_POINT_M = 0.02
"""Points nearer than this are one: the sensors' depth moves them apart by some mm. [m]"""


@dataclass(slots=True, kw_only=True)
class PlateColumns:
    """The columns of one plate by quantity, as they stand, and their units."""

    words: str
    values: dict[str, Values] = field(default_factory=dict)
    units: dict[str, str | None] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Units:
    """The units of a table that names none, or of most of its columns."""

    force: str
    length: str
    moment: str
    reason: str


def units_of_columns(
    plates: Collection[PlateColumns], choices: Choices
) -> tuple[Units, list[Remark]]:
    """Find the units of force, place and moment: as given, as stated, else by the size of values.

    Parameters
    ----------
    plates
        The columns of each plate.
    choices
        What is known beside the file.
    """
    remarks: list[Remark] = []
    force = choices.force_unit or _stated(plates, ("fz", "fx", "fy"))
    length = choices.length_unit or _stated(plates, ("cx", "cy"))
    moment = choices.moment_unit or _stated(plates, ("tz", "mx", "my", "mz"))
    named = [name for name, unit in (("force", force), ("length", length)) if unit is not None]
    if force is None:
        force = "N"
        remarks.append(_assumed("force", force))
    if length is None:
        length, has_places = _length_by_size(plates)
        if has_places:
            remarks.append(_assumed("length", length))
    if moment is None:
        moment, has_moments = _moment_by_size(plates, force)
        if has_moments:
            remarks.append(_assumed("moment", moment))
    reason = f"{' and '.join(named)} as stated" if named else "assumed by the size of the values"
    return Units(force=force, length=length, moment=moment, reason=reason), remarks


def _stated(plates: Collection[PlateColumns], names: tuple[str, ...]) -> str | None:
    found = (plate.units.get(name) for name in names for plate in plates)
    return next((unit for unit in found if unit is not None), None)


def _assumed(what: str, unit: str) -> Remark:
    return Remark(
        kind=f"{what}_unit",
        weight="doubt",
        text=f"The table states no unit of {what}; {unit} is assumed by the size of the values.",
        fix=f"Give the unit of {what} if this is wrong.",
    )


def _length_by_size(plates: Collection[PlateColumns]) -> tuple[str, bool]:
    sizes = [
        float(np.nanpercentile(np.abs(plate.values[name][bearing]), 90.0))
        for plate in plates
        for name in ("cx", "cy")
        if name in plate.values and (bearing := _bears(plate)).any()
    ]
    if not sizes:
        return "m", False
    size = max(sizes)
    return ("m" if size <= _LARGEST_M else "cm" if size <= _LARGEST_CM else "mm"), True


def _bears(plate: PlateColumns) -> NDArray[np.bool_]:
    """Tell where a plate bears enough for its place and moment to mean something."""
    size = np.abs(np.nan_to_num(plate.values.get("fz", np.zeros(0))))
    return np.asarray(size > 0.3 * size.max(initial=0.0)) if size.size else np.zeros(0, np.bool_)


def _moment_by_size(plates: Collection[PlateColumns], force: str) -> tuple[str, bool]:
    arms = [
        float(np.nanmedian(np.abs(plate.values[name][bearing] / plate.values["fz"][bearing])))
        / FORCE_UNITS[force]
        for plate in plates
        for name in ("mx", "my")
        if name in plate.values and (bearing := _bears(plate)).any()
    ]
    has_moments = any({"mx", "my", "mz", "tz"} & plate.values.keys() for plate in plates)
    return ("N·mm" if arms and max(arms) > _LONGEST_ARM_M else "N·m"), has_moments


def lab_plates(
    by_plate: Mapping[int, PlateColumns], units: Units, choices: Choices
) -> tuple[list[LabPlate], list[Remark]]:
    """Make plates of columns; a plate without a vertical force is left aside and told.

    Parameters
    ----------
    by_plate
        The columns of each plate by its number.
    units
        Units of columns that state none.
    choices
        What is known beside the file.
    """
    remarks: list[Remark] = []
    plates: list[LabPlate] = []
    placed = _is_placed(by_plate, units)
    for number, columns in sorted(by_plate.items()):
        name = f"plate {number}"
        if "fz" not in columns.values:
            remarks.append(_without_vertical(name, columns))
            continue
        plates.append(_plate(name, columns, units, choices, is_placed=placed))
        remarks += _about_plate(name, columns)
    if len(plates) > 1 and not placed and plates[0].sees != "vertical":
        remarks.append(
            Remark(
                kind="own_places",
                weight="doubt",
                text="The centres of pressure of the plates lie nearer than two feet can: each is "
                "measured on its own plate, so that the one under both feet is not known.",
                fix="Export the centres of pressure in the laboratory's frame.",
            )
        )
    return plates, remarks


def _is_placed(by_plate: Mapping[int, PlateColumns], units: Units) -> bool:
    """Tell whether the places of two plates lie apart as feet do."""
    middles = []
    for columns in by_plate.values():
        bearing = _bears(columns)
        if {"cx", "cy", "fz"} <= columns.values.keys() and bearing.any():
            place = [_si(columns, name, units)[bearing] for name in ("cx", "cy")]
            middles.append(np.nanmedian(np.array(place), axis=1))
    if len(middles) < 2:
        return len(by_plate) == 1
    return float(np.hypot(*(middles[0] - middles[1]))) >= _APART_M


def _si(columns: PlateColumns, name: str, units: Units) -> Values:
    """Give one column in SI, by its own unit or the table's."""
    own = columns.units.get(name)
    if name.startswith("f"):
        factor = FORCE_UNITS[own or units.force]
    elif name.startswith("c"):
        factor = LENGTH_UNITS[own or units.length]
    else:
        factor = MOMENT_UNITS[own or units.moment]
    return columns.values[name] * factor


def _without_vertical(name: str, columns: PlateColumns) -> Remark:
    return Remark(
        kind="unread_plate",
        weight="doubt",
        plate=name,
        text=f"{name.capitalize()} has {', '.join(sorted(columns.values))} and no vertical force; "
        "it is left out.",
        fix="Say which column is its vertical force.",
    )


def _about_plate(name: str, columns: PlateColumns) -> list[Remark]:
    """Say what a plate with sideways forces lacks."""
    has = columns.values.keys()
    knows_place = {"cx", "cy"} <= has or {"mx", "my"} <= has
    if not {"fx", "fy"} <= has or knows_place:
        return []
    return [
        Remark(
            kind="no_place",
            weight="doubt",
            plate=name,
            text=f"{name.capitalize()} has three forces and neither moments nor a centre of "
            "pressure: where the force acts is not known.",
            fix="Export moments or the centre of pressure as well.",
        )
    ]


def _plate(
    name: str, columns: PlateColumns, units: Units, choices: Choices, *, is_placed: bool
) -> LabPlate:
    n = columns.values["fz"].size
    has = columns.values.keys()
    column = {
        key: _si(columns, key, units) if key in has else np.full(n, np.nan)
        for key in ("fx", "fy", "fz", "mx", "my", "mz", "tz", "cx", "cy")
    }
    sees: Sees = "vertical_and_cop" if {"cx", "cy"} <= has else "vertical"
    place_m: Values | None = np.stack([column["cx"], column["cy"]])
    push = Push(force_n=_three(column, "f"), moment_nm=np.full((3, n), np.nan))
    if {"fx", "fy"} <= has:
        sees, place_m = "six_channels", None
        push = _push(column, has, choices)
    return LabPlate(
        name=name,
        words=columns.words,
        push=push,
        axes=np.diag([1.0, -1.0, -1.0]) if choices.z_down else np.eye(3),
        centre_m=np.zeros(3),
        corners_m=None,
        raw=np.stack(list(columns.values.values())),
        place_m=place_m,
        sees=sees,
        is_placed=is_placed,
    )


def _three(column: Mapping[str, Values], letter: str) -> Values:
    return np.stack([column[f"{letter}{axis}"] for axis in "xyz"])


def _push(column: Mapping[str, Values], has: Collection[str], choices: Choices) -> Push:
    """Force and moment at the surface from places and twist, or from moments."""
    force_n = _three(column, "f")
    up = -1.0 if choices.z_down else 1.0
    if not {"cx", "cy"} <= set(has):
        over_m = (choices.depth_m or 0.0) + choices.mat_m
        return push_of_six(force_n, _three(column, "m"), np.array([0.0, 0.0, up * over_m]))
    place_m = np.stack([column["cx"], column["cy"]])
    twist_nm = column["tz"]
    if "tz" not in has:  # the moment about z is about the middle of the plate: turn it to the place
        x, y = place_m - _middle_m(column)[:, None]
        twist_nm = column["mz"] - x * force_n[1] + y * force_n[0]
    push = push_of_placed(force_n, place_m, twist_nm)
    return push_of_six(force_n, push.moment_nm, np.array([0.0, 0.0, up * choices.mat_m]))


def _middle_m(column: Mapping[str, Values]) -> Values:
    """Find the point that the moments are about: where they put the force, against its place."""
    size = np.abs(np.nan_to_num(column["fz"]))
    bears = size > max(_LEAST_BEARING_N, 0.3 * float(size.max(initial=0.0)))
    if not bears.any() or np.isnan(column["mx"]).all() or np.isnan(column["my"]).all():
        return np.zeros(2)
    fz = column["fz"][bears]
    x = column["cx"][bears] + column["my"][bears] / fz
    y = column["cy"][bears] - column["mx"][bears] / fz
    middle = np.nanmedian(np.stack([x, y]), axis=1)
    return np.where(np.abs(middle) < _SAME_POINT_M, 0.0, middle)
