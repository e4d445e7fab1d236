"""The sentence a student understands, and the words and figures beside it."""

from collections.abc import Sequence

from leadfoot.desk.answer import AnswerOutcome
from leadfoot.evidence.judgement import Judgement
from leadfoot.evidence.memory import Memory
from leadfoot.evidence.next_step import NextStep
from leadfoot.quantities import glossary

_SHOWN_UNIT = {"deg": "°", None: ""}
_WORDS_MORE = {
    "club_speed": ("faster", "slower"),
    "ball_speed": ("more ball speed", "less ball speed"),
}
_LOST = {
    "wilder": "the balls fly wilder with it",
    "more_mishits": "more balls are mishit with it",
}
_DOUBTED = {
    "maybe_shorter": "it may be shorter",
    "maybe_wilder": "it may be wilder",
    "maybe_more_mishits": "more balls may be mishit",
    "wider": "the pattern is wider",
    "maybe_wider": "the pattern may be wider",
}
_NO_WILDER_BELOW = 0.20
"""Chance of "wilder" under which the sentence says "no wilder" (our own choice, no source)."""


HARDLY = 0.05
"""A chance below it is not worth planning for (our own choice, no source)."""


def in_100(odds: float) -> str:
    """Odds as a student hears them; never 0 or 100, since a handful of shots proves nothing.

    Examples
    --------
    >>> in_100(0.974), in_100(0.9999)
    ('97 in 100', 'over 99 in 100')
    """
    if odds > 0.99:
        return "over 99 in 100"
    if odds < 0.01:
        return "under 1 in 100"
    return f"{round(odds * 100)} in 100"


def amount(value: float, unit: str | None, *, decimals: int | None = None) -> str:
    """A number with its unit, as people say it.

    Examples
    --------
    >>> amount(5.13, "mph"), amount(1.26, "deg"), amount(0.031, None)
    ('5 mph', '1.3°', '0.03')
    """
    places = decimals_for(value, unit) if decimals is None else decimals
    text = f"{value:.{places}f}".replace("-", "−")
    if text.strip("−0.") == "":
        text = text.lstrip("−")
    shown = _SHOWN_UNIT.get(unit, f" {unit}")
    return f"{text}{shown}"


def decimals_for(value: float, unit: str | None) -> int:
    """How many decimals a change of this size deserves: never finer than a coach can use.

    Examples
    --------
    >>> decimals_for(12.3, "yd"), decimals_for(0.4, "yd"), decimals_for(0.02, None)
    (0, 1, 2)
    """
    if unit is None:
        return 2
    if unit in {"deg", "m/s", "s"}:
        return 1
    return 0 if abs(value) >= 2.0 else 1


def shown_range(outcome: AnswerOutcome, *, sign: float = 1.0) -> str:
    """The 90 % range of a change as ``4 to 7``, from the smaller to the larger.

    Examples
    --------
    >>> from leadfoot.desk.answer import AnswerOutcome
    >>> shown_range(AnswerOutcome(quantity="club_speed", kind="level", name="club speed",
    ...     unit="mph", basis="measured", before=90.0, after=95.1, change=5.1, low=3.8, high=6.7,
    ...     odds_better=0.99, verdict="yes", n_before=10, n_after=12))
    '4 to 7'
    """
    low, high = sorted((sign * outcome.low, sign * outcome.high))
    places = decimals_for(outcome.change, outcome.unit)
    return f"{amount(low, None, decimals=places)} to {amount(high, None, decimals=places)}"


def longer_words(outcome: AnswerOutcome) -> str:
    """Such as ``about 5 mph faster (4 to 7)``."""
    up, down = _WORDS_MORE.get(outcome.quantity, ("longer", "shorter"))
    if outcome.quantity == "smash_factor":
        up, down = "better in smash factor", "worse in smash factor"
    gained = outcome.change >= 0
    sign = 1.0 if gained else -1.0
    size = amount(abs(outcome.change), outcome.unit)
    return f"about {size} {up if gained else down} ({shown_range(outcome, sign=sign)})"


def bias_words(outcome: AnswerOutcome) -> str:
    """Such as ``6 yd nearer the line on average``."""
    gained = abs(outcome.before) - abs(outcome.after)
    size = amount(abs(gained), outcome.unit)
    return (
        f"about {size} {'nearer the line' if gained >= 0 else 'further from the line'} on average"
    )


def spread_words(outcome: AnswerOutcome) -> str:
    """Such as ``a pattern about 20 % narrower``."""
    share = outcome.change / outcome.before if outcome.before else 0.0
    return f"a pattern about {abs(share) * 100:.0f} % {'narrower' if share < 0 else 'wider'}"


def side_of_target(value: float, unit: str | None) -> str:
    """A signed direction in words.

    Examples
    --------
    >>> side_of_target(-4.2, "yd"), side_of_target(0.01, "deg")
    ('4 yd left', 'on the line')
    """
    size = amount(abs(value), unit)
    if float(size.split()[0].rstrip("°").replace("−", "-")) == 0.0:
        return "on the line"
    return f"{size} {'right' if value > 0 else 'left'}"


def outcome_name(quantity: str, kind: str) -> str:
    """What an outcome is called on pages and sheets.

    Examples
    --------
    >>> outcome_name("offline", "spread")
    'offline, spread'
    """
    if kind == "mishits":
        return "mishits"
    name = glossary()[quantity].name
    return {"level": name, "bias": f"{name}, average", "spread": f"{name}, spread"}[kind]


def next_step_words(step: NextStep) -> str:
    """What to hit next, with the chances of both ways.

    Examples
    --------
    >>> next_step_words(NextStep(with_change=False, balls=5, chance_with=0.17, chance_without=0.54))
    'Next, back to 5 without the change: 54 in 100 that they tell. 5 more with it: 17 in 100.'
    """
    on = f"{step.balls} more with {{}}: {in_100(step.chance_with)}"
    back = f"{step.balls} without {{}}: {in_100(step.chance_without)}"
    if max(step.chance_with, step.chance_without) < HARDLY:
        return f"The next {step.balls} balls will hardly tell, with the change or without it."
    if step.with_change:
        return f"Next, {on.format('the change')} that they tell. {back.format('it')}."
    return f"Next, back to {back.format('the change')} that they tell. {on.format('it')}."


def known_from(memory: Memory) -> str:
    """Where a usual spread came from.

    Examples
    --------
    >>> from leadfoot.evidence.judgement import UsualSpread
    >>> known_from(Memory(usual=UsualSpread(sd=7.0, n_shots=40), source="learnt", n_lessons=2,
    ...     n_balls=60, newest_days=9.0, oldest_days=200.0, day_spread=0.2, day_to_day=None))
    'The usual spread is learnt from 2 earlier lessons with this club: 60 balls, 9 to 200 days old.'
    """
    if memory.newest_days is None or memory.oldest_days is None:
        return "The usual spread is assumed from players in general."
    lessons = f"{memory.n_lessons} earlier lesson{'s' if memory.n_lessons > 1 else ''}"
    newest, oldest = round(memory.newest_days), round(memory.oldest_days)
    if oldest == 0:
        age = "of today"
    else:
        age = f"{newest} to {oldest} days old" if newest < oldest else f"{oldest} days old"
    return (
        f"The usual spread is learnt from {lessons} with this club: {memory.n_balls} balls, {age}."
    )


def sentence(
    judgement: Judgement,
    *,
    headline: AnswerOutcome | None,
    bias: AnswerOutcome | None,
    spread: AnswerOutcome | None,
) -> str:
    """Say the whole answer in one or two sentences."""
    if judgement.decision == "keep":
        return f"Keep it: {_keep_words(judgement, headline, bias, spread)}."
    if judgement.decision == "drop":
        return _drop_sentence(judgement, headline)
    return _more_sentence(judgement, headline)


def _keep_words(
    judgement: Judgement,
    headline: AnswerOutcome | None,
    bias: AnswerOutcome | None,
    spread: AnswerOutcome | None,
) -> str:
    parts: list[str] = []
    if judgement.longer.verdict == "yes" and headline is not None:
        parts.append(longer_words(headline))
    if judgement.straighter.verdict == "yes":
        parts.append(_straighter_words(bias, spread))
    elif judgement.odds_wilder is not None and judgement.odds_wilder < _NO_WILDER_BELOW:
        parts.append("no wilder")
    if judgement.straighter.verdict == "yes" and judgement.longer.verdict == "no":
        parts.append("no longer than before")
    return f"{_joined(parts)}{_wider_words(judgement)}{_wilder_tail(judgement)}"


def _wider_words(judgement: Judgement) -> str:
    """The price of a gain: said in the same sentence, as plainly."""
    price = [_DOUBTED[word] for word in ("wider", "maybe_wider") if word in judgement.reasons]
    return f", but {price[0]}" if price else ""


def _wilder_tail(judgement: Judgement) -> str:
    unsure = (
        judgement.straighter.verdict != "yes"
        and judgement.odds_wilder is not None
        and judgement.odds_wilder >= _NO_WILDER_BELOW
    )
    return ". Straighter or wilder: these shots cannot tell" if unsure else ""


def _straighter_words(bias: AnswerOutcome | None, spread: AnswerOutcome | None) -> str:
    parts = []
    if bias is not None and bias.verdict == "yes":
        parts.append(bias_words(bias))
    if spread is not None and spread.verdict == "yes":
        parts.append(spread_words(spread))
    return f"straighter, {_joined(parts) if parts else 'the balls miss the line by less'}"


def _drop_sentence(judgement: Judgement, headline: AnswerOutcome | None) -> str:
    gained = judgement.longer.verdict == "yes"
    words = longer_words(headline) if headline is not None else ""
    lost = [said for reason, said in _LOST.items() if reason in judgement.reasons]
    if {"shorter", "slower"} & set(judgement.reasons) and words:
        lost.insert(0, words)
    if lost:
        return f"Let it go: {words + ', but ' if gained and words else ''}{_joined(lost)}."
    size = f": {words}" if words else ""
    return f"Let it go, no gain worth having{size}."


def _more_sentence(judgement: Judgement, headline: AnswerOutcome | None) -> str:
    words = longer_words(headline) if headline is not None else ""
    if "trade" in judgement.reasons:
        return f"A trade, and yours to weigh: straighter, but {words or 'shorter'}."
    return f"Cannot tell yet.{_so_far(judgement, headline, words)} {_more_balls(judgement)}"


def _so_far(judgement: Judgement, headline: AnswerOutcome | None, words: str) -> str:
    doubts = _joined([said for reason, said in _DOUBTED.items() if reason in judgement.reasons])
    tail = f", but {doubts}." if doubts else "."
    if judgement.longer.verdict == "yes" and words:
        return f" {words[0].upper()}{words[1:]}{tail}"
    if judgement.straighter.verdict == "yes":
        return f" Straighter{tail}"
    if headline is not None and "too_early" not in judgement.reasons:
        return f" So far {words}, odds {in_100(headline.odds_better)}."
    return ""


def _more_balls(judgement: Judgement) -> str:
    if "cold_start" in judgement.reasons:
        return (
            "The first balls may have been cold ones: go back to the old way for five balls, "
            "and it will show."
        )
    if judgement.answer == "go_back":
        return "Go back to the old way for five balls: that tells more than five more with it."
    if judgement.n_more is None:
        return "A few more balls are not likely to settle it today."
    if judgement.n_more <= 3:
        return "Hit two or three more balls with the change."
    return f"Hit about {judgement.n_more} more balls with the change."


def _joined(parts: Sequence[str]) -> str:
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])}, and {parts[-1]}"
