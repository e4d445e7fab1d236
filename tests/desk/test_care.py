"""What holds back a drill with maximal effort: today's answers, pain, and the load in the book."""

from datetime import timedelta

import pytest

from leadfoot.coaching.drills import drills
from leadfoot.coaching.homework import Week
from leadfoot.coaching.safety import cautions_for
from leadfoot.desk.care import care_for, held_back
from leadfoot.desk.desk import Desk
from leadfoot.desk.homework import give_homework, log_session
from leadfoot.desk.jumps import ask
from leadfoot.desk.lesson import add_student
from leadfoot.ground.screening import JUNIOR_QUESTIONS, QUESTIONS
from tests.desk.weeks import days_later, lesson_with

NO = {question.key: False for question in QUESTIONS}
FAST, SOFT = drills()["three_fast"], drills()["half_nine"]


@pytest.fixture
def student_id(desk: Desk) -> int:
    return add_student(desk, name="Ada Nowhere", hand="right").id


def practised(desk: Desk, student_id: int, *, n_balls: int, pain: bool = False) -> None:
    """A lesson of 28 balls and a session at home, both today."""
    lesson = lesson_with(desk, student_id, change="press", gain_mph=1.0, seed=1)
    week = Week(days=(0, 2, 5), minutes=45, balls=40, place="range")
    plan = give_homework(desk, lesson.id, week, cue="press", criterion="starts between the posts")
    log_session(
        desk,
        plan.id,
        session=1,
        n_balls=n_balls,
        n_counted=0,
        n_met=0,
        pain=pain,
        notes="",
        logged_by="student",
    )


def test_nothing_maximal_before_the_questions_of_today(desk: Desk, student_id: int) -> None:
    care = care_for(desk, student_id)
    assert held_back(FAST, care) == ("Held back: today's screening questions are not answered yet.")
    assert held_back(SOFT, care) == ""
    ask(desk, student_id, NO, junior=False)
    assert held_back(FAST, care_for(desk, student_id)) == ""
    tomorrow = care_for(days_later(desk, 1), student_id)
    assert "not answered yet" in held_back(FAST, tomorrow)


def test_a_yes_holds_back(desk: Desk, student_id: int) -> None:
    ask(desk, student_id, {**NO, "back_pain_last_year": True}, junior=False)
    care = care_for(desk, student_id)
    assert "a question was answered with yes" in held_back(FAST, care)
    assert [answer for _, answer in care.answers].count("yes") == 1


def test_a_junior_stays_one_on_later_days(desk: Desk, student_id: int) -> None:
    ask(desk, student_id, NO, junior=True)
    today = care_for(desk, student_id)
    assert "1 questions are not answered" in held_back(FAST, today)
    later = care_for(days_later(desk, 30), student_id)
    assert later.situation.junior
    assert later.age_said == "below 18 years"
    assert len(later.answers) == len(QUESTIONS) + len(JUNIOR_QUESTIONS)
    assert "junior" in {one.when for one in cautions_for(later.situation)}


def test_pain_of_today_holds_back_in_spite_of_the_answers(desk: Desk, student_id: int) -> None:
    ask(desk, student_id, NO, junior=False)
    practised(desk, student_id, n_balls=30, pain=True)
    care = care_for(desk, student_id)
    assert held_back(FAST, care) == "Held back: pain was noted at home today."
    assert any(warning.startswith("Pain was noted in session 1") for warning in care.warnings)


def test_a_jump_of_the_load_is_warned_of(desk: Desk, student_id: int) -> None:
    """28 balls of the lesson and 120 at home, after weeks with nothing; a few balls are no jump."""
    practised(desk, student_id, n_balls=120)
    care = care_for(desk, student_id)
    assert care.balls_by_week == (0, 0, 0, 0, 148)
    assert any("148 balls this week" in warning for warning in care.warnings)
    later = care_for(days_later(desk, 8), student_id)
    assert later.balls_by_week == (0, 0, 0, 148, 0)
    assert later.warnings == ()


def test_a_jump_after_usual_weeks_brings_the_cautions_of_load(desk: Desk, student_id: int) -> None:
    for week in range(4):
        practised(days_later(desk, 7 * week), student_id, n_balls=20)
    there = days_later(desk, 28)
    assert there.clock() - desk.clock() == timedelta(days=28)
    practised(there, student_id, n_balls=200)
    care = care_for(there, student_id)
    assert care.balls_by_week == (48, 48, 48, 48, 228)
    assert "load" in {one.when for one in cautions_for(care.situation)}
