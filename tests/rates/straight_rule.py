"""The rule of "straighter" on the odds of many looks at once."""

import numpy as np
from numpy.typing import NDArray

from leadfoot.evidence.verdict import DirectionShown
from tests.rates.straight_lessons import Floats
from tests.rates.straight_loop import WHAT

Said = NDArray[np.bool_]


def straighter_above(
    odds: Floats, shown: DirectionShown, side_condition: float, narrower: str = "narrower"
) -> Said:
    """The rule of `straighter_verdict` on many odds."""
    told = {what: odds[..., place] for place, what in enumerate(WHAT)}
    part = (told[narrower] > shown.narrower) | (told["nearer_clearly"] > shown.nearer)
    part &= told["misses_less"] > side_condition
    return np.asarray((told["misses_clearly_less"] > shown.straighter) | part)
