"""The log of who saw and changed what, in SQL: lines are added, and never touched again."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, cast

from sqlalchemy import ColumnElement, select
from sqlalchemy.orm import Session

from leadfoot.book.access_tables import LogRow
from leadfoot.book.tables import LessonRow, RawFileRow
from leadfoot.desk.access_records import Deed, Line, LogFilter, NewLine, Standing

if TYPE_CHECKING:
    from leadfoot.book.transactions import Transactions


class AccessLog:
    """The log; see `leadfoot.desk.access_port.AccessBook` for the promises."""

    def __init__(self, book: "Transactions") -> None:
        self._book = book

    def note(self, lines: Sequence[NewLine]) -> None:
        """Add lines to the log, all or none."""
        if not lines:
            return
        with self._book.writing() as session:
            session.add_all(_row(session, line) for line in lines)

    def log(self, which: LogFilter, *, most: int) -> tuple[Line, ...]:
        """Lines of the log, the newest first."""
        query = select(LogRow).where(*_asked(which)).order_by(LogRow.id.desc()).limit(most)
        with self._book.reading() as session:
            return tuple(_line(row) for row in session.scalars(query))

    def people_in_log(self) -> tuple[str, ...]:
        """Everyone whom the log names, by name."""
        with self._book.reading() as session:
            return tuple(sorted(session.scalars(select(LogRow.who).distinct())))


def _row(session: Session, line: NewLine) -> LogRow:
    """A line as it is kept, with the lesson of its file and the student of its lesson."""
    lesson_id, student_id = line.lesson_id, line.student_id
    if lesson_id is None and line.raw_file_id is not None:
        file = RawFileRow.id == line.raw_file_id
        lesson_id = session.scalar(select(RawFileRow.lesson_id).where(file))
    if student_id is None and lesson_id is not None:
        lesson = LessonRow.id == lesson_id
        student_id = session.scalar(select(LessonRow.student_id).where(lesson))
    return LogRow(
        at=line.at,
        who=line.who,
        role=line.role,
        deed=line.deed,
        what=line.what,
        student_id=student_id,
        lesson_id=lesson_id,
        address=line.address,
    )


def _asked(which: LogFilter) -> list[ColumnElement[bool]]:
    asked: list[tuple[object, ColumnElement[bool]]] = [
        (which.who, LogRow.who == which.who),
        (which.deed, LogRow.deed == which.deed),
        (which.student_id, LogRow.student_id == which.student_id),
        (which.before_id, LogRow.id < (which.before_id or 0)),
    ]
    found = [condition for value, condition in asked if value is not None]
    if which.since is not None:
        found.append(LogRow.at >= which.since)
    if which.until is not None:
        found.append(LogRow.at < which.until)
    return found


def _line(row: LogRow) -> Line:
    return Line(
        id=row.id,
        at=row.at,
        who=row.who,
        role=cast("Standing", row.role),
        deed=cast("Deed", row.deed),
        what=row.what,
        student_id=row.student_id,
        lesson_id=row.lesson_id,
        address=row.address,
    )
