"""Each number of an arc from the others: low point, attack angle, path, plane, radius."""

import math

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.physics.arc import (
    GREATEST_PLANE_RAD,
    GREATEST_RADIUS_M,
    GREATEST_SHARE,
    LEAST_PLANE_RAD,
    LEAST_RADIUS_M,
    Arc,
    Hand,
    side_of,
)
from leadfoot.physics.within import check_within


def low_point_m_from(attack_angle_rad: float, plane_rad: float, radius_m: float) -> float:
    """Low point ahead of the ball, from the attack angle: ``-R sin a / sin p``.

    Parameters
    ----------
    attack_angle_rad
        Positive: moving up. [rad]
    plane_rad
        Tilt of the plane against the ground. [rad]
    radius_m
        Radius of the arc. [m]

    Raises
    ------
    OutOfRangeError
        If the head moves more steeply than the plane allows.

    Examples
    --------
    >>> round(low_point_m_from(math.radians(-5.0), math.radians(60.0), 1.6), 4)
    0.161
    """
    check_within("radius_m", radius_m, LEAST_RADIUS_M, GREATEST_RADIUS_M, of="the arc")
    check_within("plane_rad", plane_rad, LEAST_PLANE_RAD, GREATEST_PLANE_RAD, of="the arc")
    share = math.sin(attack_angle_rad) / math.sin(plane_rad) if abs(attack_angle_rad) < 1.5 else 2.0
    if not abs(share) <= GREATEST_SHARE:
        raise OutOfRangeError(
            f"Attack angle is {math.degrees(attack_angle_rad):g} deg; on a plane of "
            f"{math.degrees(plane_rad):g} deg it can be up to "
            f"{math.degrees(math.asin(GREATEST_SHARE * math.sin(plane_rad))):.1f} deg either way.",
            fix="Check both angles and their units.",
        )
    return -radius_m * share


def radius_m_from(low_point_m: float, attack_angle_rad: float, plane_rad: float) -> float:
    """Radius of the arc, from low point and attack angle: ``-low point sin p / sin a``.

    Parameters
    ----------
    low_point_m
        Ahead of the ball. [m]
    attack_angle_rad
        Positive: moving up. [rad]
    plane_rad
        Tilt of the plane against the ground. [rad]

    Raises
    ------
    InputError
        If the two do not belong to one arc: down into a low point behind, or level.

    Examples
    --------
    >>> round(radius_m_from(0.161, math.radians(-5.0), math.radians(60.0)), 2)
    1.6
    """
    if not low_point_m * attack_angle_rad < 0.0:
        raise InputError(
            f"A low point {low_point_m:g} m ahead of the ball does not go with an attack angle of "
            f"{math.degrees(attack_angle_rad):g} deg: the head moves down until the low point and "
            "up after it.",
            fix="Check both signs, or give one of the two and the radius.",
        )
    radius_m = -low_point_m * math.sin(plane_rad) / math.sin(attack_angle_rad)
    check_within("radius_m", radius_m, LEAST_RADIUS_M, GREATEST_RADIUS_M, of="the arc")
    return radius_m


def path_offset_rad(attack_angle_rad: float, plane_rad: float, hand: Hand = "right") -> float:
    """Club path less swing direction, exactly: ``-asin(tan a / tan p)`` for a right-hander, in rad.

    Parameters
    ----------
    attack_angle_rad
        Positive: moving up. [rad]
    plane_rad
        Tilt of the plane against the ground. [rad]
    hand
        A left-hander's offset has the other sign.

    Raises
    ------
    OutOfRangeError
        If the head moves more steeply than the plane.

    Examples
    --------
    >>> round(math.degrees(path_offset_rad(math.radians(-5.0), math.radians(60.0))), 3)
    2.895
    """
    share = math.tan(attack_angle_rad) / math.tan(plane_rad)
    if not abs(share) < 1.0:
        raise OutOfRangeError(
            f"Attack angle is {math.degrees(attack_angle_rad):g} deg; a plane of "
            f"{math.degrees(plane_rad):g} deg is never that steep.",
            fix="Check both angles and their units.",
        )
    return -side_of(hand) * math.asin(share)


def path_offset_small_rad(attack_angle_rad: float, plane_rad: float, hand: Hand = "right") -> float:
    """The same by the rule of thumb for small angles, ``-a / tan p``, to compare with.

    Parameters
    ----------
    attack_angle_rad
        Positive: moving up. [rad]
    plane_rad
        Tilt of the plane against the ground. [rad]
    hand
        A left-hander's offset has the other sign.

    Examples
    --------
    >>> round(math.degrees(path_offset_small_rad(math.radians(-5.0), math.radians(60.0))), 3)
    2.887
    """
    return -side_of(hand) * attack_angle_rad / math.tan(plane_rad)


def plane_rad_from(
    club_path_rad: float,
    swing_direction_rad: float,
    attack_angle_rad: float,
    hand: Hand = "right",
) -> float:
    """Tilt of the plane, from path, swing direction and attack: ``tan p = tan a / sin(offset)``.

    Parameters
    ----------
    club_path_rad, swing_direction_rad
        Positive right of the target. [rad]
    attack_angle_rad
        Positive: moving up; it must not be level, as a level head tells nothing of the plane. [rad]
    hand
        Whose swing it is.

    Raises
    ------
    InputError
        If the three do not belong to one plane.

    Examples
    --------
    >>> plane = plane_rad_from(math.radians(2.895), 0.0, math.radians(-5.0))
    >>> round(math.degrees(plane), 1)
    60.0
    """
    offset = -side_of(hand) * (club_path_rad - swing_direction_rad)
    if not attack_angle_rad * offset > 0.0:
        raise InputError(
            f"Attack angle {math.degrees(attack_angle_rad):g} deg and a club path "
            f"{math.degrees(club_path_rad - swing_direction_rad):g} deg right of the swing "
            f"direction do not belong to one plane of a {hand}-handed swing.",
            fix="Check the signs and the hand, or give the plane instead of one of them.",
        )
    plane_rad = math.atan(math.tan(attack_angle_rad) / math.sin(offset))
    check_within("plane_rad", plane_rad, LEAST_PLANE_RAD, GREATEST_PLANE_RAD, of="the arc")
    return plane_rad


def arc_from_attack(
    attack_angle_rad: float,
    *,
    plane_rad: float,
    radius_m: float,
    swing_direction_rad: float | None = None,
    club_path_rad: float | None = None,
    depth_m: float | None = None,
    hand: Hand = "right",
) -> Arc:
    """The arc that has this attack angle at the ball.

    Parameters
    ----------
    attack_angle_rad
        Positive: moving up. [rad]
    plane_rad
        Tilt of the plane against the ground. [rad]
    radius_m
        Radius of the arc. [m]
    swing_direction_rad, club_path_rad
        One of the two at most; neither: the swing goes at the target. [rad]
    depth_m
        Depth of the low point; None: the leading edge just touches the ground at the ball's middle,
        where the arc comes down to it. [m]
    hand
        Whose swing it is.

    Raises
    ------
    InputError
        If swing direction and club path are both given.
    OutOfRangeError
        If a number lies outside its range.

    Examples
    --------
    >>> arc = arc_from_attack(math.radians(-4.0), plane_rad=math.radians(62.0), radius_m=1.6)
    >>> round(arc.low_point_m, 4), round(arc.depth_m, 4)
    (0.1264, 0.0044)
    """
    if swing_direction_rad is not None and club_path_rad is not None:
        raise InputError(
            "Both swing direction and club path are given with a plane and an attack angle.",
            fix="Give one of the two; the other follows.",
        )
    low_point_m = low_point_m_from(attack_angle_rad, plane_rad, radius_m)
    if club_path_rad is not None:
        swing_direction_rad = club_path_rad - path_offset_rad(attack_angle_rad, plane_rad, hand)
    flat = Arc(
        radius_m=radius_m,
        plane_rad=plane_rad,
        swing_direction_rad=swing_direction_rad or 0.0,
        low_point_m=low_point_m,
        hand=hand,
    )
    return Arc(
        radius_m=radius_m,
        plane_rad=plane_rad,
        swing_direction_rad=flat.swing_direction_rad,
        low_point_m=low_point_m,
        depth_m=flat.drop_m if depth_m is None else depth_m,
        hand=hand,
    )
