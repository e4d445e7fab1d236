"""Jumps, screenings and clearances of the client book in SQL."""

import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime
from typing import TypeVar

from sqlalchemy import Select, select

from leadfoot.book.rows import clearance_from, jump_file_from, jump_from, screening_from
from leadfoot.book.tables import ClearanceRow, JumpFileRow, JumpRow, ScreeningRow, StudentRow
from leadfoot.book.transactions import Row, Transactions, found, kept
from leadfoot.desk.records import (
    JumpFile,
    StoredClearance,
    StoredJump,
    StoredScreening,
)
from leadfoot.ground.jump_days import Kind as JumpKind

_Record = TypeVar("_Record")


class JumpShelf(Transactions):
    """Jumps and what must be asked before; see `leadfoot.desk.ports.Book` for the promises."""

    def keep_jump_file(self, student_id: int, *, name: str, data: bytes, at: datetime) -> JumpFile:
        """Keep a file byte for byte; the same bytes again give the file that is there already."""
        digest = hashlib.sha256(data).hexdigest()
        same = select(JumpFileRow).where(
            JumpFileRow.student_id == student_id, JumpFileRow.digest == digest
        )
        with self.writing() as session:
            found(session, StudentRow, student_id, "student")
            there = session.scalar(same)
            if there is not None:
                return jump_file_from(there)
            row = JumpFileRow(
                student_id=student_id,
                name=name,
                digest=digest,
                size_bytes=len(data),
                received_at=at,
                data=data,
            )
            return jump_file_from(self.added(session, row, None))

    def jump_file(self, jump_file_id: int) -> tuple[JumpFile, bytes]:
        """One file of a jump with its bytes."""
        with self.reading() as session:
            row = found(session, JumpFileRow, jump_file_id, "file")
            return jump_file_from(row), row.data

    def jumps(self, student_id: int) -> tuple[StoredJump, ...]:
        """Jumps of a student by day, those left out among them."""
        query = select(JumpRow).where(JumpRow.student_id == student_id)
        return self._of_student(student_id, query.order_by(JumpRow.done_on, JumpRow.id), jump_from)

    def jump(self, jump_id: int) -> StoredJump:
        """One jump."""
        with self.reading() as session:
            return jump_from(found(session, JumpRow, jump_id, "jump"))

    def add_jump(
        self,
        student_id: int,
        *,
        done_on: date,
        kind: JumpKind,
        height_m: float,
        values_json: str,
        jump_file_id: int | None,
        at: datetime,
    ) -> StoredJump:
        """Add a jump."""
        row = JumpRow(
            student_id=student_id,
            done_on=done_on,
            kind=kind,
            height_m=height_m,
            values_json=values_json,
            jump_file_id=jump_file_id,
            added_at=at,
        )
        with self.writing() as session:
            found(session, StudentRow, student_id, "student")
            if jump_file_id is not None:
                found(session, JumpFileRow, jump_file_id, "file")
            return jump_from(self.added(session, row, None))

    def leave_out_jump(self, jump_id: int, reason: str | None) -> StoredJump:
        """Leave a jump out with a reason; None lets it count again."""
        with self.writing() as session:
            row = found(session, JumpRow, jump_id, "jump")
            row.left_out_reason = reason
            self.note_change(session, None)
            return jump_from(kept(session, row))

    def screenings(self, student_id: int) -> tuple[StoredScreening, ...]:
        """Answers of a student before maximal efforts, the oldest first."""
        query = select(ScreeningRow).where(ScreeningRow.student_id == student_id)
        return self._of_student(student_id, query.order_by(ScreeningRow.id), screening_from)

    def add_screening(
        self,
        student_id: int,
        *,
        on_day: date,
        junior: bool,
        answers: Mapping[str, bool],
        at: datetime,
    ) -> StoredScreening:
        """Keep a student's answers; the earlier ones stay in the book."""
        row = ScreeningRow(
            student_id=student_id,
            on_day=on_day,
            junior=junior,
            answers_json=json.dumps({key: bool(answers[key]) for key in sorted(answers)}),
            asked_at=at,
        )
        with self.writing() as session:
            found(session, StudentRow, student_id, "student")
            return screening_from(self.added(session, row, None))

    def clearances(self, student_id: int) -> tuple[StoredClearance, ...]:
        """Clearances of a student, the oldest first."""
        query = select(ClearanceRow).where(ClearanceRow.student_id == student_id)
        return self._of_student(student_id, query.order_by(ClearanceRow.id), clearance_from)

    def add_clearance(
        self,
        student_id: int,
        *,
        clinician: str,
        on_day: date,
        until_day: date | None,
        covers: Sequence[str],
        limits: str,
        at: datetime,
    ) -> StoredClearance:
        """Keep a clinician's clearance as the coach recorded it."""
        row = ClearanceRow(
            student_id=student_id,
            clinician=clinician,
            on_day=on_day,
            until_day=until_day,
            covers_json=json.dumps(list(covers)),
            limits=limits,
            recorded_at=at,
        )
        with self.writing() as session:
            found(session, StudentRow, student_id, "student")
            return clearance_from(self.added(session, row, None))

    def _of_student(
        self, student_id: int, query: Select[Row], record_from: Callable[[Row], _Record]
    ) -> tuple[_Record, ...]:
        with self.reading() as session:
            found(session, StudentRow, student_id, "student")
            return tuple(record_from(row) for row in session.scalars(query))
