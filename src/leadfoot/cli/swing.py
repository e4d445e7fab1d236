"""``leadfoot swing``: what a push of the body is worth in club speed, as a model's estimate."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import typer
from rich.console import Console
from rich.table import Table

from leadfoot.cli.ground import recording_of
from leadfoot.errors import UnitError
from leadfoot.physics.body_energy import BodyEnergy, whole_body
from leadfoot.physics.lift import Lift
from leadfoot.physics.push import (
    CAUTIONS,
    Worth,
    body_worth,
    push_sensitivity,
    push_worth,
    trace_worth,
)
from leadfoot.physics.rise import Rise, com_rise
from leadfoot.units import Dimension, parse_written, si_from, si_into

MODEL = "planar double pendulum, one-sided wrist stop, moving hub; 9 in 10 of the golfers tried"
ESTIMATE = "A model's estimate, not a promise: measure it with this student."
AFTER_STRIKE_S = 0.1
"""How much of the force after the strike is used. [s]"""
HEIGHTS_M = (0.02, 0.04, 0.06, 0.08)
LEADS_S = (-0.04, 0.0, 0.04, 0.08, 0.12)
"""Lifts that the table of how hard and how early is made of. [m], [s]"""

ENERGY: Mapping[str, tuple[str, str]] = {
    "work_of_all_muscles": ("muscles_j", "J"),
    "work_below_the_shoulders": ("below_shoulders_j", "J"),
    "work_of_the_shoulders": ("shoulders_j", "J"),
    "work_of_the_wrists": ("wrists_j", "J"),
    "work_of_falling_arms_and_club": ("weight_helped_j", "J"),
    "in_the_club": ("club_j", "J"),
    "in_the_arms": ("arms_j", "J"),
    "in_the_turning_trunk": ("turning_j", "J"),
    "in_shift_and_rise": ("moving_j", "J"),
    "in_height": ("raised_j", "J"),
    "braked": ("braked_j", "J"),
    "share_in_the_club": ("club_share", "%"),
    "share_from_below_the_shoulders": ("below_shoulders_share", "%"),
}
"""The account of the energy as it is told: its name, the field, the unit."""

Number = Mapping[str, float | str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """The options as typed; None where nothing was said."""

    club_speed: str
    club: str
    lift: str | None
    lift_time: str
    lift_lead: str
    body: bool
    force: Path | None
    strike_at: str | None
    quiet_from: str
    quiet_to: str
    golfers: int
    seed: int


@dataclass(frozen=True, slots=True, kw_only=True)
class _Found:
    worth: Worth
    lift: Lift | None
    rise: Rise | None
    compared: str
    flags: tuple[str, ...]


def run(written: Written, *, as_json: bool) -> None:
    """Work out what the push is worth and print it with its range and its cautions."""
    speed_mps, unit = _speed(written)
    found = _find(written, speed_mps)
    numbers = _numbers(found, unit)
    table = _sensitivity(found.worth, unit)
    energy = _energy(_account(found, written))
    if as_json:
        form = {
            "schema": "leadfoot.swing/1",
            "compared": found.compared,
            **numbers,
            "golfers": found.worth.n_golfers,
            "sensitivity": table,
            "where_the_energy_goes": energy,
            "model": MODEL,
            "estimate": ESTIMATE,
            "flags": list(found.flags),
            "cautions": list(CAUTIONS),
        }
        typer.echo(json.dumps(form, ensure_ascii=False, allow_nan=False))
        return
    console = Console()
    _show(console, found, numbers, table, unit)
    _show_energy(console, energy)
    console.print(f"computed: {MODEL}", *found.flags, *CAUTIONS, sep="\n")


def _find(written: Written, speed_mps: float) -> _Found:
    """The worth by the force, by the body, or by a lift."""
    rng = np.random.default_rng(written.seed)
    if written.force is not None:
        rise, strike_s = _rise(written)
        return _Found(
            worth=trace_worth(
                speed_mps, rise, strike_s, rng=rng, club_key=written.club, n=written.golfers
            ),
            lift=None,
            rise=rise,
            compared="hub as the force lifts it, against hub still",
            flags=(*rise.flags, "hub taken to rise as the centre of mass; sideways shift left out"),
        )
    flags = () if written.lift is not None else ("lift assumed: 6 cm",)
    lift = Lift(
        height_m=_si("--lift", written.lift or "6cm", "length"),
        duration_s=_si("--lift-time", written.lift_time, "time"),
        lead_s=_si("--lift-lead", written.lift_lead, "time"),
    )
    if written.body:
        return _Found(
            worth=body_worth(speed_mps, lift, rng=rng, club_key=written.club, n=written.golfers),
            lift=lift,
            rise=None,
            compared="hub lifted and trunk turning, against hub still and trunk still",
            flags=(*flags, "turn of the trunk and fading of torque from memory"),
        )
    return _Found(
        worth=push_worth(speed_mps, lift, rng=rng, club_key=written.club, n=written.golfers),
        lift=lift,
        rise=None,
        compared="hub lifted, against hub still",
        flags=flags,
    )


def _rise(written: Written) -> tuple[Rise, float]:
    if written.force is None or written.strike_at is None:
        raise typer.BadParameter("--force needs --strike-at, the time of the strike in the record")
    if written.lift is not None or written.body:
        raise typer.BadParameter("give --force, or --lift with or without --body, not both")
    recording = recording_of(written.force)
    strike_s = _si("--strike-at", written.strike_at, "time")
    rise = com_rise(
        recording.time_s,
        recording.vertical_n,
        quiet_from_s=_si("--quiet-from", written.quiet_from, "time"),
        quiet_to_s=_si("--quiet-to", written.quiet_to, "time"),
        until_s=strike_s + AFTER_STRIKE_S,
    )
    return rise, strike_s


def _speed(written: Written) -> tuple[float, str]:
    value, unit = _read("--club-speed", written.club_speed, "speed")
    return si_from(value, unit), unit


def _si(option: str, text: str, dimension: Dimension) -> float:
    return si_from(*_read(option, text, dimension))


def _read(option: str, text: str, dimension: Dimension) -> tuple[float, str]:
    try:
        return parse_written(text, dimension)
    except UnitError as error:
        raise typer.BadParameter(str(error), param_hint=option) from error


def _number(value: float, unit: str) -> Number:
    return {"value": round(value, 4), "unit": unit}


def _numbers(found: _Found, unit: str) -> Mapping[str, Number]:
    worth = found.worth
    speeds = {
        "club_speed_with": worth.with_push.club_speed_mps,
        "club_speed_without": worth.without_push.club_speed_mps,
        "gain": worth.gain_mps,
        "gain_low": worth.low_mps,
        "gain_high": worth.high_mps,
    }
    energy = worth.with_push.energy
    return {
        **{name: _number(si_into(value, unit), unit) for name, value in speeds.items()},
        **_push_numbers(found),
        "downswing": _number(worth.with_push.strike_s, "s"),
        "shoulder_torque": _number(worth.golfer.drive.shoulder_nm, "N·m"),
        "work_of_shoulders": _number(energy.shoulder_j, "J"),
        "work_of_wrists": _number(energy.wrist_j, "J"),
        "work_of_hub": _number(energy.hub_j, "J"),
        "work_of_weight": _number(energy.gravity_j, "J"),
        "energy_of_arms_and_club": _number(energy.kinetic_j, "J"),
    }


def _push_numbers(found: _Found) -> Mapping[str, Number]:
    """What is known of the push itself."""
    if found.rise is not None:
        rise = found.rise
        return {
            "weight": _number(rise.weight_n, "N"),
            "greatest_force": _number(100.0 * rise.greatest_force_share, "%"),
            "rise_at_end": _number(100.0 * float(rise.height_m[-1]), "cm"),
            "rise_error": _number(100.0 * float(rise.height_error_m[-1]), "cm"),
        }
    lift = found.lift or Lift(height_m=0.0)
    return {
        "lift": _number(100.0 * lift.height_m, "cm"),
        "lift_time": _number(lift.duration_s, "s"),
        "lift_lead": _number(lift.lead_s, "s"),
        "greatest_force": _number(100.0 * lift.greatest_force_share, "%"),
    }


def _sensitivity(worth: Worth, unit: str) -> Sequence[Mapping[str, Number]]:
    """Gain by how hard and how early a lift comes, for the middle golfer."""
    gains = push_sensitivity(worth.golfer, np.array(HEIGHTS_M), np.array(LEADS_S))
    return [
        {
            "lift": _number(100.0 * height_m, "cm"),
            "greatest_force": _number(100.0 * Lift(height_m=height_m).greatest_force_share, "%"),
            "lead": _number(lead_s, "s"),
            "gain": _number(si_into(float(gains[row, column]), unit), unit),
        }
        for row, height_m in enumerate(HEIGHTS_M)
        for column, lead_s in enumerate(LEADS_S)
    ]


def _account(found: _Found, written: Written) -> BodyEnergy:
    """The energy of the swing with the push, in the whole body."""
    return whole_body(
        found.worth.with_push.club_speed_mps,
        found.lift or _as_lift(found.rise),
        rng=np.random.default_rng(written.seed),
        club_key=written.club,
        n=written.golfers,
    )


def _as_lift(rise: Rise | None) -> Lift | None:
    """A smooth lift as high as the body rose from its lowest place on."""
    if rise is None:
        return None
    lowest = int(rise.height_m.argmin())
    risen_m = float(rise.height_m[lowest:].max() - rise.height_m[lowest])
    return Lift(height_m=min(risen_m, 0.3))


def _energy(account: BodyEnergy) -> Mapping[str, Number]:
    """The account in numbers, each with what nine in ten of the golfers tried have."""
    told: dict[str, Number] = {}
    for name, (field, unit) in ENERGY.items():
        factor = 100.0 if unit == "%" else 1.0
        low, high = account.ranges[field]
        told[name] = {
            "value": round(factor * float(getattr(account.middle, field)), 2),
            "low": round(factor * low, 2),
            "high": round(factor * high, 2),
            "unit": unit,
        }
    return told


def _show_energy(console: Console, energy: Mapping[str, Number]) -> None:
    shown = Table(box=None, show_header=False)
    for name, number in energy.items():
        low, high = (f"{number[end]:.0f}" for end in ("low", "high"))
        shown.add_row(
            name.replace("_", " "),
            f"{number['value']:.0f} ({low} to {high})",
            str(number["unit"]),
        )
    console.print("where the energy of the whole body goes, top to strike (an estimate):", shown)


def _show(
    console: Console,
    found: _Found,
    numbers: Mapping[str, Number],
    table: Sequence[Mapping[str, Number]],
    unit: str,
) -> None:
    worth = found.worth
    gain, low, high = (
        si_into(value, unit) for value in (worth.gain_mps, worth.low_mps, worth.high_mps)
    )
    console.print(
        f"{found.compared}: about {gain:+.1f} {unit} ({low:+.1f} to {high:+.1f}).", ESTIMATE
    )
    shown = Table(box=None, show_header=False)
    for name, number in numbers.items():
        shown.add_row(name.replace("_", " "), f"{number['value']:.2f}", str(number["unit"]))
    console.print(shown)
    grid = Table("lift", "force", *(f"{1000.0 * lead:+.0f} ms" for lead in LEADS_S), box=None)
    for row, height_m in enumerate(HEIGHTS_M):
        cells = table[row * len(LEADS_S) : (row + 1) * len(LEADS_S)]
        grid.add_row(
            f"{100.0 * height_m:.0f} cm",
            f"{cells[0]['greatest_force']['value']:.0f} %",
            *(f"{cell['gain']['value']:+.1f}" for cell in cells),
        )
    console.print(f"gain in {unit} by how hard the lift is and how long before the strike:", grid)
