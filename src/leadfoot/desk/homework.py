"""Homework as a deed: given after a lesson, filled in through a private link, looked at again."""

import hashlib
import json
import secrets
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from leadfoot.coaching.drills import Drill, drills
from leadfoot.coaching.homework import (
    HomePlan,
    HomeSession,
    Next,
    Week,
    load_jump,
    next_difficulty,
    plan_homework,
)
from leadfoot.coaching.homework_form import homework_from_json
from leadfoot.desk.desk import Desk
from leadfoot.desk.home_shots import balls_hit
from leadfoot.desk.homework_records import (
    HomeTable,
    HomeworkLog,
    LoggedBy,
    PrivateLink,
    StoredHomework,
)
from leadfoot.desk.own_drills import all_drills
from leadfoot.desk.reader import language_for
from leadfoot.desk.records import Lesson, Student
from leadfoot.errors import InputError, NotInBookError, ReportError
from leadfoot.language.say import noted, say, speaking

LINK_DAYS = 60
"""How long a private link works: longer than the longest plan. Our own choice."""
SECRET_BYTES = 24
"""192 random bits: nobody guesses a link."""
HOME_CAUTIONS = (
    noted("Warm up first: move, then easy swings, then longer ones."),
    noted("Stop at any pain. Pain that stays: a doctor or a physiotherapist first."),
    noted("Nobody within reach of the club or in line with the ball."),
)
NET_CAUTIONS = (
    noted("Look at the net and the mat before the first ball: no holes, no frame within reach."),
    noted("Swing the longest club slowly to all its ends first: ceiling, lamps, walls."),
)
"""Common practice, no source."""
MOST_NOTES = 2_000


@dataclass(frozen=True, slots=True, kw_only=True)
class HomeworkView:
    """A plan with what was done of it.

    Attributes
    ----------
    logs
        The latest log of each session by its number.
    tables
        Tables of shots that were given, in order of giving, those left out among them.
    done
        Sessions that were written down, or of which shots were given.
    n_counted, n_met
        Balls of the last two sessions that were counted, and that met the criterion.
    difficulty
        Easier, the same, or harder.
    hits
        Days and balls of practice, each ball once.
    balls_by_week
        Balls that were hit in each week from the lesson on.
    warnings
        A load that jumps; pain.
    links
        Links that work today.
    """

    stored: StoredHomework
    plan: HomePlan
    lesson: Lesson
    student: Student
    logs: Mapping[int, HomeworkLog]
    tables: tuple[HomeTable, ...]
    n_counted: int
    n_met: int
    difficulty: Next
    hits: tuple[tuple[date, int], ...]
    balls_by_week: tuple[int, ...]
    warnings: tuple[str, ...]
    links: tuple[PrivateLink, ...]

    @property
    def done_sessions(self) -> frozenset[int]:
        """Numbers of the sessions that were written down, or of which shots were given."""
        given = {one.session for one in self.tables if one.left_out_reason is None}
        return frozenset(self.logs) | {one for one in given if one is not None}

    @property
    def done(self) -> int:
        """Sessions that were written down, or of which shots were given."""
        return len(self.done_sessions)

    def shots_of(self, session: int) -> int:
        """Balls of a session that were given as shots and count."""
        return sum(
            one.n_shots
            for one in self.tables
            if one.session == session and one.left_out_reason is None
        )

    def day_of(self, session: HomeSession) -> date:
        """The day of a session: the plan begins on the day after the lesson."""
        return session_day(self.lesson.held_on, session)


def session_day(held_on: date, session: HomeSession) -> date:
    """The day of a session, in the weeks that begin the day after a lesson.

    Examples
    --------
    >>> first = HomeSession(number=1, week=1, day=0, blocks=())
    >>> session_day(date(2026, 3, 2), first).isoformat()  # a Monday: the next one
    '2026-03-09'
    """
    start = held_on + timedelta(days=1)
    ahead = (session.day - start.weekday()) % 7
    return start + timedelta(days=ahead + 7 * (session.week - 1))


def give_homework(
    desk: Desk, lesson_id: int, week: Week, *, cue: str, criterion: str, n_weeks: int = 4
) -> StoredHomework:
    """Plan practice after a lesson, and keep the plan.

    Raises
    ------
    InputError
        If there is no cue, or balls and no criterion.
    OutOfRangeError
        If the week can't be.
    """
    lesson = desk.book.lesson(lesson_id)
    if not cue.strip():
        raise InputError("The homework has no cue.", fix="Name the one thing to practise.")
    if not criterion.strip() and week.place != "no_club":
        raise InputError(
            "The homework has no criterion.",
            fix="Say what counts as met, such as: starts between the two posts.",
        )
    student = desk.book.student(lesson.student_id)
    plan = plan_homework(
        week,
        cue=cue,
        criterion=criterion,
        n_weeks=n_weeks,
        first_day=(lesson.held_on + timedelta(days=1)).weekday(),
        cautions=home_cautions(week, student.cautions, cue, all_drills(desk)),
    )
    return desk.book.add_homework(
        lesson_id, plan_json=json.dumps(plan.as_json(), sort_keys=True), at=desk.clock()
    )


def home_cautions(
    week: Week, own: str, cue: str = "", catalogue: Mapping[str, Drill] | None = None
) -> tuple[str, ...]:
    """What to watch: the student's own cautions first, then those of the drill and of the place.

    A drill is known by its name: one of the `catalogue`, or of the program's own without one.
    """
    mind = (f"{own.strip().rstrip('.')}.",) if own.strip() else ()
    said = cue.strip().casefold()
    known = drills() if catalogue is None else catalogue
    named = [one for one in known.values() if one.name.casefold() == said]
    of_drill = tuple(caution for drill in named for caution in drill.cautions)
    of_place = NET_CAUTIONS if week.place == "net" else ()
    return (*mind, *of_drill, *HOME_CAUTIONS, *of_place)


def homework_view(desk: Desk, homework_id: int) -> HomeworkView:
    """Gather a plan and what was done of it; reading only."""
    book, today = desk.book, desk.clock()
    stored = book.homework(homework_id)
    lesson = book.lesson(stored.lesson_id)
    logs = {log.session: log for log in book.homework_logs(homework_id)}
    last = sorted(logs.values(), key=lambda log: (log.done_on, log.session))[-2:]
    counted, met = sum(log.n_counted for log in last), sum(log.n_met for log in last)
    tables = book.home_tables(homework_id)
    hits = balls_hit(logs.values(), tables)
    by_week = _by_week(lesson.held_on, hits)
    return HomeworkView(
        stored=stored,
        plan=homework_from_json(stored.plan_json),
        lesson=lesson,
        student=book.student(lesson.student_id),
        logs=logs,
        tables=tables,
        n_counted=counted,
        n_met=met,
        difficulty=next_difficulty(met, counted),
        hits=hits,
        balls_by_week=by_week,
        warnings=_warnings(by_week, logs),
        links=tuple(
            link
            for link in book.links(homework_id)
            if link.withdrawn_at is None and link.expires_at > today
        ),
    )


def _by_week(held_on: date, hits: Sequence[tuple[date, int]]) -> tuple[int, ...]:
    weeks: dict[int, int] = {}
    for day, n_balls in hits:
        week = max((day - held_on).days - 1, 0) // 7
        weeks[week] = weeks.get(week, 0) + n_balls
    return tuple(weeks.get(week, 0) for week in range(max(weeks, default=-1) + 1))


def _warnings(by_week: Sequence[int], logs: Mapping[int, HomeworkLog]) -> tuple[str, ...]:
    warned = []
    jump = load_jump(by_week) if by_week else None
    if jump:
        warned.append(jump)
    hurt = [log.session for log in logs.values() if log.pain]
    if hurt:
        numbers = ", ".join(map(str, sorted(hurt)))
        warned.append(
            say(
                "Pain was noted in session {numbers}: no further practice before a licensed "
                "clinician has looked at it.",
                numbers=numbers,
            )
        )
    return tuple(warned)


def make_link(desk: Desk, homework_id: int, *, days: int = LINK_DAYS) -> tuple[str, PrivateLink]:
    """Make a private link to a plan; earlier ones go on working until they are withdrawn.

    Returns
    -------
    tuple
        The secret, which is told this once, and the link as the book keeps it.

    Raises
    ------
    InputError
        If it would work for less than a day or longer than is allowed.
    """
    if not 1 <= days <= LINK_DAYS:
        raise InputError(
            f"A private link can't work for {days} days.", fix=f"Choose 1 to {LINK_DAYS} days."
        )
    secret = secrets.token_urlsafe(SECRET_BYTES)
    now = desk.clock()
    link = desk.book.add_link(
        homework_id, digest=digest_of(secret), at=now, expires_at=now + timedelta(days=days)
    )
    return secret, link


def digest_of(secret: str) -> str:
    """SHA-256 of a secret, as the book keeps it."""
    return hashlib.sha256(secret.encode("utf-8", "replace")).hexdigest()


def homework_by_secret(desk: Desk, secret: str) -> HomeworkView:
    """The plan behind a private link.

    Raises
    ------
    NotInBookError
        If there is no such link, or it is withdrawn or too old: which of them is not told.
    """
    link = link_of(desk, secret)
    if link is None:
        raise NotInBookError("private link", 0)
    return homework_view(desk, link.homework_id)


def language_by_secret(desk: Desk, secret: str, asked: str | None = None) -> str:
    """In which language the page behind a private link is said; see `language_for`."""
    return language_for(homework_by_secret(desk, secret).student, asked)


def link_of(desk: Desk, secret: str) -> PrivateLink | None:
    """The private link of a secret; None where there is none, or it is withdrawn or too old."""
    link = desk.book.link_by_digest(digest_of(secret))
    good = link is not None and link.withdrawn_at is None and link.expires_at > desk.clock()
    return link if good else None


def log_session(
    desk: Desk,
    homework_id: int,
    *,
    session: int,
    n_balls: int,
    n_counted: int,
    n_met: int,
    pain: bool,
    notes: str,
    logged_by: LoggedBy,
    done_on: date | None = None,
) -> HomeworkLog:
    """Write down a session at home; the same session again replaces what stands there.

    Raises
    ------
    InputError
        If the numbers do not fit together; nothing is written then.
    """
    plan = homework_from_json(desk.book.homework(homework_id).plan_json)
    if not 1 <= session <= len(plan.sessions):
        raise InputError(
            say("The plan has no session {number}.", number=session),
            fix=say("Choose 1 to {last}.", last=len(plan.sessions)),
        )
    if not 0 <= n_balls <= 1_000:
        raise InputError(
            say("{n} balls can't be.", n=n_balls), fix=say("Type a number from 0 to 1000.")
        )
    if not 0 <= n_met <= n_counted <= n_balls:
        raise InputError(
            say(
                "{met} of {counted} counted balls met it, of {all} in all: that does not fit.",
                met=n_met,
                counted=n_counted,
                all=n_balls,
            ),
            fix=say(
                "Counted balls are at most all balls, and those that met it at most the counted."
            ),
        )
    if len(notes) > MOST_NOTES:
        raise InputError(
            say("The notes have {n} letters.", n=len(notes)),
            fix=say("Write at most {most}.", most=MOST_NOTES),
        )
    now = desk.clock()
    return desk.book.add_homework_log(
        homework_id,
        session=session,
        done_on=done_on or now.date(),
        n_balls=n_balls,
        n_counted=n_counted,
        n_met=n_met,
        pain=pain,
        notes=notes.strip(),
        logged_by=logged_by,
        at=now,
    )


def homework_sheet(
    desk: Desk,
    homework_id: int,
    paper: Literal["a4", "us-letter"],
    *,
    link: str | None = None,
    language: str | None = None,
) -> bytes:
    """Print the homework sheet.

    Parameters
    ----------
    desk, homework_id
        The plan.
    paper
        Size of the paper.
    link
        Address of the private page, where it is to stand on the sheet.
    language
        Code of the language of this one sheet; None: the student's.

    Raises
    ------
    InputError
        If there are no texts in that language.
    ReportError
        If nothing can be printed here.
    """
    if desk.home_printer is None:
        raise ReportError(
            "This desk has no printer for homework.", fix="Print the page from the browser."
        )
    view = homework_view(desk, homework_id)
    with speaking(language_for(view.student, language)):
        return desk.home_printer(
            view.plan,
            student=view.student.name,
            held_on=view.lesson.held_on,
            invented=view.student.invented,
            link=link,
            paper=paper,
        )
