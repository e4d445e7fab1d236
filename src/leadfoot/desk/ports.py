"""What the desk needs of the outside world: a book, a printer and a clock."""

from collections.abc import AsyncIterator, Mapping, Sequence
from contextlib import AbstractContextManager
from datetime import date, datetime
from typing import TYPE_CHECKING, Literal, Protocol

from leadfoot.coaching.homework import HomePlan
from leadfoot.desk.access_port import AccessBook
from leadfoot.desk.bay_port import BayBook
from leadfoot.desk.homework_port import HomeworkBook
from leadfoot.desk.job_port import JobBook
from leadfoot.desk.keeping_port import KeepingBook
from leadfoot.desk.places import STUDIO
from leadfoot.desk.plan_port import PlanBook
from leadfoot.desk.pooling_port import PoolingBook
from leadfoot.desk.records import (
    Block,
    Hand,
    JumpFile,
    Lesson,
    LinkedBy,
    NewShot,
    RawFile,
    Role,
    StoredClearance,
    StoredJudgement,
    StoredJump,
    StoredRecording,
    StoredScreening,
    StoredShot,
    StrikeFrom,
    Student,
)
from leadfoot.desk.settings_port import SettingsBook
from leadfoot.ground.jump_days import Kind as JumpKind

if TYPE_CHECKING:
    from leadfoot.desk.answer import Answer


class Clock(Protocol):
    """Tells the time, with its zone."""

    def __call__(self) -> datetime:
        """Tell the time."""
        ...


class Printer(Protocol):
    """Prints the student's sheet."""

    def __call__(
        self,
        answer: "Answer",
        *,
        student: str | None,
        held_on: date | None,
        change: str | None,
        invented: bool,
        paper: Literal["a4", "us-letter"],
    ) -> bytes:
        """Give the sheet as a PDF."""
        ...


class HomePrinter(Protocol):
    """Prints the homework sheet."""

    def __call__(
        self,
        plan: HomePlan,
        *,
        student: str,
        held_on: date,
        invented: bool,
        link: str | None,
        paper: Literal["a4", "us-letter"],
    ) -> bytes:
        """Give the sheet as a PDF."""
        ...


class Book(KeepingBook, HomeworkBook, BayBook, PoolingBook, SettingsBook, PlanBook, Protocol):
    """The client book. Every writing call returns only when the change is safe on disk.

    Every call may come from any thread. Every call may raise `BookError`; one that is given the
    number of something that is not there raises `NotInBookError`. What a call returns is what the
    book holds, times in UTC.
    """

    @property
    def access(self) -> AccessBook:
        """Who may come in, and the log of what they did."""
        ...

    def students(self) -> tuple[Student, ...]:
        """All students, by name."""
        ...

    def student(self, student_id: int) -> Student:
        """One student."""
        ...

    def add_student(
        self, *, name: str, hand: Hand, goals: str, cautions: str, invented: bool, at: datetime
    ) -> Student:
        """Add a student."""
        ...

    def change_student(
        self, student_id: int, *, name: str, hand: Hand, goals: str, cautions: str
    ) -> Student:
        """Change what is written of a student."""
        ...

    def lessons(self, student_id: int | None = None) -> tuple[Lesson, ...]:
        """Lessons of one student or of all, the oldest first."""
        ...

    def lesson(self, lesson_id: int) -> Lesson:
        """One lesson."""
        ...

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
        ...

    def change_lesson(
        self, lesson_id: int, *, title: str, change: str, club: str | None, notes: str
    ) -> Lesson:
        """Change what is written of a lesson."""
        ...

    def place_lesson(self, lesson_id: int, place: str) -> Lesson:
        """Say where the balls of a lesson are hit."""
        ...

    def blocks(self, lesson_id: int) -> tuple[Block, ...]:
        """Blocks of a lesson, in order of their place."""
        ...

    def block(self, block_id: int) -> Block:
        """One block."""
        ...

    def add_block(self, lesson_id: int, *, label: str, role: Role) -> Block:
        """Add an empty block after the last one."""
        ...

    def change_block(self, block_id: int, *, label: str, role: Role) -> Block:
        """Change the label and the role of a block."""
        ...

    def shots(self, lesson_id: int) -> tuple[StoredShot, ...]:
        """Shots of a lesson in hitting order, those left out among them."""
        ...

    def shot(self, shot_id: int) -> StoredShot:
        """One shot."""
        ...

    def add_shot(
        self, block_id: int, shot: NewShot, *, at: datetime, key: str | None = None
    ) -> StoredShot:
        """Add a ball that was just hit, after the last one of the lesson, once for each key.

        A key that came into the lesson before gives the ball that it brought.
        """
        ...

    def typed_shot(self, lesson_id: int, key: str) -> StoredShot | None:
        """The ball that was typed into a lesson under a key; None where there is none."""
        ...

    def leave_out(self, shot_id: int, *, reason: str) -> StoredShot:
        """Leave a shot out of the judging; it stays in the book. The reason may not be empty."""
        ...

    def take_back(self, shot_id: int) -> StoredShot:
        """Let a shot that was left out count again."""
        ...

    def keep_file(self, lesson_id: int, *, name: str, data: bytes, at: datetime) -> RawFile:
        """Keep a file byte for byte; the same bytes again give the file that is there already."""
        ...

    def raw_files(self, lesson_id: int) -> tuple[RawFile, ...]:
        """Files of a lesson, in order of their coming."""
        ...

    def raw_file(self, raw_file_id: int) -> tuple[RawFile, bytes]:
        """One file with its bytes."""
        ...

    def import_shots(
        self,
        raw_file_id: int,
        blocks: Sequence[tuple[str, Role, Sequence[NewShot]]],
        *,
        at: datetime,
    ) -> tuple[StoredShot, ...]:
        """Add the shots of a kept file, all or none; give those that this file brought, ever.

        A file that was imported before adds nothing. A file that has grown adds what is new in it.
        A block with the label and role of one that is there and still empty fills that one.
        """
        ...

    def withdraw_import(self, raw_file_id: int) -> int:
        """Take the shots of a file out of its lesson again; the file stays, to be imported anew.

        Gives the number of shots taken out, 0 where the file was not imported. Raises `InputError`
        where a later state of the same file built on it: that one goes first.
        """
        ...

    def mapping(self, header_key: str) -> str | None:
        """The column mapping saved last for a header, None where there is none."""
        ...

    def save_mapping(self, header_key: str, mapping_json: str, *, at: datetime) -> None:
        """Save a column mapping for a header; the earlier ones stay in the book."""
        ...

    def judgements(self, lesson_id: int) -> tuple[StoredJudgement, ...]:
        """Answers kept for a lesson, the oldest first."""
        ...

    def last_judgements(self, student_id: int) -> Mapping[int, StoredJudgement]:
        """The answer kept last for each lesson of a student, by lesson; none: it is not there."""
        ...

    def save_judgement(
        self, lesson_id: int, *, answer_json: str, version: str, at: datetime
    ) -> StoredJudgement:
        """Keep an answer as it was given."""
        ...

    def recordings(self, lesson_id: int) -> tuple[StoredRecording, ...]:
        """Force recordings of a lesson, in order of their coming."""
        ...

    def recording(self, recording_id: int) -> StoredRecording:
        """One force recording; its bytes are those of its file."""
        ...

    def add_recording(
        self, raw_file_id: int, *, block_id: int | None, choices_json: str, at: datetime
    ) -> StoredRecording:
        """Take a kept file as a force recording; the same file again gives the one there."""
        ...

    def understand_recording(
        self, recording_id: int, *, choices_json: str, mapping_json: str | None
    ) -> StoredRecording:
        """Change what is said of a recording beside its file."""
        ...

    def put_recording(self, recording_id: int, block_id: int | None) -> StoredRecording:
        """Put a recording into a block of its lesson, or into none."""
        ...

    def link_recording(
        self, recording_id: int, shot_id: int | None, linked_by: LinkedBy | None
    ) -> StoredRecording:
        """Link a recording to a shot of its lesson, or to none; a shot has one recording at most.

        The recording goes into the block of its shot.
        """
        ...

    def set_strike(
        self, recording_id: int, strike_s: float | None, strike_from: StrikeFrom | None
    ) -> StoredRecording:
        """Set the strike of a recording, or leave it to what the file says."""
        ...

    def leave_out_recording(self, recording_id: int, reason: str | None) -> StoredRecording:
        """Leave a recording out of the averages with a reason; None lets it count again."""
        ...

    def keep_jump_file(self, student_id: int, *, name: str, data: bytes, at: datetime) -> JumpFile:
        """Keep a file byte for byte; the same bytes again give the file that is there already."""
        ...

    def jump_file(self, jump_file_id: int) -> tuple[JumpFile, bytes]:
        """One file of a jump with its bytes."""
        ...

    def jumps(self, student_id: int) -> tuple[StoredJump, ...]:
        """Jumps of a student by day, those left out among them."""
        ...

    def jump(self, jump_id: int) -> StoredJump:
        """One jump."""
        ...

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
        ...

    def leave_out_jump(self, jump_id: int, reason: str | None) -> StoredJump:
        """Leave a jump out with a reason; it stays in the book; None lets it count again."""
        ...

    def screenings(self, student_id: int) -> tuple[StoredScreening, ...]:
        """Answers of a student before maximal efforts, the oldest first."""
        ...

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
        ...

    def clearances(self, student_id: int) -> tuple[StoredClearance, ...]:
        """Clearances of a student, the oldest first."""
        ...

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
        ...

    def changes_since(self, change_id: int, lesson_id: int | None = None) -> Mapping[int, int]:
        """Changes after `change_id`, oldest first: change id to the lesson it touched.

        Lesson 0 stands for what belongs to no one lesson: the students and the mappings. A change
        of a student is also told of each lesson of that student.
        """
        ...

    def last_change(self) -> int:
        """Number of the last change, 0 in a new book."""
        ...

    @property
    def jobs(self) -> JobBook:
        """Long work, and how far it is."""
        ...

    def at_once(self) -> AbstractContextManager[None]:
        """Let all that this thread reads in the block see one state of the book."""
        ...

    def news(self) -> AsyncIterator[None]:
        """Say, for as long as it is listened to, that something may have changed in the book."""
        ...

    def close(self) -> None:
        """Close the book; every later call raises `BookError`."""
        ...
