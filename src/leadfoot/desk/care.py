"""What the book knows of a student that holds a drill back or asks for caution."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from leadfoot.coaching.drills import Drill
from leadfoot.coaching.homework import load_jump
from leadfoot.coaching.safety import Situation, allowed, questions_for
from leadfoot.desk.desk import Desk
from leadfoot.desk.homework import homework_view
from leadfoot.desk.jumps import screening_of_today
from leadfoot.ground.screening import Permit, permit

WEEKS = 5
"""This week and the four before it, as `leadfoot.ground.screening.sudden_increase` asks for."""
NOT_ASKED = "today's screening questions are not answered yet"


@dataclass(frozen=True, slots=True, kw_only=True)
class Care:
    """What stands for or against hard effort today.

    Attributes
    ----------
    situation
        For the cautions: today's answers, whether the student is a junior, the load.
    answers
        Each question of today, and "yes", "no" or "not answered".
    balls_by_week
        Balls of lessons and of practice at home, written down or given as shots; the week that
        ends today is the last.
    pain_today
        Whether pain was noted at home today.
    warnings
        A load that jumps, and what the latest homework warns of.
    """

    situation: Situation
    answers: tuple[tuple[str, str], ...] = ()
    balls_by_week: tuple[int, ...] = ()
    pain_today: bool = False
    warnings: tuple[str, ...] = ()

    @property
    def permit(self) -> Permit | None:
        """Today's permit; None where nobody asked."""
        return None if self.situation.screening is None else permit(self.situation.screening)

    @property
    def age_said(self) -> str:
        """What is known of the age, in words."""
        return "below 18 years" if self.situation.junior else "not noted as below 18 years"


def held_back(drill: Drill, care: Care) -> str:
    """Why a drill may not be done today; empty where it may.

    Examples
    --------
    >>> from leadfoot.coaching.drills import drills
    >>> held_back(drills()["three_fast"], Care(situation=Situation()))
    "Held back: today's screening questions are not answered yet."
    >>> held_back(drills()["half_nine"], Care(situation=Situation()))
    ''
    """
    if not drill.maximal:
        return ""
    if care.pain_today:
        return "Held back: pain was noted at home today."
    if allowed(drill, care.situation):
        return ""
    found = care.permit
    return f"Held back: {NOT_ASKED}." if found is None else f"Held back: {found.said}"


def care_for(desk: Desk, student_id: int) -> Care:
    """Gather today's answers, the age and the load of a student; reading only."""
    today = desk.clock().date()
    asked, screening = screening_of_today(desk, student_id)
    known = desk.book.screenings(student_id)
    weeks, pain_today, warnings = _practice(desk, student_id, today)
    jump = load_jump(weeks)
    situation = Situation(
        known_junior=bool(known) and known[-1].junior,
        # A jump counts here only where it is one by the homework's rule too: a few balls are none.
        balls_by_week=tuple(map(float, weeks)) if jump else (),
        screening=None if asked is None else screening,
    )
    said = {True: "yes", False: "no", None: "not answered"}
    return Care(
        situation=situation,
        answers=tuple(
            (one.text, said[screening.answers.get(one.key)]) for one in questions_for(situation)
        ),
        balls_by_week=weeks,
        pain_today=pain_today,
        warnings=tuple(dict.fromkeys((*((jump,) if jump else ()), *warnings))),
    )


def _practice(
    desk: Desk, student_id: int, today: date
) -> tuple[tuple[int, ...], bool, tuple[str, ...]]:
    """Balls by week up to today, whether pain was noted today, and the latest plan's warnings."""
    views = [homework_view(desk, one.id) for one in desk.book.homework_of(student_id)]
    logs = [log for view in views for log in view.logs.values()]
    hit = [one for view in views for one in view.hits]
    hit += [
        (lesson.held_on, len(desk.book.shots(lesson.id)))
        for lesson in desk.book.lessons(student_id)
        if 0 <= (today - lesson.held_on).days < 7 * WEEKS
    ]
    return (
        by_week(hit, today),
        any(log.pain and log.done_on == today for log in logs),
        views[-1].warnings if views else (),
    )


def by_week(hit: Sequence[tuple[date, int]], today: date) -> tuple[int, ...]:
    """Balls of the last five weeks, the one that ends today last.

    Examples
    --------
    >>> day = date(2026, 3, 30)
    >>> by_week([(day, 40), (date(2026, 3, 24), 20), (date(2026, 3, 23), 50)], day)
    (0, 0, 0, 50, 60)
    """
    weeks = [0] * WEEKS
    for day, n_balls in hit:
        ago = (today - day).days
        if 0 <= ago < 7 * WEEKS:
            weeks[-1 - ago // 7] += n_balls
    return tuple(weeks)
