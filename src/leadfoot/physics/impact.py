"""Impact, forward: from what the club head does to how the ball leaves, for a centred strike."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import OutOfRangeError
from leadfoot.physics.ball import STANDARD_BALL, Ball
from leadfoot.physics.clubs import Club
from leadfoot.physics.launch import Launch

Vector = NDArray[np.float64]

DELIVERY_RANGES: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "club_speed_mps": (0.1, 80.0),
        "attack_angle_rad": (-0.7, 0.7),
        "club_path_rad": (-0.8, 0.8),
        "face_angle_rad": (-0.8, 0.8),
        "dynamic_loft_rad": (-0.2, 1.4),
    }
)
"""What a delivery may be: wider than any swing, so that a chip and a shank still go through."""


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
        Positive: right of the target, for both hands. [rad]
    dynamic_loft_rad
        How much the face looks up. [rad]

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

    def __post_init__(self) -> None:
        for name, (low, high) in DELIVERY_RANGES.items():
            value = getattr(self, name)
            if not low <= value <= high:
                plain, suffix = name.rsplit("_", 1)
                unit = {"mps": "m/s", "rad": "rad"}[suffix]
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
        face = _direction(self.dynamic_loft_rad, self.face_angle_rad)
        head = _direction(self.attack_angle_rad, self.club_path_rad)
        return math.atan2(float(np.linalg.norm(np.cross(head, face))), float(head @ face))


def _direction(up_rad: float, right_rad: float) -> Vector:
    """Unit vector that looks up and right by these angles, in the ball frame."""
    level = math.cos(up_rad)
    return np.array([level * math.cos(right_rad), math.sin(up_rad), level * math.sin(right_rad)])


def strike(
    delivery: Delivery, club: Club, *, ball: Ball = STANDARD_BALL, extra_spin_share: float = 0.0
) -> Launch:
    """Strike the ball in the middle of the face.

    Parameters
    ----------
    delivery
        How the head comes to the ball.
    club
        Its head mass and its restitution.
    ball
        The ball.
    extra_spin_share
        Tangential restitution e_t: 0 leaves the ball rolling on the face, up to 0.4 for a cover
        that springs back. [-]

    Returns
    -------
    Launch
        How the ball leaves.

    Raises
    ------
    OutOfRangeError
        If the face moves away from the ball or the ball would leave outside what can be flown.

    Notes
    -----
    With the face normal n and the head's velocity V::

        v = A (V·n) n + B [V - (V·n) n],    ω = (2.5 B / r) (V x n)
        A = (1 + e) / (1 + m/M),            B = (1 + e_t) / (3.5 + m/M)

    the rigid impulse of a uniform sphere that grips the face. Left out: strikes off the middle
    (gear effect, bulge and roll), sliding on the face (above some 55° of spin loft), the shaft.
    Measured balls start 61 to 83 % toward the face (Wood, Henrikson and Broadie, Proceedings, vol.
    2, 249, 2018); this model gives 68 to 82 %.

    References
    ----------
    .. [1] A. R. Penner, "The physics of golf: The optimum loft of a driver," American Journal of
       Physics, vol. 69, pp. 563-568, 2001 (the planar case; read second-hand).

    Examples
    --------
    >>> from leadfoot.physics.clubs import club
    >>> launch = strike(Delivery(club_speed_mps=42.0, dynamic_loft_rad=0.42), club("iron7"))
    >>> round(launch.ball_speed_mps, 1), round(launch.spin_rate_radps)
    (58.1, 547)
    """
    normal = _direction(delivery.dynamic_loft_rad, delivery.face_angle_rad)
    head = delivery.club_speed_mps * _direction(delivery.attack_angle_rad, delivery.club_path_rad)
    across = float(head @ normal)
    if across <= 0.0:
        raise OutOfRangeError(
            "The face looks away from the ball: its spin loft is "
            f"{math.degrees(delivery.spin_loft_rad):.0f} deg.",
            fix="Check attack angle, club path, face angle and dynamic loft.",
        )
    ratio = ball.mass_kg / club.head_mass_kg
    into = (1.0 + club.restitution.at(across)) / (1.0 + ratio)
    along = (1.0 + extra_spin_share) / (3.5 + ratio)
    velocity = into * across * normal + along * (head - across * normal)
    spin = (2.5 * along / ball.radius_m) * np.cross(head, normal)
    return _launch(velocity, spin)


def _launch(velocity: Vector, spin: Vector) -> Launch:
    """The launch that a monitor would give for this velocity and spin."""
    speed = float(np.linalg.norm(velocity))
    direction = math.atan2(velocity[2], velocity[0])
    backspin = float(spin @ np.array([-math.sin(direction), 0.0, math.cos(direction)]))
    rate = float(np.linalg.norm(spin))
    return Launch(
        ball_speed_mps=speed,
        launch_angle_rad=math.asin(velocity[1] / speed),
        launch_direction_rad=direction,
        spin_rate_radps=rate,
        spin_axis_rad=math.atan2(-spin[1], backspin) if rate > 0.0 else 0.0,
    )
