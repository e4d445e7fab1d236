"""The slow twin of the swing: two rigid bodies with places of their own, held by pin forces.

Nothing of the pendulum's equations is used. Each body has an acceleration along, up and around; the
pins at hub and wrists, and the stop while it holds, are unknown forces. All are solved for together
at every moment; scipy steps the angles.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

Vector = NDArray[np.float64]
HubPull = Callable[[float], tuple[float, float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bodies:
    arms_kg: float
    arms_centre_m: float
    arms_m: float
    arms_kgm2: float
    club_kg: float
    club_centre_m: float
    club_m: float
    club_kgm2: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Struck:
    release_s: float
    strike_s: float
    arms_rad: float
    arms_radps: float
    club_radps: float
    speed_from_hub_mps: float


def accelerations(
    bodies: Bodies,
    state: Vector,
    torques: tuple[float, float],
    hub_mps2: tuple[float, float],
    weight_mps2: float,
    *,
    held: bool,
) -> Vector:
    """Solve for [arms x y turn, club x y turn, hub force x y, wrist force x y, stop torque]."""
    arms, club, arms_radps, club_radps = state
    out, away = (np.array([math.sin(angle), -math.cos(angle)]) for angle in (arms, club))
    around, around_club = (np.array([math.cos(angle), math.sin(angle)]) for angle in (arms, club))
    to_hub = -bodies.arms_centre_m * out
    to_wrists = (bodies.arms_m - bodies.arms_centre_m) * out
    back = -bodies.club_centre_m * away
    shoulder, wrist = torques
    rows = np.zeros((11, 11))
    right = np.zeros(11)
    for k in range(2):
        # momentum of the arms: hub force on them, wrist force of the club the other way
        rows[k, k], rows[k, 6 + k], rows[k, 8 + k] = bodies.arms_kg, -1.0, 1.0
        rows[3 + k, 3 + k], rows[3 + k, 8 + k] = bodies.club_kg, -1.0
    right[1], right[4] = -bodies.arms_kg * weight_mps2, -bodies.club_kg * weight_mps2
    # spin about each centre of mass; the torque of a force f at r is r_x f_y - r_y f_x
    rows[2, 2] = bodies.arms_kgm2 - bodies.arms_kg * bodies.arms_centre_m**2
    rows[2, 6:8] = to_hub[1], -to_hub[0]
    rows[2, 8:10] = -to_wrists[1], to_wrists[0]
    rows[2, 10] = 1.0
    right[2] = shoulder - wrist
    rows[5, 5] = bodies.club_kgm2 - bodies.club_kg * bodies.club_centre_m**2
    rows[5, 8:10] = back[1], -back[0]
    rows[5, 10] = -1.0
    right[5] = wrist
    for k in range(2):
        # the arms' upper end moves with the hub, the club's upper end with the arms' lower one
        rows[6 + k, k], rows[6 + k, 2] = 1.0, -bodies.arms_centre_m * around[k]
        right[6 + k] = hub_mps2[k] - bodies.arms_centre_m * arms_radps**2 * out[k]
        rows[8 + k, 3 + k], rows[8 + k, 5] = 1.0, -bodies.club_centre_m * around_club[k]
        rows[8 + k, 2] = -bodies.arms_m * around[k]
        right[8 + k] = (
            hub_mps2[k]
            - bodies.arms_m * arms_radps**2 * out[k]
            - bodies.club_centre_m * club_radps**2 * away[k]
        )
    if held:
        rows[10, 2], rows[10, 5] = 1.0, -1.0
    else:
        rows[10, 10] = 1.0
    return np.asarray(np.linalg.solve(rows, right), dtype=np.float64)


def strike(
    bodies: Bodies,
    *,
    top_rad: float,
    cock_rad: float,
    torques: Callable[[float, float], tuple[float, float]],
    hub_mps2: HubPull,
    weight_mps2: float,
    tolerance: float = 1e-9,
    method: str = "DOP853",
) -> Struck:
    """Swing until arms and club are in line; for swings that leave the stop once."""

    def solved(time_s: float, state: Vector, *, held: bool) -> Vector:
        both = torques(time_s, float(state[2]))
        return accelerations(bodies, state, both, hub_mps2(time_s), weight_mps2, held=held)

    def held(time_s: float, state: Vector) -> list[float]:
        found = solved(time_s, state, held=True)
        return [state[2], state[3], found[2], found[5]]

    def free(time_s: float, state: Vector) -> list[float]:
        found = solved(time_s, state, held=False)
        return [state[2], state[3], found[2], found[5]]

    def stop(time_s: float, state: Vector) -> float:
        return float(solved(time_s, state, held=True)[10])

    def in_line(_: float, state: Vector) -> float:
        return float(state[1] - state[0])

    events: list[tuple[Any, int]] = [(stop, -1), (in_line, 1)]
    for event, direction in events:
        event.terminal, event.direction = True, direction

    def step(
        change: Callable[[float, Vector], list[float]],
        until: Callable[[float, Vector], float],
        time_s: float,
        start: Vector,
    ) -> tuple[float, Vector]:
        run = solve_ivp(
            change,
            (time_s, 2.0),
            start,
            method=method,  # type: ignore[call-overload]
            events=until,
            rtol=tolerance,
            atol=tolerance,
            max_step=0.02,
        )
        return float(run.t[-1]), np.asarray(run.y[:, -1])

    start = np.array([-top_rad, -top_rad - cock_rad, 0.0, 0.0])
    release_s, released = step(held, stop, 0.0, start)
    strike_s, last = step(free, in_line, release_s, released)
    arms, club, arms_radps, club_radps = (float(value) for value in last)
    head = bodies.arms_m * arms_radps * np.array([math.cos(arms), math.sin(arms)])
    head = head + bodies.club_m * club_radps * np.array([math.cos(club), math.sin(club)])
    return Struck(
        release_s=release_s,
        strike_s=strike_s,
        arms_rad=arms,
        arms_radps=arms_radps,
        club_radps=club_radps,
        speed_from_hub_mps=float(np.linalg.norm(head)),
    )
