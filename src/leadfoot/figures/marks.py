"""The marks that all figures share: balls before and with the change, middles, words, scales."""

from typing import Any, Literal

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.text import Text
from numpy.typing import NDArray

from leadfoot.figures.look import NUMBERS, WORDS, Look
from leadfoot.language.numbers import number
from leadfoot.language.say import noted, say, say_n

MM_PER_INCH = 25.4
"""Exact: international inch (1959)."""

MINUS = "\u2212"

FEWEST_FOR_MIDDLE = 3
"""Balls from which a middle is drawn; one or two speak for themselves."""

Group = Literal["before", "after"]
GROUPS: tuple[Group, Group] = ("before", "after")
TITLES: dict[Group, str] = {"before": noted("before"), "after": noted("with the change")}


def signed(value: float, decimals: int = 0) -> str:
    """A number with its sign as a printer sets it; nought has none.

    Examples
    --------
    >>> signed(-2.0), signed(3.25, 1), signed(-0.01, 1)
    ('−2', '+3.2', '0.0')
    """
    return number(value, decimals, sign=True)


def balls(n: int) -> str:
    """A number of balls in words.

    Examples
    --------
    >>> balls(1), balls(12)
    ('1 ball', '12 balls')
    """
    return say_n("{n} ball", "{n} balls", n)


def computed_too(name: str, *, computed: bool) -> str:
    """A name, with a word for what was computed and not measured.

    Examples
    --------
    >>> computed_too("carry, yd", computed=True)
    'carry, yd (computed)'
    """
    return say("{quantity} (computed)", quantity=name) if computed else name


def fit(text: Text, most_mm: float, *, smallest: float = 6.0) -> Text:
    """Set a text smaller where it is wider than its place; long words have no other way.

    Parameters
    ----------
    most_mm
        Width of its place.
    smallest
        Size below which it is not set, in points.
    """
    figure = text.get_figure(root=True)
    if figure is not None:
        wide = float(text.get_window_extent().width / figure.dpi * MM_PER_INCH)
        if wide > most_mm:
            text.set_fontsize(max(smallest, float(text.get_fontsize()) * most_mm / wide))
    return text


def draw_balls(
    axes: Axes,
    x: NDArray[np.float64],
    y: NDArray[np.float64],
    group: Group,
    look: Look,
    *,
    size: float = 5.0,
) -> None:
    """Draw balls: hollow before, solid with the change.

    Parameters
    ----------
    size
        Diameter in points.
    """
    colour = look.before if group == "before" else look.after
    face = "none" if group == "before" else colour
    axes.plot(
        x,
        y,
        linestyle="none",
        marker="o",
        markersize=size if group == "before" else size - 0.4,
        markerfacecolor=face,
        markeredgecolor=colour if group == "before" else look.ground,
        markeredgewidth=1.0 if group == "before" else 0.5,
        clip_on=False,
        zorder=4,
    )


def draw_middle(axes: Axes, x: float, y: float, group: Group, look: Look) -> None:
    """Draw the middle of a group: a diamond, hollow before, solid with the change."""
    colour = look.before if group == "before" else look.after
    axes.plot(
        [x],
        [y],
        linestyle="none",
        marker="D",
        markersize=8.0,
        markerfacecolor=look.ground if group == "before" else colour,
        markeredgecolor=colour if group == "before" else look.ground,
        markeredgewidth=1.6 if group == "before" else 1.0,
        clip_on=False,
        zorder=6,
    )


def words(place: Figure | Axes, x: float, y: float, text: str, look: Look, **how: Any) -> Text:
    """Set words in the word face."""
    return place.text(x, y, text, **{"family": WORDS, "color": look.ink, "fontsize": 8.5, **how})


def numbers(place: Figure | Axes, x: float, y: float, text: str, look: Look, **how: Any) -> Text:
    """Set numbers in the number face."""
    return place.text(x, y, text, **{"family": NUMBERS, "color": look.ink, "fontsize": 9.5, **how})


def note(
    figure: Figure, lines: list[str], look: Look, *, left_mm: float, top_mm: float = 1.0
) -> None:
    """Set small lines at the foot of the picture: what its marks mean, what is not in it.

    `top_mm` is the height of the first line over the foot of the picture.
    """
    wide, high = figure.get_size_inches() * MM_PER_INCH
    for place, line in enumerate(lines):
        set_line = words(
            figure,
            left_mm / wide,
            (top_mm - 3.4 * place) / high,
            line,
            look,
            va="baseline",
            style="italic",
            fontsize=7.5,
            color=look.quiet,
        )
        fit(set_line, float(wide) - left_mm)


def bare_axes(figure: Figure, box_mm: tuple[float, float, float, float]) -> Axes:
    """Axes without frame and ticks.

    Parameters
    ----------
    box_mm
        Left, bottom, width, height, in mm from the lower left corner of the figure.
    """
    wide, high = figure.get_size_inches() * MM_PER_INCH
    left, bottom, width, height = box_mm
    axes = figure.add_axes((left / wide, bottom / high, width / wide, height / high))
    axes.set_axis_off()
    return axes


def end_mm(text: Text) -> float:
    """Where a text ends, in mm from the left edge of its figure."""
    figure = text.get_figure(root=True)
    if figure is None:
        return 0.0
    return float(text.get_window_extent().x1 / figure.dpi * MM_PER_INCH)


def draw_key(figure: Figure, counts: dict[Group, int], look: Look, *, left_mm: float = 0.0) -> None:
    """Say which mark is which, and how many balls are behind it, in one line at the top edge."""
    wide, high = (float(size) for size in figure.get_size_inches() * MM_PER_INCH)
    axes = bare_axes(figure, (0.0, high - 5.0, wide, 5.0))
    axes.set_xlim(0.0, wide)
    axes.set_ylim(0.0, 5.0)
    place = left_mm + 1.6
    for group in GROUPS:
        draw_balls(axes, np.array([place]), np.array([2.5]), group, look, size=6.0)
        title = words(axes, place + 2.4, 1.4, say(TITLES[group]), look)
        count = numbers(axes, end_mm(title) + 1.4, 1.4, balls(counts[group]), look)
        place = end_mm(count) + 7.0


def round_step(span: float, most: int) -> float:
    """The smallest step of 1, 2 or 5 times a power of ten that cuts `span` into `most` at most.

    Examples
    --------
    >>> round_step(60.0, 6), round_step(0.09, 4)
    (10.0, 0.05)
    """
    rough = span / most
    power = 10.0 ** np.floor(np.log10(rough))
    for step in (1.0, 2.0, 5.0):
        if step * power >= rough * (1.0 - 1e-9):
            return float(step * power)
    return float(10.0 * power)


def decimals_of(step: float) -> int:
    """Decimals that a number on a scale with this step needs.

    Examples
    --------
    >>> decimals_of(5.0), decimals_of(0.05)
    (0, 2)
    """
    return max(0, -int(np.floor(np.log10(step) + 1e-9)))


def ticks(low: float, high: float, most: int) -> tuple[NDArray[np.float64], int]:
    """Round numbers between two ends, and the decimals that they need.

    Examples
    --------
    >>> ticks(211.0, 248.0, 4)
    (array([220., 230., 240.]), 0)
    """
    step = round_step(high - low, most)
    first = np.ceil(low / step - 1e-9)
    last = np.floor(high / step + 1e-9)
    return np.arange(first, last + 1.0) * step, decimals_of(step)
