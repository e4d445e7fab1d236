"""Where the leading edge meets ball and turf, and how often that comes out fat or thin."""

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from leadfoot.physics.arc import Arc
from leadfoot.physics.ball import STANDARD_BALL, Ball
from leadfoot.physics.within import check_within

Values = NDArray[np.float64]
MeetsFirst = Literal["ball, then turf", "turf, then ball", "ball alone"]

FAT_FROM_M = 0.0127
"""A strike is fat from so much turf before the ball: half an inch (common practice, no source)."""
THIN_UNDER_M = 0.005
"""A strike is thin under so much face below it: the rounding of the edge and the first groove
(common practice, no source)."""

_NODES = 801
"""Low points over which the chances are summed; more change them by under 1e-6."""
_WIDE = 8.0
"""Standard deviations over which they are spread."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lie:
    """How the ball stands and how the face comes to it.

    Attributes
    ----------
    dynamic_loft_rad
        How much the face looks up at the strike, -0.2 to 1.3. [rad]
    tee_m
        Height of the ball's lowest point over the ground, 0 on turf, to 0.12. [m]
    ball
        The ball.

    Examples
    --------
    >>> Lie(dynamic_loft_rad=0.44).touch_height_m
    0.012248
    """

    dynamic_loft_rad: float
    tee_m: float = 0.0
    ball: Ball = STANDARD_BALL

    def __post_init__(self) -> None:
        check_within("dynamic_loft_rad", self.dynamic_loft_rad, -0.2, 1.3, of="the strike")
        check_within("tee_m", self.tee_m, 0.0, 0.12, of="the strike")

    @property
    def touch_height_m(self) -> float:
        """Height over the ground at which the face touches the ball, in m.

        Examples
        --------
        >>> Lie(dynamic_loft_rad=0.0, tee_m=0.04).touch_height_m
        0.061335
        """
        return self.tee_m + self.ball.radius_m * (1.0 - math.sin(self.dynamic_loft_rad))


@dataclass(frozen=True, slots=True, kw_only=True)
class Strike:
    """Where one arc meets ball and turf; distances from the ball's middle, positive ahead.

    Attributes
    ----------
    edge_m
        Where the leading edge is as the face meets the ball; behind its middle. [m]
    edge_height_m
        Height of the edge over the ground then. [m]
    on_face_m
        From the edge up the face to the ball; under 0 the edge itself meets the ball. [m]
    turf_from_m, turf_to_m
        Where the edge enters and leaves the turf; None where it never does. [m]
    meets
        What it meets first.
    turf_before_ball_m
        How much turf comes before the ball, 0 for none. [m]
    """

    edge_m: float
    edge_height_m: float
    on_face_m: float
    turf_from_m: float | None
    turf_to_m: float | None
    meets: MeetsFirst
    turf_before_ball_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """How much a player's low point and depth vary from ball to ball, one standard deviation.

    Attributes
    ----------
    low_point_m
        Along the base line, 0.0005 to 0.2. [m]
    depth_m
        0.0005 to 0.05. [m]
    together
        Correlation of the two: positive where a low point further ahead is deeper. [-]
    """

    low_point_m: float
    depth_m: float
    together: float = 0.0

    def __post_init__(self) -> None:
        check_within("spread_of_low_point_m", self.low_point_m, 0.0005, 0.2, of="the arc")
        check_within("spread_of_depth_m", self.depth_m, 0.0005, 0.05, of="the arc")
        check_within("correlation_frac", self.together, -0.99, 0.99, of="the arc")


@dataclass(frozen=True, slots=True, kw_only=True)
class Chances:
    """Shares of strikes; the three add up to one, and a strike both fat and thin counts as fat.

    Attributes
    ----------
    fat
        More than `FAT_FROM_M` of turf before the ball. [-]
    thin
        The edge, or less than `THIN_UNDER_M` of face above it, meets the ball. [-]
    clean
        Neither. [-]
    """

    fat: float
    thin: float
    clean: float


def first_contact(arc: Arc, lie: Lie) -> Strike:
    """Where the leading edge meets ball and turf.

    Parameters
    ----------
    arc
        The way of the leading edge.
    lie
        Ball on turf or tee, and the loft of the face.

    Returns
    -------
    Strike
        Distances from the ball's middle along the base line.

    Notes
    -----
    A flat face that looks up by L touches a ball of radius r at ``r cos L`` behind and ``r sin L``
    under its middle. The leading edge is the lower end of that face, so at height h it is then at
    ``-r cos L + (touch height - h) tan L``; h follows from the arc at that place (found by
    iteration). Left out: the sole under the edge, grass between face and ball, turf that gives way
    before it is cut, and what the turf does to the club once it is met.

    Examples
    --------
    >>> arc = Arc(radius_m=1.6, plane_rad=1.05, low_point_m=0.05, depth_m=0.001)
    >>> first_contact(arc, Lie(dynamic_loft_rad=0.44)).meets
    'ball, then turf'
    """
    low, depth = np.array([arc.low_point_m]), np.array([arc.depth_m])
    edge_m = float(_edge_m(arc, lie, low, depth)[0])
    height_m = float(arc.rise_m(edge_m - arc.low_point_m)) - arc.depth_m
    on_face_m = (lie.touch_height_m - height_m) / math.cos(lie.dynamic_loft_rad)
    if arc.depth_m <= 0.0:
        turf_from_m = turf_to_m = None
        before_m = 0.0
    else:
        half_m = float(_half_cut_m(arc, depth)[0])
        turf_from_m, turf_to_m = arc.low_point_m - half_m, arc.low_point_m + half_m
        before_m = max(0.0, edge_m - turf_from_m)
    return Strike(
        edge_m=edge_m,
        edge_height_m=height_m,
        on_face_m=on_face_m,
        turf_from_m=turf_from_m,
        turf_to_m=turf_to_m,
        meets=_order(edge_m, turf_from_m, turf_to_m),
        turf_before_ball_m=before_m,
    )


def _order(edge_m: float, turf_from_m: float | None, turf_to_m: float | None) -> MeetsFirst:
    if turf_from_m is None or turf_to_m is None:
        return "ball alone"
    return "turf, then ball" if turf_from_m < edge_m else "ball, then turf"


def chances(
    arc: Arc,
    lie: Lie,
    spread: Spread,
    *,
    fat_from_m: float = FAT_FROM_M,
    thin_under_m: float = THIN_UNDER_M,
) -> Chances:
    """Chance of a fat and of a thin strike, from the spread of low point and depth.

    Parameters
    ----------
    arc
        The player's middle arc.
    lie
        Ball on turf or tee, and the loft of the face.
    spread
        How much low point and depth vary; both taken as normal.
    fat_from_m
        Turf before the ball from which a strike is fat, 0 to 0.3. [m]
    thin_under_m
        Face under the ball under which a strike is thin, -0.02 to 0.03. [m]

    Notes
    -----
    For one low point a strike is fat from one depth on and thin up to another, so the chance is an
    integral over the low point of two normal distribution functions (801 even steps).
    The plane, the radius, the direction and the loft are held still.

    Examples
    --------
    >>> arc = Arc(radius_m=1.6, plane_rad=1.05, low_point_m=0.05, depth_m=-0.003)
    >>> found = chances(arc, Lie(dynamic_loft_rad=0.44), Spread(low_point_m=0.02, depth_m=0.003))
    >>> round(found.fat, 3), round(found.thin, 3)
    (0.066, 0.136)
    """
    check_within("fat_from_m", fat_from_m, 0.0, 0.3, of="the strike")
    check_within("thin_under_m", thin_under_m, -0.02, 0.03, of="the strike")
    steps = np.linspace(-_WIDE, _WIDE, _NODES)
    share = np.exp(-0.5 * steps**2)
    share /= share.sum()
    farthest = 0.95 * arc.radius_m
    low = np.clip(arc.low_point_m + spread.low_point_m * steps, -farthest, farthest)
    middle = arc.depth_m + spread.together * spread.depth_m * steps
    width = spread.depth_m * math.sqrt(1.0 - spread.together**2)
    fat_over = ndtr((_fat_from_depth_m(arc, lie, low, fat_from_m) - middle) / width)
    thin_to = ndtr((_thin_to_depth_m(arc, lie, low, thin_under_m) - middle) / width)
    fat = float(share @ (1.0 - fat_over))
    thin = float(share @ np.minimum(thin_to, fat_over))
    return Chances(fat=fat, thin=thin, clean=max(0.0, 1.0 - fat - thin))


def _edge_m(arc: Arc, lie: Lie, low_m: Values, depth_m: Values) -> Values:
    """Where the edge is as the face meets the ball; a contraction, 12 rounds are ample."""
    loft = lie.dynamic_loft_rad
    edge = np.zeros_like(low_m)
    for _ in range(12):
        height = _rise_m(arc, edge - low_m) - depth_m
        edge = -lie.ball.radius_m * math.cos(loft) + (lie.touch_height_m - height) * math.tan(loft)
    return edge


def _half_cut_m(arc: Arc, depth_m: Values) -> Values:
    """Half the length of the cut that an arc of this depth makes in level turf."""
    down = np.minimum(depth_m / math.sin(arc.plane_rad), arc.radius_m)
    return np.sqrt(down * (2.0 * arc.radius_m - down))


def _fat_from_depth_m(arc: Arc, lie: Lie, low_m: Values, fat_from_m: float) -> Values:
    """Depth from which a strike is fat, for each low point: there the cut's length is known.

    At that depth the arc is level with the ground at `fat_from_m` before the edge's place, which
    gives the edge's height and by it its place. A low point before that place is fat at any depth.
    """
    loft = lie.dynamic_loft_rad
    turf = np.zeros_like(low_m)
    for _ in range(12):
        height = _rise_m(arc, turf + fat_from_m - low_m) - _rise_m(arc, turf - low_m)
        edge = -lie.ball.radius_m * math.cos(loft) + (lie.touch_height_m - height) * math.tan(loft)
        turf = edge - fat_from_m
    return np.where(turf < low_m, _rise_m(arc, turf - low_m), 0.0)


def _thin_to_depth_m(arc: Arc, lie: Lie, low_m: Values, thin_under_m: float) -> Values:
    """Depth up to which a strike is thin, for each low point: there the edge's place is known."""
    loft = lie.dynamic_loft_rad
    height = lie.touch_height_m - thin_under_m * math.cos(loft)
    edge = -lie.ball.radius_m * math.cos(loft) + thin_under_m * math.sin(loft)
    return _rise_m(arc, edge - low_m) - height


def _rise_m(arc: Arc, from_low_m: Values) -> Values:
    """How far the arc has risen, held to the circle."""
    farthest = 0.99 * arc.radius_m
    return np.asarray(arc.rise_m(np.clip(from_low_m, -farthest, farthest)), dtype=np.float64)
