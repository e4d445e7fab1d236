"""Ball by ball in hitting order, with the blocks marked: whether it holds, or came and went."""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

from leadfoot.desk.answer import Answer
from leadfoot.desk.wording import sentence_case
from leadfoot.figures.look import PRINT, Look
from leadfoot.figures.marks import (
    GROUPS,
    MM_PER_INCH,
    TITLES,
    Group,
    balls,
    bare_axes,
    computed_too,
    draw_balls,
    draw_key,
    note,
    numbers,
    ticks,
    words,
)
from leadfoot.figures.picture import Picture
from leadfoot.figures.spread import band, finite
from leadfoot.language.numbers import number
from leadfoot.language.say import noted, say

_LEFT_MM, _RIGHT_MM, _BOTTOM_MM, _TOP_MM = 10.0, 3.0, 11.5, 12.5
_NARROWEST_NAMED = 0.12
"""Share of the width from which a block carries its name; a narrower one is told by its balls."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Run:
    """One number of every ball in hitting order."""

    values: NDArray[np.float64]
    with_change: NDArray[np.bool_]
    name: str
    unit: str
    computed: bool


def _run(answer: Answer) -> _Run | None:
    """The distance that the sentence speaks of, if the balls have it; else the other one."""
    pattern = answer.pattern
    speed = _Run(
        values=pattern.speed,
        with_change=pattern.with_change,
        name=pattern.speed_name,
        unit=pattern.speed_unit,
        computed=False,
    )
    carry = _Run(
        values=pattern.carry,
        with_change=pattern.with_change,
        name="carry",
        unit=pattern.unit,
        computed=pattern.carry_basis == "modelled",
    )
    of_carry = answer.headline is not None and answer.headline.quantity in {"carry", "total"}
    for run in (carry, speed) if of_carry else (speed, carry):
        if np.isfinite(run.values).any():
            return run
    return None


def spans(with_change: NDArray[np.bool_]) -> list[tuple[int, int, Group]]:
    """Runs of balls of one kind, as half-open intervals in hitting order.

    Examples
    --------
    >>> spans(np.array([False, False, True]))
    [(0, 2, 'before'), (2, 3, 'after')]
    """
    if not with_change.size:
        return []
    cuts = [0, *(np.flatnonzero(np.diff(with_change)) + 1).tolist(), int(with_change.size)]
    return [
        (start, stop, "after" if with_change[start] else "before") for start, stop in pairwise(cuts)
    ]


def _draw_block(
    axes: Axes, run: _Run, span: tuple[int, int, Group], *, ends: tuple[float, float], look: Look
) -> bool:
    """Draw one block's band, bracket and name; True if it has a band."""
    (start, stop, group), (low, high) = span, ends
    colour = look.before if group == "before" else look.after
    found = band(run.values[start:stop])
    has_band = found is not None and found.low is not None and found.high is not None
    if found is not None and found.low is not None and found.high is not None:
        axes.fill_between(
            [start + 0.6, stop + 0.4],
            found.low,
            found.high,
            facecolor=colour if group == "after" else "none",
            edgecolor="none" if group == "after" else colour,
            linestyle="solid" if group == "after" else (0, (4, 2)),
            alpha=0.12 if group == "after" else 1.0,
            linewidth=0.9,
            zorder=2,
        )
        axes.plot([start + 0.6, stop + 0.4], [found.middle] * 2, color=colour, lw=1.0, zorder=3)
    foot = low - 0.03 * (high - low)
    axes.plot(
        [start + 0.6, stop + 0.4], [foot, foot], color=look.ink, lw=0.8, clip_on=False, zorder=3
    )
    if stop - start >= _NARROWEST_NAMED * run.values.size:
        words(
            axes,
            (start + stop + 1.0) / 2.0,
            foot - 0.12 * (high - low),
            say(TITLES[group]),
            look,
            ha="center",
            va="center",
            fontsize=7.5,
        )
    return has_band


def _draw_balls(axes: Axes, run: _Run, look: Look) -> None:
    order = np.arange(1, run.values.size + 1, dtype=np.float64)
    size = float(np.clip(260.0 / max(run.values.size, 1), 2.6, 5.0))
    for group in GROUPS:
        mine = (run.with_change == (group == "after")) & np.isfinite(run.values)
        draw_balls(axes, order[mine], run.values[mine], group, look, size=size)


def _paint(run: _Run, look: Look) -> Callable[[Figure], None]:
    def paint(figure: Figure) -> None:
        wide, high_mm = (float(size) for size in figure.get_size_inches() * MM_PER_INCH)
        axes = bare_axes(
            figure,
            (_LEFT_MM, _BOTTOM_MM, wide - _LEFT_MM - _RIGHT_MM, high_mm - _BOTTOM_MM - _TOP_MM),
        )
        good = finite(run.values)
        margin = max(0.06 * float(np.ptp(good)), 0.01 * abs(float(good.mean())), 0.5)
        low, high = float(good.min()) - margin, float(good.max()) + margin
        axes.set_xlim(0.4, run.values.size + 0.6)
        axes.set_ylim(low, high)
        places, decimals = ticks(low, high, 4)
        for place in places:
            axes.plot([0.4, run.values.size + 0.6], [place] * 2, color=look.line, lw=0.6, zorder=1)
            label = f"{number(float(place), decimals)} "
            numbers(axes, 0.4, place, label, look, ha="right", va="center", color=look.quiet)
        banded = [
            _draw_block(axes, run, one, ends=(low, high), look=look)
            for one in spans(run.with_change)
        ]
        _draw_balls(axes, run, look)
        _draw_words(figure, run, banded=any(banded), look=look)

    return paint


def _draw_words(figure: Figure, run: _Run, *, banded: bool, look: Look) -> None:
    wide, high = figure.get_size_inches() * MM_PER_INCH
    title = computed_too(f"{say(run.name)}, {run.unit}", computed=run.computed)
    top = 1.0 - (_TOP_MM - 4.2) / high
    words(figure, 0.4 / wide, top, title, look, va="baseline", color=look.quiet, fontsize=7.5)
    good = np.isfinite(run.values)
    counts: dict[Group, int] = {
        "before": int((good & ~run.with_change).sum()),
        "after": int((good & run.with_change).sum()),
    }
    draw_key(figure, counts, look)
    meant = [say("In the order in which they were hit.")]
    if banded:
        meant.append(say("Band: holds two balls in three; line: their middle."))
    note(figure, [" ".join(meant)], look, left_mm=_LEFT_MM)


def _alt(run: _Run) -> str:
    name = sentence_case(say(run.name))
    said = [
        say("{quantity} of every ball in the order hit, in {unit}.", quantity=name, unit=run.unit)
    ]
    for start, stop, group in spans(run.with_change):
        found = band(run.values[start:stop])
        if found is not None:
            said.append(
                say(
                    "{group}: {balls}, the middle at {middle}.",
                    group=sentence_case(say(TITLES[group])),
                    balls=balls(found.n),
                    middle=f"{number(found.middle, 1)} {run.unit}",
                )
            )
    return " ".join(said)


_NOTHING = noted("No speed or carry was measured.")


def _paint_nothing(look: Look) -> Callable[[Figure], None]:
    def paint(figure: Figure) -> None:
        words(figure, 0.5, 0.5, say(_NOTHING), look, ha="center", va="center")

    return paint


def run_picture(
    answer: Answer, *, look: Look = PRINT, width_mm: float = 150.0, height_mm: float = 62.0
) -> Picture:
    """Every ball in hitting order, with the blocks marked under it.

    The number drawn is the distance or the speed that the sentence speaks of, where the balls have
    it. The band of a block holds the middle two thirds of its balls and needs five; its line is
    their middle (median).

    Parameters
    ----------
    answer
        The answer whose `pattern` is drawn.
    look
        Colours of the ground it will lie on.
    width_mm, height_mm
        Size on paper.
    """
    run = _run(answer)
    return Picture(
        alt=_alt(run) if run else say(_NOTHING),
        width_mm=width_mm,
        height_mm=height_mm,
        look=look,
        paint=_paint(run, look) if run else _paint_nothing(look),
    )
