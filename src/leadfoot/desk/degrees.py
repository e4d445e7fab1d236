"""Straighter in degrees: what the judged balls say as bearings from the tee, beside yards."""

import math

import numpy as np

from leadfoot.desk.answer import InDegrees
from leadfoot.desk.same_air import Landing
from leadfoot.desk.sides import Sides
from leadfoot.desk.wording import amount, in_100
from leadfoot.evidence.bearing import bearing_change
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.lesson import Seen
from leadfoot.language.numbers import number
from leadfoot.language.say import noted, say

FEWEST = 3
"""Balls with both numbers that each side needs, as for any spread that is shown."""
SAID_FROM = 0.03
"""Change of the middle carry, as a share, from which degrees and yards are told apart in words: the
pattern in yards then moves by as much, at the same angles. Own choice."""


def in_degrees(sides: Sides, lands: Landing, usual_offline: UsualSpread) -> InDegrees | None:
    """The judged balls as bearings.

    Parameters
    ----------
    sides
        Which balls count, and which were hit with the change.
    lands
        Where they came down.
    usual_offline
        The student's usual spread of offline. [m]

    Returns
    -------
    InDegrees or None
        None where one side has too few balls with both carry and offline.
    """
    far_m, across_m = lands.carry_m, lands.offline_m
    known = sides.judged & np.isfinite(across_m) & (np.nan_to_num(far_m) > 0.0)
    with_change = sides.with_change[known]
    balls = Seen(
        values=across_m[known],
        with_change=with_change,
        ball_number=np.flatnonzero(known).astype(np.float64),
    )
    if balls.fewest < FEWEST:
        return None
    found = bearing_change(balls, far_m[known], usual_offline)
    before_m, after_m = (
        float(np.median(far_m[known][side])) for side in (~with_change, with_change)
    )
    spread = math.degrees(found.spread.before), math.degrees(found.spread.after)
    return InDegrees(
        bias_before_deg=math.degrees(found.bias.before),
        bias_after_deg=math.degrees(found.bias.after),
        spread_before_deg=spread[0],
        spread_after_deg=spread[1],
        odds_nearer=found.nearer,
        odds_narrower=found.narrower,
        n_before=balls.n_before,
        n_after=balls.n_after,
        basis="modelled" if "modelled" in {lands.carry_basis, lands.offline_basis} else "measured",
        note=_note(spread, found.narrower, after_m / before_m - 1.0),
    )


def _note(spread_deg: tuple[float, float], narrower: float, farther: float) -> str:
    """In words, where the balls go so much farther or shorter that yards say something else."""
    if abs(farther) < SAID_FROM:
        return ""
    before, after = (amount(value, "deg") for value in spread_deg)
    text = _FARTHER if farther > 0.0 else _SHORTER
    return say(
        text,
        before=before,
        after=after,
        odds=in_100(narrower),
        share=f"{number(100.0 * abs(farther))} %",
    )


_FARTHER = noted(
    "In degrees from the tee the balls spread by {before} before and {after} with it, {odds} that "
    "it is narrower. In yards that looks different, as they carry {share} farther: farther at "
    "the same angle lands wider."
)
_SHORTER = noted(
    "In degrees from the tee the balls spread by {before} before and {after} with it, {odds} that "
    "it is narrower. In yards that looks different, as they carry {share} shorter: shorter at "
    "the same angle lands narrower."
)
