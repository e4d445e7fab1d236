"""The client book in SQL: every call is one transaction, and returns what the book holds."""

import hashlib
from collections.abc import AsyncIterator, Mapping
from datetime import date, datetime

from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session

from leadfoot.book.columns import storable
from leadfoot.book.file_of_book import FileOfBook
from leadfoot.book.importing import NewBlocks, bring_in, hit_now, new_block, take_out
from leadfoot.book.news import announced, looks
from leadfoot.book.rows import (
    block_from,
    judgement_from,
    lesson_from,
    raw_file_from,
    shot_from,
    student_from,
)
from leadfoot.book.server_file import ServerFile
from leadfoot.book.shelf_access import AccessShelf
from leadfoot.book.shelf_bays import BayShelf
from leadfoot.book.shelf_home_tables import HomeTableShelf
from leadfoot.book.shelf_homework import HomeworkShelf
from leadfoot.book.shelf_jobs import JobShelf
from leadfoot.book.shelf_jumps import JumpShelf
from leadfoot.book.shelf_plans import PlanShelf
from leadfoot.book.shelf_pooling import PoolingShelf
from leadfoot.book.shelf_recordings import RecordingShelf
from leadfoot.book.shelf_settings import SettingsShelf
from leadfoot.book.shelf_students import StudentShelf
from leadfoot.book.tables import (
    BlockRow,
    ChangeRow,
    JudgementRow,
    LessonRow,
    MappingRow,
    RawFileRow,
    ShotRow,
    StudentRow,
)
from leadfoot.book.transactions import done_again, found, kept
from leadfoot.desk.places import STUDIO
from leadfoot.desk.records import (
    Block,
    Hand,
    Lesson,
    NewShot,
    RawFile,
    Role,
    StoredJudgement,
    StoredShot,
    Student,
)
from leadfoot.errors import InputError


class SqlBook(
    StudentShelf,
    HomeworkShelf,
    HomeTableShelf,
    RecordingShelf,
    JumpShelf,
    BayShelf,
    PoolingShelf,
    SettingsShelf,
    PlanShelf,
):
    """A client book in a database; satisfies `leadfoot.desk.ports.Book`.

    Use `open_book` to get one. Any thread may call it; several programs may hold the same file
    open. One call is one transaction: reading sees one state of the book, and writing returns after
    the commit.
    """

    @property
    def file(self) -> FileOfBook | ServerFile:
        """The file of the book: backups, exports, erasing for good."""
        if self.backups is not None:
            return ServerFile(self, self.backups, clock=self._clock)
        return FileOfBook(self, clock=self._clock)

    @property
    def access(self) -> AccessShelf:
        """Who may come in, and the log of what they did."""
        return AccessShelf(self)

    # Students

    def students(self) -> tuple[Student, ...]:
        """All students, by name."""
        with self.reading() as session:
            found = [student_from(row) for row in session.scalars(select(StudentRow))]
        return tuple(sorted(found, key=lambda one: (one.name.casefold(), one.name, one.id)))

    def student(self, student_id: int) -> Student:
        """One student."""
        with self.reading() as session:
            return student_from(found(session, StudentRow, student_id, "student"))

    def add_student(
        self, *, name: str, hand: Hand, goals: str, cautions: str, invented: bool, at: datetime
    ) -> Student:
        """Add a student."""
        row = StudentRow(
            name=name, hand=hand, goals=goals, cautions=cautions, invented=invented, added_at=at
        )
        with self.writing() as session:
            return student_from(self.added(session, row, None))

    def change_student(
        self, student_id: int, *, name: str, hand: Hand, goals: str, cautions: str
    ) -> Student:
        """Change what is written of a student."""
        with self.writing() as session:
            row = found(session, StudentRow, student_id, "student")
            row.name, row.hand, row.goals, row.cautions = name, hand, goals, cautions
            self.note_student(session, student_id)
            return student_from(kept(session, row))

    # Lessons

    def lessons(self, student_id: int | None = None) -> tuple[Lesson, ...]:
        """Lessons of one student or of all, the oldest first."""
        query = select(LessonRow).order_by(LessonRow.held_on, LessonRow.id)
        with self.reading() as session:
            if student_id is not None:
                found(session, StudentRow, student_id, "student")
                query = query.where(LessonRow.student_id == student_id)
            return tuple(lesson_from(row) for row in session.scalars(query))

    def lesson(self, lesson_id: int) -> Lesson:
        """One lesson."""
        with self.reading() as session:
            return lesson_from(found(session, LessonRow, lesson_id, "lesson"))

    def add_lesson(
        self,
        *,
        student_id: int,
        held_on: date,
        title: str,
        change: str,
        club: str | None,
        place: str = STUDIO,
    ) -> Lesson:
        """Add a lesson, without blocks and shots."""
        with self.writing() as session:
            found(session, StudentRow, student_id, "student")
            row = LessonRow(
                student_id=student_id,
                held_on=held_on,
                title=title,
                change=change,
                club=club,
                notes="",
                place=place,
            )
            session.add(row)
            session.flush()
            return lesson_from(self.added(session, row, row.id))

    def change_lesson(
        self, lesson_id: int, *, title: str, change: str, club: str | None, notes: str
    ) -> Lesson:
        """Change what is written of a lesson."""
        with self.writing() as session:
            row = found(session, LessonRow, lesson_id, "lesson")
            row.title, row.change, row.club, row.notes = title, change, club, notes
            self.note_change(session, lesson_id)
            return lesson_from(kept(session, row))

    def place_lesson(self, lesson_id: int, place: str) -> Lesson:
        """Say where the balls of a lesson are hit."""
        with self.writing() as session:
            row = found(session, LessonRow, lesson_id, "lesson")
            if row.place != storable(place):
                row.place = place
                self.note_change(session, lesson_id)
            return lesson_from(kept(session, row))

    # Blocks

    def blocks(self, lesson_id: int) -> tuple[Block, ...]:
        """Blocks of a lesson, in order of their place."""
        query = select(BlockRow).where(BlockRow.lesson_id == lesson_id).order_by(BlockRow.place)
        return self.of_lesson(lesson_id, query, block_from)

    def block(self, block_id: int) -> Block:
        """One block."""
        with self.reading() as session:
            return block_from(found(session, BlockRow, block_id, "block"))

    def add_block(self, lesson_id: int, *, label: str, role: Role) -> Block:
        """Add an empty block after the last one."""
        with self.writing() as session:
            found(session, LessonRow, lesson_id, "lesson")
            row = new_block(session, lesson_id, label, role)
            return block_from(self.added(session, row, lesson_id))

    def change_block(self, block_id: int, *, label: str, role: Role) -> Block:
        """Change the label and the role of a block."""
        with self.writing() as session:
            row = found(session, BlockRow, block_id, "block")
            row.label, row.role = label, role
            self.note_change(session, row.lesson_id)
            return block_from(kept(session, row))

    # Shots

    def shots(self, lesson_id: int) -> tuple[StoredShot, ...]:
        """Shots of a lesson in hitting order, those left out among them."""
        # Plain columns: a row that is tracked for changes costs twice as much to read.
        query = select(*ShotRow.__table__.columns).where(ShotRow.lesson_id == lesson_id)
        with self.reading() as session:
            found(session, LessonRow, lesson_id, "lesson")
            rows = session.execute(query.order_by(ShotRow.place))
            return tuple(shot_from(row) for row in rows)

    def shot(self, shot_id: int) -> StoredShot:
        """One shot."""
        with self.reading() as session:
            return shot_from(found(session, ShotRow, shot_id, "shot"))

    @done_again()
    def add_shot(
        self, block_id: int, shot: NewShot, *, at: datetime, key: str | None = None
    ) -> StoredShot:
        """Add a ball that was just hit, after the last one of the lesson, once for each key."""
        with self.writing() as session:
            block = found(session, BlockRow, block_id, "block")
            came = _typed(session, block.lesson_id, key)
            if came is not None:
                return shot_from(came)
            row = hit_now(session, block, shot, "typed", at)
            row.typed_key = key
            return shot_from(self.added(session, row, block.lesson_id))

    def typed_shot(self, lesson_id: int, key: str) -> StoredShot | None:
        """The ball that was typed into a lesson under a key; None where there is none."""
        with self.reading() as session:
            found(session, LessonRow, lesson_id, "lesson")
            row = _typed(session, lesson_id, key)
            return None if row is None else shot_from(row)

    def leave_out(self, shot_id: int, *, reason: str) -> StoredShot:
        """Leave a shot out of the judging; it stays in the book. The reason may not be empty."""
        if not reason:
            raise InputError(
                f"Shot {shot_id} was to be left out without a reason.",
                fix="Say why it should not count.",
            )
        return self._set_reason(shot_id, reason)

    def take_back(self, shot_id: int) -> StoredShot:
        """Let a shot that was left out count again."""
        return self._set_reason(shot_id, None)

    # Files

    def keep_file(self, lesson_id: int, *, name: str, data: bytes, at: datetime) -> RawFile:
        """Keep a file byte for byte; the same bytes again give the file that is there already."""
        digest = hashlib.sha256(data).hexdigest()
        same = select(RawFileRow).where(
            RawFileRow.lesson_id == lesson_id, RawFileRow.digest == digest
        )
        with self.writing() as session:
            found(session, LessonRow, lesson_id, "lesson")
            there = session.scalar(same)
            if there is not None:
                return raw_file_from(there)
            row = RawFileRow(
                lesson_id=lesson_id,
                name=name,
                digest=digest,
                size_bytes=len(data),
                received_at=at,
                data=data,
            )
            return raw_file_from(self.added(session, row, lesson_id))

    def raw_files(self, lesson_id: int) -> tuple[RawFile, ...]:
        """Files of a lesson, in order of their coming."""
        query = select(RawFileRow).where(RawFileRow.lesson_id == lesson_id).order_by(RawFileRow.id)
        return self.of_lesson(lesson_id, query, raw_file_from)

    def raw_file(self, raw_file_id: int) -> tuple[RawFile, bytes]:
        """One file with its bytes."""
        with self.reading() as session:
            row = found(session, RawFileRow, raw_file_id, "file")
            return raw_file_from(row), row.data

    def import_shots(
        self,
        raw_file_id: int,
        blocks: NewBlocks,
        *,
        at: datetime,
    ) -> tuple[StoredShot, ...]:
        """Add the shots of a kept file, all or none; give those that this file brought, ever.

        See `leadfoot.book.importing` for files that come again.
        """
        with self.writing() as session:
            file = found(session, RawFileRow, raw_file_id, "file")
            if file.imported_at is None:
                bring_in(session, file, blocks, at=at)
                self.note_change(session, file.lesson_id)
            query = select(ShotRow).where(ShotRow.raw_file_id == file.id).order_by(ShotRow.place)
            return tuple(shot_from(row) for row in session.scalars(query))

    def withdraw_import(self, raw_file_id: int) -> int:
        """Take the shots of a file out of its lesson again; the file itself stays.

        Raises
        ------
        InputError
            If a later state of the same file was imported on top of it.
        """
        with self.writing() as session:
            file = found(session, RawFileRow, raw_file_id, "file")
            n_shots = take_out(session, file)
            if n_shots:
                self.note_change(session, file.lesson_id)
            return n_shots

    # Mappings and judgements

    def mapping(self, header_key: str) -> str | None:
        """The column mapping saved last for a header, None where there is none."""
        with self.reading() as session:
            return session.scalar(_mapping_in_force(header_key))

    def save_mapping(self, header_key: str, mapping_json: str, *, at: datetime) -> None:
        """Save a column mapping for a header; the earlier ones stay in the book."""
        row = MappingRow(
            header_digest=_digest(header_key),
            header_key=header_key,
            mapping_json=mapping_json,
            saved_at=at,
        )
        with self.writing() as session:
            if session.scalar(_mapping_in_force(header_key)) != mapping_json:
                self.added(session, row, None)

    def judgements(self, lesson_id: int) -> tuple[StoredJudgement, ...]:
        """Answers kept for a lesson, the oldest first."""
        query = select(JudgementRow).where(JudgementRow.lesson_id == lesson_id)
        query = query.order_by(JudgementRow.id)
        return self.of_lesson(lesson_id, query, judgement_from)

    def last_judgements(self, student_id: int) -> Mapping[int, StoredJudgement]:
        """The answer kept last for each lesson of a student, by lesson; none: it is not there."""
        last = (
            select(func.max(JudgementRow.id))
            .join(LessonRow, LessonRow.id == JudgementRow.lesson_id)
            .where(LessonRow.student_id == student_id)
            .group_by(JudgementRow.lesson_id)
        )
        with self.reading() as session:
            rows = session.scalars(select(JudgementRow).where(JudgementRow.id.in_(last)))
            return {row.lesson_id: judgement_from(row) for row in rows}

    def save_judgement(
        self, lesson_id: int, *, answer_json: str, version: str, at: datetime
    ) -> StoredJudgement:
        """Keep an answer as it was given."""
        with self.writing() as session:
            found(session, LessonRow, lesson_id, "lesson")
            row = JudgementRow(
                lesson_id=lesson_id, answer_json=answer_json, version=version, made_at=at
            )
            return judgement_from(self.added(session, row, lesson_id))

    # Changes

    def changes_since(self, change_id: int, lesson_id: int | None = None) -> Mapping[int, int]:
        """Changes after `change_id`, oldest first: change id to the lesson it touched (or 0)."""
        query = select(ChangeRow.id, ChangeRow.lesson_id).where(ChangeRow.id > change_id)
        if lesson_id is not None:
            query = query.where(ChangeRow.lesson_id == lesson_id)
        with self.reading() as session:
            return {row.id: row.lesson_id or 0 for row in session.execute(query.order_by("id"))}

    def last_change(self) -> int:
        """Number of the last change, 0 in a new book."""
        with self.reading() as session:
            return session.scalar(select(func.max(ChangeRow.id))) or 0

    @property
    def jobs(self) -> JobShelf:
        """Long work, and how far it is."""
        return JobShelf(self)

    def news(self) -> AsyncIterator[None]:
        """Say, for as long as it is listened to, that something may have changed."""
        return looks() if self.backups is None else announced(self.engine.url)

    def _set_reason(self, shot_id: int, reason: str | None) -> StoredShot:
        with self.writing() as session:
            row = found(session, ShotRow, shot_id, "shot")
            row.left_out_reason = reason
            self.note_change(session, row.lesson_id)
            return shot_from(kept(session, row))


def _digest(header_key: str) -> str:
    return hashlib.sha256(header_key.encode("utf-8", "surrogatepass")).hexdigest()


def _mapping_in_force(header_key: str) -> Select[str]:
    return (
        select(MappingRow.mapping_json)
        .where(MappingRow.header_digest == _digest(header_key))
        .order_by(MappingRow.id.desc())
        .limit(1)
    )


def _typed(session: Session, lesson_id: int, key: str | None) -> ShotRow | None:
    if key is None:
        return None
    same = (ShotRow.lesson_id == lesson_id, ShotRow.typed_key == storable(key))
    return session.scalar(select(ShotRow).where(*same))
