"""How far every club goes: a bar for each, the range of its solid balls, with the gaps between."""

from collections.abc import Callable

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from leadfoot.desk.club_words import club_said
from leadfoot.desk.places import said_place, same_place
from leadfoot.desk.yardage import ClubYardage, Yardages
from leadfoot.evidence.reach import Reach
from leadfoot.figures.look import PRINT, Look
from leadfoot.figures.marks import (
    MM_PER_INCH,
    Group,
    balls,
    bare_axes,
    draw_middle,
    note,
    numbers,
    ticks,
    words,
)
from leadfoot.figures.picture import Picture
from leadfoot.language.numbers import number, plain_number
from leadfoot.language.say import say

ROW_MM, TOP_MM, FOOT_MM = 11.0, 6.0, 15.0
_NAME_MM, _VALUE_MM = 30.0, 14.0
MOST_BESIDE = 28
"""Letters of the small line under a club's name."""


def clubs_picture(found: Yardages, *, look: Look = PRINT, width_mm: float = 150.0) -> Picture:
    """A bar a club along the carry: the range that holds eight solid balls in ten.

    The diamond is the middle. Hollow bars are carries in the air of the studio; where a place was
    asked for, a solid bar under each is the carry in its air, computed.

    Parameters
    ----------
    found
        The clubs of a student.
    look
        Colours of the ground it will lie on.
    width_mm
        Width on paper; the height follows from the number of clubs.
    """
    n = max(len(found.clubs), 1)
    return Picture(
        alt=_alt(found),
        width_mm=width_mm,
        height_mm=TOP_MM + ROW_MM * n + FOOT_MM,
        look=look,
        paint=_paint(found, look),
    )


def _alt(found: Yardages) -> str:
    if not found.clubs:
        return say("No club has enough balls yet.")
    said = []
    for one in found.clubs:
        low, middle, high = (
            number(found.shown(length))
            for length in (one.carry.low, one.carry.middle, one.carry.high)
        )
        club, far = club_said(one.club), f"{middle} {found.unit}"
        said.append(say("{club} {far} ({low} to {high})", club=club, far=far, low=low, high=high))
    clubs = "; ".join(said)
    if found.air_name == "standard air":
        return say("Carry of each club in standard air: {clubs}.", clubs=clubs)
    return say("Carry of each club in the air of the studio: {clubs}.", clubs=clubs)


def _paint(found: Yardages, look: Look) -> Callable[[Figure], None]:
    def paint(figure: Figure) -> None:
        if not found.clubs:
            words(figure, 0.02, 0.5, say("No club has enough balls yet."), look, va="center")
            return
        wide, high = (float(size) for size in figure.get_size_inches() * MM_PER_INCH)
        n = len(found.clubs)
        box = (_NAME_MM, FOOT_MM, wide - _NAME_MM - _VALUE_MM, high - FOOT_MM - TOP_MM)
        axes = bare_axes(figure, box)
        low, far = _ends(found)
        axes.set_xlim(low, far)
        axes.set_ylim(n, 0.0)
        _draw_scale(axes, (low, far), n, found.unit, look)
        for place, one in enumerate(found.clubs):
            _draw_club(axes, place, one, found, look)
            _say_club(figure, place, one, found, look)
        note(figure, _notes(found), look, left_mm=_NAME_MM, top_mm=4.4)

    return paint


def _ends(found: Yardages) -> tuple[float, float]:
    reached = [each for one in found.clubs for each in (one.carry, one.place_carry) if each]
    low = min(found.shown(each.low) for each in reached)
    far = max(found.shown(each.high) for each in reached)
    room = 0.06 * (far - low)
    return low - room, far + room


def _draw_scale(axes: Axes, ends: tuple[float, float], n: int, unit: str, look: Look) -> None:
    places, decimals = ticks(*ends, 7)
    for at in places:
        axes.plot([at, at], [0.0, n], color=look.line, lw=0.6, zorder=0)
        numbers(
            axes, float(at), n + 0.12, number(float(at), decimals), look,
            ha="center", va="top", fontsize=8.5, color=look.quiet,
        )  # fmt: skip
    words(
        axes, ends[1], -0.12, say("carry, {unit}", unit=unit), look,
        ha="right", va="bottom", fontsize=7.5, color=look.quiet,
    )  # fmt: skip


def _draw_club(axes: Axes, place: int, one: ClubYardage, found: Yardages, look: Look) -> None:
    two = one.place_carry is not None
    _draw_reach(axes, place + (0.32 if two else 0.5), _in_unit(found, one.carry), "before", look)
    if one.place_carry is not None:
        _draw_reach(axes, place + 0.7, _in_unit(found, one.place_carry), "after", look)


def _in_unit(found: Yardages, reached: Reach) -> tuple[float, float, float]:
    low, middle, high = (
        found.shown(length) for length in (reached.low, reached.middle, reached.high)
    )
    return low, middle, high


def _draw_reach(
    axes: Axes, at: float, ends: tuple[float, float, float], group: Group, look: Look
) -> None:
    low, middle, high = ends
    colour = look.before if group == "before" else look.after
    axes.barh(
        [at],
        [high - low],
        left=[low],
        height=0.26,
        facecolor="none" if group == "before" else colour,
        alpha=None if group == "before" else 0.35,
        edgecolor=colour,
        lw=1.1,
        zorder=2,
    )
    draw_middle(axes, middle, at, group, look)


def _say_club(figure: Figure, place: int, one: ClubYardage, found: Yardages, look: Look) -> None:
    high = float(figure.get_size_inches()[1] * MM_PER_INCH)
    line = 1.0 - (TOP_MM + ROW_MM * (place + 0.5)) / high
    words(figure, 0.0, line + 0.2 / high, club_said(one.club), look, va="bottom", fontsize=9.0)
    n = balls(one.carry.n)
    told = say("{balls}, computed", balls=n) if one.basis == "modelled" else n
    if not same_place(one.place, found.place):
        told = _cut(say("{balls}, {place}", balls=told, place=said_place(one.place)))
    words(
        figure, 0.0, line - 0.4 / high, told, look,
        va="top", fontsize=7.0, color=look.quiet,
    )  # fmt: skip
    two = one.place_carry is not None
    up = 2.0 / high if two else 0.0
    numbers(
        figure, 1.0, line + up, number(found.shown(one.carry.middle)), look,
        ha="right", va="center", fontsize=12.0, weight=600,
    )  # fmt: skip
    if one.place_carry is not None:
        numbers(
            figure, 1.0, line - up, f"\u2248 {number(found.shown(one.place_carry.middle))}", look,
            ha="right", va="center", fontsize=10.5, style="italic",
        )  # fmt: skip


def _cut(told: str) -> str:
    """As much as stands beside the bars."""
    return told if len(told) <= MOST_BESIDE else f"{told[: MOST_BESIDE - 1].rstrip()}…"


def _notes(found: Yardages) -> list[str]:
    air = say(found.air_name)
    marks = (
        say(
            "Bar: holds eight solid balls in ten. Diamond: the middle. Hollow: {air}; solid: the "
            "air of the place, computed.",
            air=air,
        )
        if found.weather
        else say(
            "Bar: holds eight solid balls in ten. Diamond: the middle. Hollow: {air}.", air=air
        )
    )
    half = say(
        "A ball counts half after {days} days; mishits are left aside.",
        days=plain_number(found.half_life_days),
    )
    return [marks, half]
