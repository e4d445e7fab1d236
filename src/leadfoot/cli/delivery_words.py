"""A delivery as people write it: the options that ``leadfoot strike`` and ``best`` share."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import typer

from leadfoot.cli.files import bytes_of
from leadfoot.errors import InputError, UnitError
from leadfoot.physics.clubs import Club, club, clubs, clubs_from
from leadfoot.physics.delivery import Delivery
from leadfoot.units import Dimension, parse_written, si_from, si_into

Number = Mapping[str, float | str]


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenDelivery:
    """The options as typed; None where nothing was said."""

    club: str
    clubs: Path | None
    club_speed: str | None
    attack_angle: str | None
    club_path: str | None
    face_angle: str | None
    dynamic_loft: str | None
    strike_toe: str | None
    strike_high: str | None
    hand: Literal["right", "left"]


def club_of(written: WrittenDelivery) -> Club:
    """The club that is meant: one of the coach's own file, or a generic one."""
    if written.clubs is None:
        return club(written.club)
    try:
        text = bytes_of(written.clubs).decode("utf-8")
    except UnicodeDecodeError:
        raise InputError(
            f"File {str(written.clubs)!r} is not UTF-8 text.", fix="Save it as UTF-8."
        ) from None
    return club(written.club, {**clubs(), **clubs_from(text)})


def given(written: WrittenDelivery) -> dict[str, float]:
    """What was said of the delivery, in SI, by the names of `Delivery`."""
    words: tuple[tuple[str, str, str | None, Dimension], ...] = (
        ("club_speed_mps", "--club-speed", written.club_speed, "speed"),
        ("attack_angle_rad", "--attack-angle", written.attack_angle, "angle"),
        ("club_path_rad", "--club-path", written.club_path, "angle"),
        ("face_angle_rad", "--face-angle", written.face_angle, "angle"),
        ("dynamic_loft_rad", "--dynamic-loft", written.dynamic_loft, "angle"),
        ("strike_heel_toe_m", "--strike-toe", written.strike_toe, "length"),
        ("strike_high_low_m", "--strike-high", written.strike_high, "length"),
    )
    return {
        name: si_option(option, text, dimension)
        for name, option, text, dimension in words
        if text is not None
    }


def delivery_of(numbers: Mapping[str, float]) -> Delivery:
    """A whole delivery; what was not said is square and in the middle of the face."""
    for name, option in (
        ("club_speed_mps", "--club-speed"),
        ("dynamic_loft_rad", "--dynamic-loft"),
    ):
        if name not in numbers:
            raise typer.BadParameter("a strike needs it", param_hint=option)
    return Delivery(**numbers)


def si_option(option: str, text: str, dimension: Dimension) -> float:
    """The value of an option in SI."""
    try:
        return si_from(*parse_written(text, dimension))
    except UnitError as error:
        raise typer.BadParameter(str(error), param_hint=option) from error


def speed_unit(*texts: str | None) -> str:
    """The unit of the first speed that was written; mph where there is none."""
    for text in texts:
        if text is not None:
            try:
                return parse_written(text, "speed")[1]
            except UnitError as error:
                raise typer.BadParameter(str(error)) from error
    return "mph"


def length_unit(speed: str) -> str:
    """Yards for who speaks in mph or ft/s, metres for the others."""
    return "yd" if speed in {"mph", "ft/s"} else "m"


def number(value_si: float, unit: str | None) -> Number:
    """A value as the JSON has it; a ratio has no unit."""
    shown = round(si_into(value_si, unit), 4) + 0.0  # never -0.0
    return {"value": shown} if unit is None else {"value": shown, "unit": unit}
