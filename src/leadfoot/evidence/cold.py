"""A cold start that could pass for a gain: noticed, and weighed before anything is claimed.

With one block before and one with the change, a student who was cold at the start looks better with
anything that comes later. Where no balls to get warm were recorded and the first balls rise, a gain
must therefore also hold if a far larger cold start is thought possible. Once the old way has been
hit again the two can be told apart, and nothing needs to be asked.
"""

from dataclasses import replace

from leadfoot.evidence.change import DEFAULT_PRIOR, LevelChange, level_change
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import WARM_AFTER, Seen, order_of_blocks

RISING = 0.65
"""Odds of a cold start from which it is noticed. Found by simulation (docs/explain/evidence.md):
lower notices more of the false ones and holds back more of the true ones."""
LARGE_COLD_SD = 0.8
"""Cold start that is thought possible then, in usual standard deviations. Found by simulation: 1.5
holds back a third of the false gains after a cold start of one spread and a seventh of the true
ones of 1.7 spreads, which stricter odds do as well; 0.8 costs a thirtieth of the true ones."""
ASK_FROM = 0.9
"""Odds of a gain below which nothing is claimed anyway."""


def if_cold(
    balls: Seen, usual: UsualSpread, change: LevelChange, *, worth_sd: float = 0.2
) -> LevelChange | None:
    """The change if a large cold start is thought possible; None where none is noticed.

    Examples
    --------
    >>> import numpy as np
    >>> speed = np.array([42.0, 42.4, 42.9, 43.1, 43.4, 43.5, 43.8, 43.9, 43.8, 44.1, 44.0, 43.9])
    >>> usual = UsualSpread(sd=0.5, n_shots=60)
    >>> def balls(first: float) -> Seen:
    ...     return Seen(values=speed, with_change=np.arange(12) >= 6,
    ...                 ball_number=first + np.arange(12.0))
    >>> cold = if_cold(balls(0.0), usual, level_change(balls(0.0), usual))
    >>> cold is not None and cold.above(0.2) < level_change(balls(0.0), usual).above(0.2)
    True
    >>> if_cold(balls(8.0), usual, level_change(balls(8.0), usual)) is None
    True
    """
    first = float(balls.ball_number[0])
    if first >= WARM_AFTER or order_of_blocks(balls.with_change) != "once":
        return None
    if change.cold < RISING or change.above(worth_sd) < ASK_FROM:
        return None
    return level_change(balls, usual, prior=replace(DEFAULT_PRIOR, warm_sd=LARGE_COLD_SD))
