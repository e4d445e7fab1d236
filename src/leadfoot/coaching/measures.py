"""The numbers of each ball on which findings rest, and what the monitor's errors do to them."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from leadfoot.coaching.block import FEWEST, Block
from leadfoot.coaching.swings import LEAN_RAD
from leadfoot.physics.arc import GREATEST_SHARE
from leadfoot.physics.best import best_lofts_rad
from leadfoot.physics.delivery import DELIVERY_RANGES, Deliveries
from leadfoot.physics.impact import strike_many

Floats = NDArray[np.float64]

STRAIGHT_RAD = np.radians(2.0)
"""Face and path within this of each other make a ball that starts off but hardly curves: a matter
of aim. House rule, no source. [rad]"""
ARMS_M = 0.55
"""What arms and a bent body add to the club's length as the radius of the arc. Common practice, no
source. [m]"""
LOW_POINT_ERROR_M = 0.010
"""Error of a low point that was read, one ball. Assumed. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Values:
    """One number of each solid ball, and the error of one of them; SI."""

    balls: Floats
    error: float


def values_of(name: str, block: Block) -> Values | None:
    """The numbers of a measure; None where the block has none of it.

    Parameters
    ----------
    name
        A key of `MEASURES`.
    block
        The balls.
    """
    found = MEASURES[name](block)
    if found is None:
        return None
    finite = found.balls[np.isfinite(found.balls)]
    return None if len(finite) < FEWEST else Values(balls=finite, error=found.error)


def low_point_m(block: Block) -> Values:
    """Low point ahead of the ball: as read, else from the attack angle on a usual arc.

    Notes
    -----
    From the attack angle by ``-R sin a / sin p`` (`leadfoot.physics.arc_numbers`) with the club's
    length and lie; modelled, so good for where it lies on average and not ball by ball.
    """
    if "low_point" in block.known:
        return Values(balls=block.readings["low_point_m"], error=LOW_POINT_ERROR_M)
    radius_m = (block.club.length_m or 0.95) + ARMS_M
    plane_rad = block.club.lie_rad or np.radians(60.0)
    share = np.sin(block.row("attack_angle_rad")) / np.sin(plane_rad)
    low_m = -radius_m * np.clip(share, -GREATEST_SHARE, GREATEST_SHARE)
    return Values(
        balls=low_m, error=radius_m * block.error("attack_angle_rad") / float(np.sin(plane_rad))
    )


def usual_loft_rad(block: Block) -> float:
    """The loft that this student's speed and attack angle want, in rad.

    A driver and a wood: the loft that carries farthest. Others, whose job is a height as well as a
    length: static loft with a usual lean of the shaft.
    """
    if block.club.club_class not in {"driver", "wood"}:
        return block.club.loft_rad + LEAN_RAD[block.club.club_class]
    speed, attack = (
        np.array([np.median(block.row(name))]) for name in ("club_speed_mps", "attack_angle_rad")
    )
    return float(best_lofts_rad(speed, attack, block.club, around=block.around)[0])


def _row(name: str) -> Callable[[Block], Values | None]:
    def values(block: Block) -> Values | None:
        if name not in block.names:
            return None
        return Values(balls=block.row(name), error=block.error(name))

    return values


def _speed(block: Block) -> Values | None:
    """Logarithm of club speed: differences are shares."""
    speed = block.readings.get("club_speed_mps")
    if speed is None:
        return None
    middle = float(np.nanmedian(speed))
    return Values(balls=np.log(speed), error=block.error("club_speed_mps") / middle)


def _goal_gap(block: Block) -> Values | None:
    """How much is missing to the student's own goal, as a share of their speed."""
    speed = block.readings.get("club_speed_mps")
    if speed is None or block.goal_speed_mps is None:
        return None
    gap = block.goal_speed_mps / speed - 1.0
    return Values(balls=gap, error=block.error("club_speed_mps") / float(np.nanmedian(speed)))


def _smash_lost(block: Block) -> Values | None:
    """Share of ball speed that a strike from the middle would have given on top."""
    ball, speed = (block.readings.get(name) for name in ("ball_speed_mps", "club_speed_mps"))
    if ball is None or speed is None or "club_speed_mps" not in block.names:
        return None
    rows = dict(zip(DELIVERY_RANGES, block.rows.copy(), strict=True))
    nothing = np.zeros_like(speed)
    rows |= {"club_speed_mps": speed, "strike_heel_toe_m": nothing, "strike_high_low_m": nothing}
    middle = strike_many(Deliveries(**rows), block.club, ball=block.around.ball, hand=block.hand)
    error = block.error("club_speed_mps") / float(np.nanmedian(speed))
    return Values(balls=1.0 - ball / middle.ball_speed_mps, error=error)


def _face_to_path(block: Block) -> Values | None:
    if "face_angle_rad" not in block.names:
        return None
    return Values(
        balls=block.row("face_angle_rad") - block.row("club_path_rad"),
        error=block.error("face_angle_rad", "club_path_rad"),
    )


def _aim(block: Block) -> Values | None:
    """Club path, where face and path go together on average: the ball starts off and flies on."""
    curve = _face_to_path(block)
    if curve is None or abs(float(np.mean(curve.balls))) > STRAIGHT_RAD:
        return None
    return Values(balls=block.row("club_path_rad"), error=block.error("club_path_rad"))


def _loft_over(block: Block) -> Values | None:
    if "dynamic_loft_rad" not in block.names:
        return None
    return Values(
        balls=block.row("dynamic_loft_rad") - usual_loft_rad(block),
        error=block.error("dynamic_loft_rad"),
    )


def _curve(block: Block) -> Values | None:
    found = _face_to_path(block)
    return _row("spin_axis_rad")(block) if found is None else found


def _low_point(block: Block) -> Values | None:
    return None if "attack_angle_rad" not in block.names else low_point_m(block)


def _mishits(block: Block) -> Values:
    return Values(balls=block.mishit.astype(np.float64), error=0.0)


MEASURES: Mapping[str, Callable[[Block], Values | None]] = MappingProxyType(
    {
        "speed": _speed,
        "goal_gap": _goal_gap,
        "smash_lost": _smash_lost,
        "strike_heel_toe": _row("strike_heel_toe_m"),
        "strike_high_low": _row("strike_high_low_m"),
        "low_point": _low_point,
        "attack": _row("attack_angle_rad"),
        "loft_over": _loft_over,
        "face": _row("face_angle_rad"),
        "path": _row("club_path_rad"),
        "aim": _aim,
        "face_to_path": _face_to_path,
        "curve": _curve,
        "start": _row("launch_direction_rad"),
        "axis": _row("spin_axis_rad"),
        "mishits": _mishits,
    }
)
"""What each measure is of; the catalogue names them."""
