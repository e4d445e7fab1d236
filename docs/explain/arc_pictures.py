"""The figures of ``arc.md``, computed: ``python -m docs.explain.arc_pictures`` draws them anew."""

import math
from pathlib import Path

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Ellipse

from docs.explain.chart import chart, name
from leadfoot.figures.look import DAY
from leadfoot.figures.picture import Picture
from leadfoot.physics.arc import Arc
from leadfoot.physics.arc_numbers import path_offset_rad, path_offset_small_rad
from leadfoot.physics.turf_contact import Lie, Spread, chances, first_contact

HERE = Path(__file__).parent
INCH_M = 0.0254
DEG = math.pi / 180.0
IRON = Lie(dynamic_loft_rad=25.0 * DEG)
STYLES = ("solid", "dashed", "dotted")


def _arc(ahead_in: float, depth_m: float) -> Arc:
    return Arc(radius_m=1.6, plane_rad=60.0 * DEG, low_point_m=ahead_in * INCH_M, depth_m=depth_m)


def _turf(figure: Figure) -> None:
    axes = chart(
        figure,
        across="ahead of the ball, mm",
        up="height, mm (drawn larger)",
        title="One swing, the ball moved: low point 2 in ahead, at the ball, 2 in behind",
    )
    along_mm = np.linspace(-150.0, 150.0, 121)
    axes.axhline(0.0, color=DAY.target, lw=1.2)
    axes.fill_between(along_mm, -3.0, 0.0, color=DAY.target, alpha=0.10, lw=0.0)
    ball_mm = 2000.0 * IRON.ball.radius_m
    axes.add_patch(
        Ellipse((0.0, ball_mm / 2.0), ball_mm, ball_mm, facecolor=DAY.ground, edgecolor=DAY.ink)
    )
    places = ((2.0, "ahead", 1.8), (0.0, "at the ball", 6.2), (-2.0, "behind", 11.5))
    for (ahead_in, where, y), style in zip(places, STYLES, strict=True):
        arc = _arc(ahead_in, 0.001)
        height_mm = [1000.0 * arc.at(along / 1000.0).position_m[1] for along in along_mm]
        axes.plot(along_mm, height_mm, color=DAY.after, lw=1.4, linestyle=style)
        strike = first_contact(arc, IRON)
        if strike.turf_from_m is not None:
            axes.plot(
                1000.0 * strike.turf_from_m, 0.0, "v", color=DAY.ink, markersize=5.0, zorder=5
            )
        name(axes, 154.0, y, f"{where}: {strike.meets}", va="center", color=DAY.ink)
    name(axes, 0.0, 21.3, "ball", ha="center", va="center", color=DAY.quiet)
    axes.set_xlim(-150.0, 235.0)
    axes.set_ylim(-3.0, 45.0)


def _chances(figure: Figure) -> None:
    axes = chart(
        figure,
        across="low point ahead of the ball, in",
        up="strikes, %",
        title="Fat, thin and clean: 7-iron on turf, middle depth 2 mm above it",
    )
    ahead_in = np.linspace(-3.0, 5.0, 41)
    for spread_m, style in ((0.012, "solid"), (0.025, "dashed")):
        spread = Spread(low_point_m=spread_m, depth_m=0.003)
        found = [chances(_arc(float(place), -0.002), IRON, spread) for place in ahead_in]
        for kind, colour in (("fat", DAY.after), ("thin", DAY.before), ("clean", DAY.target)):
            share = [100.0 * getattr(one, kind) for one in found]
            axes.plot(ahead_in, share, color=colour, lw=1.4, linestyle=style)
            if style == "solid":
                place = {"fat": 6, "thin": 6, "clean": 6}[kind]
                name(axes, float(ahead_in[place]), share[place] + 4.0, kind, color=colour)
    name(axes, -2.9, 50.0, "solid: low point varies by 12 mm", color=DAY.quiet)
    name(axes, -2.9, 43.0, "dashed: by 25 mm", color=DAY.quiet)
    axes.set_xlim(-3.0, 5.0)
    axes.set_ylim(0.0, 100.0)


def _path(figure: Figure) -> None:
    axes = chart(
        figure,
        across="attack angle, deg (down is negative)",
        up="club path right of swing direction, deg",
        title="Path against swing direction, right-hander: exact, and the rule of thumb",
    )
    attack_deg = np.linspace(-14.0, 8.0, 45)
    for plane_deg in (45.0, 60.0, 70.0):
        exact = [path_offset_rad(a * DEG, plane_deg * DEG) / DEG for a in attack_deg]
        small = [path_offset_small_rad(a * DEG, plane_deg * DEG) / DEG for a in attack_deg]
        axes.plot(attack_deg, exact, color=DAY.after, lw=1.4)
        axes.plot(attack_deg, small, color=DAY.before, lw=1.2, linestyle="dotted")
        words = f"plane {plane_deg:.0f} deg "
        name(axes, -14.0, exact[0], words, ha="right", va="center", color=DAY.ink)
    name(
        axes,
        8.0,
        12.0,
        "solid: exact; dotted: \N{MINUS SIGN}attack / tan(plane)",
        ha="right",
        color=DAY.quiet,
    )
    axes.axhline(0.0, color=DAY.line, lw=0.8, zorder=0)
    axes.axvline(0.0, color=DAY.line, lw=0.8, zorder=0)
    axes.set_xlim(-18.0, 8.5)


PICTURES = {
    "arc_turf": Picture(
        alt="Height of the leading edge along the ground for one swing with the low point two "
        "inches ahead of the ball, at it and two inches behind; only the first meets the ball "
        "before the turf.",
        width_mm=150.0,
        height_mm=75.0,
        look=DAY,
        paint=_turf,
    ),
    "arc_chances": Picture(
        alt="Shares of fat, thin and clean strikes with a 7-iron by the low point's place: clean "
        "strikes are most frequent with the low point ahead of the ball.",
        width_mm=150.0,
        height_mm=75.0,
        look=DAY,
        paint=_chances,
    ),
    "arc_path": Picture(
        alt="Club path against swing direction by attack angle for three planes; the rule of thumb "
        "lies close to the exact curve.",
        width_mm=150.0,
        height_mm=75.0,
        look=DAY,
        paint=_path,
    ),
}

if __name__ == "__main__":
    for key, picture in PICTURES.items():
        (HERE / f"{key}.svg").write_bytes(picture.svg())
