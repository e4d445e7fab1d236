"""Invented students: how they deliver the club, and what a monitor reads of it, errors and all."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leadfoot.coaching.swings import land_balls
from leadfoot.physics.best import STANDARD
from leadfoot.physics.clubs import Club
from leadfoot.physics.delivery import DELIVERY_RANGES, Deliveries
from leadfoot.physics.impact import strike_many
from leadfoot.physics.monitor import MonitorErrors

Floats = NDArray[np.float64]

_DEG = np.pi / 180.0
MIDDLE = {
    "driver": np.array([42.0, 0.0, 0.0, 0.0, 0.23, 0.0, 0.0]),
    "iron7": np.array([36.0, -0.07, 0.0, 0.0, 0.42, 0.0, 0.0]),
}
"""A delivery in the order of `Deliveries`; invented."""
BETWEEN_STUDENTS = np.array([2.4, 0.03, 0.04, 0.02, 0.02, 0.006, 0.004])
FROM_BALL_TO_BALL = np.array([0.5, 0.02, 0.025, 0.03, 0.025, 0.008, 0.006])
BY_A_CHANGE = np.array([1.0, 0.015, 0.02, 0.015, 0.015, 0.004, 0.003])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Player:
    """Middle and spread of each number of the delivery, and how face and path go together."""

    middle: Floats
    sd: Floats
    face_with_path: float

    def swings(self, n: int, rng: np.random.Generator) -> Floats:
        """Deliveries, shape (7, n)."""
        away = rng.normal(size=(7, n))
        tied = self.face_with_path
        away[3] = tied * away[2] + np.sqrt(1.0 - tied**2) * away[3]
        return np.asarray(self.middle[:, np.newaxis] + self.sd[:, np.newaxis] * away)


def some_player(key: str, rng: np.random.Generator) -> Player:
    """A student drawn at random."""
    return Player(
        middle=MIDDLE[key] + BETWEEN_STUDENTS * rng.normal(size=7),
        sd=FROM_BALL_TO_BALL * np.exp(0.2 * rng.normal(size=7)),
        face_with_path=float(rng.uniform(0.0, 0.7)),
    )


def changed(player: Player, rng: np.random.Generator) -> Player:
    """The same student with a change that moves some of the numbers and some of their spreads."""
    moved = rng.normal(size=7) * BY_A_CHANGE * (rng.random(7) < 0.6)
    return replace(
        player, middle=player.middle + moved, sd=player.sd * np.exp(0.2 * rng.normal(size=7))
    )


def readings(
    swings: Floats,
    struck: Club,
    rng: np.random.Generator,
    *,
    strike_read: bool = True,
    errors: MonitorErrors | None = None,
) -> dict[str, Floats]:
    """What a monitor reads of these swings and their balls; carry and offline are read exactly."""
    off = MonitorErrors() if errors is None else errors
    n = swings.shape[1]
    launches = strike_many(Deliveries(**dict(zip(DELIVERY_RANGES, swings, strict=True))), struck)
    carry_m, offline_m = land_balls(launches.rows(), around=STANDARD)
    exact = dict(zip(DELIVERY_RANGES, swings, strict=True)) | {
        name: getattr(launches, name)
        for name in (
            "ball_speed_mps",
            "launch_angle_rad",
            "launch_direction_rad",
            "spin_rate_radps",
            "spin_axis_rad",
        )
    }
    shares = {
        "club_speed_mps": off.club_speed_share,
        "ball_speed_mps": off.ball_speed_share,
        "spin_rate_radps": off.spin_rate_share,
    }
    fixed = {
        "attack_angle_rad": off.attack_angle_sd_rad,
        "club_path_rad": off.club_path_sd_rad,
        "face_angle_rad": off.face_angle_sd_rad,
        "dynamic_loft_rad": off.dynamic_loft_sd_rad,
        "launch_angle_rad": off.launch_angle_sd_rad,
        "launch_direction_rad": off.launch_direction_sd_rad,
        "spin_axis_rad": off.spin_axis_sd_rad,
        "strike_heel_toe_m": off.strike_sd_m,
        "strike_high_low_m": off.strike_sd_m,
    }
    read = {name: exact[name] * (1.0 + sd * rng.normal(size=n)) for name, sd in shares.items()}
    read |= {name: exact[name] + sd * rng.normal(size=n) for name, sd in fixed.items()}
    if not strike_read:
        del read["strike_heel_toe_m"], read["strike_high_low_m"]
    return read | {"carry_m": carry_m, "offline_m": offline_m}
