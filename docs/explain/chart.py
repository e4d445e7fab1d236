"""A plain chart for these pages: two thin axes with names, lines named where they end."""

from collections.abc import Sequence

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from leadfoot.figures.look import DAY, NUMBERS, WORDS

LEFT, BOTTOM, RIGHT, TOP = 0.10, 0.17, 0.97, 0.90
"""Edges of the chart, as shares of the picture."""


def chart(
    figure: Figure, *, across: str, up: str, title: str, box: Sequence[float] | None = None
) -> Axes:
    """An empty chart with the names of its axes and a title."""
    left, bottom, right, top = box or (LEFT, BOTTOM, RIGHT, TOP)
    axes = figure.add_axes((left, bottom, right - left, top - bottom))
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    for side in ("left", "bottom"):
        axes.spines[side].set_color(DAY.quiet)
        axes.spines[side].set_linewidth(0.6)
    axes.tick_params(colors=DAY.quiet, labelsize=8.0, width=0.6, length=3.0)
    axes.set_xlabel(across, color=DAY.quiet, fontsize=8.5, fontfamily=WORDS)
    axes.set_ylabel(up, color=DAY.quiet, fontsize=8.5, fontfamily=WORDS)
    axes.set_title(title, color=DAY.ink, fontsize=9.5, fontfamily=WORDS, loc="left")
    return axes


def name(axes: Axes, x: float, y: float, text: str, **how: object) -> None:
    """Words in the chart, beside what they name."""
    axes.text(x, y, text, fontsize=8.5, fontfamily=NUMBERS, **how)  # type: ignore[arg-type]
