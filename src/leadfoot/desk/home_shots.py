"""Shots from practice at home: a table given for a plan, kept apart from the balls of all lessons.

Practice has another place, another monitor and other balls, and it is hit in blocks with the cue in
mind. So its balls are in a table of the book of their own, from which nothing that judges, pools or
learns a student's spread ever reads.
"""

import json
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import Any

from leadfoot.coaching.homework_form import homework_from_json
from leadfoot.desk.days import day_in_words
from leadfoot.desk.desk import Desk
from leadfoot.desk.homework_records import HomeTable, HomeworkLog, LoggedBy, NewHomeTable
from leadfoot.desk.importing import read_as_known
from leadfoot.desk.places import place_named
from leadfoot.errors import InputError
from leadfoot.language.catalogue import ENGLISH
from leadfoot.language.say import noted, say, speaking
from leadfoot.shots.form import problem_json
from leadfoot.shots.read import TableReading
from leadfoot.shots.shot import Reading, Shot
from leadfoot.tables.problem import Problem

MOST_SHOTS = 1_000
"""Balls of one table: as many as a session that is written down may have. Our own choice."""
MOST_TABLES, MOST_BYTES = 100, 100 * 2**20
"""Tables of one plan, and their bytes: a link is in hands that nobody watches. Our own choice."""
MOST_A_DAY = 20
"""Tables of one plan on one day. Our own choice."""
SMALLEST_SI, LARGEST_SI = 1e-6, 1e6
"""Sizes beyond which a number is no ball's, in SI, whatever the quantity: a thousandth of a
millimetre, a thousand kilometres. Our own choice."""
FEWEST_ALIKE = 3
"""Balls alike at the head of two tables from which they are the same balls: fewer, in rounded
numbers, may be chance. Our own choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HomeShot:
    """One ball of practice as the table had it."""

    row: int
    club: str | None
    block: str | None
    values: Mapping[str, Reading]


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenTable:
    """What came of a table that was given.

    Attributes
    ----------
    table
        As the book keeps it.
    is_new
        False where the same file, or the same balls, had been given before: nothing was added then.
    """

    table: HomeTable
    is_new: bool


def give_table(
    desk: Desk,
    homework_id: int,
    *,
    name: str,
    data: bytes,
    session: int | None,
    place: str,
    given_by: LoggedBy,
    done_on: date | None = None,
) -> GivenTable:
    """Keep a table of shots from practice, with every ball that could be read.

    The columns are understood as the coach confirmed them for a table with this header, else by
    guess. A file that is no table of shots is not kept, other than in a lesson: who holds a link
    could fill the book with it.

    Parameters
    ----------
    desk, homework_id
        The plan.
    name, data
        The file as it came.
    session
        Number of the session in the plan, from 1; None for practice beside the plan.
    place
        See `leadfoot.desk.places.place_named`.
    given_by
        Who gave it.
    done_on
        The day; None: today.

    Raises
    ------
    InputError
        If the file is no table of shots, or has none; if the session or the day can't be; or if the
        plan has as many tables as it may. Nothing is kept then.
    """
    stored = desk.book.homework(homework_id)
    lesson = desk.book.lesson(stored.lesson_id)
    today = desk.clock().date()
    day = done_on or today
    n_sessions = len(homework_from_json(stored.plan_json).sessions)
    if session is not None and not 1 <= session <= n_sessions:
        raise InputError(
            say("The plan has no session {number}.", number=session),
            fix=say("Choose 1 to {last}.", last=n_sessions),
        )
    if not lesson.held_on <= day <= today:
        raise InputError(
            say("{day} is no day of this homework.", day=day_in_words(day)),
            fix=say(
                "Choose a day from {first} to {last}.",
                first=day_in_words(lesson.held_on),
                last=day_in_words(today),
            ),
        )
    where = place_named(place)
    there = desk.book.home_tables(homework_id)
    _refuse_too_many(desk, there, len(data))
    hand = desk.book.student(lesson.student_id).hand
    shots, problems = _taken(read_as_known(desk, data, name=name, hand=hand), name)
    earlier, fresh = _not_yet_given(there, shots)
    if earlier is not None and not fresh:
        return GivenTable(table=earlier, is_new=False)
    if earlier is not None:
        with speaking(ENGLISH):  # the book keeps remarks for the coach too
            problems = (_given_before(earlier, len(shots) - len(fresh)), *problems)
    table, is_new = desk.book.keep_home_table(
        homework_id,
        NewHomeTable(
            session=session,
            done_on=day,
            place=where,
            name=name,
            data=data,
            shots_json=_shots_json(fresh),
            n_shots=len(fresh),
            problems_json=_problems_json(problems),
            given_by=given_by,
        ),
        at=desk.clock(),
    )
    return GivenTable(table=table, is_new=is_new)


def read_anew(desk: Desk, table_id: int) -> HomeTable:
    """Read a kept table again: the coach may have confirmed its columns since.

    Raises
    ------
    InputError
        If nothing can be read of it as the columns are understood now; it stays as it was.
    """
    table, data = desk.book.home_table(table_id)
    lesson = desk.book.lesson(desk.book.homework(table.homework_id).lesson_id)
    hand = desk.book.student(lesson.student_id).hand
    shots, problems = _taken(read_as_known(desk, data, name=table.name, hand=hand), table.name)
    before = [one for one in desk.book.home_tables(table.homework_id) if one.id < table.id]
    earlier, fresh = _not_yet_given(before, shots)
    if earlier is not None:
        problems = (_given_before(earlier, len(shots) - len(fresh)), *problems)
    return desk.book.read_home_table_anew(
        table_id,
        shots_json=_shots_json(fresh),
        n_shots=len(fresh),
        problems_json=_problems_json(problems),
    )


def leave_table_out(desk: Desk, table_id: int, reason: str) -> HomeTable:
    """Leave a table of practice out, with the reason that the plan's page will show.

    Raises
    ------
    InputError
        If no reason is given.
    """
    if not reason.strip():
        raise InputError(
            "A table can't be left out without a reason.",
            fix="Type one, such as: the balls of somebody else.",
        )
    return desk.book.leave_home_table_out(table_id, reason=reason.strip())


def take_table_back(desk: Desk, table_id: int) -> HomeTable:
    """Let a table that was left out count again."""
    return desk.book.leave_home_table_out(table_id, reason=None)


def shots_in(table: HomeTable) -> tuple[HomeShot, ...]:
    """The balls of a table, in the order in which they were hit."""
    return tuple(
        HomeShot(
            row=one["row"],
            club=one.get("club"),
            block=one.get("block"),
            values=MappingProxyType(
                {
                    key: Reading(value=value, unit=unit)
                    for key, (value, unit) in one["values"].items()
                }
            ),
        )
        for one in json.loads(table.shots_json)
    )


def problems_in(table: HomeTable) -> tuple[Problem, ...]:
    """What could not be used of a table, with place and reason."""
    return tuple(Problem(**one) for one in json.loads(table.problems_json))


def balls_hit(
    logs: Iterable[HomeworkLog], tables: Iterable[HomeTable]
) -> tuple[tuple[date, int], ...]:
    """Days and balls of practice, each ball once, whether it was written down, given, or both.

    Of a session that was written down and given as tables the larger number counts. Tables that
    were left out count nothing.

    Parameters
    ----------
    logs
        The latest of each session of one plan.
    tables
        Those of the plan.
    """
    counted = [one for one in tables if one.left_out_reason is None]
    of_session: Counter[int] = Counter()
    for one in counted:
        if one.session is not None:
            of_session[one.session] += one.n_shots
    written = [(log.session, log.done_on, log.n_balls) for log in logs]
    told = {session for session, _, _ in written}
    return (
        *((day, max(n, of_session[session])) for session, day, n in written),
        *((one.done_on, one.n_shots) for one in counted if one.session not in told),
    )


def _refuse_too_many(desk: Desk, there: Sequence[HomeTable], n_bytes: int) -> None:
    if len(there) >= MOST_TABLES or sum(one.size_bytes for one in there) + n_bytes > MOST_BYTES:
        raise InputError(
            say("This plan holds {n} tables already, as much as it may.", n=len(there)),
            fix=say("Tell your coach: the next plan takes more."),
        )
    today = desk.clock().date()
    if sum(one.given_at.date() == today for one in there) >= MOST_A_DAY:
        raise InputError(
            say(
                "{n} tables were given for this plan today, as many as it takes in a day.",
                n=MOST_A_DAY,
            ),
            fix=say("Give the others tomorrow."),
        )


def _taken(reading: TableReading, name: str) -> tuple[tuple[HomeShot, ...], tuple[Problem, ...]]:
    """The balls of a reading, and what the coach should know of them.

    Raises
    ------
    InputError
        If there are none, or too many.
    """
    told: list[Problem] = []
    read = (
        HomeShot(row=one.row, club=one.club, block=one.block, values=_possible(one, told))
        for one in reading.shots
    )
    shots = tuple(one for one in read if one.values)
    if not shots:
        why = reading.problems[0].reason if reading.problems else noted("No row holds a ball.")
        raise InputError(
            say("No shots were found in {name!r}: {why}", name=name, why=say(why)),
            fix=say("Choose another file."),
        )
    if len(shots) > MOST_SHOTS:
        raise InputError(
            say(
                "{name!r} has {n} balls; one session has at most {most}.",
                name=name,
                n=len(shots),
                most=MOST_SHOTS,
            ),
            fix=say("Give the table of one session."),
        )
    doubts = tuple(
        Problem(row=None, column=one.column, text=one.unit or "", reason=one.text)
        for one in reading.questions
    )
    return shots, (*doubts, *reading.problems, *told)


def _possible(shot: Shot, told: list[Problem]) -> Mapping[str, Reading]:
    """The values of a ball that a ball can have; the others are told."""
    found = {}
    for key, reading in shot.values.items():
        if reading.si == 0.0 or SMALLEST_SI <= abs(reading.si) <= LARGEST_SI:
            found[key] = reading
        else:
            reason = noted("No ball has such a value, so it was left away; the file keeps it.")
            told.append(
                Problem(row=shot.row, column=key, text=f"{reading.value:.6g}", reason=reason)
            )
    return MappingProxyType(found)


def _not_yet_given(
    there: Sequence[HomeTable], shots: Sequence[HomeShot]
) -> tuple[HomeTable | None, tuple[HomeShot, ...]]:
    """The balls that no earlier table has, and the table that has the others.

    A program that goes on writing into one file gives the balls of the first session again with
    those of the second: they stand at the head of the file.
    """
    own = [_key(one) for one in shots]
    last: HomeTable | None = None
    n_known = 0
    for table in there:
        known = [_key(one) for one in shots_in(table)]
        if len(known) < FEWEST_ALIKE:
            continue
        ends = (at + len(known) for at in {n_known, 0} if own[at : at + len(known)] == known)
        end = max(ends, default=0)
        if end > n_known:
            last, n_known = table, end
    return last, tuple(shots[n_known:])


def _key(shot: HomeShot) -> tuple[Any, ...]:
    return (shot.club, tuple(sorted((key, one.value) for key, one in shot.values.items())))


def _given_before(earlier: HomeTable, n_known: int) -> Problem:
    return Problem(
        row=None,
        column=None,
        text=f"the first {n_known} balls",
        reason=f"They were given before, last in {earlier.name!r} of "
        f"{day_in_words(earlier.done_on)}, and are not counted twice.",
    )


def _shots_json(shots: Sequence[HomeShot]) -> str:
    written = []
    for one in shots:
        named = {"club": one.club, "block": one.block}
        values = {key: [reading.value, reading.unit] for key, reading in one.values.items()}
        said = {key: text for key, text in named.items() if text is not None}
        written.append({"row": one.row, **said, "values": values})
    return json.dumps(written, allow_nan=False, separators=(",", ":"))


def _problems_json(problems: Sequence[Problem]) -> str:
    return json.dumps([problem_json(one) for one in problems], separators=(",", ":"))
