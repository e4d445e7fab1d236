"""``leadfoot spread``: where the balls of each club and block came down, and how far apart."""

import math
from pathlib import Path

import typer
from rich.console import Console
from rich.markup import escape
from rich.table import Table

from leadfoot.cli.delivery_words import si_option
from leadfoot.cli.files import bytes_of, mapping_of
from leadfoot.cli.giving import give
from leadfoot.desk.records import Hand
from leadfoot.desk.spreading import WHY_NOT, BlockPattern, Patterns, patterns_of_file
from leadfoot.desk.wording import side_of_target
from leadfoot.evidence.dispersion import Plane, Spread
from leadfoot.evidence.ellipse import Ellipse
from leadfoot.evidence.share import Share


def run(
    file: Path,
    *,
    block: str | None,
    corridor: str | None,
    hand: Hand,
    mapping: Path | None,
    as_json: bool,
) -> None:
    """Describe the patterns of a table and print them."""
    corridor_m = None if corridor is None else si_option("--corridor", corridor, "length")
    if corridor_m is not None and not corridor_m > 0.0:
        raise typer.BadParameter("a corridor has a width above 0", param_hint="--corridor")
    found = patterns_of_file(
        bytes_of(file),
        name=file.name,
        hand=hand,
        mapping=mapping_of(mapping),
        block_column=block,
        corridor_m=corridor_m,
    )
    give(found, show, as_json=as_json)


def show(found: Patterns, console: Console) -> None:
    """Print the patterns for a person, one after the other."""
    for group in found.groups:
        club = f" with {escape(group.club)}" if group.club else ""
        unknown = group.pattern.n_unknown
        rest = f", {unknown} without both numbers" if unknown else ""
        console.print(f"[bold]{escape(group.block)}{club}[/bold]: {group.pattern.n} balls{rest}")
        table = Table(box=None, show_header=False)
        for name, text in _lines(found, group):
            table.add_row(f"  {name}", text)
        console.print(table)
    console.print(
        "Spread: one standard deviation of the solid balls. Ranges hold in 90 of 100 cases. "
        "Ellipses hold that share of the next solid balls.",
        soft_wrap=True,
    )
    for problem in found.problems:
        place = f"row {problem.row}: " if problem.row is not None else ""
        console.print(f"problem: {place}{escape(problem.reason)}", soft_wrap=True)


def _lines(found: Patterns, group: BlockPattern) -> list[tuple[str, str]]:
    pattern, unit = group.pattern, found.unit
    plane, polar = pattern.metres, pattern.polar
    if plane is None or polar is None:
        return [("middle", "no ball has both numbers")]
    lines = [("middle", _middle(found, group, plane))]
    if plane.missing is not None:
        lines.append(("spread", f"cannot tell: {WHY_NOT[plane.missing]}"))
    else:
        factor = found.length(1.0)
        lines.append(("spread of offline", _ranged(plane.spread_across, factor, unit)))
        lines.append(("spread of carry", _ranged(plane.spread_along, factor, unit)))
        direction = _ranged(polar.spread_across, math.degrees(1.0), "°")
        if polar.missing is not None:
            direction = f"cannot tell: {WHY_NOT[polar.missing]}"
        lines.append(("spread of direction", direction))
    lines.extend(
        (f"ellipse for {100 * chance:.0f} in 100", _size(found, one))
        for chance, one in plane.ellipses.items()
    )
    lines.append(("clear mishits", _counted(pattern.mishits)))
    if found.corridor_m is not None:
        width = f"{found.length(found.corridor_m):.0f} {unit}"
        lines.append((f"within {width}", _counted(pattern.in_corridor)))
    return lines


def _middle(found: Patterns, group: BlockPattern, plane: Plane) -> str:
    carry_told, offline_told = (
        " (computed)" if basis == "modelled" else ""
        for basis in (group.carry_basis, group.offline_basis)
    )
    side = side_of_target(found.length(plane.across), found.unit)
    return f"{found.length(plane.along):.0f} {found.unit}{carry_told}, {side}{offline_told}"


def _size(found: Patterns, one: Ellipse) -> str:
    width, height = (f"{found.length(value):.0f}" for value in (one.width, one.height))
    return f"{width} by {height} {found.unit}, {_lie(one)}"


def _ranged(spread: Spread | None, factor: float, unit: str) -> str:
    if spread is None:
        return "cannot tell"
    sd, low, high = (factor * value for value in (spread.sd, spread.low, spread.high))
    gap = "" if unit == "°" else " "
    return f"{sd:.1f}{gap}{unit} ({low:.1f} to {high:.1f})"


def _lie(one: Ellipse) -> str:
    """Which way an ellipse lies, as seen from the player."""
    turn_deg = math.degrees(one.turn_rad)
    if one.width < 1.15 * one.height:
        return "nearly round"
    if abs(turn_deg) < 10.0:
        return "long side across"
    if abs(turn_deg) > 80.0:
        return "long side along the line"
    return f"long side {'far right to near left' if turn_deg > 0.0 else 'far left to near right'}"


def _counted(share: Share | None) -> str:
    if share is None:
        return "no ball"
    return f"{share.k} of {share.n} ({100 * share.low:.0f} to {100 * share.high:.0f} in 100)"
