"""What may be wrong with a swing's recording, said before its numbers are used."""

import numpy as np

from leadfoot.ground.body_weight import Weighing
from leadfoot.ground.moments import Pushed
from leadfoot.ground.phases import Impact, quiet_part
from leadfoot.ground.recording import Remark
from leadfoot.ground.swing_series import Cut

STILL_SHARE = 0.02
"""An address whose load strays by more of the weight is not quiet (own choice). [-]"""
STILL_COP_M = 0.015
"""... or whose centre of pressure strays by more than this (own choice). [m]"""
WEIGHT_APART = 0.01
"""A weight further than this from the scale's is flagged (own choice). [-]"""
GREATEST_SHARE = 2.5
"""A vertical force of one foot over this share of the weight is not plausible (own choice; 0.84 to
1.10 were seen by Worsfold and others, Journal of Sports Science and Medicine 6, 484, 2007). [-]"""
GREATEST_FREE_NM = 60.0
"""A free moment under one foot over this is not plausible (own choice; 17 to 19 were typical,
Worsfold and others, Journal of Sports Science and Medicine 7, 408, 2008). [N m]"""


def doubts_of(
    weighing: Weighing, impact: Impact | None, part: Cut, *, entered_n: float | None
) -> tuple[Remark, ...]:
    """All that is doubtful in a swing's recording.

    Parameters
    ----------
    weighing, impact
        What was found.
    part
        The samples.
    entered_n
        The weight by a scale. [N]
    """
    found = [
        _no_impact(impact),
        _weight(weighing, entered_n),
        *(_load(part, place, weighing) for place in range(len(part.feet))),
        *(_free(part, place) for place in range(len(part.feet))),
    ]
    return tuple(one for one in found if one is not None)


def about_address(part: Cut, feet: tuple[Pushed, ...], weighing: Weighing) -> Remark | None:
    """Say that the address is not quiet, so that no centre of mass can be followed from it.

    Parameters
    ----------
    part, feet
        The samples.
    weighing
        The quietest second.
    """
    still = quiet_part(weighing, part.rate_hz)
    sways_m = max(
        float(np.std(foot.cop_m[still], axis=0).max()) if len(foot.cop_m[still]) else 0.0
        for foot in feet
    )
    if weighing.sd_n <= STILL_SHARE * weighing.weight_n and sways_m <= STILL_COP_M:
        return None
    return Remark(
        kind="restless",
        weight="doubt",
        text=f"The quietest second of the address moves by {weighing.sd_n:.0f} N and "
        f"{sways_m * 1000.0:.0f} mm: no moments about the centre of mass are given.",
        fix="Hold the address still for a second before the swing.",
    )


def _no_impact(impact: Impact | None) -> Remark | None:
    if impact is not None:
        return None
    return Remark(
        kind="no_impact",
        weight="note",
        text="Nobody said when the club met the ball, and plates cannot see it: nothing is timed "
        "by the strike.",
        fix="Give the launch monitor's time, record a trigger, or set the strike by hand.",
    )


def _weight(weighing: Weighing, entered_n: float | None) -> Remark | None:
    if entered_n is None or abs(weighing.weight_n / entered_n - 1.0) <= WEIGHT_APART:
        return None
    return Remark(
        kind="weight",
        weight="doubt",
        text=f"The plates weigh {weighing.weight_n:.0f} N, the scale {entered_n:.0f} N.",
        fix="Weigh with the club; check that both feet were on the plates.",
    )


def _load(part: Cut, place: int, weighing: Weighing) -> Remark | None:
    plate = part.feet[place]
    most_n = float(plate.vertical_n.max())
    if most_n <= GREATEST_SHARE * weighing.weight_n:
        return None
    return Remark(
        kind="too_much_load",
        weight="fault",
        text=f"{plate.name} shows {most_n:.0f} N, {most_n / weighing.weight_n * 100.0:.0f} % of "
        "the weight.",
        fix="Check the unit and the calibration of the plate.",
        plate=plate.name,
    )


def _free(part: Cut, place: int) -> Remark | None:
    plate = part.feet[place]
    loaded = plate.vertical_n >= 0.2 * float(np.median(part.vertical_n))
    moments_nm = plate.free_moment_nm[loaded]
    if not np.isfinite(moments_nm).any():
        return None
    most_nm = float(np.nanmax(np.abs(moments_nm)))
    if most_nm <= GREATEST_FREE_NM:
        return None
    return Remark(
        kind="too_much_turning",
        weight="doubt",
        text=f"{plate.name} shows a free moment of {most_nm:.0f} N·m; 17 to 19 are typical.",
        fix="Check the channels' order and the plate's origin.",
        plate=plate.name,
    )
