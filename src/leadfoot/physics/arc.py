"""The club head's way through the ball as a circle in a tilted plane.

The circle lies in a plane that meets the ground in the base line; the base line's direction is the
swing direction. Before the low point the head moves down and, for a right-hander, to the right of
the base line; after it up and to the left. A left-hander is the mirror image.
"""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from leadfoot.physics.within import check_within

Hand = Literal["right", "left"]

LEAST_RADIUS_M, GREATEST_RADIUS_M = 0.5, 3.0
"""Hub to club head: a child with a wedge to a very tall player with a driver, and room. [m]"""
LEAST_PLANE_RAD, GREATEST_PLANE_RAD = math.radians(20.0), math.radians(85.0)
"""Tilt of the plane against the ground; swings lie at some 45° (driver) to 65° (wedge), common
practice, no source. [rad]"""
GREATEST_SHARE = 0.7
"""How far the low point may lie from the ball, in radii: some 45° of arc. [-]"""


def side_of(hand: Hand) -> float:
    """1 for a right-hander, -1 for the mirror image.

    Examples
    --------
    >>> side_of("left")
    -1.0
    """
    return 1.0 if hand == "right" else -1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ArcPoint:
    """One place on the arc.

    Attributes
    ----------
    position_m
        In the ball frame: toward the target, up from the ground, right. [m]
    attack_angle_rad
        Positive: moving up. [rad]
    club_path_rad
        Positive: right of the target. [rad]
    """

    position_m: tuple[float, float, float]
    attack_angle_rad: float
    club_path_rad: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Arc:
    """The way of the club's leading edge near the ball.

    Attributes
    ----------
    radius_m
        Radius of the circle, 0.5 to 3. [m]
    plane_rad
        Tilt of its plane against the ground, 20° to 85°. [rad]
    swing_direction_rad
        Direction of the base line; positive right of the target. [rad]
    low_point_m
        Low point ahead of the ball, along the base line; positive toward the target. [m]
    depth_m
        How deep under the ground the low point lies; negative: it stays above. [m]
    hand
        A left-hander's arc is the mirror image.

    Raises
    ------
    OutOfRangeError
        If a number lies outside its range, or is NaN.

    Examples
    --------
    >>> arc = Arc(radius_m=1.6, plane_rad=math.radians(60.0), low_point_m=0.161)
    >>> round(math.degrees(arc.attack_angle_rad), 2), round(math.degrees(arc.club_path_rad), 2)
    (-5.0, 2.89)
    """

    radius_m: float
    plane_rad: float
    swing_direction_rad: float = 0.0
    low_point_m: float = 0.0
    depth_m: float = 0.0
    hand: Hand = "right"

    def __post_init__(self) -> None:
        ranges = (
            ("radius_m", LEAST_RADIUS_M, GREATEST_RADIUS_M),
            ("plane_rad", LEAST_PLANE_RAD, GREATEST_PLANE_RAD),
            ("swing_direction_rad", -0.8, 0.8),
            ("depth_m", -0.3, 0.2),
        )
        for name, low, high in ranges:
            check_within(name, getattr(self, name), low, high, of="the arc")
        far = GREATEST_SHARE * self.radius_m
        check_within("low_point_m", self.low_point_m, -far, far, of="an arc of this radius")

    @property
    def past_low_rad(self) -> float:
        """Angle along the circle from the low point to the ball; negative before the low point.

        Examples
        --------
        >>> Arc(radius_m=1.6, plane_rad=1.0).past_low_rad
        0.0
        """
        return -math.asin(self.low_point_m / self.radius_m)

    @property
    def attack_angle_rad(self) -> float:
        """Attack angle at the ball: ``sin a = sin p sin φ``, in rad.

        Examples
        --------
        >>> round(Arc(radius_m=1.6, plane_rad=1.0, low_point_m=-0.1).attack_angle_rad, 5)
        0.05262
        """
        return math.asin(math.sin(self.plane_rad) * math.sin(self.past_low_rad))

    @property
    def club_path_rad(self) -> float:
        """Club path; for a right-hander ``swing direction - atan(cos p tan φ)``, in rad.

        Examples
        --------
        >>> round(Arc(radius_m=1.6, plane_rad=1.0, low_point_m=0.1).club_path_rad, 5)
        0.03382
        """
        offset = math.atan(math.cos(self.plane_rad) * math.tan(self.past_low_rad))
        return self.swing_direction_rad - side_of(self.hand) * offset

    @property
    def drop_m(self) -> float:
        """How far the head still falls from the ball to the low point, in m.

        Examples
        --------
        >>> round(Arc(radius_m=1.6, plane_rad=1.0, low_point_m=0.126).drop_m, 5)
        0.00418
        """
        return float(self.rise_m(self.low_point_m))

    @property
    def edge_height_m(self) -> float:
        """Height of the leading edge over the ground as it passes the ball's middle, in m.

        Examples
        --------
        >>> Arc(radius_m=1.6, plane_rad=1.0, depth_m=0.004).edge_height_m
        -0.004
        """
        return self.drop_m - self.depth_m

    def rise_m(self, from_low_m: float | NDArray[np.float64]) -> float | NDArray[np.float64]:
        """How far the arc has risen at a distance from its low point along the base line.

        Parameters
        ----------
        from_low_m
            Distance from the low point, either way. [m]

        Examples
        --------
        >>> float(round(Arc(radius_m=1.6, plane_rad=1.0).rise_m(0.1), 6))
        0.002632
        """
        square = from_low_m**2
        return (
            math.sin(self.plane_rad) * square / (self.radius_m + np.sqrt(self.radius_m**2 - square))
        )

    def at(self, along_m: float) -> ArcPoint:
        """The place on the arc that lies this far ahead of the ball along the base line.

        Parameters
        ----------
        along_m
            Distance from the ball, positive ahead; up to a radius from the low point. [m]

        Raises
        ------
        OutOfRangeError
            If the circle does not reach that far.

        Examples
        --------
        >>> arc = Arc(radius_m=1.6, plane_rad=1.0, low_point_m=0.1, depth_m=0.01)
        >>> round(arc.at(0.1).position_m[1], 9), arc.at(0.1).attack_angle_rad
        (-0.01, 0.0)
        """
        check_within(
            "distance_from_low_point_m",
            along_m - self.low_point_m,
            -self.radius_m,
            self.radius_m,
            of="this arc",
        )
        past = math.asin((along_m - self.low_point_m) / self.radius_m)
        here, ball = self._place(past), self._place(self.past_low_rad)
        motion = self._motion(past)
        return ArcPoint(
            position_m=(
                float(here[0] - ball[0]),
                float(here[1]) - self.depth_m,
                float(here[2] - ball[2]),
            ),
            attack_angle_rad=math.asin(motion[1]),
            club_path_rad=math.atan2(motion[2], motion[0]),
        )

    def _axes(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Unit vectors along the base line and up the plane, in the ball frame."""
        along = np.array(
            [math.cos(self.swing_direction_rad), 0.0, math.sin(self.swing_direction_rad)]
        )
        inward = side_of(self.hand) * np.array([along[2], 0.0, -along[0]])
        up = math.cos(self.plane_rad) * inward + np.array([0.0, math.sin(self.plane_rad), 0.0])
        return along, up

    def _place(self, past_rad: float) -> NDArray[np.float64]:
        along, up = self._axes()
        place: NDArray[np.float64] = self.radius_m * (
            math.sin(past_rad) * along + (1.0 - math.cos(past_rad)) * up
        )
        return place

    def _motion(self, past_rad: float) -> NDArray[np.float64]:
        along, up = self._axes()
        motion: NDArray[np.float64] = math.cos(past_rad) * along + math.sin(past_rad) * up
        return motion
