"""``leadfoot best``: the loft that goes farthest, and what a delivery leaves on the table."""

import json
from collections.abc import Mapping
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
    speed_unit,
)
from leadfoot.physics.best import Best, Goal, best_loft
from leadfoot.physics.clubs import Club
from leadfoot.physics.left_over import LeftOver, left_over
from leadfoot.physics.monitor import USUAL

MODEL = "every loft struck with the impact model and flown in standard air, square from the middle"
_ABOUT_DELIVERY = (
    "dynamic_loft_rad",
    "face_angle_rad",
    "club_path_rad",
    "strike_heel_toe_m",
    "strike_high_low_m",
)


def run(written: WrittenDelivery, *, goal: Goal, as_json: bool) -> None:
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
    form = _form(written, numbers, struck, goal, speed=speed, flags=flags)
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
    speed: str,
    flags: list[str],
) -> dict[str, Any]:
    left: LeftOver | None = None
    if any(name in numbers for name in _ABOUT_DELIVERY):
        left = left_over(delivery_of(numbers), struck, goal=goal, hand=written.hand)
        best = left.best
    else:
        best = best_loft(numbers["club_speed_mps"], numbers["attack_angle_rad"], struck, goal=goal)
    if best.at_limit:
        flags.append("the best loft is the last that hands can bring")
    length = length_unit(speed)
    return {
        "schema": "leadfoot.best/1",
        "goal": goal,
        **_best(best, speed=speed, length=length),
        "left_on_the_table": None if left is None else _left(left, length),
        "club": struck.name,
        "model": MODEL,
        "flags": flags,
    }


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
