"""Before a maximal effort: a yes stands until a clinician's clearance is recorded."""

from itertools import product

import pytest

from leadfoot.errors import InputError
from leadfoot.ground.screening import (
    JUNIOR_QUESTIONS,
    QUESTIONS,
    Clearance,
    Screening,
    falling,
    permit,
    require_permit,
    sudden_increase,
)

NO = {question.key: False for question in QUESTIONS}
TODAY = "2026-03-14"


def cleared(*keys: str, on_day: str = TODAY, until_day: str | None = None) -> Clearance:
    return Clearance(
        clinician="Dr Invented, licence 0", on_day=on_day, covers=keys, until_day=until_day
    )


@pytest.mark.parametrize("key", list(NO))
def test_each_yes_blocks_until_its_clearance(key: str) -> None:
    answers = {**NO, key: True}
    blocked = permit(Screening(on_day=TODAY, answers=answers))
    assert not blocked.allowed
    assert [question.key for question in blocked.blocked_by] == [key]
    assert "clearance" in blocked.said
    allowed = permit(Screening(on_day=TODAY, answers=answers, clearances=(cleared(key),)))
    assert allowed.allowed
    assert len(allowed.stop_rules) >= 4
    assert len(allowed.cautions) >= 4


def test_allowed_means_every_question_answered_and_every_yes_cleared() -> None:
    keys = list(NO)
    for answered, yes, covered in product((True, False), repeat=3):
        answers = {**NO, keys[1]: yes}
        if not answered:
            del answers[keys[3]]
        clearances = (cleared(keys[1]),) if covered else ()
        found = permit(Screening(on_day=TODAY, answers=answers, clearances=clearances))
        assert found.allowed == (answered and (covered or not yes))


def test_a_clearance_of_another_question_or_one_that_ended_does_not_count() -> None:
    answers = {**NO, "back_pain_last_year": True}

    def allowed(clearance: Clearance) -> bool:
        return permit(Screening(on_day=TODAY, answers=answers, clearances=(clearance,))).allowed

    assert not allowed(cleared("pregnant"))
    assert not allowed(cleared("back_pain_last_year", on_day="2025-01-01", until_day="2026-03-13"))
    assert allowed(cleared("back_pain_last_year", on_day="2025-01-01"))


def test_pain_of_today_needs_a_clearance_of_today() -> None:
    answers = {**NO, "pain_now": True}
    old = Screening(
        on_day=TODAY, answers=answers, clearances=(cleared("pain_now", on_day="2026-03-01"),)
    )
    assert not permit(old).allowed


def test_what_the_clinician_asked_for_is_passed_on() -> None:
    clearance = Clearance(
        clinician="Dr Invented", on_day=TODAY, covers=("osteoporosis",), limits="no jumps"
    )
    found = permit(
        Screening(on_day=TODAY, answers={**NO, "osteoporosis": True}, clearances=(clearance,))
    )
    assert found.limits == ("no jumps",)


def test_a_junior_is_asked_more() -> None:
    found = permit(Screening(on_day=TODAY, answers=NO, junior=True))
    assert found.unanswered == JUNIOR_QUESTIONS
    assert not found.allowed


def test_without_a_permit_nothing_goes_on() -> None:
    with pytest.raises(InputError) as error:
        require_permit(Screening(on_day=TODAY, answers={**NO, "pregnant": True}))
    assert str(error.value) == (
        "Answered with yes: Are you pregnant, or were you in the last half year? "
        "No maximal effort until a clinician's clearance is recorded."
    )
    with pytest.raises(InputError, match="Ask every question first"):
        require_permit(Screening(on_day=TODAY, answers={}))


def test_bad_records_are_refused() -> None:
    with pytest.raises(InputError, match="There is no question 'age'"):
        Screening(on_day=TODAY, answers={"age": True})
    with pytest.raises(InputError, match="Write it as 2026-03-14"):
        Screening(on_day="14.3.2026", answers={})
    with pytest.raises(InputError, match="names no clinician"):
        Clearance(clinician=" ", on_day=TODAY, covers=())


def test_falling_efforts_and_sudden_weeks() -> None:
    assert falling([44.0, 45.0, 42.0, 42.1, 42.5])
    assert not falling([45.0, 42.0, 42.0])
    assert not falling([44.0, 45.0, 42.0, 43.5, 42.0])
    assert not sudden_increase([0, 0, 0, 0, 10])
    assert sudden_increase([100, 120, 80, 100, 151])
