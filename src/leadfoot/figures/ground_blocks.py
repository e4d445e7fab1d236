"""A picture of two blocks on force plates: one curve about the strike, with its band."""

from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

from leadfoot.desk.ground_view import Comparison
from leadfoot.errors import InputError
from leadfoot.figures.look import DAY, Look
from leadfoot.figures.marks import bare_axes, note, numbers, ticks, words
from leadfoot.figures.picture import Picture
from leadfoot.ground.aligned import CURVES, Aligned, Curve

Values = NDArray[np.float64]

_WIDE_MM, _HIGH_MM = 150.0, 84.0


def blocks_picture(compared: Comparison, curve: Curve, *, look: Look = DAY) -> Picture:
    """Draw one curve of two blocks: before dashed, after solid, nine in ten for each mean shaded.

    Parameters
    ----------
    compared
        The two blocks.
    curve
        Which curve.
    look
        Day, night or print.

    Raises
    ------
    InputError
        If neither block has the curve.
    """
    before, after = compared.curves[curve]
    if before is None and after is None:
        raise InputError(
            f"No swing of these blocks has a {CURVES[curve][0]}.",
            fix="Set the strike of the recordings, or choose another curve.",
        )
    name, unit = CURVES[curve]

    def paint(figure: Figure) -> None:
        axes = bare_axes(figure, (14.0, 19.0, _WIDE_MM - 46.0, 52.0))
        sides = ((before, compared.before.label), (after, compared.after.label))
        hows: tuple[dict[str, Any], ...] = (
            {"color": look.before, "lw": 1.4, "linestyle": (0, (4, 2))},
            {"color": look.after, "lw": 1.7},
        )
        for place, ((found, label), how) in enumerate(zip(sides, hows, strict=True)):
            if found is None:
                continue
            axes.fill_between(
                found.time_s, found.low, found.high, color=how["color"], alpha=0.18, lw=0.0
            )
            axes.plot(found.time_s, found.mean, **how)
            said = f"{'dashed' if place == 0 else 'solid'}: {label} ({len(found.each)})"
            height = 0.95 - 0.12 * place
            words(axes, 1.02, height, said, look, transform=axes.transAxes, color=how["color"])
        drawn = [found for found in (before, after) if found is not None]
        _scale(axes, drawn, look)
        words(axes, 0.0, 1.05, f"{name}, {unit}", look, transform=axes.transAxes)
        band = "band: nine in ten for the mean (Student's t, place by place)"
        note(figure, ["strike at 0 s; filter 50 Hz", band], look, left_mm=2.0, top_mm=6.0)

    return Picture(
        alt=f"{name.capitalize()} about the strike: {compared.before.label} dashed, "
        f"{compared.after.label} solid, each with a band for its mean.",
        width_mm=_WIDE_MM,
        height_mm=_HIGH_MM,
        look=look,
        paint=paint,
    )


def _scale(axes: Axes, drawn: list[Aligned], look: Look) -> None:
    """Round numbers at the left and below, and a line at the strike."""
    axes.set_xlim(float(drawn[0].time_s[0]), float(drawn[0].time_s[-1]))
    axes.axvline(0.0, color=look.line, lw=0.9, zorder=1)
    places, decimals = ticks(*axes.get_ylim(), 5)
    for place in places:
        axes.axhline(place, color=look.line, lw=0.5, zorder=0)
        text = f"{round(place, decimals) + 0.0:.{decimals}f}"
        where = axes.get_yaxis_transform()
        numbers(axes, -0.01, place, text, look, transform=where, ha="right", va="center")
    places, decimals = ticks(*axes.get_xlim(), 6)
    for place in places:
        text = f"{round(place, decimals) + 0.0:.{decimals}f}"
        where = axes.get_xaxis_transform()
        numbers(axes, place, -0.04, text, look, transform=where, ha="center", va="top")
    numbers(axes, 1.01, -0.04, "s", look, transform=axes.transAxes, va="top")
