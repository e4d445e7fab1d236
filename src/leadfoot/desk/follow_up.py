"""Tests after a lesson: planned at its end, due on the first page, hit in a later lesson."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from leadfoot.desk.desk import Desk
from leadfoot.desk.homework_records import PlannedTest, TestKind
from leadfoot.desk.places import place_named
from leadfoot.desk.records import Lesson, Student
from leadfoot.errors import InputError
from leadfoot.language.say import noted

State = Literal["coming", "due", "overdue"]

COMING_DAYS = 7
"""A test is announced so many days before it is due. Our own choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualTest:
    """A test that is planned after every change worth keeping; days after the lesson."""

    key: str
    kind: TestKind
    first_day: int
    last_day: int
    words: str


USUAL_TESTS = (
    UsualTest(
        key="week",
        kind="retention",
        first_day=7,
        last_day=10,
        words="without the cue, same club, ball and instrument",
    ),
    UsualTest(
        key="month",
        kind="retention",
        first_day=21,
        last_day=28,
        words="without the cue, same club, ball and instrument",
    ),
    UsualTest(
        key="elsewhere",
        kind="transfer",
        first_day=21,
        last_day=35,
        words="without the cue, another target or club, or on the course",
    ),
)
"""Retention after a week and after three to four, then transfer. Inferred from studies of other
tasks, in which such delays tell learning from a good day; the last days are our own choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DueTest:
    """A planned test with whose it is; ``days_left`` is negative once it is overdue."""

    test: PlannedTest
    lesson: Lesson
    student: Student
    state: State
    days_left: int


def plan_tests(desk: Desk, lesson_id: int, keys: Sequence[str] = ()) -> tuple[PlannedTest, ...]:
    """Plan the usual tests at the end of a lesson; those that are there already stay as they are.

    Parameters
    ----------
    desk, lesson_id
        The lesson whose change is tested.
    keys
        Which of `USUAL_TESTS`; none: all.

    Raises
    ------
    InputError
        If a key is not among them, or the lesson changed nothing.
    """
    lesson = desk.book.lesson(lesson_id)
    known = {one.key: one for one in USUAL_TESTS}
    for key in keys:
        if key not in known:
            raise InputError(
                f"There is no usual test {key!r}.", fix=f"Choose from: {', '.join(known)}."
            )
    if not lesson.change.strip():
        raise InputError("The lesson names no change to test.", fix="Write down what was changed.")
    there = {(one.kind, one.due_from): one for one in desk.book.planned_tests(lesson_id)}
    found = []
    for key in keys or known:
        usual = known[key]
        due_from = lesson.held_on + timedelta(days=usual.first_day)
        found.append(
            there.get((usual.kind, due_from))
            or desk.book.plan_test(
                lesson_id,
                kind=usual.kind,
                due_from=due_from,
                due_to=lesson.held_on + timedelta(days=usual.last_day),
                club=lesson.club if usual.kind == "retention" else None,
                words=usual.words,
            )
        )
    return tuple(found)


def due_tests(desk: Desk) -> tuple[DueTest, ...]:
    """Tests that are due, overdue or about to be, the most urgent first."""
    today = desk.clock().date()
    open_tests = [
        test
        for test in desk.book.planned_tests()
        if test.done_lesson_id is None
        and not test.dropped
        and test.due_from <= today + timedelta(days=COMING_DAYS)
    ]
    if not open_tests:
        return ()
    lessons = {lesson.id: lesson for lesson in desk.book.lessons()}
    students = {student.id: student for student in desk.book.students()}
    found = [
        DueTest(
            test=test,
            lesson=lessons[test.lesson_id],
            student=students[lessons[test.lesson_id].student_id],
            state=state_of(test, today),
            days_left=(test.due_to - today).days,
        )
        for test in open_tests
    ]
    return tuple(sorted(found, key=lambda one: (one.days_left, one.test.id)))


def state_of(test: PlannedTest, today: date) -> State:
    """Whether a test is due.

    Examples
    --------
    >>> test = PlannedTest(id=1, lesson_id=1, kind="retention", due_from=date(2026, 3, 9),
    ...     due_to=date(2026, 3, 12), club=None, words="", done_lesson_id=None, dropped=False)
    >>> [state_of(test, date(2026, 3, day)) for day in (8, 9, 12, 13)]
    ['coming', 'due', 'due', 'overdue']
    """
    if today < test.due_from:
        return "coming"
    return "due" if today <= test.due_to else "overdue"


def begin_test(desk: Desk, test_id: int, *, club: str = "", place: str = "") -> Lesson:
    """Begin the lesson in which a test is hit: today, with the club of the change or another.

    Its first balls, hit as usual and without the cue, are the test; a block for them stands ready.

    Parameters
    ----------
    desk, test_id
        The test.
    club
        Another club; empty: that of the test, or of the change. A test with another club, or at
        another place, is held against its own baseline (`leadfoot.desk.elsewhere`).
    place
        Where it is hit (`leadfoot.desk.places`); empty: where the change was made.

    Raises
    ------
    InputError
        If the test was hit already, its lesson was held today, or the place has too many letters.
    """
    test = desk.book.planned_test(test_id)
    lesson = desk.book.lesson(test.lesson_id)
    if test.done_lesson_id is not None:
        raise InputError("This test was hit already.", fix="Open the lesson in which it was hit.")
    today = desk.clock().date()
    if today <= lesson.held_on:
        raise InputError(
            "A test on the day of the lesson says nothing of what lasts.",
            fix="Hit it on another day: it is due from " + test.due_from.isoformat() + ".",
        )
    begun = desk.book.add_lesson(
        student_id=lesson.student_id,
        held_on=today,
        title=f"Test: {lesson.change.strip()}"[:200],
        change="",
        club=club.strip() or test.club or lesson.club,
        place=place_named(place.strip() or lesson.place),
    )
    desk.book.add_block(begun.id, label=noted("test, without the cue"), role="before")
    desk.book.settle_test(test_id, done_lesson_id=begun.id, dropped=False)
    return begun


def hit_in(desk: Desk, test_id: int, lesson_id: int) -> PlannedTest:
    """Say that a test was hit in a lesson that is in the book: its balls "before" are the test.

    Raises
    ------
    InputError
        If it is a lesson of another student, or not a later day.
    """
    test, done = desk.book.planned_test(test_id), desk.book.lesson(lesson_id)
    lesson = desk.book.lesson(test.lesson_id)
    if done.student_id != lesson.student_id or done.held_on <= lesson.held_on:
        raise InputError(
            "That lesson can't be the test.",
            fix="Choose a later lesson of the same student, with balls hit as usual.",
        )
    return desk.book.settle_test(test_id, done_lesson_id=lesson_id, dropped=False)


def drop_test(desk: Desk, test_id: int) -> PlannedTest:
    """Call a test off."""
    test = desk.book.planned_test(test_id)
    return desk.book.settle_test(test_id, done_lesson_id=test.done_lesson_id, dropped=True)


def lessons_of_tests(
    desk: Desk, lesson: Lesson, kind: TestKind | None = None
) -> tuple[Lesson, ...]:
    """Lessons in which the change of a lesson was tested, in one way or any, the oldest first."""
    done = {
        test.done_lesson_id
        for test in desk.book.planned_tests(lesson.id)
        if test.done_lesson_id is not None and not test.dropped and kind in {None, test.kind}
    }
    return tuple(
        one
        for one in desk.book.lessons(lesson.student_id)
        if one.id in done and one.held_on > lesson.held_on
    )
