"""The figures of ``flight.md`` and ``run.md``: ``python -m docs.explain.flight_pictures``."""

import math
from pathlib import Path

import numpy as np
from matplotlib.figure import Figure

from docs.explain.ball_pictures import COLOURS, SHOTS, STYLES, WORDS
from docs.explain.chart import chart, name
from leadfoot.figures.look import DAY
from leadfoot.figures.picture import Picture
from leadfoot.physics.ball import AIR_MODELS, STANDARD_BALL
from leadfoot.physics.bounce import SLOWEST_BOUNCE_MPS, bounce, restitution, roll_m, run_m
from leadfoot.physics.flight import Wind, fly
from leadfoot.physics.many import warm
from leadfoot.physics.motion import GRAVITY_MPS2

HERE = Path(__file__).parent
MPH_MPS = 0.44704
YARD_M = 0.9144
SHOT_COLOURS = {"driver": DAY.after, "iron": DAY.before, "wedge": DAY.target}
SHOT_STYLES = {"driver": "solid", "iron": "dashed", "wedge": "dashdot"}


def _ways(figure: Figure) -> None:
    axes = chart(
        figure,
        across="toward the target, m",
        up="height, m",
        title="A driver, an iron and a wedge from the side, each by three models of the air",
    )
    for launch in SHOTS.values():
        for key, model in AIR_MODELS.items():
            way = fly(launch, model=model, path=True).path
            if way is not None:
                colour, style = COLOURS[key], STYLES[key]
                axes.plot(way.x_m, way.y_m, color=colour, lw=1.3, linestyle=style)
                axes.plot(way.x_m[-1], 0.0, "o", color=colour, markersize=3.0, clip_on=False)
    for place, key in enumerate(AIR_MODELS):
        name(axes, 196.0, 45.0 - 4.5 * place, f"{STYLES[key]}: {WORDS[key]}", color=COLOURS[key])
    name(axes, 48.0, 29.5, "wedges", ha="center", color=DAY.ink)
    name(axes, 105.0, 36.0, "irons", ha="center", color=DAY.ink)
    name(axes, 192.0, 26.0, "drives", ha="center", color=DAY.ink)
    axes.set_xlim(0.0, 255.0)
    axes.set_ylim(0.0, 50.0)


def _wind(figure: Figure) -> None:
    axes = chart(
        figure,
        across="wind along at 10 m, mph (head wind negative)",
        up="change of carry, yd",
        title="Carry in head and tail wind: a head wind costs more than a tail wind gives",
    )
    winds_mph = np.linspace(-20.0, 20.0, 21)
    for shot, launch in SHOTS.items():
        carry = np.array(
            [fly(launch, wind=Wind(along_mps=float(w) * MPH_MPS)).carry_m for w in winds_mph]
        )
        change = (carry - carry[10]) / YARD_M
        colour, style = SHOT_COLOURS[shot], SHOT_STYLES[shot]
        axes.plot(winds_mph, change, color=colour, lw=1.4, linestyle=style)
        place = change[-1] + {"driver": -1.5, "iron": 0.0, "wedge": 2.0}[shot]
        name(axes, 20.4, place, shot, va="center", color=colour)
    axes.axhline(0.0, color=DAY.line, lw=0.8, zorder=0)
    axes.axvline(0.0, color=DAY.line, lw=0.8, zorder=0)
    axes.set_xlim(-20.0, 23.5)


def _turf(figure: Figure) -> None:
    axes = chart(
        figure,
        across="speed into the turf, m/s",
        up="share that comes back",
        title="What turf gives back of the speed into it",
    )
    into = np.linspace(0.0, 26.0, 131)
    axes.plot(into, restitution(into), color=DAY.after, lw=1.4)
    axes.plot([0.5, 20.0], [0.5, 0.12], "o", mfc="none", color=DAY.before, markersize=5.0)
    name(axes, 1.0, 0.512, "about a half below 1 m/s", color=DAY.before)
    name(axes, 20.0, 0.145, "about 0.12 near 20 m/s", ha="center", color=DAY.before)
    axes.set_xlim(0.0, 26.0)
    axes.set_ylim(0.0, 0.56)


def _hops(figure: Figure) -> None:
    axes = chart(
        figure,
        across="from the landing point, toward the target, m",
        up="height, m",
        title="A 9-iron on a firm green, landing at 18.6 m/s: backspin of 129, 159 and 191 rev/s",
    )
    for backspin, style, colour in (
        (129.0, "solid", DAY.target),
        (159.0, "dashed", DAY.before),
        (191.0, "dashdot", DAY.after),
    ):
        x_m, y_m, stop_m = _bounces(backspin * 2.0 * math.pi)
        axes.plot(x_m, y_m, color=colour, lw=1.3, linestyle=style)
        depth = {129.0: -0.03, 159.0: -0.06, 191.0: -0.09}[backspin]
        axes.plot([x_m[-1], stop_m], [depth, depth], color=colour, lw=1.0, linestyle=style)
        axes.plot(stop_m, depth, "o", color=colour, markersize=4.0)
        right = stop_m > x_m[-1]
        name(
            axes,
            stop_m + (0.04 if right else -0.04),
            depth,
            f"{backspin:.0f} rev/s: stops {_way(stop_m)}",
            ha="left" if right else "right",
            va="center",
            color=colour,
        )
    axes.axhline(0.0, color=DAY.line, lw=0.8, zorder=0)
    axes.set_xlim(-2.2, 2.4)
    axes.set_ylim(-0.12, 0.40)


def _way(stop_m: float) -> str:
    return f"{abs(stop_m):.1f} m {'ahead' if stop_m > 0.0 else 'behind'}"


def _bounces(backspin_radps: float) -> tuple[list[float], list[float], float]:
    """The way of the hops, and where the ball stops."""
    angle = math.radians(44.4)
    along, down = np.array([18.6 * math.sin(angle)]), np.array([18.6 * math.cos(angle)])
    spin, x_m, y_m = np.array([backspin_radps]), [0.0], [0.0]
    while down[0] > SLOWEST_BOUNCE_MPS:
        along, down, spin = bounce(along, down, spin)
        time = np.linspace(0.0, 2.0 * down[0] / GRAVITY_MPS2, 24)
        y_m += list(down[0] * time - 0.5 * GRAVITY_MPS2 * time**2)
        x_m += list(x_m[-1] + along[0] * time)
    rolling = (5.0 * along - 2.0 * STANDARD_BALL.radius_m * spin) / 7.0
    return x_m, y_m, x_m[-1] + float((np.sign(rolling) * roll_m(np.abs(rolling)))[0])


def _run(figure: Figure) -> None:
    axes = chart(
        figure,
        across="backspin at landing, rpm",
        up="run, yd",
        title="Run by backspin, landings of a driver, an iron and a wedge; 30 % shaded",
    )
    spin_rpm = np.linspace(0.0, 9_000.0, 91)
    for shot, launch in SHOTS.items():
        landed = fly(launch)
        along = landed.landing_speed_mps * math.cos(landed.landing_angle_rad)
        down = landed.landing_speed_mps * math.sin(landed.landing_angle_rad)
        spin = spin_rpm * math.pi / 30.0
        run = run_m(np.full_like(spin, along), np.full_like(spin, down), spin) / YARD_M
        colour, style = SHOT_COLOURS[shot], SHOT_STYLES[shot]
        axes.fill_between(spin_rpm, 0.7 * run, 1.3 * run, color=colour, alpha=0.10, lw=0.0)
        axes.plot(spin_rpm, run, color=colour, lw=1.4, linestyle=style)
        own = landed.landing_spin_radps * 30.0 / math.pi
        axes.plot(own, np.interp(own, spin_rpm, run), "o", color=colour, markersize=5.0)
        name(axes, 300.0, run[3] + 0.6, shot, color=colour)
    axes.axhline(0.0, color=DAY.line, lw=0.8, zorder=0)
    axes.set_xlim(0.0, 9_000.0)


def _picture(alt: str, paint: object) -> Picture:
    return Picture(alt=alt, width_mm=150.0, height_mm=75.0, look=DAY, paint=paint)  # type: ignore[arg-type]


PICTURES = {
    "flight_ways": _picture(
        "Height along the way of a driver, an iron and a wedge by three models of the air: the "
        "drives land near each other, the irons and wedges do not.",
        _ways,
    ),
    "flight_wind": _picture(
        "Change of carry by wind along the shot for a driver, an iron and a wedge: a head wind "
        "costs more than a tail wind of the same strength gives.",
        _wind,
    ),
    "run_turf": _picture(
        "Share of the speed into the turf that comes back, by that speed: a half when slow, an "
        "eighth from 20 metres a second on.",
        _turf,
    ),
    "run_hops": _picture(
        "Hops of a nine-iron on a firm green with three backspins: with 129 turns a second it ends "
        "rolling forward, with 159 and 191 backward.",
        _hops,
    ),
    "run_backspin": _picture(
        "Run by backspin at landing for the landings of a driver, an iron and a wedge; a dot marks "
        "the spin with which each lands.",
        _run,
    ),
}

if __name__ == "__main__":
    warm(models=tuple(AIR_MODELS))
    for key, picture in PICTURES.items():
        (HERE / f"{key}.svg").write_bytes(picture.svg())
