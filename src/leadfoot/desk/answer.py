"""The answer as a page, a sheet and a script receive it: in people's units, with its sentence."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from leadfoot.evidence.cues import Trial
from leadfoot.evidence.judgement import Decision, Kind, Verdict
from leadfoot.evidence.next_step import NextStep
from leadfoot.shots.form import problem_json
from leadfoot.tables.problem import Problem

Basis = Literal["measured", "modelled"]


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerBlock:
    """One block of the comparison; ``role`` is what it was compared as."""

    label: str
    club: str | None
    role: Literal["before", "after", "other"]
    n_shots: int
    n_left_out: int


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerOutcome:
    """One outcome in the unit in which the coach's table has it.

    ``quantity`` is a key of the glossary, or ``mishits``; see `leadfoot.evidence.judgement.Outcome`
    for what the numbers mean by ``kind``.
    """

    quantity: str
    kind: Kind
    name: str
    unit: str | None
    basis: Basis
    before: float
    after: float
    change: float
    low: float
    high: float
    odds_better: float
    verdict: Verdict
    n_before: int
    n_after: int


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerClaim:
    """A claim (longer, straighter, both) with its odds, None where no shot speaks of it."""

    verdict: Verdict
    odds: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class InDegrees:
    """The judged balls as bearings from the tee, right positive: straighter whatever the length.

    ``note`` says it in words where yards say something else, as the balls go farther or shorter.
    """

    bias_before_deg: float
    bias_after_deg: float
    spread_before_deg: float
    spread_after_deg: float
    odds_nearer: float
    odds_narrower: float
    n_before: int
    n_after: int
    basis: Basis
    note: str

    def as_json(self) -> dict[str, Any]:
        """Part of the published form ``leadfoot.judge/1``."""
        return {
            "bias": {"before": _short(self.bias_before_deg), "after": _short(self.bias_after_deg)},
            "spread": {
                "before": _short(self.spread_before_deg),
                "after": _short(self.spread_after_deg),
            },
            "odds_nearer": _short(self.odds_nearer),
            "odds_narrower": _short(self.odds_narrower),
            "n_before": self.n_before,
            "n_after": self.n_after,
            "basis": self.basis,
        }


@dataclass(frozen=True, slots=True, kw_only=True)
class SeveralLessons:
    """What several lessons with one change say of a direction together, spreads in `unit`.

    ``narrower`` is the probability that the student's pattern is narrower with the change.
    """

    quantity: str
    unit: str | None
    n_lessons: int
    n_before: int
    n_after: int
    spread_before: float
    spread_after: float
    narrower: float
    verdict: Verdict
    sentence: str

    def as_json(self) -> dict[str, Any]:
        """Part of the published form ``leadfoot.judge/1``."""
        return {
            "quantity": self.quantity,
            "unit": self.unit,
            "n_lessons": self.n_lessons,
            "n_before": self.n_before,
            "n_after": self.n_after,
            "spread": {"before": _short(self.spread_before), "after": _short(self.spread_after)},
            "odds_narrower": _short(self.narrower),
            "verdict": self.verdict,
            "sentence": self.sentence,
        }

    @classmethod
    def from_json(cls, said: Mapping[str, Any]) -> "SeveralLessons":
        """The same, from the published form that a book keeps."""
        plain = ("quantity", "unit", "n_lessons", "n_before", "n_after", "verdict", "sentence")
        return cls(
            **{name: said[name] for name in plain},
            spread_before=said["spread"]["before"],
            spread_after=said["spread"]["after"],
            narrower=said["odds_narrower"],
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pattern:
    """Where the judged balls came down, for the picture.

    Attributes
    ----------
    rows
        Shape (n,): row of the table, or place in the lesson, of each ball.
    with_change
        Shape (n,): False before, True with the change.
    offline, carry
        Shape (n,): in `unit`, NaN where unknown. Right of the target is positive.
    speed
        Shape (n,): club speed, or ball speed where there is none, in `speed_unit`.
    """

    rows: NDArray[np.int64]
    with_change: NDArray[np.bool_]
    offline: NDArray[np.float64]
    carry: NDArray[np.float64]
    unit: str
    carry_basis: Basis
    offline_basis: Basis
    speed: NDArray[np.float64]
    speed_unit: str
    speed_name: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Answer:
    """The whole answer for one change in one lesson."""

    before_label: str
    after_label: str
    club: str | None
    blocks: tuple[AnswerBlock, ...]
    outcomes: tuple[AnswerOutcome, ...]
    longer: AnswerClaim
    bias: AnswerOutcome | None
    spread: AnswerOutcome | None
    straighter: AnswerClaim
    both: AnswerClaim
    mishits: AnswerOutcome | None
    odds_wilder: float | None
    odds_more_mishits: float | None
    decision: Decision
    n_more: int | None
    chance_more_tells: float | None
    next_step: NextStep | None = None
    """What to hit next while nothing is decided; None otherwise."""
    trial: Trial | None = None
    """What the balls alone say of the cue, to weigh it among others."""
    degrees: InDegrees | None = None
    """The direction as bearings; None where offline or carry is not known on both sides."""
    several: SeveralLessons | None = None
    """What this lesson says together with earlier ones; None where there are none, or no book."""
    headline: AnswerOutcome | None
    """The distance outcome that the sentence speaks of."""
    sentence: str
    notes: tuple[str, ...]
    """What the reader must know: what is modelled, what is assumed, what was left out and why."""
    problems: tuple[Problem, ...]
    pattern: Pattern

    def as_json(self) -> dict[str, Any]:
        """The answer in the published form ``leadfoot.judge/1``; infinities never occur in it."""
        return {
            "schema": "leadfoot.judge/1",
            "blocks": [
                {
                    "label": block.label,
                    "club": block.club,
                    "n_shots": block.n_shots,
                    "n_left_out": block.n_left_out,
                }
                for block in self.blocks
            ],
            "outcomes": [_outcome_json(outcome) for outcome in self.outcomes],
            "longer": _claim_json(self.longer),
            "straighter": {
                "bias": _outcome_json(self.bias) if self.bias else None,
                "spread": _outcome_json(self.spread) if self.spread else None,
                **_claim_json(self.straighter),
                "degrees": self.degrees and self.degrees.as_json(),
                "several_lessons": self.several and self.several.as_json(),
            },
            "both": _claim_json(self.both),
            "decision": self.decision,
            "n_more": self.n_more,
            "sentence": self.sentence,
            "problems": [problem_json(problem) for problem in self.problems],
        }


def _claim_json(claim: AnswerClaim) -> dict[str, Any]:
    return {"verdict": claim.verdict, "odds": _short(claim.odds)}


def _outcome_json(outcome: AnswerOutcome) -> dict[str, Any]:
    return {
        "quantity": outcome.quantity,
        "kind": outcome.kind,
        "unit": outcome.unit,
        "basis": outcome.basis,
        "before": _short(outcome.before),
        "after": _short(outcome.after),
        "change": _short(outcome.change),
        "low": _short(outcome.low),
        "high": _short(outcome.high),
        "odds_better": _short(outcome.odds_better),
        "verdict": outcome.verdict,
    }


def _short(value: float | None) -> float | None:
    return None if value is None else round(float(value), 6)
