"""Small drawings inside a table: a range around "no change", a share of a change."""

import math

from markupsafe import Markup

from leadfoot.desk.answer import AnswerOutcome
from leadfoot.desk.finding import ShownFinding
from leadfoot.desk.why import WhyShare, WhySplit
from leadfoot.quantities import glossary

_WIDTH = 128.0
_STRIP = 400.0
_ROOM = 0.42  # of the width, on each side of "no change", for the farther end of the range


def range_mark(outcome: AnswerOutcome) -> Markup:
    """Draw the range of a change as a band, its middle as a dot, and "no change" as a line.

    Each row has a scale of its own, so that the farther end of its range fills the room; better is
    to the right in every row.
    """
    way = _better_way(outcome)
    ends = sorted(way * value for value in (outcome.low, outcome.high))
    reach = max(abs(end) for end in (*ends, outcome.change)) or 1.0
    if not math.isfinite(reach):
        return Markup("")
    scale = _ROOM * _WIDTH / reach
    left, right = (_WIDTH / 2 + end * scale for end in ends)
    middle = _WIDTH / 2 + way * outcome.change * scale
    return Markup(
        '<svg class="range range-{verdict}" viewBox="0 0 128 22" aria-hidden="true">'
        '<path class="range-axis" d="M64 1V21"/>'
        '<rect class="range-band" x="{left:.1f}" y="6" width="{width:.1f}" height="10" rx="5"/>'
        '<circle class="range-at" cx="{middle:.1f}" cy="11" r="3"/></svg>'
    ).format(verdict=outcome.verdict, left=left, width=max(right - left, 2.0), middle=middle)


def _better_way(outcome: AnswerOutcome) -> float:
    """1 where a larger number is better, -1 where a smaller one is."""
    if outcome.kind in {"spread", "mishits"}:
        return -1.0
    known = glossary().get(outcome.quantity)
    if outcome.kind == "bias" or (known is not None and known.better == "nearer_zero"):
        return -1.0 if outcome.before >= 0 else 1.0
    return 1.0


def share_mark(share: WhyShare, split: WhySplit) -> Markup:
    """Draw one share of a change as a bar from nothing, with its range as a line.

    All rows of one outcome have one scale, so that the bars can be compared.
    """
    rest = () if split.unexplained is None else (split.unexplained,)
    rows = (*split.shares, split.change, *rest)
    reach = max(abs(end) for row in rows for end in (row.low, row.high, row.value)) or 1.0
    scale = 0.47 * _WIDTH / reach
    at, low, high = (_WIDTH / 2 + scale * end for end in (share.value, share.low, share.high))
    return Markup(
        '<svg class="range share{clear}" viewBox="0 0 128 22" aria-hidden="true">'
        '<rect class="share-bar" x="{left:.1f}" y="5" width="{width:.1f}" height="12"/>'
        '<path class="range-axis" d="M64 1V21"/>'
        '<path class="share-range" d="M{low:.1f} 11H{high:.1f}M{low:.1f} 8v6M{high:.1f} 8v6"/>'
        "</svg>"
    ).format(
        clear=" share-clear" if share.clear else "",
        left=min(at, _WIDTH / 2),
        width=abs(at - _WIDTH / 2),
        low=low,
        high=high,
    )


def finding_mark(one: ShownFinding) -> Markup:
    """Draw the balls of a finding on its scale: circles, where a middle is no fault, the middle."""
    low, high = one.ends
    scale = _STRIP / (high - low)

    def at(value: float) -> float:
        return (value - low) * scale

    parts = []
    if one.sound is not None:
        left, right = (at(end) for end in one.sound)
        parts.append(
            Markup(
                '<rect class="strip-sound" x="{:.1f}" y="4" width="{:.1f}" height="32"/>'
            ).format(left, right - left)
        )
    parts.append(Markup('<path class="range-axis" d="M0 36H400M{0:.1f} 2V36"/>').format(at(0.0)))
    for place, value in enumerate(one.balls.tolist()):
        # A fixed up-and-down pattern in hitting order, so that equal balls stay visible.
        up = 20.0 + 24.0 * ((place * 0.618034) % 1.0 - 0.5)
        parts.append(
            Markup('<circle class="strip-ball" cx="{:.1f}" cy="{:.1f}" r="3.6"/>').format(
                at(value), up
            )
        )
    if one.middle is not None:
        parts.append(
            Markup('<path class="strip-middle" d="M{0:.1f} 10l7 10-7 10-7-10z"/>').format(
                at(one.middle)
            )
        )
    return Markup('<svg class="strip" viewBox="0 0 400 40" aria-hidden="true">{}</svg>').format(
        Markup("").join(parts)
    )
