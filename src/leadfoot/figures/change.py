"""How much changed, and how far the shots leave it open: one row an outcome, against no change."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

from leadfoot.desk.answer import Answer, AnswerOutcome
from leadfoot.desk.wording import outcome_name
from leadfoot.figures.look import PRINT, Look
from leadfoot.figures.marks import (
    MM_PER_INCH,
    bare_axes,
    computed_too,
    fit,
    note,
    numbers,
    signed,
    ticks,
    words,
)
from leadfoot.figures.picture import Picture
from leadfoot.language.say import say
from leadfoot.quantities import glossary

ROW_MM = 13.5
_NAME_MM, _VALUE_MM, _FOOT_MM, _TOP_MM = 34.0, 30.0, 6.0, 5.0

_SD_PER_HALF_RANGE = 1.644854
"""Standard deviations from the middle of a normal spread to the end of its 90 % range."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """One outcome, turned so that to the right is better where there is a better side."""

    name: str
    unit: str
    change: float
    low: float
    high: float
    better: bool
    """True: right is better. False: right is right of the target."""
    right: str
    left: str
    turned: bool
    """True: less is better, so that the numbers run to the left."""
    computed: bool


def decimals_for(unit: str | None, low: float, high: float) -> int:
    """Decimals of a change and its range: a range of 8 units or more is told in whole ones.

    The 8 is our own choice; a ratio has three decimals.

    Examples
    --------
    >>> decimals_for("mph", 3.6, 6.6), decimals_for("rpm", -220.0, 410.0)
    (1, 0)
    >>> decimals_for(None, 0.01, 0.04)
    3
    """
    width = abs(high - low)
    if unit is None:
        return 3
    return 0 if not np.isfinite(width) or width >= 8.0 else 1


def _unit(outcome: AnswerOutcome) -> str:
    return "°" if outcome.unit == "deg" else outcome.unit or ""


def _row(outcome: AnswerOutcome) -> _Row:
    change, low, high, unit = outcome.change, outcome.low, outcome.high, _unit(outcome)
    if outcome.kind == "mishits":
        change, low, high, unit = 100.0 * change, 100.0 * low, 100.0 * high, say("in 100")
    right, left, better = _ends(outcome)
    turned = outcome.kind in {"spread", "mishits"}
    if turned:
        change, low, high = -change, -high, -low
    return _Row(
        name=outcome_name(outcome.quantity, outcome.kind),
        unit=unit,
        change=change,
        low=low,
        high=high,
        better=better,
        right=right,
        left=left,
        turned=turned,
        computed=outcome.basis == "modelled",
    )


def _ends(outcome: AnswerOutcome) -> tuple[str, str, bool]:
    """Words for the right and the left side, and whether right is better."""
    if outcome.kind == "mishits":
        return say("fewer: better"), say("more: worse"), True
    if outcome.kind == "spread":
        return say("narrower: better"), say("wider: worse"), True
    if outcome.kind == "bias":
        if outcome.before > 0.0:
            return say("moved right"), say("moved left: toward the target"), False
        return say("moved right: toward the target"), say("moved left"), False
    found = glossary().get(outcome.quantity)
    if found is not None and found.better == "more":
        return say("more: better"), say("less: worse"), True
    return say("more"), say("less"), False


def hill(change: float, low: float, high: float, at: NDArray[np.float64]) -> NDArray[np.float64]:
    """Height, 0 to 1, of how likely each size of the change is, from its estimate and 90 % range.

    Two halves of a normal curve that meet at the estimate, each with the width of its side of the
    range: a drawing aid, not the judgement itself.

    Examples
    --------
    >>> hill(2.0, 0.0, 4.0, np.array([0.0, 2.0])).round(3)
    array([0.259, 1.   ])
    """
    tiny = 1e-9 + 1e-6 * abs(high - low)
    left = max((change - low) / _SD_PER_HALF_RANGE, tiny)
    right = max((high - change) / _SD_PER_HALF_RANGE, tiny)
    away = np.where(at < change, (at - change) / left, (at - change) / right)
    return np.asarray(np.exp(-0.5 * away**2))


def _draw_hill(axes: Axes, row: _Row, reach: float, look: Look) -> None:
    at = np.linspace(-reach, reach, 401)
    height = 0.58 * hill(row.change, row.low, row.high, at)
    wanted = at >= 0.0 if row.better else np.full(at.shape, fill_value=True)
    axes.fill_between(
        at, 0.0, height, where=wanted.tolist(), color=look.after, alpha=0.22, lw=0, zorder=2
    )
    axes.plot(at, height, color=look.after, lw=0.8, zorder=3)
    if row.better:
        axes.fill_between(
            at,
            0.0,
            height,
            where=(~wanted).tolist(),
            facecolor="none",
            edgecolor=look.before,
            hatch="//////",
            lw=0,
            zorder=2,
        )
    axes.plot(
        [row.low, row.high], [0.0, 0.0], color=look.ink, lw=2.6, solid_capstyle="butt", zorder=4
    )
    axes.plot(
        [row.change],
        [0.0],
        marker="o",
        markersize=7.5,
        markerfacecolor=look.after,
        markeredgecolor=look.ground,
        markeredgewidth=1.2,
        zorder=5,
    )


def _draw_scale(axes: Axes, row: _Row, reach: float, look: Look) -> None:
    axes.plot([-reach, reach], [0.0, 0.0], color=look.line, lw=0.6, zorder=1)
    axes.plot([0.0, 0.0], [-0.12, 0.85], color=look.ink, lw=0.9, zorder=3.5)
    places, decimals = ticks(-reach, reach, 5)
    for place in places:
        axes.plot([place, place], [-0.05, 0.0], color=look.line, lw=0.6, zorder=1)
        value = -place if row.turned else place
        numbers(
            axes,
            float(place),
            -0.13,
            signed(float(value), decimals),
            look,
            ha="center",
            va="top",
            fontsize=8.0,
            color=look.quiet,
        )
    for side, text, align in ((-reach, row.left, "left"), (reach, row.right, "right")):
        words(axes, side, 0.72, text, look, ha=align, fontsize=7.5, color=look.quiet)


def _told(row: _Row) -> tuple[str, str]:
    """The change and its range as numbers, in their own sign."""
    ends = (-row.high, -row.low) if row.turned else (row.low, row.high)
    middle = -row.change if row.turned else row.change
    decimals = decimals_for(row.unit or None, *ends)
    return (
        f"{signed(middle, decimals)}{'' if row.unit == '°' else ' '}{row.unit}".strip(),
        say("{low} to {high}", low=signed(ends[0], decimals), high=signed(ends[1], decimals)),
    )


def _draw_row(figure: Figure, row: _Row, top_mm: float, look: Look) -> None:
    wide, high = (float(size) for size in figure.get_size_inches() * MM_PER_INCH)
    base = high - top_mm - ROW_MM
    axes = bare_axes(figure, (_NAME_MM, base, wide - _NAME_MM - _VALUE_MM, ROW_MM))
    reach = 1.15 * max(abs(row.low), abs(row.high), abs(row.change), 1e-6)
    axes.set_xlim(-reach, reach)
    axes.set_ylim(-0.45, 0.95)
    _draw_hill(axes, row, reach, look)
    _draw_scale(axes, row, reach, look)
    line = (base + ROW_MM * 0.45 / 1.4) / high
    fit(words(figure, 0.0, line, row.name, look, fontsize=9.0), _NAME_MM - 1.5)
    if row.computed:
        words(
            figure,
            0.0,
            line - 3.6 / high,
            say("computed"),
            look,
            style="italic",
            fontsize=7.5,
            color=look.quiet,
        )
    change, spread = _told(row)
    right = 1.0 - (_VALUE_MM - 4.0) / wide
    numbers(figure, right, line + 0.6 / high, change, look, fontsize=13.0, weight=600)
    numbers(figure, right, line - 3.6 / high, spread, look, fontsize=9.0, color=look.quiet)


def headlines(answer: Answer) -> tuple[AnswerOutcome, ...]:
    """The outcomes that the answer rests on: distance, middle, spread, mishits; those it has."""
    chosen = (answer.headline, answer.bias, answer.spread, answer.mishits)
    return tuple(
        outcome
        for outcome in chosen
        if outcome is not None
        and bool(np.isfinite([outcome.change, outcome.low, outcome.high]).all())
    )


def _paint(rows: Sequence[_Row], look: Look) -> Callable[[Figure], None]:
    def paint(figure: Figure) -> None:
        wide, high = (float(size) for size in figure.get_size_inches() * MM_PER_INCH)
        if not rows:
            words(
                figure,
                0.5,
                0.5,
                say("No change could be estimated yet."),
                look,
                ha="center",
                va="center",
            )
            return
        zero = (_NAME_MM + (wide - _NAME_MM - _VALUE_MM) / 2.0) / wide
        words(
            figure,
            zero,
            1.0 - 3.6 / high,
            say("no change"),
            look,
            ha="center",
            fontsize=7.5,
            color=look.quiet,
        )
        for place, row in enumerate(rows):
            _draw_row(figure, row, _TOP_MM + place * ROW_MM, look)
        text = say("Dot: the best estimate. Thick line: holds the truth with nine chances in ten.")
        note(figure, [text], look, left_mm=0.0)

    return paint


def _alt(rows: Sequence[_Row]) -> str:
    if not rows:
        return say("No change could be estimated yet.")
    told = ((row, *_told(row)) for row in rows)
    parts = [
        say(
            "{quantity} {change}, likely {range}",
            quantity=computed_too(row.name, computed=row.computed),
            change=change,
            range=spread,
        )
        for row, change, spread in told
    ]
    return say("Estimated changes with their ranges: {changes}.", changes="; ".join(parts))


def change_picture(answer: Answer, *, look: Look = PRINT, width_mm: float = 150.0) -> Picture:
    """The estimated change of each headline outcome, with its 90 % range, against no change.

    The estimate is the shrunk one of the judgement, never a bare difference of averages. The hill
    over the line shows which sizes of the change are likely; its part on the worse side is hatched.

    Parameters
    ----------
    answer
        The answer; its headline, bias, spread and mishits are drawn where it has them.
    look
        Colours of the ground it will lie on.
    width_mm
        Width on paper; the height follows from the number of rows.
    """
    rows = [_row(outcome) for outcome in headlines(answer)]
    return Picture(
        alt=_alt(rows),
        width_mm=width_mm,
        height_mm=_TOP_MM + _FOOT_MM + ROW_MM * max(len(rows), 1),
        look=look,
        paint=_paint(rows, look),
    )
