"""The slow twin of the flight: one ball, plain Python, written for reading; scipy steps it."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

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


def coefficients(spin_parameter: float, reynolds: float) -> tuple[float, float]:
    """Drag and lift of the default model, term by term."""
    s = min(spin_parameter, 0.22)
    r = min(max(reynolds / 1e5, 0.8), 2.1)
    sigma = max(s, 0.04)
    drag = 0.202 - 0.204 * s + 2.81 * s**2 + 0.0165 * r + 0.40 * max(spin_parameter - 0.22, 0.0)
    lift = 0.0845 + 0.667 * sigma + 1.373 * sigma**2 - 0.0108 / r**2
    lift *= max(1.0, spin_parameter / 0.22) ** 0.43 * min(1.0, spin_parameter / 0.04)
    return drag, lift


def rates(
    state: NDArray[np.float64],
    axis: tuple[float, float, float],
    density_kgm3: float,
    viscosity_pas: float,
    wind: tuple[float, float],
) -> list[float]:
    _, y, _, vx, vy, vz, spin = (float(value) for value in state)
    share = math.log(1.0 + max(y, 0.0) / ROUGHNESS_M) / math.log(1.0 + 10.0 / ROUGHNESS_M)
    air_velocity = (vx - wind[0] * share, vy, vz - wind[1] * share)
    speed = math.sqrt(sum(part**2 for part in air_velocity))
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
    method: str = "DOP853",
    tolerance: float = 1e-10,
) -> Landing:
    """Fly one ball; the axis and the frame are those of the glossary."""
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
        return rates(state, axis, density_kgm3, viscosity_pas, wind)

    def on_ground(_: float, state: NDArray[np.float64]) -> float:
        return float(state[1])

    def at_top(_: float, state: NDArray[np.float64]) -> float:
        return float(state[4])

    on_ground.terminal = True  # type: ignore[attr-defined]
    on_ground.direction = -1  # type: ignore[attr-defined]
    at_top.direction = -1  # type: ignore[attr-defined]
    found = solve_ivp(
        change,
        (0.0, 60.0),
        start,
        method=method,  # type: ignore[call-overload]
        events=(on_ground, at_top),
        rtol=tolerance,
        atol=tolerance,
    )
    x, _, z, vx, vy, vz, spin = found.y_events[0][-1]
    return Landing(
        x_m=float(x),
        z_m=float(z),
        apex_m=float(max(state[1] for state in found.y_events[1])),
        time_s=float(found.t_events[0][-1]),
        angle_rad=math.atan2(-vy, math.hypot(vx, vz)),
        speed_mps=math.sqrt(vx**2 + vy**2 + vz**2),
        spin_radps=float(spin),
    )
