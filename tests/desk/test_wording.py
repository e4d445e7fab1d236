"""The sentence: what a student reads for every kind of answer."""

from dataclasses import replace

import pytest

from leadfoot.desk.answer import AnswerOutcome
from leadfoot.desk.wording import (
    amount,
    bias_words,
    in_100,
    longer_words,
    sentence,
    shown_range,
    side_of_target,
    spread_words,
)
from leadfoot.evidence.judgement import Claim, Judgement

FASTER = AnswerOutcome(
    quantity="club_speed",
    kind="level",
    name="club speed",
    unit="mph",
    basis="measured",
    before=90.0,
    after=95.0,
    change=5.0,
    low=3.7,
    high=6.6,
    odds_better=0.99,
    verdict="yes",
    n_before=12,
    n_after=14,
)
LONGER = replace(
    FASTER, quantity="carry", unit="yd", before=150.0, after=158.6, change=8.6, low=3.2, high=14.1
)
NEARER = replace(
    FASTER, quantity="offline", kind="bias", unit="yd", before=-10.0, after=-2.2, change=7.8
)
NARROWER = replace(
    FASTER, quantity="offline", kind="spread", unit="yd", before=20.0, after=14.0, change=-6.0
)
NOT_YET = Claim(verdict="not_yet", odds=0.5)
YES = Claim(verdict="yes", odds=0.98)
NO = Claim(verdict="no", odds=0.02)
OPEN = Judgement(
    outcomes=(),
    longer=NOT_YET,
    bias=None,
    spread=None,
    straighter=NOT_YET,
    both=NOT_YET,
    odds_shorter=0.2,
    odds_wilder=0.5,
    mishits=None,
    odds_more_mishits=0.3,
    decision="hit_more",
    n_more=8,
    chance_more_tells=0.5,
    reasons=(),
)


@pytest.mark.parametrize(
    ("judgement", "headline", "bias", "spread", "says"),
    [
        (
            replace(OPEN, decision="keep", longer=YES, odds_wilder=0.1),
            FASTER,
            None,
            None,
            "Keep it: about 5 mph faster (4 to 7), and no wilder.",
        ),
        (
            replace(OPEN, decision="keep", longer=YES, odds_wilder=0.4),
            LONGER,
            None,
            None,
            "Keep it: about 9 yd longer (3 to 14). Straighter or wilder: these shots cannot tell.",
        ),
        (
            replace(OPEN, decision="keep", longer=YES, straighter=YES, both=YES),
            LONGER,
            NEARER,
            NARROWER,
            "Keep it: about 9 yd longer (3 to 14), and straighter, about 8 yd nearer the line on "
            "average, and a pattern about 30 % narrower.",
        ),
        (
            replace(OPEN, decision="keep", straighter=YES, longer=NO),
            LONGER,
            NEARER,
            replace(NARROWER, verdict="not_yet"),
            "Keep it: straighter, about 8 yd nearer the line on average, "
            "and no longer than before.",
        ),
        (
            replace(OPEN, decision="keep", straighter=YES),
            LONGER,
            replace(NEARER, verdict="not_yet"),
            replace(NARROWER, verdict="not_yet"),
            "Keep it: straighter, the balls miss the line by less.",
        ),
        (
            replace(OPEN, decision="drop", reasons=("shorter",)),
            replace(LONGER, change=-6.1, low=-11.2, high=-1.9),
            None,
            None,
            "Let it go: about 6 yd shorter (2 to 11).",
        ),
        (
            replace(OPEN, decision="drop", reasons=("slower",)),
            replace(FASTER, change=-3.1, low=-4.2, high=-1.9),
            None,
            None,
            "Let it go: about 3 mph slower (2 to 4).",
        ),
        (
            replace(OPEN, decision="drop", reasons=("wilder",)),
            LONGER,
            None,
            None,
            "Let it go: the balls fly wilder with it.",
        ),
        (
            replace(OPEN, decision="drop", reasons=("more_mishits",)),
            LONGER,
            None,
            None,
            "Let it go: more balls are mishit with it.",
        ),
        (
            replace(OPEN, decision="drop", reasons=("not_worth_it",)),
            replace(LONGER, change=0.4, low=-1.2, high=2.1),
            None,
            None,
            "Let it go, no gain worth having: about 0.4 yd longer (−1.2 to 2.1).",
        ),
        (
            OPEN,
            replace(LONGER, odds_better=0.84),
            None,
            None,
            "Cannot tell yet. So far about 9 yd longer (3 to 14), odds 84 in 100. "
            "Hit about 8 more balls with the change.",
        ),
        (
            replace(OPEN, reasons=("too_early",), n_more=1),
            LONGER,
            None,
            None,
            "Cannot tell yet. Hit two or three more balls with the change.",
        ),
        (
            replace(OPEN, reasons=("go_back",)),
            replace(LONGER, odds_better=0.84),
            None,
            None,
            "Cannot tell yet. So far about 9 yd longer (3 to 14), odds 84 in 100. "
            "Go back to the old way for five balls: that tells more than five more with it.",
        ),
        (
            replace(OPEN, reasons=("cold_start", "go_back")),
            replace(LONGER, odds_better=0.98),
            None,
            None,
            "Cannot tell yet. So far about 9 yd longer (3 to 14), odds 98 in 100. The first balls "
            "may have been cold ones: go back to the old way for five balls, and it will show.",
        ),
        (
            replace(OPEN, n_more=None),
            None,
            None,
            None,
            "Cannot tell yet. A few more balls are not likely to settle it today.",
        ),
        (
            replace(OPEN, longer=YES, reasons=("longer", "maybe_more_mishits")),
            FASTER,
            None,
            None,
            "Cannot tell yet. About 5 mph faster (4 to 7), but more balls may be mishit. "
            "Hit about 8 more balls with the change.",
        ),
        (
            replace(OPEN, straighter=YES, reasons=("straighter", "maybe_shorter")),
            FASTER,
            None,
            None,
            "Cannot tell yet. Straighter, but it may be shorter. "
            "Hit about 8 more balls with the change.",
        ),
        (
            replace(OPEN, straighter=YES, longer=NO, reasons=("straighter", "shorter", "trade")),
            replace(LONGER, change=-6.1, low=-11.2, high=-1.9),
            None,
            None,
            "A trade, and yours to weigh: straighter, but about 6 yd shorter (2 to 11).",
        ),
        (
            replace(
                OPEN, decision="drop", longer=YES, reasons=("longer", "wilder", "more_mishits")
            ),
            FASTER,
            None,
            None,
            "Let it go: about 5 mph faster (4 to 7), but the balls fly wilder with it, "
            "and more balls are mishit with it.",
        ),
    ],
)
def test_the_sentence(
    judgement: Judgement,
    headline: AnswerOutcome | None,
    bias: AnswerOutcome | None,
    spread: AnswerOutcome | None,
    says: str,
) -> None:
    assert sentence(judgement, headline=headline, bias=bias, spread=spread) == says


def test_slower_and_wider_are_said_as_plainly() -> None:
    slower = replace(FASTER, change=-2.4, low=-4.0, high=-0.9)
    assert longer_words(slower) == "about 2 mph slower (1 to 4)"
    assert bias_words(replace(NEARER, before=2.0, after=-9.0)) == (
        "about 7 yd further from the line on average"
    )
    assert spread_words(replace(NARROWER, before=10.0, change=2.5)) == (
        "a pattern about 25 % wider"
    )
    assert longer_words(replace(FASTER, quantity="ball_speed")) == (
        "about 5 mph more ball speed (4 to 7)"
    )


def test_odds_never_claim_certainty() -> None:
    assert [in_100(odds) for odds in (0.0, 0.004, 0.5, 0.995, 1.0)] == [
        "under 1 in 100",
        "under 1 in 100",
        "50 in 100",
        "over 99 in 100",
        "over 99 in 100",
    ]


def test_numbers_are_no_finer_than_a_coach_can_use() -> None:
    assert amount(-0.04, "yd") == "0.0 yd"
    assert amount(-1.44, "deg") == "−1.4°"
    assert amount(12.6, "m") == "13 m"
    assert shown_range(FASTER) == "4 to 7"
    assert side_of_target(-4.2, "yd") == "4 yd left"
    assert side_of_target(3.04, "deg") == "3.0° right"
