"""``leadfoot best``: the loft that goes farthest, and what a delivery leaves on the table."""

import json
from collections.abc import Mapping
from typing import Any

import typer
from rich.console import Console
from rich.table import Table

from leadfoot.cli.air_words import WrittenAir, conditions_of
from leadfoot.cli.delivery_words import (
    WrittenDelivery,
    club_of,
    delivery_of,
    given,
    length_unit,
    number,
    speed_unit,
)
from leadfoot.physics.air import STANDARD_AIR
from leadfoot.physics.best import Best, Goal, Surroundings, best_loft
from leadfoot.physics.clubs import Club
from leadfoot.physics.conditions import Conditions
from leadfoot.physics.left_over import LeftOver, left_over
from leadfoot.physics.monitor import USUAL
from leadfoot.units import si_into

MODEL = "every loft struck with the impact model and flown in {air}, square from the middle"
_ABOUT_DELIVERY = (
    "dynamic_loft_rad",
    "face_angle_rad",
    "club_path_rad",
    "strike_heel_toe_m",
    "strike_high_low_m",
)


def run(written: WrittenDelivery, air: WrittenAir, *, goal: Goal, as_json: bool) -> None:
    """Find the best and print it, with what the delivery leaves where one is given."""
    struck = club_of(written)
    numbers = given(written)
    if "club_speed_mps" not in numbers:
        raise typer.BadParameter("the best depends on it", param_hint="--club-speed")
    flags = []
    if "attack_angle_rad" not in numbers:
        numbers["attack_angle_rad"] = USUAL[struck.club_class].attack_middle_rad
        usual = number(numbers["attack_angle_rad"], "deg")["value"]
        flags.append(f"attack angle assumed: {usual:g} deg")
    speed = speed_unit(written.club_speed)
    form = _form(
        written, numbers, struck, goal, conditions=conditions_of(air), speed=speed, flags=flags
    )
    if as_json:
        typer.echo(json.dumps(form, ensure_ascii=False, allow_nan=False))
    else:
        _show(form)


def _form(
    written: WrittenDelivery,
    numbers: Mapping[str, float],
    struck: Club,
    goal: Goal,
    *,
    conditions: Conditions,
    speed: str,
    flags: list[str],
) -> dict[str, Any]:
    around = Surroundings(air=conditions.air, wind=conditions.wind)
    left: LeftOver | None = None
    if any(name in numbers for name in _ABOUT_DELIVERY):
        swing = delivery_of(numbers)
        left = left_over(swing, struck, goal=goal, hand=written.hand, around=around)
        best = left.best
    else:
        speed_mps, attack_rad = numbers["club_speed_mps"], numbers["attack_angle_rad"]
        best = best_loft(speed_mps, attack_rad, struck, goal=goal, around=around)
    if best.at_limit:
        flags.append("the best loft is the last that hands can bring")
    length = length_unit(speed)
    return {
        "schema": "leadfoot.best/1",
        "goal": goal,
        **_best(best, speed=speed, length=length),
        "left_on_the_table": None if left is None else _left(left, length),
        "club": struck.name,
        "model": MODEL.format(air=_air(conditions, speed)),
        "flags": flags,
    }


def _air(conditions: Conditions, speed: str) -> str:
    """The air and the wind in words."""
    words = "standard air"
    if conditions.air != STANDARD_AIR:
        words = f"air of {conditions.air.density_kgm3:.3f} kg/m³"
    ways = (
        (conditions.wind.along_mps, "from behind", "from ahead"),
        (conditions.wind.across_mps, "to the right", "to the left"),
    )
    winds = [
        f"{si_into(abs(value_mps), speed):.3g} {speed} {plus if value_mps > 0.0 else minus}"
        for value_mps, plus, minus in ways
        if value_mps != 0.0
    ]
    return f"{words} with wind of {' and '.join(winds)}" if winds else words


def _best(best: Best, *, speed: str, length: str) -> dict[str, Any]:
    return {
        "dynamic_loft": number(best.delivery.dynamic_loft_rad, "deg"),
        "within_a_yard_from": number(best.least_loft_rad, "deg"),
        "within_a_yard_to": number(best.most_loft_rad, "deg"),
        "ball_speed": number(best.launch.ball_speed_mps, speed),
        "launch_angle": number(best.launch.launch_angle_rad, "deg"),
        "spin_rate": number(best.launch.spin_rate_radps, "rpm"),
        "carry": number(best.carry_m, length),
        "total": number(best.total_m, length),
    }


def _left(left: LeftOver, length: str) -> dict[str, Any]:
    return {
        "carry": number(left.carry_m, length),
        "total": number(left.total_m, length),
        "whole": number(left.whole_m, length),
        "by_loft": number(left.loft_m, length),
        "by_strike": number(left.strike_m, length),
        "by_face_and_path": number(left.direction_m, length),
    }


def _show(form: Mapping[str, Any]) -> None:
    """Print for a person."""
    table = Table(box=None, show_header=False)
    for name, entry in form.items():
        if isinstance(entry, Mapping) and "value" in entry:
            table.add_row(name.replace("_", " "), f"{entry['value']:.1f}", str(entry["unit"]))
    console = Console()
    console.print(table)
    if form["left_on_the_table"] is not None:
        left = form["left_on_the_table"]
        console.print(f"left on the table, {form['goal']}:")
        parts = Table(box=None, show_header=False)
        for name, entry in left.items():
            parts.add_row(name.replace("_", " "), f"{entry['value']:.1f}", str(entry["unit"]))
        console.print(parts)
    console.print(f"computed, {form['club']}: {form['model']}", *form["flags"], sep="\n")
