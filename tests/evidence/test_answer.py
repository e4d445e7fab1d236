"""The answers that are one word finer than the decision, and what leads to them."""

from dataclasses import replace

import numpy as np
import pytest

from leadfoot.evidence.judge import judge
from leadfoot.evidence.judgement import Answer, Claim, Decision, Judgement
from tests.evidence.shots import lesson_of

NOT_YET = Claim(verdict="not_yet", odds=0.5)
OPEN = Judgement(
    outcomes=(),
    longer=NOT_YET,
    bias=None,
    spread=None,
    straighter=NOT_YET,
    both=NOT_YET,
    odds_shorter=None,
    odds_wilder=None,
    mishits=None,
    odds_more_mishits=None,
    decision="hit_more",
    n_more=None,
    chance_more_tells=None,
    reasons=(),
)
BEFORE = [41.9, 42.6, 42.2, 42.9, 42.4, 42.5, 42.1, 42.7, 42.3, 42.4]


@pytest.mark.parametrize(
    ("decision", "reasons", "answer"),
    [
        ("keep", ("longer",), "keep"),
        ("drop", ("shorter",), "hurts"),
        ("drop", ("longer", "more_mishits"), "hurts"),
        ("drop", ("not_worth_it",), "no_worthwhile_gain"),
        ("hit_more", ("straighter", "shorter", "trade"), "trade"),
        ("hit_more", ("cold_start", "go_back"), "go_back"),
        ("hit_more", ("go_back", "wider_than_usual"), "go_back"),
        ("hit_more", ("too_early",), "hit_more"),
    ],
)
def test_the_answer(decision: Decision, reasons: tuple[str, ...], answer: Answer) -> None:
    assert replace(OPEN, decision=decision, reasons=reasons).answer == answer


def test_a_clear_loss_hurts_and_an_even_lesson_brings_no_worthwhile_gain() -> None:
    shot = np.arange(25) >= 10
    after = np.resize(BEFORE, 15)
    slower = lesson_of(shot, {"club_speed": [*BEFORE, *(after - 1.6)]}, distance="club_speed")
    even = lesson_of(shot, {"club_speed": [*BEFORE, *(after - 0.15)]}, distance="club_speed")
    assert judge(slower).answer == "hurts"
    assert judge(even).answer == "no_worthwhile_gain"


def test_a_rise_in_the_first_balls_sends_back_to_the_old_way() -> None:
    cold = 42.6 - 0.6 * np.exp(-np.arange(10) / 6.0) + 0.2 * np.resize([1, -1], 10)
    speeds = [*cold, *(42.7 + 0.2 * np.resize([1, -1], 12))]
    shot = np.arange(22) >= 10
    lesson = lesson_of(shot, {"club_speed": speeds}, distance="club_speed", sds={"club_speed": 0.4})
    answer = judge(lesson)
    assert answer.longer.verdict == "not_yet"
    assert {"cold_start", "go_back"} <= set(answer.reasons)
    assert answer.answer == "go_back"
    warm = replace(lesson, ball_number=lesson.ball_number + 10.0)
    assert judge(warm).decision == "keep"


def test_where_balls_with_it_have_said_all_they_can_it_is_time_to_go_back() -> None:
    after = np.resize([42.3, 43.0, 42.5, 42.9, 42.6], 30)
    lesson = lesson_of(
        np.arange(40) >= 10, {"club_speed": [*BEFORE, *after]}, distance="club_speed"
    )
    answer = judge(lesson)
    assert (answer.decision, answer.answer) == ("hit_more", "go_back")
