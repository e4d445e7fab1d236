"""``leadfoot strike``: from a delivery to the ball, or from a ball to the delivery."""

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import typer
from rich.console import Console
from rich.table import Table

from leadfoot.cli.delivery_words import (
    WrittenDelivery,
    club_of,
    delivery_of,
    given,
    length_unit,
    number,
    si_option,
    speed_unit,
)
from leadfoot.physics.clubs import Club
from leadfoot.physics.delivery import DELIVERY_RANGES, many_of
from leadfoot.physics.explanation import Explanation, one_of
from leadfoot.physics.flight import fly
from leadfoot.physics.impact import strike, strike_many
from leadfoot.physics.inverse import Known, explain_many
from leadfoot.units import Dimension, si_into

MODEL = "rigid impulse of a turning head and a uniform sphere, that grips or slides"


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenBall:
    """The options of the ball as typed; None where nothing was said."""

    ball_speed: str | None
    launch_angle: str | None
    spin_rate: str | None
    launch_direction: str | None
    spin_axis: str | None


def run(delivery: WrittenDelivery, ball: WrittenBall, *, as_json: bool) -> None:
    """Strike the ball, or explain it, and print the answer."""
    struck = club_of(delivery)
    speed = speed_unit(ball.ball_speed, delivery.club_speed)
    if any(getattr(ball, name) is not None for name in WrittenBall.__slots__):
        form = _inverse(delivery, ball, struck, speed)
    else:
        form = _forward(delivery, struck, speed)
    form = {"schema": "leadfoot.strike/1", **form, "club": struck.name, "model": MODEL}
    if as_json:
        typer.echo(json.dumps(form, ensure_ascii=False, allow_nan=False))
    else:
        _show(form)


def _forward(written: WrittenDelivery, struck: Club, speed: str) -> dict[str, Any]:
    swing = delivery_of(given(written))
    launch = strike(swing, struck, hand=written.hand)
    flight = fly(launch)
    slid = bool(strike_many(many_of(swing), struck, hand=written.hand).slid[0])
    length = length_unit(speed)
    flags = (*flight.flags, *(("the ball slid on the face",) if slid else ()))
    return {
        "way": "forward",
        "ball_speed": number(launch.ball_speed_mps, speed),
        "launch_angle": number(launch.launch_angle_rad, "deg"),
        "launch_direction": number(launch.launch_direction_rad, "deg"),
        "spin_rate": number(launch.spin_rate_radps, "rpm"),
        "spin_axis": number(launch.spin_axis_rad, "deg"),
        "smash_factor": number(launch.ball_speed_mps / swing.club_speed_mps, None),
        "spin_loft": number(swing.spin_loft_rad, "deg"),
        "carry": number(flight.carry_m, length),
        "offline": number(flight.offline_m, length),
        "flags": list(flags),
    }


def _inverse(
    written: WrittenDelivery, ball: WrittenBall, struck: Club, speed: str
) -> dict[str, Any]:
    known = given(written)
    found = one_of(
        explain_many(*_ball(ball), club=struck, known=Known(**known), hand=written.hand),
        0,
    )
    units = dict(zip(DELIVERY_RANGES, (speed, *["deg"] * 4, "mm", "mm"), strict=True))
    numbers = {
        name.rpartition("_")[0]: _with_sd(found, name, units[name], read=name in known)
        for name in DELIVERY_RANGES
    }
    swing = found.delivery
    return {
        "way": "inverse",
        **numbers,
        "spin_loft": None if swing is None else number(swing.spin_loft_rad, "deg"),
        "friction_needed": None
        if math.isnan(found.friction_needed)
        else number(found.friction_needed, None),
        "same_ball": list(found.same_ball),
        "flags": list(found.flags),
    }


def _ball(ball: WrittenBall) -> tuple[float, float, float, float, float]:
    """The ball in SI, in the order of `explain_many`; what was not measured is NaN."""
    for name in ("ball_speed", "launch_angle", "spin_rate"):
        if getattr(ball, name) is None:
            option = f"--{name.replace('_', '-')}"
            raise typer.BadParameter("a ball needs speed, angle and spin", param_hint=option)

    def si(option: str, text: str | None, dimension: Dimension) -> float:
        return math.nan if text is None else si_option(option, text, dimension)

    return (
        si("--ball-speed", ball.ball_speed, "speed"),
        si("--launch-angle", ball.launch_angle, "angle"),
        si("--spin-rate", ball.spin_rate, "spin"),
        si("--launch-direction", ball.launch_direction, "angle"),
        si("--spin-axis", ball.spin_axis, "angle"),
    )


def _with_sd(
    found: Explanation, name: str, unit: str, *, read: bool
) -> Mapping[str, float | str] | None:
    """A number with its standard deviation, and whether the monitor read it as well."""
    if found.delivery is None:
        return None
    spread = round(si_into(getattr(found.sd, name), unit), 4)
    shown = number(getattr(found.delivery, name), unit)
    return {**shown, "sd": spread, "basis": "read and computed" if read else "computed"}


def _show(form: Mapping[str, Any]) -> None:
    """Print for a person."""
    table = Table(box=None, show_header=False)
    for name, entry in form.items():
        if isinstance(entry, Mapping):
            unit = str(entry.get("unit", ""))
            digits = 2 if not unit else 1
            spread = f"± {entry['sd']:.1f}" if "sd" in entry else ""
            table.add_row(name.replace("_", " "), f"{entry['value']:.{digits}f}", spread, unit)
    console = Console()
    console.print(table)
    for line in form.get("same_ball", ()):
        console.print(f"makes the same ball: {line}", soft_wrap=True)
    console.print(f"computed, {form['club']}: {form['model']}", *form["flags"], sep="\n")
