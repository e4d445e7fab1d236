"""Students over the years in SQL: archived, consent noted, two merged into one."""

import json
from datetime import UTC, date, datetime
from typing import Any

from sqlalchemy import ForeignKey, Table, UniqueConstraint, delete, select, update
from sqlalchemy.orm import Session

from leadfoot.book.rows import student_from
from leadfoot.book.tables import Base, LessonRow, MergeRow, StudentRow
from leadfoot.book.transactions import Transactions, found, kept
from leadfoot.desk.records import Student
from leadfoot.errors import InputError

_STUDENTS: Table = Base.metadata.tables["students"]


class StudentShelf(Transactions):
    """What is kept of students over the years; see `leadfoot.desk.keeping_port.KeepingBook`."""

    def archive_student(self, student_id: int, *, at: datetime | None) -> Student:
        """Take a student out of the daily lists, or with None back into them."""
        with self.writing() as session:
            row = found(session, StudentRow, student_id, "student")
            row.archived_at = at
            self.note_student(session, student_id)
            return student_from(kept(session, row))

    def note_consent(
        self,
        student_id: int,
        *,
        consent_on: date | None,
        consent_words: str,
        minor: bool,
        guardian: str,
    ) -> Student:
        """Write down what was agreed on which day, and who speaks for a minor."""
        with self.writing() as session:
            row = found(session, StudentRow, student_id, "student")
            row.consent_on, row.consent_words = consent_on, consent_words
            row.minor, row.guardian = minor, guardian
            self.note_student(session, student_id)
            return student_from(kept(session, row))

    def set_language(self, student_id: int, language: str) -> Student:
        """Write down in which language a student reads."""
        with self.writing() as session:
            row = found(session, StudentRow, student_id, "student")
            row.language = language
            self.note_student(session, student_id)
            return student_from(kept(session, row))

    def merge_students(self, student_id: int, other_id: int, *, at: datetime) -> Student:
        """Move all that hangs on the other student to this one, and note what was there.

        Goals, cautions, consent and guardian are joined; cautions of either hold for the one.

        Raises
        ------
        InputError
            If both are the same student, or play with different hands.
        """
        with self.writing() as session:
            row = found(session, StudentRow, student_id, "student")
            other = found(session, StudentRow, other_id, "student")
            _refuse_merge(row, other)
            note = MergeRow(
                student_id=row.id,
                other_number=other.id,
                other_added_at=other.added_at,
                other_json=json.dumps(
                    {"student": _as_json(other), "same": _move_all(session, other.id, row.id)},
                    ensure_ascii=False,
                    sort_keys=True,
                ),
                merged_at=at,
            )
            _join(row, other)
            session.add(note)
            session.flush()
            session.delete(other)
            self.note_student(session, row.id)
            return student_from(kept(session, row))

    def note_student(self, session: Session, student_id: int) -> None:
        """Note that a student changed, and tell each lesson of that student."""
        self.note_change(session, None)
        theirs = select(LessonRow.id).where(LessonRow.student_id == student_id)
        for lesson_id in session.scalars(theirs.order_by(LessonRow.id)).all():
            self.note_change(session, lesson_id)


def _refuse_merge(row: StudentRow, other: StudentRow) -> None:
    if row.id == other.id:
        raise InputError(
            f"{row.name} can't be merged with the same student.", fix="Choose another student."
        )
    if row.hand != other.hand:
        raise InputError(
            f"{row.name} plays {row.hand}-handed, {other.name} {other.hand}-handed.",
            fix="If they are one person, correct the hand of one first.",
        )


def _join(row: StudentRow, other: StudentRow) -> None:
    row.goals, row.cautions = _both(row.goals, other.goals), _both(row.cautions, other.cautions)
    row.guardian = _both(row.guardian, other.guardian)
    row.minor = row.minor or other.minor
    row.invented = row.invented and other.invented
    if row.consent_on is None:
        row.consent_on = other.consent_on
    row.consent_words = _both(row.consent_words, other.consent_words)


def _both(one: str, other: str) -> str:
    return one if other in one else f"{one}\n{other}" if one else other


def _move_all(session: Session, from_id: int, to_id: int) -> list[dict[str, Any]]:
    """Point every row of one student to another; give the rows that both had alike."""
    same: list[dict[str, Any]] = []
    for table in Base.metadata.sorted_tables:
        for column in table.columns:
            if any(link.column.table is _STUDENTS for link in column.foreign_keys):
                same += _drop_twins(session, table, column.name, from_id, to_id)
                session.execute(update(table).where(column == from_id).values({column.name: to_id}))
    return same


def _drop_twins(
    session: Session, table: Table, link: str, from_id: int, to_id: int
) -> list[dict[str, Any]]:
    """Where a student may have something only once, let the one kept stand for both."""
    dropped: list[dict[str, Any]] = []
    for unique in table.constraints:
        if not isinstance(unique, UniqueConstraint) or link not in unique.columns:
            continue
        others = [column for column in unique.columns if column.name != link]
        twin = table.alias()
        pairs = session.execute(
            select(table.c.id, twin.c.id.label("twin_id")).where(
                table.c[link] == from_id,
                twin.c[link] == to_id,
                *(column == twin.c[column.name] for column in others),
            )
        ).all()
        for number, twin_id in pairs:
            gone = session.execute(select(table).where(table.c.id == number)).mappings().one()
            dropped.append({"table": table.name, **_plain(dict(gone))})
            for reference in _links_to(table):
                column = reference.parent
                session.execute(
                    update(column.table).where(column == number).values({column.name: twin_id})
                )
            session.execute(delete(table).where(table.c.id == number))
    return dropped


def _links_to(table: Table) -> list[ForeignKey]:
    return [
        link
        for other in Base.metadata.sorted_tables
        for link in other.foreign_keys
        if link.column.table is table
    ]


def _as_json(row: StudentRow) -> dict[str, Any]:
    return _plain({column.name: getattr(row, column.name) for column in _STUDENTS.columns})


def _plain(values: dict[str, Any]) -> dict[str, Any]:
    """Values as JSON has them; bytes are left away, as those of the twin are the same."""
    return {
        name: value.astimezone(UTC).isoformat()
        if isinstance(value, datetime)
        else value.isoformat()
        if isinstance(value, date)
        else value
        for name, value in values.items()
        if not isinstance(value, bytes)
    }
