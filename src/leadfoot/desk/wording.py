"""The sentence a student understands, and the words and figures beside it."""

from leadfoot.desk.answer import AnswerOutcome
from leadfoot.evidence.judgement import Judgement
from leadfoot.evidence.memory import Memory
from leadfoot.evidence.next_step import NextStep
from leadfoot.language.numbers import joined, number
from leadfoot.language.say import noted, say, say_n
from leadfoot.quantities import glossary

_SHOWN_UNIT = {"deg": "°", None: ""}
_WORDS_MORE = {
    "club_speed": (noted("about {size} faster ({range})"), noted("about {size} slower ({range})")),
    "ball_speed": (
        noted("about {size} more ball speed ({range})"),
        noted("about {size} less ball speed ({range})"),
    ),
    "smash_factor": (
        noted("about {size} better in smash factor ({range})"),
        noted("about {size} worse in smash factor ({range})"),
    ),
}
_LONGER = (noted("about {size} longer ({range})"), noted("about {size} shorter ({range})"))
_LOST = {
    "wilder": noted("the balls fly wilder with it"),
    "more_mishits": noted("more balls are mishit with it"),
}
_DOUBTED = {
    "maybe_shorter": noted("it may be shorter"),
    "maybe_wilder": noted("it may be wilder"),
    "maybe_more_mishits": noted("more balls may be mishit"),
    "wider": noted("the pattern is wider"),
    "maybe_wider": noted("the pattern may be wider"),
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
    text, n = odds_words(odds)
    return say(text, n=n)


def odds_words(odds: float) -> tuple[str, int]:
    """The same as a text with a gap for its number, still to be said, and the number.

    Examples
    --------
    >>> odds_words(0.9999)
    ('over {n} in 100', 99)
    """
    if odds > 0.99:
        return noted("over {n} in 100"), 99
    if odds < 0.01:
        return noted("under {n} in 100"), 1
    return noted("{n} in 100"), round(odds * 100)


def amount(value: float, unit: str | None, *, decimals: int | None = None) -> str:
    """A number with its unit, as people say it.

    Examples
    --------
    >>> amount(5.13, "mph"), amount(1.26, "deg"), amount(0.031, None)
    ('5 mph', '1.3°', '0.03')
    """
    places = decimals_for(value, unit) if decimals is None else decimals
    shown = _SHOWN_UNIT.get(unit, f" {unit}")
    return f"{number(value, places)}{shown}"


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
    return say("{low} to {high}", low=number(low, places), high=number(high, places))


def longer_words(outcome: AnswerOutcome) -> str:
    """Such as ``about 5 mph faster (4 to 7)``."""
    up, down = _WORDS_MORE.get(outcome.quantity, _LONGER)
    gained = outcome.change >= 0
    return say(
        up if gained else down,
        size=amount(abs(outcome.change), outcome.unit),
        range=shown_range(outcome, sign=1.0 if gained else -1.0),
    )


def bias_words(outcome: AnswerOutcome) -> str:
    """Such as ``6 yd nearer the line on average``."""
    gained = abs(outcome.before) - abs(outcome.after)
    size = amount(abs(gained), outcome.unit)
    if gained >= 0:
        return say("about {size} nearer the line on average", size=size)
    return say("about {size} further from the line on average", size=size)


def spread_words(outcome: AnswerOutcome) -> str:
    """Such as ``a pattern about 20 % narrower``."""
    share = outcome.change / outcome.before if outcome.before else 0.0
    size = number(abs(share) * 100)
    if share < 0:
        return say("a pattern about {size} % narrower", size=size)
    return say("a pattern about {size} % wider", size=size)


def side_of_target(value: float, unit: str | None) -> str:
    """A signed direction in words.

    Examples
    --------
    >>> side_of_target(-4.2, "yd"), side_of_target(0.01, "deg")
    ('4 yd left', 'on the line')
    """
    if round(abs(value), decimals_for(value, unit)) == 0.0:
        return say("on the line")
    return sided(amount(abs(value), unit), value)


def sided(size: str, value: float) -> str:
    """A size with its side of the target: right is positive.

    Examples
    --------
    >>> sided("4 yd", -4.0)
    '4 yd left'
    """
    return say("{size} right", size=size) if value > 0 else say("{size} left", size=size)


def outcome_name(quantity: str, kind: str) -> str:
    """What an outcome is called on pages and sheets.

    Examples
    --------
    >>> outcome_name("offline", "spread")
    'offline, spread'
    """
    if kind == "mishits":
        return say("mishits")
    name = say(glossary()[quantity].name)
    if kind == "level":
        return name
    if kind == "bias":
        return say("{quantity}, average", quantity=name)
    return say("{quantity}, spread", quantity=name)


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
        return say("The usual spread is assumed from players in general.")
    newest, oldest = round(memory.newest_days), round(memory.oldest_days)
    if oldest == 0:
        age = say("of today")
    elif newest < oldest:
        age = say("{newest} to {oldest} days old", newest=newest, oldest=oldest)
    else:
        age = say_n("{n} day old", "{n} days old", oldest)
    return say_n(
        "The usual spread is learnt from {n} earlier lesson with this club: {balls} balls, {age}.",
        "The usual spread is learnt from {n} earlier lessons with this club: {balls} balls, {age}.",
        memory.n_lessons,
        balls=memory.n_balls,
        age=age,
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
        return _keep_sentence(judgement, headline, bias, spread)
    if judgement.decision == "drop":
        return _drop_sentence(judgement, headline)
    return _more_sentence(judgement, headline)


def _keep_sentence(
    judgement: Judgement,
    headline: AnswerOutcome | None,
    bias: AnswerOutcome | None,
    spread: AnswerOutcome | None,
) -> str:
    gains = joined(_gains(judgement, headline, bias, spread))
    # The price of a gain stands in the same sentence, as plainly.
    price = [say(_DOUBTED[word]) for word in ("wider", "maybe_wider") if word in judgement.reasons]
    kept = (
        say("Keep it: {gains}, but {price}.", gains=gains, price=price[0])
        if price
        else say("Keep it: {gains}.", gains=gains)
    )
    unsure = (
        judgement.straighter.verdict != "yes"
        and judgement.odds_wilder is not None
        and judgement.odds_wilder >= _NO_WILDER_BELOW
    )
    if not unsure:
        return kept
    return " ".join((kept, say("Straighter or wilder: these shots cannot tell.")))


def _gains(
    judgement: Judgement,
    headline: AnswerOutcome | None,
    bias: AnswerOutcome | None,
    spread: AnswerOutcome | None,
) -> list[str]:
    parts: list[str] = []
    if judgement.longer.verdict == "yes" and headline is not None:
        parts.append(longer_words(headline))
    if judgement.straighter.verdict == "yes":
        parts.append(_straighter_words(bias, spread))
    elif judgement.odds_wilder is not None and judgement.odds_wilder < _NO_WILDER_BELOW:
        parts.append(say("no wilder"))
    if judgement.straighter.verdict == "yes" and judgement.longer.verdict == "no":
        parts.append(say("no longer than before"))
    return parts


def _straighter_words(bias: AnswerOutcome | None, spread: AnswerOutcome | None) -> str:
    parts = []
    if bias is not None and bias.verdict == "yes":
        parts.append(bias_words(bias))
    if spread is not None and spread.verdict == "yes":
        parts.append(spread_words(spread))
    if not parts:
        return say("straighter, the balls miss the line by less")
    return say("straighter, {how}", how=joined(parts))


def _drop_sentence(judgement: Judgement, headline: AnswerOutcome | None) -> str:
    gained = judgement.longer.verdict == "yes"
    words = longer_words(headline) if headline is not None else ""
    lost = [say(said) for reason, said in _LOST.items() if reason in judgement.reasons]
    if {"shorter", "slower"} & set(judgement.reasons) and words:
        lost.insert(0, words)
    if lost and gained and words:
        return say("Let it go: {gain}, but {lost}.", gain=words, lost=joined(lost))
    if lost:
        return say("Let it go: {lost}.", lost=joined(lost))
    if words:
        return say("Let it go, no gain worth having: {gain}.", gain=words)
    return say("Let it go, no gain worth having.")


def _more_sentence(judgement: Judgement, headline: AnswerOutcome | None) -> str:
    words = longer_words(headline) if headline is not None else ""
    if "trade" in judgement.reasons:
        if words:
            return say("A trade, and yours to weigh: straighter, but {price}.", price=words)
        return say("A trade, and yours to weigh: straighter, but shorter.")
    said = (say("Cannot tell yet."), _so_far(judgement, headline, words), _more_balls(judgement))
    return " ".join(part for part in said if part)


def _so_far(judgement: Judgement, headline: AnswerOutcome | None, words: str) -> str:
    doubts = joined([say(said) for key, said in _DOUBTED.items() if key in judgement.reasons])
    if judgement.longer.verdict == "yes" and words:
        so_far = sentence_case(words)
    elif judgement.straighter.verdict == "yes":
        so_far = say("Straighter")
    elif headline is not None and "too_early" not in judgement.reasons:
        odds = in_100(headline.odds_better)
        return say("So far {change}, odds {odds}.", change=words, odds=odds)
    else:
        return ""
    return say("{gain}, but {doubts}.", gain=so_far, doubts=doubts) if doubts else f"{so_far}."


def sentence_case(text: str) -> str:
    """A text with its first letter large, the others as they are.

    Examples
    --------
    >>> sentence_case("about 5 mph faster")
    'About 5 mph faster'
    """
    return f"{text[:1].upper()}{text[1:]}"


def _more_balls(judgement: Judgement) -> str:
    if "cold_start" in judgement.reasons:
        return say(
            "The first balls may have been cold ones: go back to the old way for five balls, "
            "and it will show."
        )
    if judgement.answer == "go_back":
        return say("Go back to the old way for five balls: that tells more than five more with it.")
    if judgement.n_more is None:
        return say("A few more balls are not likely to settle it today.")
    if judgement.n_more <= 3:
        return say("Hit two or three more balls with the change.")
    return say("Hit about {n} more balls with the change.", n=judgement.n_more)
