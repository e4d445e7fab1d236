"""The coach's own best cues for each finding: what the whole book says of the quantity it is about.

A finding that no level of one quantity answers (a spread, a share, two patterns) has no such cue:
only changes of levels are pooled.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from leadfoot.coaching.drills import Drill
from leadfoot.coaching.rules import Rule, rules
from leadfoot.desk.works import CueLine, QuantityWorks, Way, Works, best_said, meaning, same_cue

MOST_CUES = 3
"""Shown for a finding. Our own choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BestCues:
    """The cues of the book that move what one finding is about, the best first.

    Attributes
    ----------
    finding, finding_name
        Which.
    quantity, name, unit
        What it is about.
    way
        Which way it is to go.
    sentence
        The best of them with the students behind it, and a warning where it is only the best of
        many tries.
    cues
        Those that move it this way, the best first, at most `MOST_CUES`; in `unit`.
    """

    finding: str
    finding_name: str
    quantity: str
    name: str
    unit: str | None
    way: Way
    sentence: str
    cues: tuple[CueLine, ...]


def way_of(rule: Rule, side: int) -> Way:
    """Which way the quantity of a finding is to go.

    Parameters
    ----------
    rule
        Its rule.
    side
        1 where the student has more than is usual, -1 where less.

    Examples
    --------
    >>> way_of(rules()["face_off"], 1), way_of(rules()["too_steep"], -1)
    ('less', 'more')
    """
    if rule.wants == "back":
        return "less" if side > 0 else "more"
    return rule.wants


def best_cues(works: Works, finding: str, way: Way) -> BestCues | None:
    """The best cues of the book for one finding.

    Parameters
    ----------
    works
        The whole book, pooled.
    finding
        Key of the finding.
    way
        Which way its quantity is to go; see `way_of`.

    Returns
    -------
    BestCues
        None where no level answers the finding, or no lesson with a change measured it.
    """
    rule = rules()[finding]
    pooled = next((one for one in works.quantities if one.quantity == rule.quantity), None)
    return None if pooled is None else _best(rule, pooled, way)


def best_by_finding(works: Works) -> tuple[BestCues, ...]:
    """The same for every finding, in the order of the catalogue; both ways where it may be either.

    A finding whose quantity was never measured with a change is left away.
    """
    found = []
    for rule in rules().values():
        for side in (1, -1) if rule.wants == "back" else (1,):
            best = best_cues(works, rule.key, way_of(rule, side))
            if best is not None:
                found.append(best)
    return tuple(found)


def lines_of_drills(works: Works, best: BestCues, drills: Sequence[Drill]) -> Mapping[str, CueLine]:
    """What the book says of the drills of a finding: those that were tried under their own name.

    Parameters
    ----------
    works
        The whole book, pooled.
    best
        The finding's quantity.
    drills
        What answers the finding.

    Returns
    -------
    Mapping
        Key of the drill to its line; spellings that were merged count as the one they stand for.
    """
    (pooled,) = (one for one in works.quantities if one.quantity == best.quantity)
    line_of = {same_cue(line.cue): line for line in pooled.lines}
    tried = {drill.key: meaning(same_cue(drill.name), works.merged) for drill in drills}
    return {key: line_of[cue] for key, cue in tried.items() if cue in line_of}


def _best(rule: Rule, pooled: QuantityWorks, way: Way) -> BestCues:
    ordered = pooled.lines if way == "more" else pooled.lines[::-1]
    helping = [line for line in ordered if (line.mean > 0.0) == (way == "more")]
    return BestCues(
        finding=rule.key,
        finding_name=rule.name,
        quantity=pooled.quantity,
        name=pooled.name,
        unit=pooled.unit,
        way=way,
        sentence=best_said(pooled.quantity, pooled.lines, pooled.unit, way),
        cues=tuple(helping[:MOST_CUES]),
    )
