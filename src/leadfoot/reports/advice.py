"""What to do next after a decision, and the cautions that stand beside it.

The advice keeps the mind on the ball's flight and the target, not on parts of the body: learners
who attend to the effect of a movement do better than those who attend to the movement (G. Wulf,
"Attentional focus and motor learning: a review of 15 years", International Review of Sport and
Exercise Psychology, vol. 6, pp. 77-104, 2013; cited from memory). Turns of a few balls and a later
test without the aid are common practice in teaching, no single source. The cautions are common
practice and defer to licensed practice.
"""

from dataclasses import dataclass

from leadfoot.evidence.judgement import Decision
from leadfoot.language.say import noted, say, say_n

CAUTIONS = (
    noted("Stop if anything hurts."),
    noted("Warm up first: easy swings, then longer ones, then full ones."),
    noted("All-out swings: only a few, and rested."),
    noted(
        "Look for room around and above the club, and nobody in reach or in line. Indoors, check "
        "net and mat."
    ),
    noted(
        "Back pain, or any pain that stays: see a doctor or a physiotherapist before you swing "
        "again."
    ),
)
"""Beside every advice, in this order; to be said in the language of the reader."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """What to do next: a title and a few short sentences."""

    title: str
    steps: tuple[str, ...]


_FLIGHT = noted("Keep your mind on the flight that you want to see, not on a part of your body.")


def advice(decision: Decision, n_more: int | None) -> Advice:
    """What a student should do after this decision.

    Parameters
    ----------
    decision
        Keep, drop, or hit more.
    n_more
        Balls with the change after which an answer is likely; None where more would not tell.

    Examples
    --------
    >>> advice("hit_more", 14).title
    'Hit about 14 more balls'
    """
    if decision == "keep":
        return Advice(
            title=say("Keep it"),
            steps=(
                say(
                    "Practise it in turns of five or six balls, with a short rest and a new target."
                ),
                say(_FLIGHT),
                say(
                    "In a week or two, hit a dozen balls without the cue or the aid. If the "
                    "numbers stay, it has become yours."
                ),
            ),
        )
    if decision == "drop":
        return Advice(
            title=say("Go back to your own swing"),
            steps=(
                say("Hit a few easy balls the way you did before, to a target."),
                say("Nothing is lost: this one is known now."),
                say("Choose the next thing to try with your teacher, one at a time."),
            ),
        )
    return _more(n_more)


def _more(n_more: int | None) -> Advice:
    if not n_more:
        return Advice(
            title=say("Leave it open"),
            steps=(
                say("More balls today are not likely to settle it. Come back to it fresh."),
                say("Until then play the way you did before."),
                say(_FLIGHT),
            ),
        )
    return Advice(
        title=say_n("Hit about {n} more ball", "Hit about {n} more balls", n_more),
        steps=(
            say(
                "Hit them with the change, five or six at a time, in turns with your own swing, so "
                "that tiring falls on both alike."
            ),
            say(_FLIGHT),
            say("Then look at the answer again. Until then, nothing is decided."),
        ),
    )
