"""Impact, forward: from what the club head does to how the ball leaves."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import OutOfRangeError
from leadfoot.physics.ball import STANDARD_BALL, Ball
from leadfoot.physics.clubs import Club
from leadfoot.physics.contact import SPHERE, cross, dot, impulse, spot
from leadfoot.physics.delivery import (
    DELIVERY_RANGES,
    Deliveries,
    Delivery,
    Hand,
    direction,
    many_of,
    mirrored,
)
from leadfoot.physics.launch import LAUNCH_RANGES, Launch

__all__ = [
    "DELIVERY_RANGES",
    "Deliveries",
    "Delivery",
    "Hand",
    "Launches",
    "face_axes",
    "strike",
    "strike_many",
]

Series = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Launches:
    """How many balls leave: arrays of shape (n,), as in `Launch`; NaN where one can't be struck.

    Attributes
    ----------
    ball_speed_mps, launch_angle_rad, launch_direction_rad, spin_rate_radps, spin_axis_rad
        As in `Launch`. [m/s], [rad], [rad], [rad/s], [rad]
    slid
        Whether the ball slid on the face all through the impact.
    """

    ball_speed_mps: Series
    launch_angle_rad: Series
    launch_direction_rad: Series
    spin_rate_radps: Series
    spin_axis_rad: Series
    slid: NDArray[np.bool_]

    def __len__(self) -> int:
        return len(self.ball_speed_mps)

    def rows(self) -> Series:
        """The five numbers as one array, shape (5, n), in the order of `LAUNCH_RANGES`."""
        return np.stack([getattr(self, name) for name in LAUNCH_RANGES])


def strike_many(
    delivery: Deliveries,
    club: Club,
    *,
    ball: Ball = STANDARD_BALL,
    extra_spin_share: float = 0.0,
    hand: Hand = "right",
) -> Launches:
    """Strike many balls.

    Parameters
    ----------
    delivery
        How the head comes to each ball.
    club
        The head.
    ball
        The ball.
    extra_spin_share
        Tangential restitution e_t, as in `strike`. [-]
    hand
        The player's hand: it says on which side the toe is.

    Returns
    -------
    Launches
        NaN in a row whose delivery lies outside `DELIVERY_RANGES` or whose face moves away from
        the ball.

    Notes
    -----
    See `strike`.

    Examples
    --------
    >>> from leadfoot.physics.clubs import club
    >>> from leadfoot.physics.delivery import deliveries
    >>> strike_many(deliveries([42.0, np.nan], 0.42), club("iron7")).ball_speed_mps.round(1)
    array([58.2,  nan])
    """
    numbers = np.full((5, len(delivery)), np.nan)
    slid = np.zeros(len(delivery), dtype=np.bool_)
    usable = delivery.usable()
    kept = Deliveries(
        **{name: getattr(delivery, name)[usable] for name in DELIVERY_RANGES},
    )
    numbers[:, usable], slid[usable] = _struck(kept, club, ball, extra_spin_share, hand)
    return Launches(**dict(zip(LAUNCH_RANGES, numbers, strict=True)), slid=slid)


def _struck(
    delivery: Deliveries, club: Club, ball: Ball, extra_spin_share: float, hand: Hand
) -> tuple[Series, NDArray[np.bool_]]:
    """Launches of deliveries that lie in range, shape (5, n), and which balls slid."""
    side = float(mirrored(1.0, hand))
    axes = face_axes(delivery.dynamic_loft_rad, side * delivery.face_angle_rad)
    head = delivery.club_speed_mps * direction(
        delivery.attack_angle_rad, side * delivery.club_path_rad
    )
    where = spot(club, delivery.strike_heel_toe_m, delivery.strike_high_low_m)
    head_in_face = np.einsum("ijn,in->jn", axes, head)
    push, slid = impulse(head_in_face, where, club, ball, extra_spin_share)
    velocity = push / ball.mass_kg
    spin = cross(velocity, where.normal) * (SPHERE / ball.radius_m)
    numbers = _launched(
        np.einsum("ijn,jn->in", axes, velocity), np.einsum("ijn,jn->in", axes, spin), side
    )
    numbers[:, dot(head_in_face, where.normal) <= 0.0] = np.nan
    return numbers, slid


def face_axes(loft_rad: Series, face_rad: Series) -> Series:
    """Axes of a face that looks up and right, in the ball frame.

    Parameters
    ----------
    loft_rad, face_rad
        How far the face looks up, and right, shape (n,). [rad]

    Returns
    -------
    array
        Shape (3, 3, n): the columns are the axes out of the face, up along it, and level to its
        right (the toe of a right-hander).

    Examples
    --------
    >>> face_axes(np.zeros(1), np.zeros(1))[:, :, 0]
    array([[1., 0., 0.],
           [0., 1., 0.],
           [0., 0., 1.]])
    """
    cos_l, sin_l = np.cos(loft_rad), np.sin(loft_rad)
    cos_f, sin_f = np.cos(face_rad), np.sin(face_rad)
    return np.array(
        [
            [cos_l * cos_f, 0.0 - sin_l * cos_f, 0.0 - sin_f],
            [sin_l, cos_l, np.zeros_like(loft_rad)],
            [cos_l * sin_f, 0.0 - sin_l * sin_f, cos_f],
        ]
    )


def _launched(velocity: Series, spin: Series, side: float) -> Series:
    """What a monitor would say of these velocities and spins, shape (5, n)."""
    speed = np.sqrt(dot(velocity, velocity))
    right = np.arctan2(velocity[2], velocity[0])
    backspin = spin[2] * np.cos(right) - spin[0] * np.sin(right)
    return np.stack(
        [
            speed,
            np.arcsin(np.clip(velocity[1] / speed, -1.0, 1.0)),
            side * right,
            np.sqrt(dot(spin, spin)),
            side * np.arctan2(0.0 - spin[1], backspin),
        ]
    )


def strike(
    delivery: Delivery,
    club: Club,
    *,
    ball: Ball = STANDARD_BALL,
    extra_spin_share: float = 0.0,
    hand: Hand = "right",
) -> Launch:
    """Strike one ball.

    Parameters
    ----------
    delivery
        How the head comes to the ball, and where on the face it meets it.
    club
        The head.
    ball
        The ball.
    extra_spin_share
        Tangential restitution e_t: 0 leaves the ball rolling on the face, up to 0.4 for a cover
        that springs back. [-]
    hand
        The player's hand: it says on which side the toe is.

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
    The rigid impulse between a head that is free to move and to turn about its centre of mass and a
    uniform sphere. For a head that does not turn, with the face normal n and the head's velocity
    V, it is ::

        v = A (V·n) n + B [V - (V·n) n],    ω = (2.5 B / r) (V x n)
        A = (1 + e) / (1 + m/M),            B = (1 + e_t) / (3.5 + m/M)

    Left out: that the head turns already before it meets the ball, the shaft but for 3 g of mass,
    the lie of the sole, and a friction that falls with speed. Measured balls start 61 to 83 %
    toward the face (Wood, Henrikson and Broadie, Proceedings, vol. 2, 249, 2018); this model gives
    67 % (lob wedge) to 82 % (driver) with e_t 0, and 61 to 78 % with e_t 0.2. More e_t makes spins
    that are too high already higher, so 0 is the default.

    References
    ----------
    .. [1] A. R. Penner, "The physics of golf: The optimum loft of a driver," American Journal of
       Physics, vol. 69, pp. 563-568, 2001 (the planar case; read second-hand).

    Examples
    --------
    >>> from leadfoot.physics.clubs import club
    >>> launch = strike(Delivery(club_speed_mps=42.0, dynamic_loft_rad=0.42), club("iron7"))
    >>> round(launch.ball_speed_mps, 1), round(launch.spin_rate_radps)
    (58.2, 540)
    """
    struck = strike_many(
        many_of(delivery), club, ball=ball, extra_spin_share=extra_spin_share, hand=hand
    )
    if np.isnan(struck.ball_speed_mps[0]):
        raise OutOfRangeError(
            "The face looks away from the ball: its spin loft is "
            f"{math.degrees(delivery.spin_loft_rad):.0f} deg.",
            fix="Check attack angle, club path, face angle and dynamic loft.",
        )
    return Launch(**{name: float(getattr(struck, name)[0]) for name in LAUNCH_RANGES})
