"""The impact run backward: the one delivery that makes a ball, for a given place on the face."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.physics.ball import STANDARD_BALL, Ball
from leadfoot.physics.clubs import Club
from leadfoot.physics.contact import SPHERE, Spot, cross, dot, recoil, speed_across_mps, spot
from leadfoot.physics.impact import face_axes

Series = NDArray[np.float64]

GRIP_SLACK = 1e-9
"""A ball that slid needs the friction itself; this share more is rounding. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bodies:
    """The two bodies that meet, and how they do.

    Attributes
    ----------
    club, ball
        The head and the ball.
    extra_spin_share
        Tangential restitution. [-]
    """

    club: Club
    ball: Ball = STANDARD_BALL
    extra_spin_share: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pushes:
    """What many balls say of their impact, whatever the head that made it.

    Attributes
    ----------
    velocity_mps
        Shape (3, n), in the ball frame. [m/s]
    normal
        Where the face looked at the place where the ball was met, shape (3, n); NaN for a ball
        that no push on its surface makes. [-]
    friction_needed
        Push along the face over push across it, shape (n,). [-]
    """

    velocity_mps: Series
    normal: Series
    friction_needed: Series


def pushes(balls: Series, ball: Ball) -> Pushes:
    """Find the face's normal from how a ball left.

    Parameters
    ----------
    balls
        Speed, launch angle, direction, spin rate, spin axis, shape (5, n). [m/s], [rad], [rad],
        [rad/s], [rad]
    ball
        The ball.

    Returns
    -------
    Pushes
        Velocity, normal and the friction that it takes.

    Notes
    -----
    One push at one place gives the ball both its velocity and its spin: ``ω = 2.5 (v x n) / r``. So
    the spin is square to the velocity, and ``n = c v̂ + q x v̂`` with ``q = r ω / (2.5 v)`` and
    ``c = √(1 - q²)``. The push leans from the normal by an angle whose tangent is ``q / c``.

    Examples
    --------
    >>> from leadfoot.physics.ball import STANDARD_BALL
    >>> drive = np.array([[70.0], [0.2], [0.0], [280.0], [0.0]])
    >>> pushes(drive, STANDARD_BALL).friction_needed.round(4)
    array([0.0342])
    """
    speed, up, right, rate, tilt = balls
    cos_u, sin_u, cos_r, sin_r = np.cos(up), np.sin(up), np.cos(right), np.sin(right)
    way = np.stack([cos_u * cos_r, sin_u, cos_u * sin_r])
    # In the launch plane (ahead, up, right) the spin is square to (cos_u, sin_u, 0).
    ahead, above, aside = np.sin(tilt) * sin_u, -np.sin(tilt) * cos_u, np.cos(tilt) * cos_u
    length = np.sqrt(ahead * ahead + above * above + aside * aside)
    size = ball.radius_m * rate / (SPHERE * speed)
    share = size / np.where(length > 0.0, length, np.nan)
    turn = np.stack(
        [
            share * (ahead * cos_r - aside * sin_r),
            share * above,
            share * (ahead * sin_r + aside * cos_r),
        ]
    )
    lean = np.sqrt(np.where(size < 1.0, 1.0 - size * size, np.nan))
    return Pushes(
        velocity_mps=speed * way, normal=lean * way + cross(turn, way), friction_needed=size / lean
    )


def unstrike(found: Pushes, toe_m: Series, up_m: Series, bodies: Bodies) -> Series:
    """The delivery that makes a ball, if the face met it at this place; a right-hander's.

    Parameters
    ----------
    found
        What the balls say of the impact.
    toe_m, up_m
        Place on the face from its middle, shape (n,). [m]
    bodies
        The two bodies.

    Returns
    -------
    array
        Club speed, attack angle, club path, face angle, dynamic loft, shape (5, n); NaN where the
        face would have to look away. [m/s], [rad], [rad], [rad], [rad]

    Notes
    -----
    Nothing is searched for. The normal there and the bowl of the face give loft and face angle;
    the recoil of the known push gives the speed along the face, and across it by a quadratic.
    A ball that slid gives the delivery in which it just no longer does.

    Examples
    --------
    >>> from leadfoot.physics.ball import STANDARD_BALL
    >>> from leadfoot.physics.clubs import club
    >>> found = pushes(np.array([[58.2], [0.3253], [0.0], [540.0], [0.0]]), STANDARD_BALL)
    >>> middle = np.zeros(1)
    >>> unstrike(found, middle, middle, Bodies(club=club("iron7")))[[0, 4], 0].round(2)
    array([42.02,  0.4 ])
    """
    club, ball = bodies.club, bodies.ball
    where = spot(club, toe_m, up_m)
    loft, face = _face(found.normal, where)
    axes = face_axes(loft, face)
    push = ball.mass_kg * np.einsum("ijn,in->jn", axes, found.velocity_mps)
    change = recoil(push, where, club, ball)
    apart = dot(change, where.normal)
    along = (change - apart * where.normal) / (1.0 + bodies.extra_spin_share)
    apart = np.where(apart > 0.0, apart, np.nan)
    across = speed_across_mps(club.restitution, apart)
    head = np.einsum("ijn,jn->in", axes, across * where.normal + along)
    speed = np.sqrt(dot(head, head))
    return np.stack([speed, np.arcsin(head[1] / speed), np.arctan2(head[2], head[0]), face, loft])


def _face(normal: Series, where: Spot) -> tuple[Series, Series]:
    """Loft and angle of the middle of the face, from where the face looks at the ball."""
    out, up, toe = where.normal
    raised = normal[1] / np.hypot(out, up)
    loft = np.arcsin(np.where(np.abs(raised) <= 1.0, raised, np.nan)) - np.arctan2(up, out)
    level = out * np.cos(loft) - up * np.sin(loft)
    return loft, np.arctan2(normal[2], normal[0]) - np.arctan2(toe, level)
