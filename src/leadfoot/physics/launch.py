"""How a ball leaves, and the wind that it leaves into: what a flight starts from."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from leadfoot.errors import OutOfRangeError

LAUNCH_RANGES: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "ball_speed_mps": (0.1, 120.0),
        "launch_angle_rad": (-np.pi / 2, np.pi / 2),
        "launch_direction_rad": (-np.pi / 2, np.pi / 2),
        "spin_rate_radps": (0.0, 2_100.0),
        "spin_axis_rad": (-np.pi, np.pi),
    }
)
"""What a launch may be: a quarter above the fastest ball and the highest spin (20,000 rpm) that a
club has ever given (from memory); wider than the glossary's plausible ranges on purpose."""

GREATEST_WIND_MPS = 40.0
"""A hurricane; nobody plays above it. [m/s]"""

FARTHEST_LANDING_M = 100.0
"""A landing may lie so far above or below the tee. The highest tees stand some 60 m above their
greens (from memory). [m]"""

GIVEN_RANGES: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        **LAUNCH_RANGES,
        "wind_along_mps": (-GREATEST_WIND_MPS, GREATEST_WIND_MPS),
        "wind_across_mps": (-GREATEST_WIND_MPS, GREATEST_WIND_MPS),
        "landing_height_m": (-FARTHEST_LANDING_M, FARTHEST_LANDING_M),
    }
)
"""Everything that differs from flight to flight in a batch, and what it may be."""


def _check_launch(launch: "Launch") -> None:
    for name, (low, high) in LAUNCH_RANGES.items():
        value = getattr(launch, name)
        if not low <= value <= high:
            unit = {"mps": "m/s", "radps": "rad/s", "rad": "rad"}[name.rsplit("_", 1)[1]]
            plain = name.rsplit("_", 1)[0].replace("_", " ")
            raise OutOfRangeError(
                f"{plain.capitalize()} is {value:g} {unit}; a ball can be flown from {low:g} to "
                f"{high:g} {unit}.",
                fix="Check the value and its unit.",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Launch:
    """How a ball leaves the face.

    Attributes
    ----------
    ball_speed_mps
        0.1 to 120. [m/s]
    launch_angle_rad
        Positive up. The ball starts on the ground, so one that does not start upward lands at once.
        [rad]
    launch_direction_rad
        Positive right of the target. [rad]
    spin_rate_radps
        All of the spin, 0 to 2,100. [rad/s]
    spin_axis_rad
        Tilt of the axis; positive curves right; beyond a right angle it is topspin. [rad]

    Examples
    --------
    >>> Launch(ball_speed_mps=70.0, launch_angle_rad=0.2, spin_rate_radps=270.0).spin_axis_rad
    0.0
    """

    ball_speed_mps: float
    launch_angle_rad: float
    spin_rate_radps: float
    launch_direction_rad: float = 0.0
    spin_axis_rad: float = 0.0

    def __post_init__(self) -> None:
        _check_launch(self)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wind:
    """Wind at 10 m above the ground; under it the wind falls with the logarithm of the height.

    Attributes
    ----------
    along_mps
        Toward the target: positive is a tail wind, negative a head wind. [m/s]
    across_mps
        Toward the right. [m/s]

    Examples
    --------
    >>> Wind(along_mps=-5.0)
    Wind(along_mps=-5.0, across_mps=0.0)
    """

    along_mps: float = 0.0
    across_mps: float = 0.0

    def __post_init__(self) -> None:
        for name, value in (("along", self.along_mps), ("across", self.across_mps)):
            if not abs(value) <= GREATEST_WIND_MPS:
                raise OutOfRangeError(
                    f"Wind {name} is {value:g} m/s; it can be up to {GREATEST_WIND_MPS:g} m/s.",
                    fix="Check the value and its unit.",
                )


CALM = Wind()
"""No wind."""
