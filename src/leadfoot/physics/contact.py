"""Contact of ball and face: how an impulse changes the speed with which they slide and press.

All vectors here have shape (3, n) and stand in the axes of the face: out of it, up along it, and
from heel to toe (for a right-hander these are x, y and z of the ball frame where the face is
square and upright).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.physics.ball import Ball
from leadfoot.physics.clubs import LEAST_RESTITUTION, MOST_RESTITUTION, Club, Restitution

Series = NDArray[np.float64]

SPHERE = 2.5
"""Mass times radius squared over the inertia of a uniform sphere: 1 / 0.4. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Spot:
    """The place where a ball meets a face, for many strikes.

    Attributes
    ----------
    normal
        Where the face looks there, shape (3, n). [-]
    arm_m
        From the centre of mass of the head to that place, shape (3, n). [m]
    """

    normal: Series
    arm_m: Series


def spot(club: Club, toe_m: Series, up_m: Series) -> Spot:
    """Find the face's normal and the lever arm where the ball is met.

    Parameters
    ----------
    club
        Its bulge, roll and centre of mass.
    toe_m, up_m
        Place on the face from its middle, shape (n,). [m]

    Notes
    -----
    The face is a bowl with the two radii: its normal leans by place over radius. How far the bowl
    falls back (0.7 mm at 20 mm) is left out of the lever arm; it moves the gear spin by some 1 %.

    Examples
    --------
    >>> from leadfoot.physics.clubs import club
    >>> spot(club("driver"), np.array([0.02]), np.array([0.0])).normal[:, 0].round(4)
    array([0.9978, 0.    , 0.0665])
    """
    lean_toe, lean_up = toe_m / club.bulge_m, up_m / club.roll_m
    length = np.sqrt(1.0 + lean_toe * lean_toe + lean_up * lean_up)
    normal = np.stack([1.0 / length, lean_up / length, lean_toe / length])
    arm = np.stack([np.full_like(toe_m, club.com_depth_m), up_m - club.com_up_m, toe_m])
    arm[2] -= club.com_toe_m
    return Spot(normal=normal, arm_m=arm)


def recoil(push: Series, where: Spot, club: Club, ball: Ball) -> Series:
    """Change of the speed of face against ball that an impulse on the ball makes, shape (3, n).

    Parameters
    ----------
    push
        Impulse on the ball, shape (3, n). [N s]
    where
        Where it acts.
    club, ball
        The two bodies.

    Notes
    -----
    ``J/M - a x (I⁻¹ (a x J)) + (J + 2.5 (J - (J·n) n)) / m``: the head moves and turns, and so does
    the ball. It is what the two bodies come apart by, so positive along the push.

    Examples
    --------
    >>> from leadfoot.physics.ball import STANDARD_BALL
    >>> from leadfoot.physics.clubs import club
    >>> iron = club("iron7")
    >>> middle = spot(iron, np.zeros(1), np.zeros(1))
    >>> recoil(np.array([[1.0], [0.0], [0.0]]), middle, iron, STANDARD_BALL)[:, 0].round(2)
    array([25.44,  0.  ,  0.  ])
    """
    given = push / club.mass_kg
    if club.inertia is not None:
        inverse = np.linalg.inv(np.array(club.inertia.rows()))
        given = given - cross(where.arm_m, inverse @ cross(where.arm_m, push))
    across = dot(push, where.normal) * where.normal
    total: Series = given + (push + SPHERE * (push - across)) / ball.mass_kg
    return total


def impulse(
    head_mps: Series, where: Spot, club: Club, ball: Ball, extra_spin_share: float
) -> tuple[Series, NDArray[np.bool_]]:
    """Impulse on the ball: it grips the face, or slides where the friction does not hold it.

    Parameters
    ----------
    head_mps
        Velocity of the head, shape (3, n). [m/s]
    where
        Where the ball is met.
    club, ball
        The two bodies.
    extra_spin_share
        Tangential restitution. [-]

    Returns
    -------
    tuple of arrays
        The impulse, shape (3, n), and which balls slid, shape (n,). [N s]

    Notes
    -----
    Gripping: the recoil turns the speed across the face round, times the restitution, and takes
    away the speed along it. Where that needs more than friction times the push across the face,
    the impulse keeps its direction along the face but not more than that size, and is scaled so
    that the speed across the face still comes back with the restitution. Both agree at the limit.

    Examples
    --------
    >>> from leadfoot.physics.ball import STANDARD_BALL
    >>> from leadfoot.physics.clubs import club
    >>> iron = club("iron7")
    >>> middle = spot(iron, np.zeros(1), np.zeros(1))
    >>> push, slid = impulse(np.array([[40.0], [-20.0], [0.0]]), middle, iron, STANDARD_BALL, 0.0)
    >>> push[:, 0].round(3), bool(slid[0])
    (array([ 2.77 , -0.247,  0.   ]), False)
    """
    across = dot(head_mps, where.normal)
    along = head_mps - across * where.normal
    apart = (1.0 + restitution_at(club.restitution, across)) * across
    wanted = apart * where.normal + (1.0 + extra_spin_share) * along
    grips = _without_recoil(wanted, where, club, ball)
    press = dot(grips, where.normal)
    rub = grips - press * where.normal
    size = np.sqrt(dot(rub, rub))
    slides: NDArray[np.bool_] = size > club.friction * press
    direction: Series = where.normal + club.friction * rub / np.where(size > 0.0, size, 1.0)
    full = dot(recoil(direction, where, club, ball), where.normal)
    return np.where(slides, direction * (apart / full), grips), slides


def _without_recoil(wanted: Series, where: Spot, club: Club, ball: Ball) -> Series:
    """The impulse whose recoil is wanted: three equations for each strike."""
    n = wanted.shape[1]
    columns = [
        recoil(np.repeat(np.eye(3)[:, k : k + 1], n, axis=1), where, club, ball) for k in range(3)
    ]
    matrices = np.stack(columns, axis=1).transpose(2, 0, 1)
    solved = np.linalg.solve(matrices, wanted.T[:, :, np.newaxis])
    return np.asarray(solved[:, :, 0].T, dtype=np.float64)


def restitution_at(restitution: Restitution, across_mps: Series) -> Series:
    """Restitution of many strikes, by the speed across the face.

    Parameters
    ----------
    restitution
        That of the club.
    across_mps
        Speed across the face, shape (n,). [m/s]

    Examples
    --------
    >>> restitution_at(Restitution(value=0.83), np.array([40.5, 50.0]))
    array([0.83   , 0.80245])
    """
    line = restitution.value + restitution.slope_per_mps * (across_mps - restitution.at_mps)
    return np.clip(line, LEAST_RESTITUTION, MOST_RESTITUTION)


def speed_across_mps(restitution: Restitution, apart_mps: Series) -> Series:
    """Speed across the face before the impact, from how fast the recoil drove the two apart.

    Parameters
    ----------
    restitution
        That of the club.
    apart_mps
        Recoil across the face: ``(1 + e(u)) u`` for the speed u that is looked for. [m/s]

    Returns
    -------
    array
        The speed, shape (n,). [m/s]

    Notes
    -----
    The restitution is a straight line, so this is a quadratic; where the line is held at an end it
    is a division.

    Examples
    --------
    >>> line = Restitution(value=0.83)
    >>> speed_across_mps(line, (1.0 + restitution_at(line, np.array([50.0]))) * 50.0)
    array([50.])
    """
    slope = restitution.slope_per_mps
    base = 1.0 + restitution.value - slope * restitution.at_mps
    inside = np.maximum(base * base + 4.0 * slope * apart_mps, 0.0)
    speed: Series = 2.0 * apart_mps / (base + np.sqrt(inside))
    line = restitution.value + slope * (speed - restitution.at_mps)
    speed = np.where(line < LEAST_RESTITUTION, apart_mps / (1.0 + LEAST_RESTITUTION), speed)
    return np.where(line > MOST_RESTITUTION, apart_mps / (1.0 + MOST_RESTITUTION), speed)


def peak_force_n(impulse_ns: float, contact_time_s: float) -> float:
    """Greatest force between ball and face, if it rises and falls as half a sine.

    Parameters
    ----------
    impulse_ns
        Impulse on the ball. [N s]
    contact_time_s
        How long the two touch: 400 to 500 µs (A. J. Smits and S. Ogg, 2004). [s]

    Returns
    -------
    float
        Force. [N]

    Examples
    --------
    >>> round(peak_force_n(3.6, 450e-6))
    12566
    """
    return float(0.5 * np.pi) * impulse_ns / contact_time_s


def dot(a: Series, b: Series) -> Series:
    """Scalar products, shape (n,), of vectors of shape (3, n).

    Examples
    --------
    >>> dot(np.ones((3, 1)), np.ones((3, 1)))
    array([3.])
    """
    product: Series = a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
    return product


def cross(a: Series, b: Series) -> Series:
    """Vector products, shape (3, n), of vectors of shape (3, n).

    Examples
    --------
    >>> cross(np.array([[1.0], [0.0], [0.0]]), np.array([[0.0], [1.0], [0.0]]))[:, 0]
    array([0., 0., 1.])
    """
    return np.stack(
        [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
    )
