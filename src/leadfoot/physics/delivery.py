"""Delivery: how the club head comes to the ball, one swing or many."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields
from types import MappingProxyType
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from leadfoot.errors import OutOfRangeError

Series = NDArray[np.float64]
Hand = Literal["right", "left"]
"""Which side of the ball the player stands on: it turns toe and heel round, nothing else."""

DELIVERY_RANGES: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "club_speed_mps": (0.1, 80.0),
        "attack_angle_rad": (-0.7, 0.7),
        "club_path_rad": (-0.8, 0.8),
        "face_angle_rad": (-0.8, 0.8),
        "dynamic_loft_rad": (-0.2, 1.4),
        "strike_heel_toe_m": (-0.06, 0.06),
        "strike_high_low_m": (-0.05, 0.05),
    }
)
"""What a delivery may be: wider than any swing, so that a chip and a shank still go through."""

_UNITS = {"mps": "m/s", "rad": "rad", "m": "m"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery:
    """How the club head comes to the ball.

    Attributes
    ----------
    club_speed_mps
        0.1 to 80. [m/s]
    attack_angle_rad
        Positive: moving up. [rad]
    club_path_rad, face_angle_rad
        Positive: right of the target, for both hands. The face angle is that of the middle of the
        face. [rad]
    dynamic_loft_rad
        How much the middle of the face looks up. [rad]
    strike_heel_toe_m, strike_high_low_m
        Where on the face the ball is met, from its middle; toward the toe and high are positive.
        [m]

    Examples
    --------
    >>> Delivery(club_speed_mps=40.0, dynamic_loft_rad=0.5).club_path_rad
    0.0
    """

    club_speed_mps: float
    dynamic_loft_rad: float
    attack_angle_rad: float = 0.0
    club_path_rad: float = 0.0
    face_angle_rad: float = 0.0
    strike_heel_toe_m: float = 0.0
    strike_high_low_m: float = 0.0

    def __post_init__(self) -> None:
        for name, (low, high) in DELIVERY_RANGES.items():
            value = getattr(self, name)
            if not low <= value <= high:
                plain, suffix = name.rsplit("_", 1)
                unit = _UNITS[suffix]
                raise OutOfRangeError(
                    f"{plain.replace('_', ' ').capitalize()} is {value:g} {unit}; the impact model "
                    f"takes {low:g} to {high:g} {unit}.",
                    fix="Check the value and its unit.",
                )

    @property
    def spin_loft_rad(self) -> float:
        """Angle between where the face looks and where the head travels, in rad.

        Examples
        --------
        >>> steep = Delivery(club_speed_mps=40.0, dynamic_loft_rad=0.5, attack_angle_rad=-0.1)
        >>> round(steep.spin_loft_rad, 9)
        0.6
        """
        face = direction(np.array(self.dynamic_loft_rad), np.array(self.face_angle_rad))
        head = direction(np.array(self.attack_angle_rad), np.array(self.club_path_rad))
        return math.atan2(float(np.linalg.norm(np.cross(head, face))), float(head @ face))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Deliveries:
    """Many deliveries, or the uncertainties of many: arrays of shape (n,), as in `Delivery`."""

    club_speed_mps: Series
    attack_angle_rad: Series
    club_path_rad: Series
    face_angle_rad: Series
    dynamic_loft_rad: Series
    strike_heel_toe_m: Series
    strike_high_low_m: Series

    def __len__(self) -> int:
        return len(self.club_speed_mps)

    def rows(self) -> Series:
        """All of it as one array, shape (7, n), in the order of `DELIVERY_RANGES`."""
        return np.stack([getattr(self, field.name) for field in fields(self)])

    def usable(self) -> NDArray[np.bool_]:
        """Which of them lie within `DELIVERY_RANGES`; NaN and infinity do not.

        Examples
        --------
        >>> deliveries([40.0, np.nan, 400.0], 0.2).usable()
        array([ True, False, False])
        """
        low, high = np.array(list(DELIVERY_RANGES.values())).T
        rows = self.rows()
        good: NDArray[np.bool_] = np.all(
            (rows >= low[:, np.newaxis]) & (rows <= high[:, np.newaxis]), axis=0
        )
        return good


def deliveries(
    club_speed_mps: ArrayLike,
    dynamic_loft_rad: ArrayLike,
    attack_angle_rad: ArrayLike = 0.0,
    club_path_rad: ArrayLike = 0.0,
    face_angle_rad: ArrayLike = 0.0,
    *,
    strike_heel_toe_m: ArrayLike = 0.0,
    strike_high_low_m: ArrayLike = 0.0,
) -> Deliveries:
    """Put many deliveries together; single numbers hold for all of them.

    Parameters
    ----------
    club_speed_mps, dynamic_loft_rad, attack_angle_rad, club_path_rad, face_angle_rad
        As in `Delivery`, shape (n,) each. [m/s], [rad], [rad], [rad], [rad]
    strike_heel_toe_m, strike_high_low_m
        As in `Delivery`. [m], [m]

    Examples
    --------
    >>> len(deliveries([40.0, 41.0, 42.0], 0.2))
    3
    """
    given = {
        "club_speed_mps": club_speed_mps,
        "attack_angle_rad": attack_angle_rad,
        "club_path_rad": club_path_rad,
        "face_angle_rad": face_angle_rad,
        "dynamic_loft_rad": dynamic_loft_rad,
        "strike_heel_toe_m": strike_heel_toe_m,
        "strike_high_low_m": strike_high_low_m,
    }
    arrays = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(values, dtype=np.float64)) for values in given.values())
    )
    return Deliveries(**dict(zip(given, arrays, strict=True)))


def many_of(delivery: Delivery) -> Deliveries:
    """One delivery as an array of one.

    Examples
    --------
    >>> many_of(Delivery(club_speed_mps=40.0, dynamic_loft_rad=0.2)).club_speed_mps
    array([40.])
    """
    return Deliveries(**{name: np.array([getattr(delivery, name)]) for name in DELIVERY_RANGES})


def direction(up_rad: Series, right_rad: Series) -> Series:
    """Unit vectors that look up and right by these angles, in the ball frame, shape (3, n).

    Parameters
    ----------
    up_rad, right_rad
        Angles above level and right of the target, shape (n,) each. [rad]

    Examples
    --------
    >>> direction(np.array([0.0]), np.array([0.0]))[:, 0]
    array([1., 0., 0.])
    """
    level = np.cos(up_rad)
    return np.stack([level * np.cos(right_rad), np.sin(up_rad), level * np.sin(right_rad)])


def mirrored(side: Series | float, hand: Hand) -> Series | float:
    """A direction to the right as a right-hander would see it in the mirror; it undoes itself.

    Examples
    --------
    >>> mirrored(0.1, "left"), mirrored(0.1, "right")
    (-0.1, 0.1)
    """
    return -side if hand == "left" else side
