"""``leadfoot arc``: the club head's way through the ball, each number from the others."""

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass

import typer
from rich.console import Console
from rich.table import Table

from leadfoot.errors import UnitError
from leadfoot.physics.arc import Arc, Hand
from leadfoot.physics.arc_numbers import (
    arc_from_attack,
    low_point_m_from,
    path_offset_small_rad,
    plane_rad_from,
    radius_m_from,
)
from leadfoot.physics.turf_contact import Chances, Lie, Spread, Strike, chances, first_contact
from leadfoot.units import Dimension, parse_written, si_from, si_into

MODEL = "circle in a tilted plane; flat face; level turf that does not give"
USUAL_PLANE_RAD = math.radians(60.0)
"""An iron's plane, mid-range (common practice, no source)."""
USUAL_RADIUS_M = 1.6
"""Hub to head with an iron, mid-range (common practice, no source)."""
USUAL_LOFT_RAD = math.radians(25.0)
"""Dynamic loft of a 7-iron, mid-range (common practice, no source)."""

Number = Mapping[str, float | str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """The options as typed; None where nothing was said."""

    attack_angle: str | None
    low_point: str | None
    plane: str | None
    radius: str | None
    swing_direction: str | None
    club_path: str | None
    depth: str | None
    dynamic_loft: str | None
    tee: str
    low_point_spread: str | None
    depth_spread: str | None
    hand: Hand


@dataclass(frozen=True, slots=True, kw_only=True)
class _Found:
    arc: Arc
    lie: Lie
    strike: Strike
    odds: Chances | None
    flags: tuple[str, ...]


def run(written: Written, *, as_json: bool) -> None:
    """Work out the arc and print what follows from it."""
    found = _find(written)
    numbers = _numbers(found, length=_length_unit(written))
    if as_json:
        form = {
            "schema": "leadfoot.arc/1",
            **numbers,
            "meets": found.strike.meets,
            "model": MODEL,
            "flags": list(found.flags),
        }
        typer.echo(json.dumps(form, ensure_ascii=False, allow_nan=False))
        return
    table = Table(box=None, show_header=False)
    for name, number in numbers.items():
        if number is not None:
            shown = f"{number['value']:.2f}"
            table.add_row(name.replace("_", " "), shown, str(number["unit"]))
    console = Console()
    console.print(table)
    console.print(f"meets: {found.strike.meets}")
    console.print(f"computed: {MODEL}", *found.flags, sep="\n")


def _find(written: Written) -> _Found:
    flags: list[str] = []
    arc = _arc(written, flags)
    loft = _si("--dynamic-loft", written.dynamic_loft, "angle")
    if loft is None:
        loft = USUAL_LOFT_RAD
        flags.append("dynamic loft assumed: 25 deg")
    lie = Lie(dynamic_loft_rad=loft, tee_m=si_from(*_read("--tee", written.tee, "length")))
    spread = _spread(written)
    return _Found(
        arc=arc,
        lie=lie,
        strike=first_contact(arc, lie),
        odds=None if spread is None else chances(arc, lie, spread),
        flags=tuple(flags),
    )


def _arc(written: Written, flags: list[str]) -> Arc:
    """The arc from whatever was said, with a flag for all that was assumed."""
    attack = _si("--attack-angle", written.attack_angle, "angle")
    low_point = _si("--low-point", written.low_point, "length")
    if attack is None and low_point is None:
        raise typer.BadParameter("give --attack-angle or --low-point, or both for the radius")
    path = _si("--club-path", written.club_path, "angle")
    direction = _si("--swing-direction", written.swing_direction, "angle")
    plane = _plane(written, attack, path, direction, flags)
    radius = _radius(written, attack, low_point, plane, flags)
    if attack is None and low_point is not None:
        attack = Arc(radius_m=radius, plane_rad=plane, low_point_m=low_point).attack_angle_rad
    depth = _si("--depth", written.depth, "length")
    if depth is None:
        flags.append("depth assumed: the edge just reaches the ground at the ball")
    return arc_from_attack(
        attack or 0.0,
        plane_rad=plane,
        radius_m=radius,
        swing_direction_rad=direction,
        club_path_rad=path if direction is None else None,
        depth_m=depth,
        hand=written.hand,
    )


def _plane(
    written: Written,
    attack: float | None,
    path: float | None,
    direction: float | None,
    flags: list[str],
) -> float:
    """The plane as said, or from path, swing direction and attack, or the usual one."""
    said = _si("--plane", written.plane, "angle")
    if path is not None and direction is not None:
        if said is not None or attack is None:
            raise typer.BadParameter(
                "--club-path and --swing-direction together give the plane: "
                "leave out --plane and give --attack-angle"
            )
        return plane_rad_from(path, direction, attack, written.hand)
    if said is None:
        flags.append("plane assumed: 60 deg")
        return USUAL_PLANE_RAD
    return said


def _radius(
    written: Written,
    attack: float | None,
    low_point: float | None,
    plane: float,
    flags: list[str],
) -> float:
    """The radius as said, or from low point and attack, or the usual one."""
    said = _si("--radius", written.radius, "length")
    if attack is not None and low_point is not None:
        if said is not None:
            raise typer.BadParameter(
                "--attack-angle and --low-point together give the radius: leave out --radius"
            )
        return radius_m_from(low_point, attack, plane)
    if said is None:
        flags.append("radius assumed: 1.6 m")
        return USUAL_RADIUS_M
    return said


def _spread(written: Written) -> Spread | None:
    low_point = _si("--low-point-spread", written.low_point_spread, "length")
    depth = _si("--depth-spread", written.depth_spread, "length")
    if low_point is None and depth is None:
        return None
    if low_point is None or depth is None:
        raise typer.BadParameter("chances need both --low-point-spread and --depth-spread")
    return Spread(low_point_m=low_point, depth_m=depth)


def _si(option: str, text: str | None, dimension: Dimension) -> float | None:
    return None if text is None else si_from(*_read(option, text, dimension))


def _read(option: str, text: str, dimension: Dimension) -> tuple[float, str]:
    try:
        return parse_written(text, dimension)
    except UnitError as error:
        raise typer.BadParameter(str(error), param_hint=option) from error


def _length_unit(written: Written) -> str:
    """The unit in which the low point or the depth was said; else inches, as the trade has it."""
    for option, text in (("--low-point", written.low_point), ("--depth", written.depth)):
        if text is not None:
            return _read(option, text, "length")[1]
    return "in"


def _numbers(found: _Found, *, length: str) -> Mapping[str, Number | None]:
    arc, strike, odds = found.arc, found.strike, found.odds

    def number(value_si: float | None, unit: str) -> Number | None:
        if value_si is None:
            return None
        return {"value": round(si_into(value_si, unit), 4), "unit": unit}

    small = arc.swing_direction_rad + path_offset_small_rad(
        arc.attack_angle_rad, arc.plane_rad, arc.hand
    )
    low_point_m = low_point_m_from(arc.attack_angle_rad, arc.plane_rad, arc.radius_m)
    return {
        "attack_angle": number(arc.attack_angle_rad, "deg"),
        "club_path": number(arc.club_path_rad, "deg"),
        "club_path_by_rule_of_thumb": number(small, "deg"),
        "swing_direction": number(arc.swing_direction_rad, "deg"),
        "low_point": number(low_point_m, length),
        "drop_to_low_point": number(arc.drop_m, length),
        "depth": number(arc.depth_m, length),
        "plane": number(arc.plane_rad, "deg"),
        "radius": number(arc.radius_m, "m"),
        "dynamic_loft": number(found.lie.dynamic_loft_rad, "deg"),
        "tee": number(found.lie.tee_m, length),
        "edge_height_at_strike": number(strike.edge_height_m, length),
        "strike_above_edge": number(strike.on_face_m, length),
        "turf_from": number(strike.turf_from_m, length),
        "turf_to": number(strike.turf_to_m, length),
        "turf_before_ball": number(strike.turf_before_ball_m, length),
        "chance_of_fat": number(None if odds is None else odds.fat, "%"),
        "chance_of_thin": number(None if odds is None else odds.thin, "%"),
        "chance_of_clean": number(None if odds is None else odds.clean, "%"),
    }
