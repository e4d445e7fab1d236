"""The settings of a studio: read from its book, and saved with who saved them."""

import json
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, fields
from types import MappingProxyType
from typing import Any, Final, TypeVar

from leadfoot.desk.desk import Desk
from leadfoot.desk.own_clubs import CLUB_KEY, clubs_read
from leadfoot.desk.settings_port import StoredSetting
from leadfoot.desk.studio import UNIT_CHOICES, Studio, UnitChoice
from leadfoot.errors import InputError, LeadfootError
from leadfoot.physics.conditions import STUDIO, Conditions
from leadfoot.physics.monitor import MonitorErrors
from leadfoot.units import si_from, si_into

UNITS, AIR, ERRORS = "units", "air", "monitor_errors"
"""Keys of the settings in the book."""
_Value = TypeVar("_Value")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """The least and the most that a number may be, in the unit in which it is asked for."""

    label: str
    low: float
    high: float
    unit: str
    si_unit: str | None = None
    """Unit by which it becomes SI; None: by `share`."""
    share: float = 1.0

    def si(self, text: str) -> float:
        """What was typed, in SI.

        Raises
        ------
        InputError
            If it is no number, or lies outside.

        Examples
        --------
        >>> Bounds(label="Humidity", low=0, high=100, unit="%", si_unit="%").si("130")
        Traceback (most recent call last):
        ...
        leadfoot.errors.InputError: Humidity is 130 %; it lies between 0 and 100 %. Type a number
        from 0 to 100, in %.
        """
        fix = f"Type a number from {self.low:g} to {self.high:g}, in {self.unit}."
        try:
            value = float(text.strip().replace("−", "-").replace(",", "."))
        except ValueError:
            raise InputError(f"{self.label} {text.strip()[:40]!r} is no number.", fix=fix) from None
        if not self.low <= value <= self.high:
            raise InputError(
                f"{self.label} is {value:g} {self.unit}; it lies between {self.low:g} and "
                f"{self.high:g} {self.unit}.",
                fix=fix,
            )
        return si_from(value, self.si_unit) if self.si_unit else value * self.share

    def shown(self, value_si: float) -> str:
        """A value in SI as the form shows it."""
        value = si_into(value_si, self.si_unit) if self.si_unit else value_si / self.share
        return f"{round(value, 4):g}"


AIR_BOUNDS: Final[Mapping[str, Bounds]] = MappingProxyType(
    {
        "degC": Bounds(label="Temperature", low=-20.0, high=50.0, unit="°C", si_unit="degC"),
        "degF": Bounds(label="Temperature", low=-4.0, high=122.0, unit="°F", si_unit="degF"),
        "m": Bounds(label="Altitude", low=-400.0, high=4000.0, unit="m", si_unit="m"),
        "ft": Bounds(label="Altitude", low=-1300.0, high=13_000.0, unit="ft", si_unit="ft"),
        "hPa": Bounds(label="Pressure", low=620.0, high=1060.0, unit="hPa", si_unit="hPa"),
        "inHg": Bounds(label="Pressure", low=18.3, high=31.3, unit="inHg", si_unit="inHg"),
        "%": Bounds(label="Humidity", low=0.0, high=100.0, unit="%", si_unit="%"),
    }
)
"""By unit: wherever a lesson is given, between what the air model takes. Our own choice."""

ERROR_BOUNDS: Final[Mapping[str, Bounds]] = MappingProxyType(
    {
        "club_speed_share": Bounds(label="Club speed", low=0.05, high=10, unit="%", share=0.01),
        "ball_speed_share": Bounds(label="Ball speed", low=0.05, high=10, unit="%", share=0.01),
        "spin_rate_share": Bounds(label="Spin", low=0.1, high=50, unit="%", share=0.01),
        "launch_angle_sd_rad": Bounds(
            label="Launch angle", low=0.02, high=5, unit="°", si_unit="deg"
        ),
        "launch_direction_sd_rad": Bounds(
            label="Launch direction", low=0.02, high=5, unit="°", si_unit="deg"
        ),
        "spin_axis_sd_rad": Bounds(label="Spin axis", low=0.05, high=20, unit="°", si_unit="deg"),
        "attack_angle_sd_rad": Bounds(
            label="Attack angle", low=0.05, high=10, unit="°", si_unit="deg"
        ),
        "club_path_sd_rad": Bounds(label="Club path", low=0.05, high=10, unit="°", si_unit="deg"),
        "face_angle_sd_rad": Bounds(label="Face angle", low=0.05, high=10, unit="°", si_unit="deg"),
        "dynamic_loft_sd_rad": Bounds(
            label="Dynamic loft", low=0.05, high=10, unit="°", si_unit="deg"
        ),
        "strike_sd_m": Bounds(label="Place on the face", low=0.1, high=20, unit="mm", si_unit="mm"),
    }
)
"""By field of `MonitorErrors`: one standard deviation of one reading, from better than any
instrument to so poor that it tells nothing. Our own choice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Saved:
    """Who saved a setting last, and when; and what is wrong with it, if it can't be used."""

    setting: StoredSetting
    trouble: str = ""


def studio_of(desk: Desk) -> Studio:
    """What the studio has set; a setting that can't be used counts as not set."""
    return _read(desk.book.settings())[0]


def saved_settings(desk: Desk) -> Mapping[str, Saved]:
    """What was saved, by whom, by key; with what is wrong where it can't be used.

    An export of another version may bring such; it stays in the book until it is saved anew.
    """
    stored = desk.book.settings()
    troubles = _read(stored)[1]
    return MappingProxyType(
        {key: Saved(setting=one, trouble=troubles.get(key, "")) for key, one in stored.items()}
    )


def save_units(desk: Desk, chosen: Mapping[str, str], *, by: str) -> None:
    """Choose the units of the studio.

    Parameters
    ----------
    desk
        Whose book.
    chosen
        Kind to symbol; an empty one is none: each lesson is shown as its own balls were read.
    by
        Who does it.

    Raises
    ------
    InputError
        If a kind or a unit is not one to choose.
    """
    units = _units({kind: unit for kind, unit in chosen.items() if unit})
    kept = {kind: unit for kind, unit in asdict(units).items() if unit is not None}
    _save(desk, UNITS, kept or None, by)


def save_air(desk: Desk, typed: Mapping[str, str], *, by: str) -> None:
    """Say what the air of the studio is like.

    Parameters
    ----------
    desk
        Whose book.
    typed
        ``temperature``, ``humidity``, and ``altitude`` or ``pressure`` (empty: not said), each in
        the unit of the studio.
    by
        Who does it.

    Raises
    ------
    InputError
        If a number can't be one, or both altitude and pressure were given.
    """
    units = studio_of(desk).units
    of = {
        "temperature": ("temperature_k", units.heat),
        "altitude": ("altitude_m", units.height),
        "pressure": ("pressure_pa", units.weight_of_air),
        "humidity": ("humidity_frac", "%"),
    }
    numbers = {
        name: AIR_BOUNDS[unit].si(typed[key])
        for key, (name, unit) in of.items()
        if typed.get(key, "").strip()
    }
    if "altitude_m" in numbers and "pressure_pa" in numbers:
        raise InputError(
            "Both an altitude and a pressure were given; one follows from the other.",
            fix="Give the pressure alone where a barometer shows it, else the altitude.",
        )
    _save(desk, AIR, None if Conditions(**numbers) == STUDIO else numbers, by)


def save_errors(desk: Desk, typed: Mapping[str, str], *, by: str) -> None:
    """Say what the studio's monitor may be off by; an empty field is the usual error.

    Raises
    ------
    InputError
        If a number can't be one.
    """
    usual = MonitorErrors()
    kept = {
        name: bounds.si(typed[name])
        for name, bounds in ERROR_BOUNDS.items()
        if typed.get(name, "").strip()
        and bounds.shown(getattr(usual, name)) != typed[name].strip().replace(",", ".")
    }
    MonitorErrors(**kept)
    _save(desk, ERRORS, kept or None, by)


def set_back(desk: Desk, key: str, *, by: str) -> None:
    """Set a setting back to what is usual.

    Raises
    ------
    InputError
        If there is no such setting.
    """
    if key not in {UNITS, AIR, ERRORS}:
        raise InputError(
            f"{key!r} is no setting.", fix=f"Set one of these back: {UNITS}, {AIR}, {ERRORS}."
        )
    _save(desk, key, None, by)


def _save(desk: Desk, key: str, value: object, by: str) -> None:
    text = None if value is None else json.dumps(value, sort_keys=True, allow_nan=False)
    now = desk.book.settings().get(key)
    if (None if now is None else now.value_json) != text:
        desk.book.save_setting(key, text, by=by, at=desk.clock())


def _read(stored: Mapping[str, StoredSetting]) -> tuple[Studio, Mapping[str, str]]:
    """The studio, and what is wrong with settings that can't be used, by key."""
    troubles: dict[str, str] = {}
    usual = Studio()

    def used(key: str, read: Callable[[Any], _Value], otherwise: _Value) -> _Value:
        if key not in stored:
            return otherwise
        try:
            return read(_table(stored[key].value_json))
        except LeadfootError as error:
            troubles[key] = error.what
        except (ValueError, TypeError):
            troubles[key] = "It is not written as this program writes it."
        return otherwise

    units = used(UNITS, _units, usual.units)
    conditions = used(AIR, lambda found: Conditions(**_numbers(found)), usual.conditions)
    errors = used(ERRORS, lambda found: MonitorErrors(**_numbers(found)), usual.errors)
    own, bad = clubs_read(
        {key: one.value_json for key, one in stored.items() if key.startswith(CLUB_KEY)}
    )
    studio = Studio(units=units, conditions=conditions, errors=errors, own_clubs=own)
    return studio, {**troubles, **bad}


def _table(text: str) -> dict[str, Any]:
    found = json.loads(text)
    if not isinstance(found, dict):
        raise TypeError("A setting is a table of its parts.")
    return found


def _units(found: Mapping[str, str]) -> UnitChoice:
    known = {one.name for one in fields(UnitChoice)}
    for kind, unit in found.items():
        if kind not in known:
            raise InputError(f"No unit is chosen for {kind!r}.", fix=f"Use: {' '.join(known)}.")
        choices = next(units for name, units in UNIT_CHOICES.items() if name == kind)
        if unit not in choices:
            raise InputError(
                f"{unit!r} is no unit of {kind} here.", fix=f"Choose one of: {', '.join(choices)}."
            )
    return UnitChoice(**found)


def _numbers(found: Mapping[str, float]) -> dict[str, float]:
    return {name: float(value) for name, value in found.items()}
