"""A season as a picture: each lesson's level before and with the change, tests and practice."""

from collections.abc import Callable, Sequence
from datetime import date

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from leadfoot.desk.club_words import club_said
from leadfoot.desk.days import day_and_month
from leadfoot.desk.places import said_place
from leadfoot.desk.season_records import PointKind, Season, SeasonPoint
from leadfoot.desk.wording import sentence_case
from leadfoot.figures.look import PRINT, Look
from leadfoot.figures.marks import MM_PER_INCH, balls, bare_axes, end_mm, numbers, ticks, words
from leadfoot.figures.picture import Picture
from leadfoot.language.numbers import number
from leadfoot.language.say import noted, say

HEIGHT_MM, TOP_MM, FOOT_MM, LEFT_MM, RIGHT_MM = 78.0, 11.0, 16.0, 14.0, 8.0
KINDS: dict[PointKind, str] = {
    "before": noted("before, as usual"),
    "with_change": noted("with the change"),
    "test": noted("test without it"),
    "practice": noted("practice"),
}
FIRST_TOLD, LAST_TOLD = 6, 18
"""Levels that the words for who can't see the picture name one by one (our own choice)."""
_MARKS = {"before": "o", "with_change": "o", "test": "s", "practice": "D"}


def season_picture(season: Season, *, look: Look = PRINT, width_mm: float = 160.0) -> Picture:
    """The levels of a season over its days, each with the range of 90 in 100.

    Hollow circles were hit as usual, solid ones with the change, squares are tests without it;
    small lozenges with their number of balls are practice, elsewhere and judged nowhere.

    Parameters
    ----------
    season
        What is drawn.
    look
        Colours of the ground it will lie on.
    width_mm
        Width on paper.
    """
    return Picture(
        alt=_alt(season),
        width_mm=width_mm,
        height_mm=HEIGHT_MM,
        look=look,
        paint=_paint(season, look),
    )


def _unit(season: Season) -> str:
    return {"deg": "°", None: ""}.get(season.unit, season.unit or "")


def _alt(season: Season) -> str:
    told = "; ".join(_levels(season.points))
    name, unit = say(season.name), _unit(season)
    if not unit:
        return say("{quantity} over the season, in numbers: {levels}.", quantity=name, levels=told)
    return say(
        "{quantity} over the season, in {unit}: {levels}.", quantity=name, unit=unit, levels=told
    )


def _levels(points: Sequence[SeasonPoint]) -> list[str]:
    """Each level in words; of very many the first and the last ones."""
    n_between = len(points) - FIRST_TOLD - LAST_TOLD
    if n_between <= 1:
        return [_told(point) for point in points]
    first = [_told(point) for point in points[:FIRST_TOLD]]
    last = [_told(point) for point in points[-LAST_TOLD:]]
    return [*first, say("{n} more in between", n=n_between), *last]


def _told(point: SeasonPoint) -> str:
    """One level in words; of practice where it was hit and how many balls it was."""
    said = {
        "day": day_and_month(point.day),
        "what": say(KINDS[point.kind]),
        "level": number(point.level, 1),
        "low": number(point.low, 1),
        "high": number(point.high, 1),
    }
    where = said_place(point.place) if point.place else ""
    if point.kind != "practice" and not where:
        return say("{day} {what} {level} ({low} to {high})", **said)
    if point.kind != "practice":
        return say("{day} {what} {place}, {level} ({low} to {high})", **said, place=where)
    n = balls(point.n_balls)
    return say(
        "{day} {what} {place}, {balls}, {level} ({low} to {high})", **said, place=where, balls=n
    )


def _paint(season: Season, look: Look) -> Callable[[Figure], None]:
    def paint(figure: Figure) -> None:
        wide, high = (float(size) for size in figure.get_size_inches() * MM_PER_INCH)
        title = f"{season_title(season)}, {_unit(season)}".rstrip(", ")
        words(figure, 0.0, 1.0 - 4.0 / high, title, look, fontsize=10.0, weight=600)
        box = (LEFT_MM, FOOT_MM, wide - LEFT_MM - RIGHT_MM, high - TOP_MM - FOOT_MM)
        axes = bare_axes(figure, box)
        _scales(axes, season.points, look)
        for kind in KINDS:
            of_kind = [point for point in season.points if point.kind == kind]
            if of_kind:
                _marks(axes, kind, of_kind, look)
        _key(figure, {point.kind for point in season.points}, look)

    return paint


def season_title(season: Season) -> str:
    """What is drawn: the quantity, and the club where one is named."""
    name = sentence_case(say(season.name))
    if not season.club:
        return name
    return say("{quantity} with the {club}", quantity=name, club=club_said(season.club))


def _at(point: SeasonPoint) -> float:
    """Days, the balls with the change a little after those before."""
    return point.day.toordinal() + (0.35 if point.kind == "with_change" else 0.0)


def _scales(axes: Axes, points: Sequence[SeasonPoint], look: Look) -> None:
    first, last = min(map(_at, points)), max(map(_at, points))
    room = 0.05 * max(last - first, 7.0)
    axes.set_xlim(first - room, last + room)
    low, high = min(point.low for point in points), max(point.high for point in points)
    edge = 0.12 * max(high - low, 1e-6)
    axes.set_ylim(low - edge, high + edge)
    places, decimals = ticks(low - edge, high + edge, 5)
    for at in places:
        axes.plot(axes.get_xlim(), [at, at], color=look.line, lw=0.5, zorder=0)
        numbers(
            axes, first - room, float(at), f"{number(float(at), decimals)}  ", look,
            ha="right", va="center", fontsize=8.0, color=look.quiet,
        )  # fmt: skip
    _days(axes, sorted({point.day for point in points}), look)


def _days(axes: Axes, days: Sequence[date], look: Look) -> None:
    """Days under the axis, as many as there is room for, the last always among them."""
    low, high = axes.get_xlim()
    bottom = axes.get_ylim()[0]
    shown = np.inf
    every = [float(day.toordinal()) for day in days]
    axes.vlines(every, *axes.get_ylim(), color=look.line, lw=0.4, zorder=0)
    for day, at in zip(reversed(days), reversed(every), strict=True):
        if shown - at > 0.09 * (high - low):
            numbers(
                axes, at, bottom, f"\n{day_and_month(day)}", look,
                ha="center", va="center", fontsize=8.0, color=look.quiet,
            )  # fmt: skip
            shown = at


def _marks(axes: Axes, kind: PointKind, points: Sequence[SeasonPoint], look: Look) -> None:
    """All levels of one kind at once: a season of years has hundreds."""
    colour, practised, hollow = _colour(kind, look), kind == "practice", kind != "with_change"
    at, level = [_at(point) for point in points], [point.level for point in points]
    axes.vlines(
        at,
        [point.low for point in points],
        [point.high for point in points],
        color=colour,
        lw=1.5 if practised else 3.0,
        alpha=0.35,
        zorder=2,
        capstyle="projecting",
    )
    if practised:
        for point in points:
            numbers(
                axes, _at(point), point.high, f" {point.n_balls}", look,
                ha="center", va="bottom", fontsize=7.0, color=look.quiet,
            )  # fmt: skip
    kept = [point for point in points if kind == "with_change" and point.decision == "keep"]
    axes.plot(
        [_at(point) for point in kept], [point.level for point in kept], linestyle="none",
        marker="o", markersize=12.0, markerfacecolor="none", markeredgecolor=look.target,
        markeredgewidth=1.2, zorder=3,
    )  # fmt: skip
    axes.plot(
        at,
        level,
        marker=_MARKS[kind],
        markersize=4.5 if practised else 6.5,
        markerfacecolor=look.ground if hollow else colour,
        markeredgecolor=colour if hollow else look.ground,
        markeredgewidth=1.4 if hollow else 0.6,
        linestyle="none",
        zorder=4,
    )


def _colour(kind: PointKind, look: Look) -> str:
    if kind == "practice":
        return look.quiet
    return look.after if kind == "with_change" else look.before


def _key(figure: Figure, shown: set[PointKind], look: Look) -> None:
    wide, _ = (float(size) for size in figure.get_size_inches() * MM_PER_INCH)
    axes = bare_axes(figure, (0.0, 1.0, wide, 5.0))
    axes.set_xlim(0.0, wide)
    axes.set_ylim(0.0, 5.0)
    place = 2.0
    for kind, text in KINDS.items():
        if kind == "practice" and kind not in shown:
            continue
        hollow = kind != "with_change"
        colour = _colour(kind, look)
        axes.plot(
            [place], [2.5], marker=_MARKS[kind], markersize=6.0, linestyle="none",
            markerfacecolor=look.ground if hollow else colour, markeredgecolor=colour,
            markeredgewidth=1.3,
        )  # fmt: skip
        said = words(axes, place + 2.4, 1.5, say(text), look, fontsize=7.5)
        place = end_mm(said) + 4.5
    words(
        axes, place, 1.5, say("band: 90 in 100; ringed: judged real"), look,
        fontsize=7.5, style="italic", color=look.quiet,
    )  # fmt: skip
