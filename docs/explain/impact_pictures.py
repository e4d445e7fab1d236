"""Draws the figures of the pages on impact and on the best of a swing, into this folder.

Run it as ``python docs/explain/impact_pictures.py``; it writes the same bytes each time.
"""

from collections.abc import Callable
from pathlib import Path

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

from leadfoot.figures.look import PRINT
from leadfoot.figures.picture import Picture
from leadfoot.physics.best import best_loft, reach_rad, reached_m
from leadfoot.physics.clubs import club
from leadfoot.physics.delivery import deliveries
from leadfoot.physics.impact import strike_many
from leadfoot.physics.inverse import Known, explain_many
from leadfoot.physics.monitor import MonitorErrors
from leadfoot.units import si_from

Series = NDArray[np.float64]
RPM = float(np.pi / 30.0)
YARD_M = 0.9144


def grip_and_slide(figure: Figure) -> None:
    """Spin of a lob wedge by spin loft."""
    degrees = np.arange(0.0, 80.1, 0.5)
    many = strike_many(deliveries(35.0, np.radians(degrees)), club("lob_wedge"))
    axes = _axes(figure, "spin loft, degrees", "spin, rpm")
    spin = many.spin_rate_radps / RPM
    axes.plot(degrees[~many.slid], spin[~many.slid], color=PRINT.ink)
    axes.plot(degrees[many.slid], spin[many.slid], color=PRINT.after, linestyle="--")
    axes.annotate("the ball grips", (22.0, 3_000.0), color=PRINT.ink)
    axes.annotate("it slides", (71.0, 7_600.0), color=PRINT.after)


def gear_and_bulge(figure: Figure) -> None:
    """Where a driver's ball starts and how its axis tilts, by strike from heel to toe."""
    place_mm = np.arange(-25.0, 25.1, 1.0)
    given = deliveries(45.0, np.radians(14.0), strike_heel_toe_m=place_mm * 1e-3)
    many = strike_many(given, club("driver"))
    axes = _axes(figure, "strike, mm from the middle (toe right)", "degrees, right is up")
    axes.axhline(0.0, color=PRINT.line, linewidth=0.6)
    axes.plot(place_mm, np.degrees(many.launch_direction_rad), color=PRINT.before, linestyle="--")
    axes.plot(place_mm, np.degrees(many.spin_axis_rad), color=PRINT.after)
    axes.annotate("start direction", (15.0, 4.0), color=PRINT.before, ha="right")
    axes.annotate("spin axis", (-16.0, 5.0), color=PRINT.after, ha="left")


def not_told(figure: Figure) -> None:
    """Faces and paths that make one and the same ball, by strike from heel to toe."""
    place_mm = np.arange(-20.0, 20.1, 1.0)
    found = explain_many(
        64.0,
        0.21,
        280.0,
        0.0,
        0.12,
        club=club("driver"),
        known=Known(strike_heel_toe_m=place_mm * 1e-3, strike_high_low_m=0.0),
        errors=MonitorErrors(strike_sd_m=1e-9),
    )
    axes = _axes(figure, "strike, mm from the middle (toe right)", "degrees, right is up")
    axes.axhline(0.0, color=PRINT.line, linewidth=0.6)
    axes.plot(place_mm, np.degrees(found.delivery.face_angle_rad), color=PRINT.before)
    path = np.degrees(found.delivery.club_path_rad)
    axes.plot(place_mm, path, color=PRINT.after, linestyle="--")
    axes.annotate("face angle", (7.0, 0.3), color=PRINT.before)
    axes.annotate("club path", (-9.0, -0.6), color=PRINT.after, ha="right")


def best_of_a_swing(figure: Figure) -> None:
    """Carry of a 100 mph driver by dynamic loft, for three attack angles."""
    axes = _axes(figure, "dynamic loft, degrees", "carry, yards")
    speed = si_from(100.0, "mph")
    struck = club("driver")
    for attack_deg, style in ((-5.0, ":"), (0.0, "--"), (5.0, "-")):
        attack = np.radians(attack_deg)
        low, high = (float(end[0]) for end in reach_rad(np.array([attack]), struck))
        lofts = np.linspace(low, high, 50)
        carry = reached_m(deliveries(speed, lofts, attack), struck, "carry") / YARD_M
        axes.plot(np.degrees(lofts), carry, color=PRINT.ink, linestyle=style)
        best = best_loft(speed, float(attack), struck)
        loft = float(np.degrees(best.delivery.dynamic_loft_rad))
        axes.plot([loft], [best.carry_m / YARD_M], "o", color=PRINT.after, markersize=4)
        window = np.degrees([best.least_loft_rad, best.most_loft_rad])
        axes.plot(window, [best.carry_m / YARD_M - 1.0] * 2, color=PRINT.after, linewidth=2.0)
        words = "level" if attack_deg == 0.0 else f"{abs(attack_deg):.0f}° {_way(attack_deg)}"
        axes.annotate(words, (float(np.degrees(high)) + 0.2, float(carry[-1]) - 1.0))
    axes.set_xlim(5.0, 25.0)
    axes.set_ylim(170.0, 242.0)


def _way(attack_deg: float) -> str:
    return "up" if attack_deg > 0.0 else "down"


def _axes(figure: Figure, across: str, up: str) -> Axes:
    axes = figure.add_axes((0.13, 0.2, 0.84, 0.75))
    axes.set_xlabel(across)
    axes.set_ylabel(up)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    return axes


FIGURES: dict[str, tuple[Callable[[Figure], None], str]] = {
    "impact_grip.svg": (
        grip_and_slide,
        "Spin of a lob wedge at 35 m/s by spin loft: it rises while the ball grips the face, "
        "and falls where it slides.",
    ),
    "impact_gear.svg": (
        gear_and_bulge,
        "A generic driver at 45 m/s: a strike toward the toe starts right and its axis tilts "
        "left, toward the heel the other way round.",
    ),
    "impact_not_told.svg": (
        not_told,
        "Face angle and club path that make one and the same drive, by where the face met it: "
        "both turn left as the strike moves to the toe.",
    ),
    "best_window.svg": (
        best_of_a_swing,
        "Carry of a generic driver at 100 mph by dynamic loft, 5 degrees down, level and 5 "
        "degrees up, with the best of each and what is within a yard of it.",
    ),
}
"""File name to what draws it and what it shows in words."""


def picture(name: str) -> Picture:
    """One of the figures, ready to be drawn."""
    paint, alt = FIGURES[name]
    return Picture(alt=alt, width_mm=150.0, height_mm=80.0, look=PRINT, paint=paint)


def main() -> None:
    """Draw all of them."""
    for name in FIGURES:
        (Path(__file__).parent / name).write_bytes(picture(name).svg())


if __name__ == "__main__":
    main()
