"""``leadfoot fly``: one ball through the air."""

import json
from collections.abc import Mapping
from dataclasses import dataclass

import typer
from rich.console import Console
from rich.table import Table

from leadfoot.cli.air_words import WrittenAir, conditions_of
from leadfoot.cli.delivery_words import length_unit, si_option
from leadfoot.physics.flight import Flight, Launch, fly
from leadfoot.units import parse_written, si_into


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """The options as typed."""

    ball_speed: str
    launch_angle: str
    spin_rate: str
    launch_direction: str
    spin_axis: str
    air: WrittenAir


def run(written: Written, *, as_json: bool) -> None:
    """Fly the ball and print where it went."""
    flight = fly(_launch(written), conditions=conditions_of(written.air))
    speed_unit = parse_written(written.ball_speed, "speed")[1]
    numbers = _numbers(flight, length=length_unit(speed_unit), speed=speed_unit)
    if as_json:
        form = {
            "schema": "leadfoot.fly/1",
            **numbers,
            "model": flight.model,
            "flags": list(flight.flags),
        }
        typer.echo(json.dumps(form, ensure_ascii=False, allow_nan=False))
        return
    table = Table(box=None, show_header=False)
    for name, number in numbers.items():
        table.add_row(name.replace("_", " "), f"{number['value']:.1f}", str(number["unit"]))
    console = Console()
    console.print(table)
    console.print(f"computed: {flight.model}", *flight.flags, sep="\n")


def _launch(written: Written) -> Launch:
    return Launch(
        ball_speed_mps=si_option("--ball-speed", written.ball_speed, "speed"),
        launch_angle_rad=si_option("--launch-angle", written.launch_angle, "angle"),
        launch_direction_rad=si_option("--launch-direction", written.launch_direction, "angle"),
        spin_rate_radps=si_option("--spin-rate", written.spin_rate, "spin"),
        spin_axis_rad=si_option("--spin-axis", written.spin_axis, "angle"),
    )


def _numbers(flight: Flight, *, length: str, speed: str) -> Mapping[str, Mapping[str, float | str]]:
    def number(value_si: float, unit: str) -> Mapping[str, float | str]:
        return {"value": round(si_into(value_si, unit), 4), "unit": unit}

    return {
        "carry": number(flight.carry_m, length),
        "total": number(flight.total_m, length),
        "offline": number(flight.offline_m, length),
        "apex": number(flight.apex_m, length),
        "hang_time": number(flight.hang_time_s, "s"),
        "landing_angle": number(flight.landing_angle_rad, "deg"),
        "landing_speed": number(flight.landing_speed_mps, speed),
        "landing_spin": number(flight.landing_spin_radps, "rpm"),
    }
