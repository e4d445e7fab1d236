"""The figures of ``air.md`` and ``ball.md``, computed: ``python -m docs.explain.ball_pictures``."""

import math
from pathlib import Path

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from docs.explain.chart import chart, name
from leadfoot.figures.look import DAY
from leadfoot.figures.picture import Picture
from leadfoot.physics.air import STANDARD_AIR, Air, density_kgm3, pressure_pa_at
from leadfoot.physics.ball import AIR_MODELS, STANDARD_BALL, TABLE_RE5_PER_MPS
from leadfoot.physics.flight import Launch, fly
from leadfoot.physics.slow_drag import still_drag_coefficient

HERE = Path(__file__).parent
RPM = math.pi / 30.0
STYLES = {"regression": "solid", "power_law": "dashed", "table": "dashdot"}
COLOURS = {"regression": DAY.after, "power_law": DAY.before, "table": DAY.target}
WORDS = {"regression": "test range (default)", "power_law": "power law", "table": "wind tunnel"}
SHOTS = {
    "driver": Launch(
        ball_speed_mps=70.0, launch_angle_rad=math.radians(11.0), spin_rate_radps=2_600 * RPM
    ),
    "iron": Launch(
        ball_speed_mps=53.0, launch_angle_rad=math.radians(18.0), spin_rate_radps=6_500 * RPM
    ),
    "wedge": Launch(
        ball_speed_mps=40.0, launch_angle_rad=math.radians(28.0), spin_rate_radps=9_000 * RPM
    ),
}
"""A driver, an iron and a wedge, as in the checks on the effects of air."""

TEST_RANGE = np.array(
    [
        [0.097, 0.218, 0.153, 0.088, 0.090, 0.092, 0.044],
        [0.223, 0.305, 0.256, 0.226, 0.234, 0.241, 0.231],
        [0.146, 0.278, 0.214, 0.146, 0.151, 0.153, 0.115],
    ]
)
"""Spin parameter, drag, lift of an example ball: US patent 6,186,002 B1, 2001, second-hand."""

TUNNEL_DRAG = np.array(
    [
        [0.020, 0.047, 0.083, 0.099, 0.117, 0.134, 0.155, 0.176, 0.202, 0.227, 0.265, 0.279],
        [0.264, 0.263, 0.265, 0.267, 0.273, 0.278, 0.286, 0.291, 0.300, 0.307, 0.317, 0.321],
    ]
)
TUNNEL_LIFT = np.array(
    [
        [0.020, 0.043, 0.062, 0.088, 0.120, 0.154, 0.195, 0.240, 0.284, 0.304],
        [0.081, 0.106, 0.120, 0.137, 0.157, 0.180, 0.209, 0.241, 0.266, 0.279],
    ]
)
"""A ball of its day at high speed: P. W. Bearman, J. K. Harvey, 1976, second-hand."""

LARGE_EDDIES = np.array([[4.3e4, 7.5e4, 1.1e5], [0.506, 0.317, 0.240]])
"""Computed drag at S 0.1: J. Li, M. Tsubokura, M. Tsunoda, 2017, second-hand."""


def _density(figure: Figure) -> None:
    axes = chart(
        figure,
        across="temperature, °C",
        up="density, kg/m³",
        title="Density of air, half saturated, at three altitudes",
    )
    celsius = np.linspace(0.0, 40.0, 41)
    for altitude_m, style in ((0.0, "solid"), (1_000.0, "dashed"), (2_000.0, "dashdot")):
        pressure = pressure_pa_at(altitude_m)
        density = [density_kgm3(273.15 + t, pressure, 0.5) for t in celsius]
        axes.plot(celsius, density, color=DAY.ink, lw=1.4, linestyle=style)
        name(axes, 40.4, density[-1], f"{altitude_m:,.0f} m", va="center", color=DAY.ink)
    standard = STANDARD_AIR.temperature_k - 273.15
    axes.plot([standard], [STANDARD_AIR.density_kgm3], "o", color=DAY.after, markersize=5.0)
    name(axes, standard + 0.6, STANDARD_AIR.density_kgm3 + 0.012, "standard air", color=DAY.after)
    axes.set_xlim(0.0, 44.0)


def _altitude(figure: Figure) -> None:
    axes = chart(
        figure,
        across="altitude, m",
        up="change of carry, %",
        title="Carry by altitude at the same temperature: three models",
    )
    altitudes_m = np.linspace(0.0, 2_500.0, 11)
    for shot, colour in (("driver", DAY.after), ("iron", DAY.before)):
        for key, model in AIR_MODELS.items():
            carry_m = np.array(
                [
                    fly(SHOTS[shot], air=Air(pressure_pa=pressure_pa_at(a)), model=model).carry_m
                    for a in altitudes_m
                ]
            )
            percent = 100.0 * (carry_m / carry_m[0] - 1.0)
            axes.plot(altitudes_m, percent, color=colour, lw=1.3, linestyle=STYLES[key])
            place = percent[-1] + {"iron power_law": 0.5, "iron regression": -0.3}.get(
                f"{shot} {key}", 0.0
            )
            name(axes, 2_530.0, place, f"{shot}, {WORDS[key]}", va="center", color=colour)
    axes.set_xlim(0.0, 3_250.0)
    axes.set_xticks([0, 500, 1_000, 1_500, 2_000, 2_500])
    axes.set_ylim(0.0, 19.0)


_TUNNEL_MPS = 1.5e5 / (1e5 * TABLE_RE5_PER_MPS)
"""Speed of the tunnel's air at Re 150,000; the table ends at 2,000 and 6,000 rpm. [m/s]"""


def _coefficient(axes: Axes, which: int) -> None:
    """Drag (0) or lift (1) of the three models at Re 150,000, thin outside their data."""
    spin = np.linspace(0.0, 0.6, 121)
    for key, model in AIR_MODELS.items():
        curve = model.coefficients(spin, np.full_like(spin, 1.5e5))[which]
        low, high = model.spin_parameter_range
        if key == "table":
            low, high = (rpm * RPM * STANDARD_BALL.radius_m / _TUNNEL_MPS for rpm in (2e3, 6e3))
        inside = (spin >= low) & (spin <= high)
        axes.plot(spin, curve, color=COLOURS[key], lw=0.6, linestyle=STYLES[key])
        axes.plot(spin[inside], curve[inside], color=COLOURS[key], lw=1.6, linestyle=STYLES[key])
    axes.set_xlim(0.0, 0.6)


def _drag(figure: Figure) -> None:
    axes = chart(
        figure,
        across="spin parameter",
        up="drag coefficient",
        title="Drag by spin at Re 150,000: three models (thin: no data), and what was measured",
    )
    _coefficient(axes, 0)
    axes.plot(TEST_RANGE[0], TEST_RANGE[1], "o", color=DAY.after, markersize=4.0)
    axes.plot(*TUNNEL_DRAG, "s", mfc="none", color=DAY.target, markersize=4.0)
    name(axes, 0.455, 0.355, WORDS["power_law"], color=COLOURS["power_law"])
    name(axes, 0.42, 0.42, WORDS["regression"], ha="right", color=COLOURS["regression"])
    name(axes, 0.455, 0.296, WORDS["table"], color=COLOURS["table"])
    name(axes, 0.24, 0.205, "dots: test range; squares: another ball", color=DAY.quiet)
    axes.set_ylim(0.18, 0.48)


def _lift(figure: Figure) -> None:
    axes = chart(
        figure,
        across="spin parameter",
        up="lift coefficient",
        title="Lift by spin at Re 150,000: three models (thin: no data), and what was measured",
    )
    _coefficient(axes, 1)
    axes.plot(TEST_RANGE[0], TEST_RANGE[2], "o", color=DAY.after, markersize=4.0)
    axes.plot(*TUNNEL_LIFT, "s", mfc="none", color=DAY.target, markersize=4.0)
    name(axes, 0.115, 0.275, WORDS["power_law"], ha="right", color=COLOURS["power_law"])
    name(axes, 0.40, 0.345, WORDS["regression"], color=COLOURS["regression"])
    name(axes, 0.455, 0.250, WORDS["table"], color=COLOURS["table"])
    name(axes, 0.24, 0.05, "dots: test range; squares: another ball", color=DAY.quiet)
    axes.set_ylim(0.0, 0.46)


def _slow(figure: Figure) -> None:
    axes = chart(
        figure,
        across="speed in standard air, m/s",
        up="drag coefficient",
        title="Drag of a slow ball, S 0.1: the rise that the default leaves out",
    )
    speed = np.linspace(12.0, 80.0, 137)
    per_mps = STANDARD_AIR.density_kgm3 * STANDARD_BALL.diameter_m / STANDARD_AIR.viscosity_pas
    reynolds = per_mps * speed
    for key, model in AIR_MODELS.items():
        curve = model.coefficients(np.full_like(speed, 0.1), reynolds)[0]
        axes.plot(speed, curve, color=COLOURS[key], lw=1.4, linestyle=STYLES[key])
    measured = (reynolds >= 5.0e4) & (reynolds <= 2.0e5)
    axes.plot(
        speed[measured],
        still_drag_coefficient(reynolds)[measured],
        color=DAY.ink,
        lw=1.4,
        linestyle="dotted",
    )
    axes.plot(LARGE_EDDIES[0] / per_mps, LARGE_EDDIES[1], "^", color=DAY.ink, markersize=5.0)
    name(axes, 21.5, 0.46, "measured without spin (dotted), computed (triangles)", color=DAY.ink)
    name(axes, 74.5, 0.205, WORDS["regression"], ha="center", color=COLOURS["regression"])
    name(axes, 50.0, 0.325, WORDS["power_law"], ha="center", color=COLOURS["power_law"])
    name(axes, 12.6, 0.385, WORDS["table"], color=COLOURS["table"])
    axes.set_xlim(12.0, 80.0)
    axes.set_ylim(0.14, 0.56)


def _picture(alt: str, paint: object) -> Picture:
    return Picture(alt=alt, width_mm=150.0, height_mm=75.0, look=DAY, paint=paint)  # type: ignore[arg-type]


PICTURES = {
    "air_density": _picture(
        "Density of air by temperature at sea level, 1,000 and 2,000 metres: ten degrees take off "
        "less than four percent, a thousand metres about eleven.",
        _density,
    ),
    "air_altitude": _picture(
        "Change of carry by altitude for a driver and an iron by three models: it grows, for "
        "an iron from 12 to 18 percent at 2,500 metres, for a driver from 5 to 15.",
        _altitude,
    ),
    "ball_drag": _picture(
        "Drag coefficient by spin parameter in three models and two sets of measurements: they "
        "agree within 0.06 for drives and part where there is much spin.",
        _drag,
    ),
    "ball_lift": _picture(
        "Lift coefficient by spin parameter in three models and two sets of measurements: the "
        "power law lifts most, the wind tunnel least.",
        _lift,
    ),
    "ball_slow": _picture(
        "Drag coefficient by speed: measured drag of a ball without spin more than doubles under "
        "25 metres a second, and the default model does not.",
        _slow,
    ),
}

if __name__ == "__main__":
    for key, picture in PICTURES.items():
        (HERE / f"{key}.svg").write_bytes(picture.svg())
