"""Outcomes as they are printed: the few large numbers of page one and the rows of page two."""

import math
from collections.abc import Mapping, Sequence
from typing import Any

from leadfoot.desk.answer import Answer, AnswerOutcome
from leadfoot.desk.wording import in_100, outcome_name
from leadfoot.evidence.judgement import Verdict

MOST_TILES = 5
"""Large numbers on page one: more are not read at a glance (our own rule)."""

UNKNOWN = "–"

VERDICTS: Mapping[Verdict, str] = {"yes": "yes", "no": "no", "not_yet": "not yet"}


def shown_unit(outcome: AnswerOutcome) -> str:
    """The unit as it is printed after a number.

    Mishits are told as balls in a hundred.
    """
    if outcome.kind == "mishits":
        return "in 100"
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
        return _minus(f"{scaled:.{decimals(outcome)}f}")
    text = f"{abs(scaled):.{decimals(outcome)}f}"
    if float(text) == 0.0:
        return "on the line"
    return f"{text} {'right' if scaled > 0 else 'left'}"


def signed(outcome: AnswerOutcome, value: float) -> str:
    """A change with its sign."""
    if not math.isfinite(value):
        return UNKNOWN
    text = f"{_scaled(outcome, value):+.{decimals(outcome)}f}"
    return text[1:] if float(text) == 0.0 else _minus(text)


def _minus(text: str) -> str:
    return text.replace("-", "\u2212")


def change_range(outcome: AnswerOutcome) -> str:
    """The 90 % range of a change: ``+3.6 to +6.6``, or ``1 to 14 left`` for a direction."""
    if outcome.kind == "bias" and math.isfinite(outcome.low) and math.isfinite(outcome.high):
        return _sided_range(outcome)
    return f"{signed(outcome, outcome.low)} to {signed(outcome, outcome.high)}"


def _sided_range(outcome: AnswerOutcome) -> str:
    low, high = plain(outcome, outcome.low), plain(outcome, outcome.high)
    if low.endswith("left") and high.endswith("left"):
        return f"{high.split()[0]} to {low}"
    if low.endswith("right") and high.endswith("right"):
        return f"{low.split()[0]} to {high}"
    return f"{low} to {high}"


def odds(value: float | None) -> str:
    """Odds in words, or a dash."""
    return UNKNOWN if value is None or not math.isfinite(value) else in_100(value)


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
    if outcome.kind == "bias" and math.isfinite(outcome.change) and float(big.strip("+−–") or 0):
        unit = f"{unit} {'right' if outcome.change > 0 else 'left'}".strip()
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
    basis = " (computed)" if outcome.basis == "modelled" else ""
    return f"{outcome_name(outcome.quantity, outcome.kind)}{f', {unit}' if unit else ''}{basis}"


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
            odds(one.odds_better).removesuffix(" in 100"),
            VERDICTS[one.verdict],
            f"{one.n_before} + {one.n_after}",
        ]
        for one in outcomes
    ]
