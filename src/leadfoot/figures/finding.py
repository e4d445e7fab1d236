"""What limits the student, as rows: the balls of each finding on its scale, its cost and odds."""

from collections.abc import Callable

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from leadfoot.desk.finding import Found, ShownFinding
from leadfoot.desk.wording import amount, in_100
from leadfoot.figures.look import PRINT, Look
from leadfoot.figures.marks import (
    MM_PER_INCH,
    bare_axes,
    draw_balls,
    draw_middle,
    note,
    numbers,
    ticks,
    words,
)
from leadfoot.figures.picture import Picture

ROW_MM, TOP_MM, FOOT_MM = 30.0, 9.0, 11.0
MOST_ROWS = 5
_COST_MM = 42.0


def finding_picture(found: Found, *, look: Look = PRINT, width_mm: float = 150.0) -> Picture:
    """The findings that cost most, one below the other.

    Parameters
    ----------
    found
        What limits the student.
    look
        Colours of the ground it will lie on.
    width_mm
        Width on paper; the height follows from the number of findings.
    """
    shown = found.findings[:MOST_ROWS]
    return Picture(
        alt=_alt(found, shown),
        width_mm=width_mm,
        height_mm=TOP_MM + FOOT_MM + ROW_MM * max(len(shown), 1),
        look=look,
        paint=_paint(found, shown, look),
    )


def _alt(found: Found, shown: tuple[ShownFinding, ...]) -> str:
    if not shown:
        return f"{found.sentence} {found.miss_said}"
    return " ".join(f"{one.name}: {one.said} {one.cost_said}" for one in shown)


def _paint(found: Found, shown: tuple[ShownFinding, ...], look: Look) -> Callable[[Figure], None]:
    def paint(figure: Figure) -> None:
        high = float(figure.get_size_inches()[1]) * MM_PER_INCH
        words(
            figure, 0.0, 1.0 - 4.0 / high, "What limits the student most", look,
            fontsize=10.0, weight=600,
        )  # fmt: skip
        if not shown:
            words(figure, 0.0, 1.0 - 16.0 / high, found.sentence, look, fontsize=9.0)
        for place, one in enumerate(shown):
            _row(figure, place, one, found.unit, look)
        note(
            figure,
            [
                "Circles: balls. Band: where the middle is no fault. Diamond: the likely middle.",
                "Costs are modelled; the range holds them with 95 in 100.",
            ],
            look,
            left_mm=0.0,
            top_mm=4.6,
        )

    return paint


def _row(figure: Figure, place: int, one: ShownFinding, unit: str, look: Look) -> None:
    wide, high = (float(size) for size in figure.get_size_inches() * MM_PER_INCH)
    top = TOP_MM + ROW_MM * place
    words(figure, 0.0, 1.0 - (top + 4.0) / high, one.name, look, fontsize=9.0, weight=600)
    bottom_mm = high - top - ROW_MM + 8.0
    axes = bare_axes(figure, (6.0, bottom_mm, wide - _COST_MM - 12.0, ROW_MM - 20.0))
    axes.set_xlim(*one.ends)
    axes.set_ylim(-1.0, 1.0)
    _draw_strip(axes, one, look)
    for k, (said, cost) in enumerate((("carry", one.carry), ("miss", one.miss))):
        line = 1.0 - (top + 13.0 + 4.5 * k) / high
        value, low, most = (
            amount(end, None, decimals=0) for end in (cost.value, cost.low, cost.high)
        )
        words(figure, 1.0 - (_COST_MM - 4.0) / wide, line, said, look, fontsize=8.0)
        told = f"{value} {unit} ({low} to {most})"
        numbers(figure, 1.0, line, told, look, fontsize=9.0, ha="right")
    line = 1.0 - (top + 22.0) / high
    words(figure, 1.0 - (_COST_MM - 4.0) / wide, line, "odds", look, fontsize=8.0)
    numbers(figure, 1.0, line, in_100(one.odds), look, fontsize=9.0, ha="right")


def _draw_strip(axes: Axes, one: ShownFinding, look: Look) -> None:
    low, high = one.ends
    if one.sound is not None:
        axes.axvspan(*one.sound, facecolor=look.line, alpha=0.5, lw=0.0, zorder=0)
    axes.plot([low, high], [-1.0, -1.0], color=look.quiet, lw=0.8, clip_on=False)
    places, decimals = ticks(low, high, 5)
    for at in places:
        axes.plot([at, at], [-1.0, -0.85], color=look.quiet, lw=0.8, clip_on=False)
        text = amount(float(at), one.unit, decimals=decimals)
        numbers(axes, float(at), -1.15, text, look, ha="center", va="top", fontsize=7.5)
    for side, text, align in ((low, one.low_word, "left"), (high, one.high_word, "right")):
        words(axes, side, 1.02, text, look, ha=align, va="bottom", fontsize=7.5, color=look.quiet)
    # A fixed up-and-down pattern in hitting order: never random, so the same balls look the same.
    lift = (np.arange(one.balls.size, dtype=np.float64) * 0.618034) % 1.0 - 0.5
    draw_balls(axes, one.balls, lift, "before", look)
    if one.middle is not None:
        draw_middle(axes, one.middle, 0.0, "before", look)
