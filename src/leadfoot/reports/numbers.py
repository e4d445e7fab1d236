"""Outcomes as they are printed: the few large numbers of page one and the rows of page two."""

import math
from collections.abc import Mapping, Sequence
from typing import Any

from leadfoot.desk.answer import Answer, AnswerOutcome
from leadfoot.desk.wording import in_100, outcome_name, sided
from leadfoot.evidence.judgement import Verdict
from leadfoot.language.numbers import number
from leadfoot.language.say import noted, say

MOST_TILES = 5
"""Large numbers on page one: more are not read at a glance (our own rule)."""

UNKNOWN = "–"

VERDICTS: Mapping[Verdict, str] = {
    "yes": noted("yes"),
    "no": noted("no"),
    "not_yet": noted("not yet"),
}


def shown_unit(outcome: AnswerOutcome) -> str:
    """The unit as it is printed after a number.

    Mishits are told as balls in a hundred.
    """
    if outcome.kind == "mishits":
        return say("in 100")
    return "°" if outcome.unit == "deg" else outcome.unit or ""


def decimals(outcome: AnswerOutcome) -> int:
    """Decimals for an outcome's numbers: no finer than its range deserves.

    A range of 8 units or more is told in whole units, a ratio with two decimals, the rest with
    one (our own choice).
    """
    if outcome.kind == "mishits":
        return 0
    if outcome.unit is None:
        return 2
    width = abs(outcome.high - outcome.low)
    return 0 if not math.isfinite(width) or width >= 8.0 else 1


def _scaled(outcome: AnswerOutcome, value: float) -> float:
    return 100.0 * value if outcome.kind == "mishits" else value


def plain(outcome: AnswerOutcome, value: float) -> str:
    """A level before or after: a bare number, with the side for a direction.

    Examples
    --------
    >>> from leadfoot.desk.answer import AnswerOutcome
    >>> offline = AnswerOutcome(quantity="offline", kind="bias", name="offline", unit="yd",
    ...     basis="measured", before=12.0, after=-3.0, change=-15.0, low=-19.0, high=-9.0,
    ...     odds_better=0.99, verdict="yes", n_before=9, n_after=9)
    >>> plain(offline, offline.before), plain(offline, offline.after)
    ('12 right', '3 left')
    """
    if not math.isfinite(value):
        return UNKNOWN
    scaled = _scaled(outcome, value)
    if outcome.kind != "bias":
        return number(scaled, decimals(outcome))
    if _is_nought(scaled, outcome):
        return say("on the line")
    return sided(number(abs(scaled), decimals(outcome)), scaled)


def _is_nought(scaled: float, outcome: AnswerOutcome) -> bool:
    return float(f"{scaled:.{decimals(outcome)}f}") == 0.0


def signed(outcome: AnswerOutcome, value: float) -> str:
    """A change with its sign."""
    if not math.isfinite(value):
        return UNKNOWN
    return number(_scaled(outcome, value), decimals(outcome), sign=True)


def change_range(outcome: AnswerOutcome) -> str:
    """The 90 % range of a change: ``+3.6 to +6.6``, or ``1 to 14 left`` for a direction."""
    if outcome.kind == "bias" and math.isfinite(outcome.low) and math.isfinite(outcome.high):
        return _sided_range(outcome)
    low, high = signed(outcome, outcome.low), signed(outcome, outcome.high)
    return say("{low} to {high}", low=low, high=high)


def _sided_range(outcome: AnswerOutcome) -> str:
    low, high = outcome.low, outcome.high
    either = low * high <= 0.0 or _is_nought(low, outcome) or _is_nought(high, outcome)
    if either:
        return say("{low} to {high}", low=plain(outcome, low), high=plain(outcome, high))
    near, far = (low, high) if low > 0.0 else (high, low)
    return say(
        "{low} to {high}",
        low=number(abs(_scaled(outcome, near)), decimals(outcome)),
        high=plain(outcome, far),
    )


def odds(value: float | None) -> str:
    """Odds in words, or a dash."""
    return UNKNOWN if value is None or not math.isfinite(value) else in_100(value)


def _of_100(value: float) -> str:
    """Odds in a column that says of how many they are."""
    if not math.isfinite(value):
        return UNKNOWN
    if value > 0.99:
        return say("over {n}", n=99)
    return say("under {n}", n=1) if value < 0.01 else str(round(value * 100))


def tiles(answer: Answer) -> list[dict[str, Any]]:
    """The large numbers of page one: the headline first in line, at most five."""
    chosen = [
        outcome
        for outcome in (answer.headline, answer.bias, answer.spread, answer.mishits)
        if outcome is not None
    ]
    levels = [outcome for outcome in answer.outcomes if outcome.kind == "level"]
    for outcome in levels:
        if outcome not in chosen and len(chosen) < MOST_TILES:
            chosen.append(outcome)
    order = {"level": 0, "bias": 1, "spread": 2, "mishits": 3}
    return [_tile(one) for one in sorted(chosen, key=lambda one: order[one.kind])]


def _tile(outcome: AnswerOutcome) -> dict[str, Any]:
    big, unit = signed(outcome, outcome.change), shown_unit(outcome)
    moved = math.isfinite(outcome.change) and not _is_nought(outcome.change, outcome)
    if outcome.kind == "bias" and moved:
        unit = sided(unit, outcome.change).strip()
        big = big.lstrip("+−")
    return {
        "name": outcome_name(outcome.quantity, outcome.kind),
        "big": big,
        "unit": unit,
        "range": change_range(outcome),
        "levels": [plain(outcome, outcome.before), plain(outcome, outcome.after)],
        "computed": outcome.basis == "modelled",
    }


def _name_and_unit(outcome: AnswerOutcome) -> str:
    unit = shown_unit(outcome)
    name = outcome_name(outcome.quantity, outcome.kind)
    named = f"{name}, {unit}" if unit else name
    return say("{quantity} (computed)", quantity=named) if outcome.basis == "modelled" else named


def table_rows(outcomes: Sequence[AnswerOutcome]) -> list[list[str]]:
    """The table of page two.

    Name with unit, before, after, change, range, odds in 100, verdict, balls.
    """
    return [
        [
            _name_and_unit(one),
            plain(one, one.before),
            plain(one, one.after),
            plain(one, one.change) if one.kind == "bias" else signed(one, one.change),
            change_range(one),
            _of_100(one.odds_better),
            say(VERDICTS[one.verdict]),
            f"{one.n_before} + {one.n_after}",
        ]
        for one in outcomes
    ]
