"""Balls along one scale: what is drawn where the shots do not tell both direction and distance."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

from leadfoot.desk.answer import Pattern
from leadfoot.desk.wording import sentence_case, sided
from leadfoot.figures.look import PRINT, Look
from leadfoot.figures.marks import (
    FEWEST_FOR_MIDDLE,
    GROUPS,
    MM_PER_INCH,
    TITLES,
    Group,
    balls,
    bare_axes,
    computed_too,
    draw_balls,
    draw_key,
    draw_middle,
    note,
    numbers,
    ticks,
    words,
)
from leadfoot.figures.picture import Picture
from leadfoot.figures.spread import Band, band, finite
from leadfoot.language.numbers import number
from leadfoot.language.say import noted, say

_ROW: dict[Group, float] = {"before": 1.0, "after": 0.0}
_TOLD_APART = 0.30
"""Half the height of a row of balls; they are spread over it so that equal ones stay visible."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Scale:
    """One number of every ball, with its name; `sided` where it is right or left of the target."""

    values: NDArray[np.float64]
    with_change: NDArray[np.bool_]
    name: str
    unit: str
    computed: bool
    sided: bool
    missing: str
    """What the reader should know is not in the picture."""

    def of(self, group: Group) -> NDArray[np.float64]:
        return finite(self.values[self.with_change == (group == "after")])


_NO_CARRY = noted("No carry was measured.")
_NO_DIRECTION = noted("No direction was measured.")
_NOTHING = noted("No direction, carry or speed was measured.")


def _scale(pattern: Pattern) -> _Scale | None:
    """The best number that at least one ball has: offline, else carry, else speed."""
    choices = (
        (pattern.offline, "offline", pattern.unit, pattern.offline_basis, _NO_CARRY),
        (pattern.carry, "carry", pattern.unit, pattern.carry_basis, _NO_DIRECTION),
        (
            pattern.speed,
            pattern.speed_name,
            pattern.speed_unit,
            "measured",
            _NO_DIRECTION,
        ),
    )
    for values, name, unit, basis, missing in choices:
        if np.isfinite(values).any():
            return _Scale(
                values=values,
                with_change=pattern.with_change,
                name=name,
                unit=unit,
                computed=basis == "modelled",
                sided=name == "offline",
                missing=missing,
            )
    return None


def _ends(scale: _Scale) -> tuple[float, float]:
    good = finite(scale.values)
    if scale.sided:
        half = max(float(np.abs(good).max()) * 1.08, 10.0)
        return -half, half
    low, high = float(good.min()), float(good.max())
    margin = max(0.08 * (high - low), 0.02 * abs(high), 0.5)
    return low - margin, high + margin


def _draw_row(axes: Axes, scale: _Scale, group: Group, look: Look) -> Band | None:
    values = scale.of(group)
    found = band(values)
    if found is None:
        return None
    row = _ROW[group]
    # A fixed up-and-down pattern in hitting order: never random, so the same shots look the same.
    lift = (np.arange(values.size, dtype=np.float64) * 0.618034) % 1.0 - 0.5
    colour = look.before if group == "before" else look.after
    if found.low is not None and found.high is not None:
        axes.fill_between(
            [found.low, found.high],
            row - _TOLD_APART,
            row + _TOLD_APART,
            facecolor=colour if group == "after" else "none",
            edgecolor="none" if group == "after" else colour,
            linestyle="solid" if group == "after" else (0, (4, 2)),
            alpha=0.12 if group == "after" else 1.0,
            linewidth=1.0,
            zorder=2,
        )
    draw_balls(axes, values, row + lift * 2.0 * _TOLD_APART * 0.8, group, look)
    if found.n >= FEWEST_FOR_MIDDLE:
        draw_middle(axes, found.middle, row, group, look)
    return found


def _draw_scale(axes: Axes, scale: _Scale, ends: tuple[float, float], look: Look) -> None:
    places, decimals = ticks(*ends, 6)
    for place in places:
        axes.plot([place, place], [-0.5, 1.5], color=look.line, lw=0.6, zorder=1)
        label = number(float(place), decimals, sign=scale.sided)
        numbers(axes, float(place), -0.56, label, look, ha="center", va="top", color=look.quiet)
    if scale.sided:
        axes.plot([0.0, 0.0], [-0.5, 1.5], color=look.target, lw=0.9, dashes=(5, 3), zorder=2)
    for group, row in _ROW.items():
        words(
            axes,
            ends[0],
            row + 0.42,
            say(TITLES[group]),
            look,
            fontsize=7.5,
            color=look.quiet,
            va="center_baseline",
        )


def _draw_words(figure: Figure, scale: _Scale, *, ringed: bool, look: Look) -> None:
    wide, high = figure.get_size_inches() * MM_PER_INCH
    unit = f", {scale.unit}" if scale.unit else ""
    title = computed_too(f"{say(scale.name)}{unit}", computed=scale.computed)
    if scale.sided:
        words(figure, 3.0 / wide, 9.0 / high, say("\u2190 left"), look, va="baseline")
        right = say("right \u2192")
        words(figure, 1.0 - 3.0 / wide, 9.0 / high, right, look, ha="right", va="baseline")
        title = say("from the target line, {unit}", unit=scale.unit)
    words(figure, 0.5, 9.0 / high, title, look, ha="center", va="baseline", color=look.quiet)
    lines = [say(scale.missing)]
    if max(scale.of(group).size for group in GROUPS) >= FEWEST_FOR_MIDDLE:
        meant = [say("Diamond: the middle of the balls.")]
        if ringed:
            meant.append(say("Band: holds two balls in three."))
        lines.append(" ".join(meant))
    note(figure, lines, look, left_mm=3.0, top_mm=4.4)


def _paint(scale: _Scale, look: Look) -> Callable[[Figure], None]:
    def paint(figure: Figure) -> None:
        wide, high = (float(size) for size in figure.get_size_inches() * MM_PER_INCH)
        axes = bare_axes(figure, (3.0, 17.5, wide - 6.0, high - 27.0))
        ends = _ends(scale)
        axes.set_xlim(*ends)
        axes.set_ylim(-0.5, 1.55)
        _draw_scale(axes, scale, ends, look)
        bands = [_draw_row(axes, scale, group, look) for group in GROUPS]
        ringed = any(found is not None and found.low is not None for found in bands)
        _draw_words(figure, scale, ringed=ringed, look=look)
        draw_key(figure, {group: scale.of(group).size for group in GROUPS}, look)

    return paint


def _alt(scale: _Scale) -> str:
    said = [say("{quantity} of every ball.", quantity=sentence_case(say(scale.name)))]
    for group in GROUPS:
        title, found = sentence_case(say(TITLES[group])), band(scale.of(group))
        if found is None:
            said.append(say("{group}: no ball with this number.", group=title))
            continue
        middle = f"{number(abs(found.middle), 1)} {scale.unit}".strip()
        if scale.sided:
            middle = sided(middle, found.middle)
        n = balls(found.n)
        said.append(
            say("{group}: {balls}, the middle at {middle}.", group=title, balls=n, middle=middle)
        )
    return " ".join((*said, say(scale.missing)))


def _paint_nothing(look: Look) -> Callable[[Figure], None]:
    def paint(figure: Figure) -> None:
        words(
            figure,
            0.5,
            0.54,
            say(_NOTHING),
            look,
            ha="center",
            fontsize=10.0,
        )
        words(
            figure,
            0.5,
            0.44,
            say("With one of them, the pattern of shots stands here."),
            look,
            ha="center",
            style="italic",
            color=look.quiet,
        )

    return paint


def strip_picture(
    pattern: Pattern, *, look: Look = PRINT, width_mm: float = 100.0, height_mm: float = 92.0
) -> Picture:
    """Every ball along one scale: offline if any ball has it, else carry, else speed.

    The band of a row holds the middle two thirds of its balls and needs five. Where no ball has any
    of the three, the picture says so.

    Parameters
    ----------
    pattern
        The balls.
    look
        Colours of the ground it will lie on.
    width_mm, height_mm
        Size on paper.
    """
    scale = _scale(pattern)
    return Picture(
        alt=_alt(scale) if scale else say(_NOTHING),
        width_mm=width_mm,
        height_mm=height_mm,
        look=look,
        paint=_paint(scale, look) if scale else _paint_nothing(look),
    )
