"""Where each ball comes down: as measured, or computed in one still air where it was not."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.desk.answer import Basis
from leadfoot.physics.air import STANDARD_AIR, Air
from leadfoot.physics.flight import fly_many
from leadfoot.shots.shot import ShotTable


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Landing:
    """Carry and offline of every shot, shape (n,), NaN where neither known nor computable.

    One basis holds for all shots: measured and computed distances are never mixed in one
    comparison, since the difference between instrument and model would pass for a change.
    """

    carry_m: NDArray[np.float64]
    carry_basis: Basis
    offline_m: NDArray[np.float64]
    offline_basis: Basis


def landing(table: ShotTable, judged: NDArray[np.bool_], air: Air = STANDARD_AIR) -> Landing:
    """Find where the balls came down.

    Parameters
    ----------
    table
        The shots.
    judged
        Shape (n,): the shots that the comparison is about. What is measured is used when every
        judged shot has it, or when the flight cannot be computed for more of them.
    air
        The still air in which a flight is computed.

    Returns
    -------
    Landing
        Measured where possible, else modelled from ball speed, launch angle and spin rate (and
        launch direction and spin axis for offline).
    """
    carry_m, offline_m = table.si("carry"), table.si("offline")
    missing = np.isnan(carry_m) | np.isnan(offline_m)
    if not np.any(missing & judged):
        return Landing(
            carry_m=carry_m, carry_basis="measured", offline_m=offline_m, offline_basis="measured"
        )
    computed_carry_m, computed_offline_m = _computed(table, air)
    carry_m, carry_basis = _fuller(carry_m, computed_carry_m, judged)
    offline_m, offline_basis = _fuller(offline_m, computed_offline_m, judged)
    return Landing(
        carry_m=carry_m,
        carry_basis=carry_basis,
        offline_m=offline_m,
        offline_basis=offline_basis,
    )


def _computed(table: ShotTable, air: Air) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Carry and offline by the flight model; a ball without direction or axis has no offline."""
    direction_rad, axis_rad = table.si("launch_direction"), table.si("spin_axis")
    flights = fly_many(
        ball_speed_mps=table.si("ball_speed"),
        launch_angle_rad=table.si("launch_angle"),
        launch_direction_rad=np.nan_to_num(direction_rad, nan=0.0),
        spin_rate_radps=table.si("spin_rate"),
        spin_axis_rad=np.nan_to_num(axis_rad, nan=0.0),
        air=air,
    )
    sideways_known = np.isfinite(direction_rad) & np.isfinite(axis_rad)
    return flights.carry_m, np.where(sideways_known, flights.offline_m, np.nan)


def _fuller(
    measured: NDArray[np.float64], computed: NDArray[np.float64], judged: NDArray[np.bool_]
) -> tuple[NDArray[np.float64], Basis]:
    n_measured = int(np.isfinite(measured[judged]).sum())
    n_computed = int(np.isfinite(computed[judged]).sum())
    if n_measured >= n_computed:
        return measured, "measured"
    return computed, "modelled"
