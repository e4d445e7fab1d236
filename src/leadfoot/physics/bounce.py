"""What happens after landing: bounces until the ball runs, then roll until it stops."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from leadfoot.physics.ball import STANDARD_BALL, Ball
from leadfoot.physics.motion import GRAVITY_MPS2
from leadfoot.physics.within import check_all_within

Series = NDArray[np.float64]

SLOWEST_BOUNCE_MPS = 0.2
"""A ball that would leave the turf more slowly is taken to run on: a hop of 2 mm. [m/s]"""

MOST_BOUNCES = 40
"""More than any landing needs: each bounce keeps at most half of the speed into the turf."""

STEEPEST_WALL_RAD = float(np.radians(35.0))
"""The wall of the pit leans back no further. The landings behind the model came in at some 45°; for
flatter ones its line is drawn on until this. Tuning, no source. [rad]"""

MOST_GIVEN_BACK = 0.5
"""A ball that lands at `FAST_LANDING_MPS` or more leaves the turf upward with no more than this
share of the speed with which it came down; one that lands at half that speed or less is free. It
leaves well struck balls as they are and binds where the wall would throw a flat, fast ball up.
Tuning, no source. [-]"""

FAST_LANDING_MPS = 16.0
"""See `MOST_GIVEN_BACK`. [m/s]"""

FASTEST_LANDING_MPS = 40.0
"""No ball comes down faster: one that meets the turf at a higher speed was topped into it, and what
it had above this speed is taken as lost. Tuning, no source: it keeps a topped drive under some
100 m. [m/s]"""

FLATTEST_KNOWN_RAD = float(np.radians(20.0))
"""Landings flatter than this were not filmed; what the ball does then is a guess. [rad]"""


TURF_RANGES: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "friction": (0.0, 2.0),
        "rolling": (0.001, 2.0),
        "bounce_factor": (0.0, 3.0),
        "give_factor": (0.0, 3.0),
        "bobble_per_m": (1e-6, 10.0),
        "bobble_from_mps": (0.0, 50.0),
    }
)
"""What a surface can be; wide of any turf, so that only slips of the pen are refused."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Turf:
    """How a surface takes a ball. All of it is tuning but where a source stands beside it.

    Attributes
    ----------
    friction
        Sliding friction, 0.40 by Penner (2002). [-]
    rolling
        Rolling resistance, 0.131 by Penner (2002): a green of 6 ft on a speed ramp, which is about
        a mown fairway. [-]
    bounce_factor
        Multiplies the restitution; 1 is Penner's green. Firmer turf is above 1. Tuning. [-]
    give_factor
        Multiplies the tilt of the pit that the ball makes; softer turf is above 1. Tuning. [-]
    bobble_per_m
        Extra loss of a ball that runs faster than `bobble_from_mps`, as deceleration over speed
        squared: a topped drive runs some 80 m, not 500. Tuning, common practice, no source. [1/m]
    bobble_from_mps
        Speed up to which rolling resistance alone slows the ball. Tuning. [m/s]
    """

    friction: float = 0.40
    rolling: float = 0.131
    bounce_factor: float = 1.0
    give_factor: float = 1.0
    bobble_per_m: float = 0.06
    bobble_from_mps: float = 4.0

    def __post_init__(self) -> None:
        check_all_within(self, TURF_RANGES, of="a turf")


MEDIUM_TURF = Turf()
"""Penner's surface; taken for a fairway of medium firmness, which is an assumption."""


def restitution(into_mps: Series) -> Series:
    """Share of the speed into the turf that comes back out.

    Parameters
    ----------
    into_mps
        Speed across the surface, into it. [m/s]

    Returns
    -------
    array
        ``0.510 - 0.0375 n + 0.000903 n²`` up to 20 m/s, 0.120 above. [-]

    References
    ----------
    .. [1] A. R. Penner, "The run of a golf ball," Canadian Journal of Physics, vol. 80, pp.
       931-940, 2002, from the landings filmed by S. J. Haake (read second-hand).

    Examples
    --------
    >>> restitution(np.array([1.0, 10.0]))
    array([0.473403, 0.2253  ])
    """
    slow = 0.510 - 0.0375 * into_mps + 0.000903 * into_mps**2
    return np.where(into_mps <= 20.0, slow, 0.120)


def bounce(
    along_mps: Series,
    down_mps: Series,
    backspin_radps: Series,
    *,
    turf: Turf = MEDIUM_TURF,
    ball: Ball = STANDARD_BALL,
) -> tuple[Series, Series, Series]:
    """One bounce in the plane of the ball's travel.

    Parameters
    ----------
    along_mps
        Speed along the ground before the bounce. [m/s]
    down_mps
        Speed into the ground before the bounce, positive. [m/s]
    backspin_radps
        Backspin before the bounce; negative is topspin. [rad/s]
    turf, ball
        The surface and the ball.

    Returns
    -------
    tuple of arrays
        Speed along the ground, speed up, backspin after the bounce. [m/s], [m/s], [rad/s]

    Notes
    -----
    The ball makes a pit whose far wall leans back by ``15.4° (v / 18.6 m/s) (φ / 44.4°)``, φ from
    the vertical; against that wall it slides with friction μ, or grips and rolls off. Our own
    additions, for balls that come in flat, are `STEEPEST_WALL_RAD` and
    `MOST_GIVEN_BACK`. Rigid
    models fit filmed bounces only moderately (Biber et al., Sports Engineering, 2023): take the run
    as good to 30 %.

    References
    ----------
    .. [1] A. R. Penner, "The run of a golf ball," Canadian Journal of Physics, vol. 80, pp.
       931-940, 2002 (read second-hand).

    Examples
    --------
    >>> along, up, spin = bounce(np.array([13.014]), np.array([13.289]), np.array([0.0]))
    >>> round(float(along[0]), 2), round(float(up[0]), 2), round(float(spin[0]))
    (5.61, 3.89, -302)
    """
    speed = np.hypot(along_mps, down_mps)
    from_vertical = np.arctan2(np.abs(along_mps), down_mps)
    lean = np.radians(15.4) * (speed / 18.6) * (from_vertical / np.radians(44.4)) * turf.give_factor
    lean = np.minimum(lean, STEEPEST_WALL_RAD) * np.sign(along_mps)
    cos, sin = np.cos(lean), np.sin(lean)
    u = along_mps * cos - down_mps * sin
    n = along_mps * sin + down_mps * cos
    out_n = np.minimum(restitution(n) * turf.bounce_factor, 0.9) * n
    radius = ball.radius_m
    slip = u + radius * backspin_radps
    most = turf.friction * (n + out_n)
    change = np.clip(-slip * (2.0 / 7.0), -most, most)
    out_u = u + change
    out_spin = backspin_radps + 2.5 * change / radius
    fast = np.clip(2.0 * speed / FAST_LANDING_MPS - 1.0, 0.0, 1.0)
    most_up = (1.0 - (1.0 - MOST_GIVEN_BACK) * fast) * down_mps
    up = np.minimum(out_u * sin + out_n * cos, most_up)
    return out_u * cos - out_n * sin, up, out_spin


def run_m(
    along_mps: Series,
    down_mps: Series,
    backspin_radps: Series,
    *,
    turf: Turf = MEDIUM_TURF,
    ball: Ball = STANDARD_BALL,
) -> Series:
    """Way from the landing point to where the ball stops, by bounces and roll.

    Parameters
    ----------
    along_mps, down_mps, backspin_radps
        Speeds along and into the ground and backspin at landing, shape (n,).
        [m/s], [m/s], [rad/s]
    turf, ball
        The surface and the ball.

    Returns
    -------
    array
        Way along the ground, negative where the ball spins back; NaN in gives NaN out. [m]

    Notes
    -----
    Between bounces the ball flies without air. When it no longer lifts off it grips at
    ``5/7 v - 2/7 r ω`` and slows by ``5/7 ρ g`` of rolling resistance. Good to some 30 %.

    Examples
    --------
    >>> landing = np.array([23.8]), np.array([17.2]), np.array([206.0])
    >>> 20 < float(run_m(*landing)[0]) < 32
    True
    """
    kept = FASTEST_LANDING_MPS / np.maximum(np.hypot(along_mps, down_mps), FASTEST_LANDING_MPS)
    along, down = kept * along_mps, kept * np.abs(down_mps)
    spin = backspin_radps.copy()
    way = np.zeros_like(along)
    for _ in range(MOST_BOUNCES):
        hop = down > SLOWEST_BOUNCE_MPS
        if not np.any(hop):
            break
        out_along, up, out_spin = bounce(along, down, spin, turf=turf, ball=ball)
        up = np.maximum(up, 0.0)
        along, spin = np.where(hop, out_along, along), np.where(hop, out_spin, spin)
        down = np.where(hop, up, 0.0)
        way = way + np.where(hop, along * 2.0 * up / GRAVITY_MPS2, 0.0)
    rolling = (5.0 * along - 2.0 * ball.radius_m * spin) / 7.0
    return way + np.sign(rolling) * roll_m(np.abs(rolling), turf=turf)


def roll_m(speed_mps: Series, *, turf: Turf = MEDIUM_TURF) -> Series:
    """Way that a rolling ball runs until it stops.

    Parameters
    ----------
    speed_mps
        Speed of a ball that rolls without slipping, not negative. [m/s]
    turf
        The surface.

    Returns
    -------
    array
        Way along the ground. [m]

    Examples
    --------
    >>> roll_m(np.array([1.83]))
    array([1.82477])
    """
    slowing = (5.0 / 7.0) * turf.rolling * GRAVITY_MPS2
    calm = np.minimum(speed_mps, turf.bobble_from_mps)
    way = calm**2 / (2.0 * slowing)
    extra = turf.bobble_per_m * np.maximum(speed_mps**2 - turf.bobble_from_mps**2, 0.0)
    return way + np.log1p(extra / slowing) / (2.0 * turf.bobble_per_m)
