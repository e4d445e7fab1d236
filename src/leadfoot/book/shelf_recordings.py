"""The force recordings of the client book in SQL."""

from datetime import datetime

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from leadfoot.book.rows import recording_from
from leadfoot.book.tables import BlockRow, LessonRow, RawFileRow, RecordingRow, ShotRow
from leadfoot.book.transactions import Transactions, found, kept
from leadfoot.desk.records import LinkedBy, StoredRecording, StrikeFrom
from leadfoot.errors import InputError


class RecordingShelf(Transactions):
    """Force recordings; see `leadfoot.desk.ports.Book` for what each call promises."""

    def recordings(self, lesson_id: int) -> tuple[StoredRecording, ...]:
        """Force recordings of a lesson, in order of their coming."""
        query = (
            select(RecordingRow, RawFileRow.name)
            .join(RawFileRow, RawFileRow.id == RecordingRow.raw_file_id)
            .where(RecordingRow.lesson_id == lesson_id)
            .order_by(RecordingRow.place)
        )
        with self.reading() as session:
            found(session, LessonRow, lesson_id, "lesson")
            return tuple(recording_from(row, name) for row, name in session.execute(query))

    def recording(self, recording_id: int) -> StoredRecording:
        """One force recording."""
        with self.reading() as session:
            return _record(session, _row(session, recording_id))

    def add_recording(
        self, raw_file_id: int, *, block_id: int | None, choices_json: str, at: datetime
    ) -> StoredRecording:
        """Take a kept file as a force recording; the same file again gives the one there."""
        with self.writing() as session:
            file = found(session, RawFileRow, raw_file_id, "file")
            there = session.scalar(
                select(RecordingRow).where(RecordingRow.raw_file_id == raw_file_id)
            )
            if there is not None:
                return _record(session, there)
            _check_block(session, block_id, file.lesson_id)
            last = session.scalar(
                select(func.max(RecordingRow.place)).where(RecordingRow.lesson_id == file.lesson_id)
            )
            row = RecordingRow(
                lesson_id=file.lesson_id,
                place=(last or 0) + 1,
                raw_file_id=file.id,
                block_id=block_id,
                choices_json=choices_json,
                received_at=at,
            )
            return _record(session, self.added(session, row, file.lesson_id))

    def understand_recording(
        self, recording_id: int, *, choices_json: str, mapping_json: str | None
    ) -> StoredRecording:
        """Change what is said of a recording beside its file."""
        with self.writing() as session:
            row = _row(session, recording_id)
            row.choices_json, row.mapping_json = choices_json, mapping_json
            return self._changed(session, row)

    def put_recording(self, recording_id: int, block_id: int | None) -> StoredRecording:
        """Put a recording into a block of its lesson, or into none."""
        with self.writing() as session:
            row = _row(session, recording_id)
            _check_block(session, block_id, row.lesson_id)
            row.block_id = block_id
            return self._changed(session, row)

    def link_recording(
        self, recording_id: int, shot_id: int | None, linked_by: LinkedBy | None
    ) -> StoredRecording:
        """Link a recording to a shot of its lesson, or to none."""
        with self.writing() as session:
            row = _row(session, recording_id)
            if shot_id is not None:
                shot = found(session, ShotRow, shot_id, "shot")
                _check_link(session, row, shot)
                row.block_id = shot.block_id
            row.shot_id, row.linked_by = shot_id, linked_by
            return self._changed(session, row)

    def set_strike(
        self, recording_id: int, strike_s: float | None, strike_from: StrikeFrom | None
    ) -> StoredRecording:
        """Set the strike of a recording, or leave it to what the file says."""
        with self.writing() as session:
            row = _row(session, recording_id)
            row.strike_s, row.strike_from = strike_s, strike_from
            return self._changed(session, row)

    def leave_out_recording(self, recording_id: int, reason: str | None) -> StoredRecording:
        """Leave a recording out of the averages; None lets it count again."""
        with self.writing() as session:
            row = _row(session, recording_id)
            row.left_out_reason = reason
            return self._changed(session, row)

    def _changed(self, session: Session, row: RecordingRow) -> StoredRecording:
        self.note_change(session, row.lesson_id)
        return _record(session, kept(session, row))


def _row(session: Session, recording_id: int) -> RecordingRow:
    return found(session, RecordingRow, recording_id, "recording")


def _record(session: Session, row: RecordingRow) -> StoredRecording:
    name = session.scalar(select(RawFileRow.name).where(RawFileRow.id == row.raw_file_id))
    return recording_from(row, name or "")


def _check_block(session: Session, block_id: int | None, lesson_id: int) -> None:
    if block_id is None:
        return
    if found(session, BlockRow, block_id, "block").lesson_id != lesson_id:
        raise InputError(
            f"Block {block_id} belongs to another lesson.", fix="Choose a block of this lesson."
        )


def _check_link(session: Session, row: RecordingRow, shot: ShotRow) -> None:
    if shot.lesson_id != row.lesson_id:
        raise InputError(
            f"Ball {shot.place} belongs to another lesson.", fix="Choose a ball of this lesson."
        )
    other = session.scalar(
        select(RecordingRow.place).where(RecordingRow.shot_id == shot.id, RecordingRow.id != row.id)
    )
    if other is not None:
        raise InputError(
            f"Ball {shot.place} is linked to recording {other} already.",
            fix="Take that link away first.",
        )
