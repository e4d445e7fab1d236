"""Answers built by hand, one for each kind of lesson that a sheet must carry; all invented."""

from dataclasses import replace
from typing import Any

import numpy as np

from leadfoot.desk.answer import Answer, AnswerBlock, AnswerClaim, AnswerOutcome, Pattern
from leadfoot.tables.problem import Problem


def outcome(quantity: str, **change: Any) -> AnswerOutcome:
    facts: dict[str, Any] = {
        "quantity": quantity,
        "kind": "level",
        "name": quantity.replace("_", " "),
        "unit": "mph",
        "basis": "measured",
        "before": 150.9,
        "after": 155.9,
        "change": 5.0,
        "low": 3.6,
        "high": 6.6,
        "odds_better": 0.994,
        "verdict": "yes",
        "n_before": 12,
        "n_after": 15,
    }
    return AnswerOutcome(**{**facts, **change})


def balls(
    n_before: int, n_after: int, *, seed: int = 7, offline: bool = True, carry: bool = True
) -> Pattern:
    """An invented pattern: a little longer and a little less right with the change."""
    rng = np.random.default_rng(seed)
    n = n_before + n_after
    after = np.arange(n) >= n_before
    none = np.full(n, np.nan)
    lateral = np.where(after, 3.0, 11.0) + rng.normal(0.0, 11.0, n)
    length = np.where(after, 238.0, 229.0) + rng.normal(0.0, 7.0, n)
    speed = np.where(after, 98.5, 95.2) + rng.normal(0.0, 1.6, n)
    return Pattern(
        rows=np.arange(2, n + 2),
        with_change=after,
        offline=lateral if offline else none,
        carry=length if carry else none,
        unit="yd",
        carry_basis="measured",
        offline_basis="measured",
        speed=speed,
        speed_unit="mph",
        speed_name="club speed",
    )


def keep() -> Answer:
    ball_speed = outcome("ball_speed")
    carry = outcome(
        "carry",
        unit="yd",
        before=229.0,
        after=238.4,
        change=9.4,
        low=5.1,
        high=13.6,
        odds_better=0.99,
    )
    bias = outcome(
        "offline",
        kind="bias",
        unit="yd",
        before=10.8,
        after=3.1,
        change=-7.7,
        low=-13.9,
        high=-1.2,
        odds_better=0.93,
        verdict="not_yet",
    )
    spread = outcome(
        "offline",
        kind="spread",
        unit="yd",
        before=11.5,
        after=10.6,
        change=-0.9,
        low=-3.9,
        high=2.0,
        odds_better=0.66,
        verdict="not_yet",
    )
    mishits = outcome(
        "mishits",
        kind="mishits",
        unit=None,
        before=0.083,
        after=0.067,
        change=-0.01,
        low=-0.09,
        high=0.07,
        odds_better=0.55,
        verdict="not_yet",
    )
    return Answer(
        before_label="own swing",
        after_label="block under the lead foot",
        club="Driver",
        blocks=(
            AnswerBlock(label="warm-up", club="Driver", role="other", n_shots=6, n_left_out=0),
            AnswerBlock(label="own swing", club="Driver", role="before", n_shots=12, n_left_out=0),
            AnswerBlock(
                label="block under the lead foot",
                club="Driver",
                role="after",
                n_shots=15,
                n_left_out=1,
            ),
        ),
        outcomes=(
            outcome(
                "club_speed",
                before=95.2,
                after=98.4,
                change=3.2,
                low=2.2,
                high=4.2,
                odds_better=0.997,
            ),
            ball_speed,
            carry,
            bias,
            spread,
            mishits,
        ),
        longer=AnswerClaim(verdict="yes", odds=0.994),
        bias=bias,
        spread=spread,
        straighter=AnswerClaim(verdict="not_yet", odds=0.61),
        both=AnswerClaim(verdict="not_yet", odds=0.6),
        mishits=mishits,
        odds_wilder=0.12,
        odds_more_mishits=0.08,
        decision="keep",
        n_more=18,
        chance_more_tells=0.7,
        headline=ball_speed,
        sentence="Keep it: about 5 mph faster (4 to 7), and no wilder.",
        notes=(
            "Mishits stay in: they are part of how the change plays.",
            "One ball was left out by the teacher: a bird crossed the line.",
        ),
        problems=(
            Problem(
                row=19, column="Carry", text="--", reason="No number; the ball counts without it."
            ),
        ),
        pattern=balls(12, 15),
    )


def drop() -> Answer:
    kept = keep()
    slower = outcome(
        "ball_speed", before=151.2, after=148.7, change=-2.3, low=-3.9, high=-0.8, odds_better=0.01
    )
    slower = replace(slower, verdict="no")
    return replace(
        kept,
        outcomes=(slower, *kept.outcomes[3:]),
        longer=AnswerClaim(verdict="no", odds=0.01),
        straighter=AnswerClaim(verdict="not_yet", odds=0.4),
        both=AnswerClaim(verdict="no", odds=0.01),
        decision="drop",
        n_more=None,
        chance_more_tells=None,
        headline=slower,
        sentence="Let it go: about 2 mph less ball speed (1 to 4).",
        odds_more_mishits=0.88,
    )


def hit_more() -> Answer:
    kept = keep()
    maybe = outcome(
        "ball_speed", before=151.0, after=152.4, change=0.9, low=-1.2, high=3.1, odds_better=0.79
    )
    maybe = replace(maybe, verdict="not_yet")
    return replace(
        kept,
        outcomes=(maybe, *kept.outcomes[3:]),
        longer=AnswerClaim(verdict="not_yet", odds=0.79),
        both=AnswerClaim(verdict="not_yet", odds=0.5),
        decision="hit_more",
        n_more=14,
        chance_more_tells=0.82,
        headline=maybe,
        sentence="Cannot tell yet. So far about 0.9 mph more ball speed (−1.2 to 3.1), "
        "odds 79 in 100. Hit about 14 more balls with the change.",
    )


def tiny() -> Answer:
    more = hit_more()
    return replace(
        more,
        pattern=balls(1, 2),
        bias=None,
        spread=None,
        mishits=None,
        outcomes=more.outcomes[:1],
        straighter=AnswerClaim(verdict="not_yet", odds=None),
        both=AnswerClaim(verdict="not_yet", odds=None),
        n_more=None,
        chance_more_tells=None,
        sentence="Cannot tell yet. A few more balls are not likely to settle it today.",
        problems=(),
        notes=(),
    )


def only_speed() -> Answer:
    kept = keep()
    return replace(
        kept,
        outcomes=kept.outcomes[:1],
        headline=kept.outcomes[0],
        bias=None,
        spread=None,
        mishits=None,
        straighter=AnswerClaim(verdict="not_yet", odds=None),
        both=AnswerClaim(verdict="not_yet", odds=None),
        odds_wilder=None,
        odds_more_mishits=None,
        pattern=balls(12, 15, offline=False, carry=False),
        sentence="Keep it: about 3 mph faster (2 to 4). Direction was not measured.",
        problems=(),
    )


def with_mishits() -> Answer:
    """Two balls far beyond the others, and some without one of the numbers."""
    kept = keep()
    pattern = kept.pattern
    offline, carry = pattern.offline.copy(), pattern.carry.copy()
    carry[3], offline[3] = 96.0, -31.0
    carry[20], offline[20] = 171.0, 88.0
    carry[8] = np.nan
    offline[17] = np.nan
    return replace(kept, pattern=replace(pattern, offline=offline, carry=carry))


def modelled_carry() -> Answer:
    kept = keep()
    outcomes = tuple(
        replace(one, basis="modelled") if one.quantity in {"carry", "offline"} else one
        for one in kept.outcomes
    )
    return replace(
        kept,
        outcomes=outcomes,
        bias=outcomes[3],
        spread=outcomes[4],
        pattern=replace(kept.pattern, carry_basis="modelled", offline_basis="modelled"),
        notes=("Carry and offline were computed from the launch, in still air at sea level.",),
    )


def left_hander() -> Answer:
    """The same picture mirrored: a left-hander who starts the ball left."""
    kept = keep()
    assert kept.bias is not None
    bias = replace(kept.bias, before=-10.8, after=-3.1, change=7.7, low=1.2, high=13.9)
    return replace(
        kept,
        bias=bias,
        outcomes=tuple(bias if one.kind == "bias" else one for one in kept.outcomes),
        pattern=replace(kept.pattern, offline=-kept.pattern.offline),
    )


def long_texts() -> Answer:
    kept = keep()
    long = "press into the lead foot before the club comes down and let the ground answer, " * 6
    return replace(
        kept,
        after_label=long.strip(),
        club="The long club with the name that does not want to end, 10.5 degrees, stiff",
        sentence="Keep it: " + "about 5 mph faster (4 to 7), and no wilder, " * 6,
        notes=tuple(f"Note {place}: {long}" for place in range(8)),
        problems=tuple(
            Problem(row=row, column="Carry " * 6, text="x" * 90, reason=long)
            for row in range(2, 60)
        ),
    )


ALL = {
    "keep": keep,
    "drop": drop,
    "hit_more": hit_more,
    "tiny": tiny,
    "only_speed": only_speed,
    "with_mishits": with_mishits,
    "modelled_carry": modelled_carry,
    "left_hander": left_hander,
    "long_texts": long_texts,
}
