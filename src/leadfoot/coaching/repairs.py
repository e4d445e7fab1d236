"""What a fault costs: the same balls flown again with that one part mended, by so much.

A repair takes the rows of the solid balls and a part of the whole repair (1: the estimate becomes
the target) and gives the rows that would then be hit. Two costs are no matter of rows: mishits are
weighed against the solid balls, and a low point behind the ball by the chances of fat and thin.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from leadfoot.coaching.block import Block
from leadfoot.coaching.measures import low_point_m
from leadfoot.coaching.rules import Rule
from leadfoot.coaching.two_groups import TwoGroups
from leadfoot.physics.arc import Arc
from leadfoot.physics.turf_contact import Lie, Spread, chances

Floats = NDArray[np.float64]

GRID = (0.0, 0.5, 1.0, 1.5)
"""Parts of the repair that are flown; between them costs go in straight lines. Our own choice."""
BEST_TENTH = 0.9
"""The student's own best balls begin here."""
FAT_LOSES, THIN_LOSES = 0.25, 0.15
"""Share of the carry that a fat and a thin ball lose. Assumed, no source with figures was found."""
LOW_POINT_SD_M, DEPTH_SD_M = 0.018, 0.004
"""Spread of low point and depth from ball to ball. Engineering values from memory, LOW confidence.
[m]"""
DEPTH_M = 0.003
"""How deep the low point lies: just enough to brush the turf. Assumed. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """A rule with what was found: the estimate and the target, in SI."""

    rule: Rule
    estimate: float
    target: float
    groups: TwoGroups | None = None


def gains(block: Block, fault: Fault) -> tuple[Floats, Floats]:
    """What each ball gains in carry, and in nearness to the target line, by part of the repair.

    Parameters
    ----------
    block
        The balls.
    fault
        What is mended.

    Returns
    -------
    tuple of arrays
        Shape (4, n) each, for the parts of `GRID`; NaN where a ball can't be flown. [m], [m]
    """
    if fault.rule.repair in _OTHERWISE:
        return _OTHERWISE[fault.rule.repair](block, fault)
    mend = REPAIRS[fault.rule.repair]
    carry_m, offline_m = block.land(block.rows)
    longer, nearer = [np.zeros_like(carry_m)], [np.zeros_like(carry_m)]
    for part in GRID[1:]:
        then_m, aside_m = block.land(mend(block, fault, part))
        longer.append(then_m - carry_m)
        nearer.append(np.abs(offline_m) - np.abs(aside_m))
    return np.stack(longer), np.stack(nearer)


Mend = Callable[[Block, Fault, float], Floats]


def _shift(*names: str) -> Mend:
    """Move the middle of one number, or of several alike, by estimate to target."""

    def mend(block: Block, fault: Fault, part: float) -> Floats:
        rows = block.rows.copy()
        for name in names:
            rows[block.names.index(name)] -= part * (fault.estimate - fault.target)
        return rows

    return mend


def _narrow(*names: str) -> Mend:
    """Bring the spread of one number, or of several alike, from estimate to target."""

    def mend(block: Block, fault: Fault, part: float) -> Floats:
        rows = block.rows.copy()
        keep = max(1.0 - part * (1.0 - fault.target / fault.estimate), 0.0)
        for name in names:
            at = block.names.index(name)
            middle = rows[at].mean()
            rows[at] = middle + keep * (rows[at] - middle)
        return rows

    return mend


def _narrow_face_to_path(block: Block, fault: Fault, part: float) -> Floats:
    """The face follows the path more closely; the path stays."""
    rows = block.rows.copy()
    face, path = (block.names.index(name) for name in ("face_angle_rad", "club_path_rad"))
    apart = rows[face] - rows[path]
    keep = max(1.0 - part * (1.0 - fault.target / fault.estimate), 0.0)
    rows[face] = rows[path] + apart.mean() + keep * (apart - apart.mean())
    return rows


def _faster(block: Block, fault: Fault, part: float) -> Floats:
    """Every ball faster by the share that is missing."""
    rows = block.rows.copy()
    rows[0] *= 1.0 + part * (fault.estimate - fault.target)
    return rows


def _steady_speed(block: Block, fault: Fault, part: float) -> Floats:
    """Slower balls come up toward the student's own best tenth."""
    rows = block.rows.copy()
    best = float(np.quantile(rows[0], BEST_TENTH))
    rows[0] += part * (1.0 - fault.target / fault.estimate) * np.maximum(best - rows[0], 0.0)
    return rows


def _together(block: Block, fault: Fault, part: float) -> Floats:
    """Two patterns become one, halfway between them by their balls: what aim does not mend."""
    groups = fault.groups
    rows = block.rows.copy()
    if groups is None:
        return rows
    low, high = groups.middles
    own = low + groups.upper * (high - low)
    name = "face_angle_rad" if "face_angle_rad" in block.names else "spin_axis_rad"
    rows[block.names.index(name)] -= part * (own - own.mean())
    return rows


def _mishits(block: Block, fault: Fault) -> tuple[Floats, Floats]:
    """Mishits become like the average solid ball, down to the share that is usual."""
    bad = block.mishit.astype(np.float64)
    solid_m = block.all_carry_m[~block.mishit].mean()
    aside_m = np.abs(block.all_offline_m)
    near_m = np.nanmean(aside_m[~block.mishit])
    left = max(1.0 - fault.target / fault.estimate, 0.0)
    parts = left * np.array(GRID)[:, np.newaxis]
    nearer = np.nan_to_num(bad * (aside_m - near_m))
    return parts * (bad * (solid_m - block.all_carry_m)), parts * nearer


def _low_point(block: Block, fault: Fault) -> tuple[Floats, Floats]:
    """Fewer fat and thin balls once the low point lies where it should."""
    carry_m, _ = block.land(block.rows)
    now = _lost_on_turf(block, fault.estimate)
    parts = [fault.estimate + part * (fault.target - fault.estimate) for part in GRID]
    saved = np.array([now - _lost_on_turf(block, low_m) for low_m in parts])
    longer = saved[:, np.newaxis] * carry_m
    return longer, np.zeros_like(longer)


def _lost_on_turf(block: Block, low_m: float) -> float:
    """Share of the carry lost on average to fat and thin with the low point there."""
    radius_m = 1.5
    arc = Arc(radius_m=radius_m, plane_rad=1.05, low_point_m=low_m, depth_m=DEPTH_M)
    lie = Lie(dynamic_loft_rad=float(np.clip(block.row("dynamic_loft_rad").mean(), 0.0, 1.0)))
    own = float(np.std(low_point_m(block).balls))
    spread = Spread(low_point_m=float(np.clip(own, LOW_POINT_SD_M, 0.05)), depth_m=DEPTH_SD_M)
    found = chances(arc, lie, spread)
    return FAT_LOSES * found.fat + THIN_LOSES * found.thin


REPAIRS: Mapping[str, Mend] = MappingProxyType(
    {
        "faster": _faster,
        "steady_speed": _steady_speed,
        "strike_side": _shift("strike_heel_toe_m"),
        "strike_height": _shift("strike_high_low_m"),
        "strike_spread": _narrow("strike_heel_toe_m", "strike_high_low_m"),
        "attack": _shift("attack_angle_rad"),
        "loft": _shift("dynamic_loft_rad"),
        "face": _shift("face_angle_rad"),
        "path": _shift("club_path_rad"),
        "aim": _shift("face_angle_rad", "club_path_rad"),
        "face_spread": _narrow_face_to_path,
        "path_spread": _narrow("club_path_rad"),
        "together": _together,
        "start": _shift("launch_direction_rad"),
        "axis": _shift("spin_axis_rad"),
        "axis_spread": _narrow("spin_axis_rad"),
    }
)
"""Repairs of rows, by the name that the catalogue uses."""

_OTHERWISE: Mapping[str, Callable[[Block, Fault], tuple[Floats, Floats]]] = MappingProxyType(
    {"mishits": _mishits, "low_point": _low_point}
)
REPAIR_NAMES = (*REPAIRS, *_OTHERWISE)
