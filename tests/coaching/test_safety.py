"""Cautions beside what is advised, and no maximal effort without a permit."""

import pytest

from leadfoot.coaching.drills import drills
from leadfoot.coaching.safety import (
    Situation,
    allowed,
    cautions,
    cautions_for,
    cautions_from,
    questions_for,
)
from leadfoot.errors import InputError
from leadfoot.ground.screening import JUNIOR_QUESTIONS, QUESTIONS, Screening

NO = {question.key: False for question in (*QUESTIONS, *JUNIOR_QUESTIONS)}
FAST = drills()["three_fast"]


def kinds(where: Situation, maximal: bool = False) -> set[str]:
    return {one.when for one in cautions_for(where, [FAST] if maximal else [])}


def test_licensed_practice_and_the_house_come_first_always() -> None:
    first = cautions_for(Situation(indoors=False))[0]
    assert "medical licence" in first.text
    assert "rules of the place" in first.text


def test_each_situation_brings_its_own() -> None:
    assert kinds(Situation(indoors=False)) == {"always"}
    assert kinds(Situation()) == {"always", "indoors"}
    assert kinds(Situation(age_years=12.0)) == {"always", "indoors", "junior"}
    assert kinds(Situation(indoors=False), maximal=True) == {"always", "maximal"}
    jump = (200.0, 200.0, 200.0, 200.0, 400.0)
    assert kinds(Situation(indoors=False, balls_by_week=jump)) == {"always", "load"}


def test_indoors_speaks_of_net_ceiling_bystanders_and_what_comes_back() -> None:
    indoors = {key for key, one in cautions().items() if one.when == "indoors"}
    assert indoors == {"net", "ceiling", "bystanders", "ricochet"}


def test_every_caution_has_a_source() -> None:
    assert all(one.source for one in cautions().values())


def test_a_maximal_effort_needs_every_question_answered_with_no() -> None:
    clear = Screening(on_day="2026-03-02", answers={q.key: False for q in QUESTIONS})
    sore = Screening(on_day="2026-03-02", answers={**clear.answers, "pain_now": True})
    assert not allowed(FAST, Situation())
    assert allowed(FAST, Situation(screening=clear))
    assert not allowed(FAST, Situation(screening=sore))
    assert allowed(drills()["half_nine"], Situation(screening=sore))


def test_a_junior_is_asked_more() -> None:
    assert questions_for(Situation(age_years=12.0)) == QUESTIONS + JUNIOR_QUESTIONS
    assert questions_for(Situation(age_years=40.0)) == QUESTIONS


def test_what_is_wrong_is_said_with_entry_and_field() -> None:
    with pytest.raises(InputError, match="when of the caution 'mine' is 'never'"):
        cautions_from('[mine]\nwhen = "never"\ntitle = "t"\ntext = "x"\nsource = "y"\n')
