"""What a launch monitor may be off by, and what is taken where it is silent."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields
from types import MappingProxyType

from leadfoot.physics.within import check_within
from leadfoot.quantities import ClubClass

_DEG = math.pi / 180.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MonitorErrors:
    """Errors of one reading, as standard deviations. From memory, low confidence: set your own.

    Attributes
    ----------
    ball_speed_share, spin_rate_share, club_speed_share
        Shares of the reading. [-]
    spin_rate_floor_radps
        Added to the share of the spin. [rad/s]
    launch_angle_sd_rad, launch_direction_sd_rad, spin_axis_sd_rad
        Of the ball. [rad]
    attack_angle_sd_rad, club_path_sd_rad, face_angle_sd_rad, dynamic_loft_sd_rad
        Of the club. [rad]
    strike_sd_m
        Of the place on the face, where it is read. [m]

    Examples
    --------
    >>> MonitorErrors(spin_rate_share=0.02).ball_speed_share
    0.005
    """

    ball_speed_share: float = 0.005
    spin_rate_share: float = 0.04
    club_speed_share: float = 0.008
    spin_rate_floor_radps: float = 3.0
    launch_angle_sd_rad: float = 0.3 * _DEG
    launch_direction_sd_rad: float = 0.4 * _DEG
    spin_axis_sd_rad: float = 1.5 * _DEG
    attack_angle_sd_rad: float = 0.8 * _DEG
    club_path_sd_rad: float = 0.8 * _DEG
    face_angle_sd_rad: float = 1.0 * _DEG
    dynamic_loft_sd_rad: float = 1.0 * _DEG
    strike_sd_m: float = 0.003

    def __post_init__(self) -> None:
        for field in fields(self):
            most = 0.1 if field.name == "strike_sd_m" else 1_000.0
            check_within(field.name, getattr(self, field.name), 1e-12, most, of="a monitor")


USUAL_ERRORS = MonitorErrors()
"""Of a monitor of which nothing is known. From memory, low confidence."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Usual:
    """What is taken of a swing where the monitor says nothing: middle and standard deviation.

    Common practice, no source. The middle of strike, path, direction and axis is zero.

    Attributes
    ----------
    strike_heel_toe_sd_m, strike_high_low_sd_m
        Spread of the strike. [m]
    attack_middle_rad, attack_sd_rad
        Attack angle. [rad]
    path_sd_rad
        Club path. [rad]
    direction_sd_rad, axis_sd_rad
        Launch direction and spin axis of the ball. [rad]

    Examples
    --------
    >>> USUAL["driver"].strike_heel_toe_sd_m
    0.012
    """

    strike_heel_toe_sd_m: float
    strike_high_low_sd_m: float
    attack_middle_rad: float
    attack_sd_rad: float
    path_sd_rad: float = 5.0 * _DEG
    direction_sd_rad: float = 4.0 * _DEG
    axis_sd_rad: float = 10.0 * _DEG

    def __post_init__(self) -> None:
        for field in fields(self):
            least = -1.5 if field.name == "attack_middle_rad" else 1e-12
            check_within(field.name, getattr(self, field.name), least, 100.0, of="a usual swing")


def _usual(toe_mm: float, high_mm: float, attack_deg: float, spread_deg: float) -> Usual:
    return Usual(
        strike_heel_toe_sd_m=toe_mm * 1e-3,
        strike_high_low_sd_m=high_mm * 1e-3,
        attack_middle_rad=attack_deg * _DEG,
        attack_sd_rad=spread_deg * _DEG,
    )


USUAL: Mapping[ClubClass, Usual] = MappingProxyType(
    {
        "driver": _usual(12.0, 9.0, 0.0, 4.0),
        "wood": _usual(11.0, 7.0, -2.0, 3.0),
        "hybrid": _usual(10.0, 7.0, -3.0, 3.0),
        "iron": _usual(9.0, 6.0, -4.0, 3.0),
        "wedge": _usual(9.0, 6.0, -5.0, 3.5),
    }
)
"""By class of club: mm, mm, degrees, degrees. Common practice, no source."""
