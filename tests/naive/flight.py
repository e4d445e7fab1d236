"""The slow twin of the flight: one ball, plain Python, written for reading; scipy steps it."""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from scipy.interpolate import RegularGridInterpolator

MASS_KG = 0.04593
RADIUS_M = 0.021335
GRAVITY_MPS2 = 9.80665
SPIN_DECAY = 2e-5
ROUGHNESS_M = 0.03


@dataclass(frozen=True, slots=True, kw_only=True)
class Landing:
    x_m: float
    z_m: float
    apex_m: float
    time_s: float
    angle_rad: float
    speed_mps: float
    spin_radps: float


def ramp(u: float, half_width: float) -> float:
    """Zero below zero, ``u`` above; rounded to the second derivative within the half width.

    The bend is the third integral of a symmetric hump ``(1 - t²)``, written out.
    """
    if u <= -half_width:
        return 0.0
    if u >= half_width:
        return u
    t = u / half_width
    convex = 3.0 / 16.0 + t / 2.0 + 3.0 * t**2 / 8.0 - t**4 / 16.0
    return half_width * (convex - 7.0 / 64.0 * (1.0 - t**2) ** 3)


def held(value: float, low: float, high: float, half_width: float) -> float:
    """A value held between two ends, the corners rounded."""
    return low + ramp(value - low, half_width) - ramp(value - high, half_width)


def regression(spin_parameter: float, reynolds: float) -> tuple[float, float]:
    """Drag and lift of the default model, term by term."""
    over = ramp(spin_parameter - 0.22, 0.03)
    s = spin_parameter - over
    past = ramp(spin_parameter - 0.04, 0.02)
    sigma = 0.04 + past - over
    r5 = reynolds / 1e5
    r = 0.8 + ramp(r5 - 0.8, 0.2) - ramp(r5 - 2.1, 0.4)
    drag = 0.202 - 0.204 * s + 2.81 * s**2 + 0.0165 * r + 0.40 * over
    lift = 0.0845 + 0.667 * sigma + 1.373 * sigma**2 - 0.0108 / r**2
    lift *= (1.0 + over / 0.22) ** 0.43 * (spin_parameter - past) / 0.04
    return drag, lift


def power_law(spin_parameter: float, reynolds: float) -> tuple[float, float]:
    """Drag and lift of the power law."""
    r = held(reynolds / 1e5, 0.4, 2.5, 0.1)
    drag = 0.24 + 0.18 * spin_parameter + 0.06 * math.sin(math.pi * (r - 0.9) / 2.0)
    return drag, 0.54 * spin_parameter**0.4


def table(spin_parameter: float, reynolds: float) -> tuple[float, float]:
    """Drag and lift from the table over speed and spin: scipy interpolates it."""
    speed = reynolds * 1.78932e-5 / (1.225 * 0.04267)
    rpm = spin_parameter * speed / 0.021335 * 30.0 / math.pi
    at = min(max(rpm, 2000.0), 6000.0), min(max(speed, 13.7), 88.1)
    return float(DRAG(at)[0]), float(LIFT(at)[0])


SPEEDS_MPS = (13.7, 21.6, 29.9, 38.4, 46.9, 55.2, 63.1, 71.9, 80.2, 88.1)
SPINS_RPM = (2000.0, 3000.0, 4000.0, 5000.0, 6000.0)
DRAG = RegularGridInterpolator(
    (SPINS_RPM, SPEEDS_MPS),
    [
        [0.362, 0.288, 0.276, 0.253, 0.247, 0.248, 0.247, 0.247, 0.247, 0.247],
        [0.420, 0.366, 0.317, 0.282, 0.266, 0.258, 0.256, 0.255, 0.254, 0.254],
        [0.429, 0.400, 0.349, 0.308, 0.285, 0.271, 0.266, 0.263, 0.261, 0.261],
        [0.485, 0.431, 0.373, 0.332, 0.306, 0.288, 0.277, 0.271, 0.267, 0.267],
        [0.518, 0.441, 0.388, 0.352, 0.329, 0.308, 0.288, 0.279, 0.274, 0.274],
    ],
)
LIFT = RegularGridInterpolator(
    (SPINS_RPM, SPEEDS_MPS),
    [
        [0.104, 0.185, 0.246, 0.198, 0.176, 0.154, 0.142, 0.136, 0.128, 0.128],
        [0.362, 0.336, 0.305, 0.248, 0.207, 0.186, 0.170, 0.158, 0.149, 0.146],
        [0.401, 0.364, 0.335, 0.286, 0.238, 0.215, 0.198, 0.181, 0.169, 0.158],
        [0.413, 0.389, 0.350, 0.312, 0.270, 0.242, 0.225, 0.203, 0.190, 0.179],
        [0.464, 0.423, 0.372, 0.339, 0.301, 0.266, 0.251, 0.225, 0.210, 0.200],
    ],
)
Coefficients = Callable[[float, float], tuple[float, float]]


def rates(
    state: NDArray[np.float64],
    axis: tuple[float, float, float],
    density_kgm3: float,
    viscosity_pas: float,
    wind: tuple[float, float],
    *,
    coefficients: Coefficients = regression,
    ground_m: float = 0.0,
) -> list[float]:
    _, y, _, vx, vy, vz, spin = (float(value) for value in state)
    height = max(y - ground_m, 0.0)
    share = math.log(1.0 + height / ROUGHNESS_M) / math.log(1.0 + 10.0 / ROUGHNESS_M)
    air_velocity = (vx - wind[0] * share, vy, vz - wind[1] * share)
    speed = max(math.sqrt(sum(part**2 for part in air_velocity)), 1e-9)
    drag, lift = coefficients(
        RADIUS_M * spin / speed, density_kgm3 * 2.0 * RADIUS_M * speed / viscosity_pas
    )
    pressure = 0.5 * density_kgm3 * math.pi * RADIUS_M**2 * speed / MASS_KG
    (ax, ay, az), (ux, uy, uz) = axis, air_velocity
    cross = (ay * uz - az * uy, az * ux - ax * uz, ax * uy - ay * ux)
    pull = [pressure * (lift * c - drag * u) for c, u in zip(cross, air_velocity, strict=True)]
    pull[1] -= GRAVITY_MPS2
    return [vx, vy, vz, *pull, -SPIN_DECAY * spin * speed / RADIUS_M]


def fly(
    ball_speed_mps: float,
    launch_angle_rad: float,
    launch_direction_rad: float,
    spin_rate_radps: float,
    spin_axis_rad: float,
    *,
    density_kgm3: float,
    viscosity_pas: float,
    wind: tuple[float, float] = (0.0, 0.0),
    landing_height_m: float = 0.0,
    coefficients: Coefficients = regression,
    method: str = "DOP853",
    tolerance: float = 1e-10,
) -> Landing:
    """Fly one ball; the axis and the frame are those of the glossary.

    The wind is measured above the lower of tee and landing.
    """
    level = ball_speed_mps * math.cos(launch_angle_rad)
    start = [
        0.0,
        0.0,
        0.0,
        level * math.cos(launch_direction_rad),
        ball_speed_mps * math.sin(launch_angle_rad),
        level * math.sin(launch_direction_rad),
        spin_rate_radps,
    ]
    axis = (
        -math.sin(launch_direction_rad) * math.cos(spin_axis_rad),
        -math.sin(spin_axis_rad),
        math.cos(launch_direction_rad) * math.cos(spin_axis_rad),
    )

    def change(_: float, state: NDArray[np.float64]) -> list[float]:
        return rates(
            state,
            axis,
            density_kgm3,
            viscosity_pas,
            wind,
            coefficients=coefficients,
            ground_m=min(landing_height_m, 0.0),
        )

    def on_ground(_: float, state: NDArray[np.float64]) -> float:
        return float(state[1]) - landing_height_m

    def at_top(_: float, state: NDArray[np.float64]) -> float:
        return float(state[4])

    on_ground.terminal = True  # type: ignore[attr-defined]
    on_ground.direction = -1  # type: ignore[attr-defined]
    at_top.direction = -1  # type: ignore[attr-defined]
    climb = start[4]
    found = solve_ivp(
        change,
        (0.0, 60.0),
        start,
        method=method,  # type: ignore[call-overload]
        events=(on_ground, at_top),
        rtol=tolerance,
        atol=tolerance,
        # A first step over the whole of a low hop would take the launch for its landing.
        first_step=min(1e-3, 0.25 * climb / GRAVITY_MPS2) if climb > 0.0 else None,
    )
    x, _, z, vx, vy, vz, spin = found.y_events[0][-1]
    return Landing(
        x_m=float(x),
        z_m=float(z),
        apex_m=float(max((state[1] for state in found.y_events[1]), default=0.0)),
        time_s=float(found.t_events[0][-1]),
        angle_rad=math.atan2(-vy, math.hypot(vx, vz)),
        speed_mps=math.sqrt(vx**2 + vy**2 + vz**2),
        spin_radps=float(spin),
    )
