"""``leadfoot fly``: one ball through the air."""

import json
from collections.abc import Mapping
from dataclasses import dataclass

import typer
from rich.console import Console
from rich.table import Table

from leadfoot.errors import UnitError
from leadfoot.physics.air import STANDARD_AIR, Air, pressure_pa_at
from leadfoot.physics.flight import Flight, Launch, Wind, fly
from leadfoot.units import Dimension, parse_written, si_from, si_into


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """The options as typed."""

    ball_speed: str
    launch_angle: str
    spin_rate: str
    launch_direction: str
    spin_axis: str
    temperature: str | None
    altitude: str | None
    pressure: str | None
    humidity: str | None
    wind: str
    crosswind: str


def run(written: Written, *, as_json: bool) -> None:
    """Fly the ball and print where it went."""
    flight = fly(_launch(written), air=_air(written), wind=_wind(written))
    speed_unit = parse_written(written.ball_speed, "speed")[1]
    numbers = _numbers(flight, length=_length_unit(speed_unit), speed=speed_unit)
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
        ball_speed_mps=_si("--ball-speed", written.ball_speed, "speed"),
        launch_angle_rad=_si("--launch-angle", written.launch_angle, "angle"),
        launch_direction_rad=_si("--launch-direction", written.launch_direction, "angle"),
        spin_rate_radps=_si("--spin-rate", written.spin_rate, "spin"),
        spin_axis_rad=_si("--spin-axis", written.spin_axis, "angle"),
    )


def _air(written: Written) -> Air:
    """Standard air but for what was said; pressure follows from altitude, not from both."""
    if written.altitude is not None and written.pressure is not None:
        raise typer.BadParameter("give --altitude or --pressure, not both")
    pressure_pa = STANDARD_AIR.pressure_pa
    if written.altitude is not None:
        pressure_pa = pressure_pa_at(_si("--altitude", written.altitude, "length"))
    if written.pressure is not None:
        pressure_pa = _si("--pressure", written.pressure, "pressure")
    return Air(
        temperature_k=STANDARD_AIR.temperature_k
        if written.temperature is None
        else _si("--temperature", written.temperature, "temperature"),
        pressure_pa=pressure_pa,
        humidity_frac=STANDARD_AIR.humidity_frac
        if written.humidity is None
        else _si("--humidity", written.humidity, "share"),
    )


def _wind(written: Written) -> Wind:
    return Wind(
        along_mps=_si("--wind", written.wind, "speed"),
        across_mps=_si("--crosswind", written.crosswind, "speed"),
    )


def _si(option: str, text: str, dimension: Dimension) -> float:
    try:
        return si_from(*parse_written(text, dimension))
    except UnitError as error:
        raise typer.BadParameter(str(error), param_hint=option) from error


def _length_unit(speed_unit: str) -> str:
    """Yards for who speaks in mph or ft/s, metres for the others."""
    return "yd" if speed_unit in {"mph", "ft/s"} else "m"


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
