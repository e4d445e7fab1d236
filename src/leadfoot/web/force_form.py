"""The form in which a recording is corrected: what was said of it, as typed and back."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, cast, get_args

from starlette.datastructures import FormData

from leadfoot.desk.force_words import Said
from leadfoot.desk.recordings import Found
from leadfoot.errors import InputError
from leadfoot.ground.choices import FORCE_UNITS, LENGTH_UNITS, MOMENT_UNITS, Axis, Choices
from leadfoot.ground.recording import Foot
from leadfoot.ground.table_columns import ForceMapping, ForceRule
from leadfoot.ground.table_terms import QUANTITIES, UNITS_OF
from leadfoot.web.page import said

AXES: tuple[str, ...] = get_args(Axis)
FEET: tuple[tuple[str, str], ...] = (
    ("", "as found"),
    ("lead", "lead foot"),
    ("trail", "trail foot"),
    ("both", "both feet"),
    ("none", "nobody"),
)
QUANTITY_WORDS: Mapping[str, str] = {
    "time": "time",
    "fx": "force x",
    "fy": "force y",
    "fz": "vertical force",
    "mx": "moment x",
    "my": "moment y",
    "mz": "moment z",
    "tz": "free moment",
    "cx": "centre of pressure x",
    "cy": "centre of pressure y",
    "trigger": "trigger",
}
UNITS: tuple[str, ...] = tuple(unit for units in UNITS_OF.values() for unit in units)
GRAVITY_MPS2 = 9.80665


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """The choices as the form shows them."""

    values: Mapping[str, str]
    feet: tuple[str, ...]


def typed_of(found: Found) -> Typed:
    """What stands in the form of a recording."""
    choices = found.said.choices
    n_plates = 0 if found.recording is None else len(found.recording.plates)
    feet = choices.feet or ()
    return Typed(
        values={
            "hand": choices.hand,
            "target": choices.target or "",
            "sign": {1: "ground", -1: "person", None: ""}[choices.sign],
            "rate": _text(choices.rate_hz, 1.0),
            "force_unit": choices.force_unit or "",
            "length_unit": choices.length_unit or "",
            "moment_unit": choices.moment_unit or "",
            "mat": _text(choices.mat_m or None, 1000.0),
            "depth": _text(choices.depth_m, 1000.0),
            "mass": _text(choices.scale_n, 1.0 / GRAVITY_MPS2),
            "confirmed": _text(choices.confirmed_n, 1.0 / GRAVITY_MPS2),
            "stature": _text(found.said.stature_m, 100.0),
            "turn": _text(found.said.turn_s, 1.0),
        },
        feet=tuple("none" if foot is None else foot for foot in feet) or ("",) * n_plates,
    )


def said_in(form: FormData) -> Said:
    """What the form says.

    Raises
    ------
    InputError
        If a number can't be read, or only some plates have a foot.
    """
    values: dict[str, Any] = {
        "hand": "left" if said(form, "hand") == "left" else "right",
        "target": _one_of(said(form, "target"), AXES, "direction of the target"),
        "feet": _feet(form),
        "sign": {"ground": 1, "person": -1}.get(said(form, "sign")),
        "rate_hz": _number(form, "rate", "The rate", 1.0),
        "force_unit": _one_of(said(form, "force_unit"), tuple(FORCE_UNITS), "unit of force"),
        "length_unit": _one_of(said(form, "length_unit"), tuple(LENGTH_UNITS), "unit of length"),
        "moment_unit": _one_of(said(form, "moment_unit"), tuple(MOMENT_UNITS), "unit of moment"),
        "mat_m": _number(form, "mat", "The thickness of the mat", 1e-3) or 0.0,
        "depth_m": _number(form, "depth", "The depth of the sensors", 1e-3),
        "scale_n": _number(form, "mass", "The weight on a scale", GRAVITY_MPS2),
        "confirmed_n": _number(form, "confirmed", "The confirmed weight", GRAVITY_MPS2),
        "z_down": said(form, "z_down") == "yes",
    }
    stature_m = _number(form, "stature", "The height of the golfer", 1e-2)
    if stature_m is not None and not 1.0 <= stature_m <= 2.5:
        raise InputError(
            f"The height of the golfer is {100.0 * stature_m:g} cm.",
            fix="Give 100 to 250 cm, or leave it empty.",
        )
    return Said(
        choices=Choices(**values),
        stature_m=stature_m,
        turn_s=_number(form, "turn", "The start of the downswing", 1.0),
    )


def mapping_in(form: FormData) -> ForceMapping | None:
    """What the columns hold as the form says; None where it names none.

    Raises
    ------
    MappingError
        If a column can't be so.
    """
    rules = []
    k = 0
    while f"header-{k}" in form:
        quantity, plate = said(form, f"quantity-{k}"), said(form, f"plate-{k}")
        known = quantity if quantity in QUANTITIES else None
        bare = known is None or known == "trigger"
        alone = bare or known == "time"
        rules.append(
            ForceRule(
                header=said(form, f"header-{k}"),
                quantity=cast("Any", known),
                plate=int(plate) if plate.isdecimal() and not alone else None,
                unit=None if bare else said(form, f"unit-{k}") or None,
            )
        )
        k += 1
    return ForceMapping(columns=tuple(rules)) if rules else None


def number_in(text: str, name: str) -> float:
    """A number as people write it.

    Raises
    ------
    InputError
        If it is none.
    """
    try:
        value = float(text.strip().replace(",", ".").replace("−", "-"))
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise InputError(f"{name} is {text!r}, which is no number.", fix="Type a number.")
    return value


def clock_in(text: str, name: str) -> float:
    """A time of day such as 14:03:22.412, or seconds on any clock, in s.

    Examples
    --------
    >>> clock_in("0:01:02.5", "The strike"), clock_in("62,5", "The strike")
    (62.5, 62.5)
    """
    seconds = 0.0
    for part in text.strip().split(":"):
        seconds = 60.0 * seconds + number_in(part, name)
    return seconds


def _feet(form: FormData) -> tuple[Foot | None, ...] | None:
    words = [one for one in form.getlist("foot") if isinstance(one, str)]
    if not any(words):
        return None
    if not all(words):
        raise InputError(
            "A foot is given for some plates and not for others.",
            fix="Choose for every plate, or leave all as found.",
        )
    known = {"lead", "trail", "both"}
    return tuple(cast("Foot", word) if word in known else None for word in words)


def _number(form: FormData, key: str, name: str, si_per_unit: float) -> float | None:
    text = said(form, key)
    return number_in(text, name) * si_per_unit if text.strip() else None


def _one_of(text: str, known: tuple[str, ...], what: str) -> str | None:
    if text and text not in known:
        raise InputError(f"{text!r} is no {what}.", fix=f"Use one of: {' '.join(known)}.")
    return text or None


def _text(value: float | None, per_si: float) -> str:
    return "" if value is None else f"{value * per_si:.6g}"
