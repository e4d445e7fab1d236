"""The pattern of shots seen from above: where the balls came down before, and with the change."""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Ellipse, Polygon
from numpy.typing import NDArray

from leadfoot.desk.answer import Answer, Pattern
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
    signed,
    ticks,
    words,
)
from leadfoot.figures.picture import Picture
from leadfoot.figures.spread import ring, robust_sd
from leadfoot.figures.strip import strip_picture
from leadfoot.language.numbers import number
from leadfoot.language.say import say, say_n

FEWEST_IN_VIEW = 2
"""Balls with both numbers from which the view from above is drawn."""

REACH_SD = 3.5
"""Balls farther from the middle than this many robust deviations stand at the edge with their
numbers (our choice: else a single mishit would shrink all other balls to a blot)."""

FEWEST_FOR_FAR = 8
"""Balls from which one of them can be called far; of fewer, all are in view (our choice)."""

_LEAST_SIDE = {"yd": 15.0, "m": 15.0, "ft": 45.0}
"""Least view to either side of the target, so that a tight pattern looks tight (our choice)."""

_LEFT_MM, _RIGHT_MM, _BOTTOM_MM, _TOP_MM = 10.0, 3.0, 17.5, 13.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _View:
    """What of the ground is shown; the target line is always in the middle."""

    side: float
    near: float
    far: float


def _reach(values: NDArray[np.float64], least: float) -> float:
    """How far from the middle the view goes at most."""
    if values.size < FEWEST_FOR_FAR:
        return float("inf")
    return REACH_SD * max(robust_sd(values), least / 6.0)


def _side(offline: NDArray[np.float64], least: float) -> float:
    usual = abs(float(np.median(offline))) + _reach(offline, least)
    half = max(min(float(np.abs(offline).max()), usual), least)
    return float(np.ceil(half / 5.0 - 1e-9) * 5.0)


def _view(pattern: Pattern, seen: NDArray[np.bool_], shape: float) -> _View:
    """The view at one scale in both directions; `shape` is height over width of the panel."""
    carry, offline = pattern.carry[seen], pattern.offline[seen]
    least = _LEAST_SIDE.get(pattern.unit, 15.0)
    reach = _reach(carry, least)
    middle = float(np.median(carry))
    near = float(np.floor(max(float(carry.min()), middle - reach) / 5.0) * 5.0 - 5.0)
    far = float(np.ceil(min(float(carry.max()), middle + reach) / 5.0) * 5.0 + 5.0)
    side = _side(offline, least) + 2.0
    if far - near < 2.0 * side * shape:
        centre, half = (near + far) / 2.0, side * shape
        near, far = centre - half, centre + half
    else:
        side = (far - near) / shape / 2.0
    return _View(side=side, near=near, far=far)


def _draw_ground(axes: Axes, view: _View, look: Look) -> None:
    distances, decimals = ticks(view.near, view.far, 5)
    for distance in distances:
        axes.plot([-view.side, view.side], [distance] * 2, color=look.line, lw=0.6, zorder=1)
        numbers(
            axes,
            -view.side,
            float(distance),
            f"{number(float(distance), decimals)} ",
            look,
            ha="right",
            va="center",
            color=look.quiet,
        )
    axes.plot([0.0, 0.0], [view.near, view.far], color=look.target, lw=0.9, dashes=(5, 3), zorder=2)
    flag = (view.far - view.near) * 0.06
    axes.add_patch(
        Polygon(
            [(0.0, view.far), (flag, view.far - 0.35 * flag), (0.0, view.far - 0.7 * flag)],
            facecolor=look.target,
            edgecolor="none",
            zorder=3,
        )
    )
    sides, decimals = ticks(-view.side, view.side, 6)
    drop = view.near - (view.far - view.near) * 0.02
    for offline in sides:
        numbers(
            axes,
            float(offline),
            drop,
            signed(float(offline), decimals),
            look,
            ha="center",
            va="top",
            color=look.quiet,
        )


def _draw_words(figure: Figure, pattern: Pattern, look: Look) -> None:
    wide, high = figure.get_size_inches() * MM_PER_INCH
    base = 9.0 / high
    left, right = _LEFT_MM / wide, 1.0 - _RIGHT_MM / wide
    words(figure, left, base, say("\u2190 left"), look, va="baseline")
    words(figure, right, base, say("right \u2192"), look, va="baseline", ha="right")
    words(
        figure,
        (left + right) / 2.0,
        base,
        say("from the target line, {unit}", unit=pattern.unit),
        look,
        ha="center",
        va="baseline",
        color=look.quiet,
        fontsize=7.5,
    )
    told = say("carry, {unit}", unit=pattern.unit)
    words(
        figure,
        0.4 / wide,
        1.0 - (_TOP_MM - 4.6) / high,
        computed_too(told, computed=pattern.carry_basis == "modelled"),
        look,
        va="center_baseline",
        color=look.quiet,
        fontsize=7.5,
    )


def _draw_group(
    axes: Axes,
    view: _View,
    pattern: Pattern,
    seen: NDArray[np.bool_],
    *,
    group: Group,
    look: Look,
) -> bool:
    """Draw one group; True if it has a ring."""
    mine = seen & (pattern.with_change == (group == "after"))
    x, y = pattern.offline[mine], pattern.carry[mine]
    inside = (np.abs(x) <= view.side) & (y >= view.near) & (y <= view.far)
    draw_balls(axes, x[inside], y[inside], group, look)
    for offline, carry in zip(x[~inside], y[~inside], strict=True):
        _draw_far_ball(axes, view, float(offline), float(carry), group=group, look=look)
    if x.size >= FEWEST_FOR_MIDDLE:
        draw_middle(axes, float(np.median(x)), float(np.median(y)), group, look)
    found = ring(x, y)
    if found is None:
        return False
    colour = look.before if group == "before" else look.after
    for fill in (True, False):
        axes.add_patch(
            Ellipse(
                (found.x, found.y),
                found.width,
                found.height,
                angle=math.degrees(found.turn_rad),
                fill=fill and group == "after",
                facecolor=colour,
                edgecolor="none" if fill else colour,
                alpha=0.10 if fill else 1.0,
                linewidth=1.1,
                linestyle=(0, (4, 2)) if group == "before" else "solid",
                zorder=2.5 if fill else 3.5,
            )
        )
    return True


def _draw_far_ball(
    axes: Axes, view: _View, offline: float, carry: float, *, group: Group, look: Look
) -> None:
    """Draw a ball beyond the view at its edge, with its two numbers."""
    x = float(np.clip(offline, -view.side, view.side))
    y = float(np.clip(carry, view.near, view.far))
    draw_balls(axes, np.array([x]), np.array([y]), group, look)
    on_right = x > 0.0
    gap = view.side * 0.04
    numbers(
        axes,
        x - gap if on_right else x + gap,
        y,
        say("{far} out, {side}", far=number(carry), side=sided(number(abs(offline)), offline)),
        look,
        ha="right" if on_right else "left",
        va="bottom" if y <= view.near else "center",
        fontsize=8.0,
    )


def _paint(pattern: Pattern, seen: NDArray[np.bool_], look: Look) -> Callable[[Figure], None]:
    def paint(figure: Figure) -> None:
        wide, high = (float(size) for size in figure.get_size_inches() * MM_PER_INCH)
        box = (_LEFT_MM, _BOTTOM_MM, wide - _LEFT_MM - _RIGHT_MM, high - _BOTTOM_MM - _TOP_MM)
        axes = bare_axes(figure, box)
        view = _view(pattern, seen, box[3] / box[2])
        axes.set_xlim(-view.side, view.side)
        axes.set_ylim(view.near, view.far)
        _draw_ground(axes, view, look)
        ringed = [
            _draw_group(axes, view, pattern, seen, group=group, look=look) for group in GROUPS
        ]
        _draw_words(figure, pattern, look)
        draw_key(figure, _counts(pattern, seen), look)
        note(figure, _notes(pattern, seen, ringed=any(ringed)), look, left_mm=_LEFT_MM, top_mm=4.4)

    return paint


def _notes(pattern: Pattern, seen: NDArray[np.bool_], *, ringed: bool) -> list[str]:
    lines = []
    if max(_counts(pattern, seen).values()) >= FEWEST_FOR_MIDDLE:
        meant = [say("Diamond: the middle of the balls.")]
        if ringed:
            meant.append(say("Ring: holds two balls in three."))
        lines.append(" ".join(meant))
    unseen = int((~seen).sum())
    if unseen:
        lines.append(
            say_n(
                "Not drawn: {n} ball without both numbers.",
                "Not drawn: {n} balls without both numbers.",
                unseen,
            )
        )
    return lines


def _counts(pattern: Pattern, seen: NDArray[np.bool_]) -> dict[Group, int]:
    return {
        "before": int((seen & ~pattern.with_change).sum()),
        "after": int((seen & pattern.with_change).sum()),
    }


def _where(offline: float, carry: float, unit: str) -> str:
    far = f"{number(carry)} {unit}"
    if round(abs(offline)) < 1:
        return say("{far} out, on the target line", far=far)
    size = f"{number(abs(offline))} {unit}"
    if offline > 0:
        return say("{far} out, {size} right of the target line", far=far, size=size)
    return say("{far} out, {size} left of the target line", far=far, size=size)


def _alt(pattern: Pattern, seen: NDArray[np.bool_]) -> str:
    said = [say("Where the balls came down, seen from above.")]
    for group, count in _counts(pattern, seen).items():
        of = {"group": sentence_case(say(TITLES[group])), "balls": balls(count)}
        if count < FEWEST_FOR_MIDDLE:
            said.append(say("{group}: {balls}.", **of))
            continue
        mine = seen & (pattern.with_change == (group == "after"))
        offline, carry = (float(np.median(v[mine])) for v in (pattern.offline, pattern.carry))
        where = _where(offline, carry, pattern.unit)
        said.append(say("{group}: {balls}, the middle of them {where}.", **of, where=where))
    return " ".join(said)


def pattern_picture(
    answer: Answer, *, look: Look = PRINT, width_mm: float = 100.0, height_mm: float = 92.0
) -> Picture:
    """The pattern of shots from above: carry upward, offline to the right.

    Hollow balls were hit before, solid ones with the change. The ring of a group holds two of its
    balls in three and needs five; its diamond is the middle (medians). Both directions have one
    scale. A ball far beyond the others stands at the edge with its numbers. Where fewer than two
    balls have both numbers, one number is drawn instead: offline, else carry, else speed.

    Parameters
    ----------
    answer
        The answer whose `pattern` is drawn.
    look
        Colours of the ground it will lie on.
    width_mm, height_mm
        Size on paper.
    """
    pattern = answer.pattern
    seen = np.isfinite(pattern.offline) & np.isfinite(pattern.carry)
    if int(seen.sum()) < FEWEST_IN_VIEW:
        return strip_picture(pattern, look=look, width_mm=width_mm, height_mm=height_mm)
    return Picture(
        alt=_alt(pattern, seen),
        width_mm=width_mm,
        height_mm=height_mm,
        look=look,
        paint=_paint(pattern, seen, look),
    )
