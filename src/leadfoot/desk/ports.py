"""What the desk needs of the outside world: a book, a printer and a clock."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime
from typing import TYPE_CHECKING, Literal, Protocol

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

if TYPE_CHECKING:
    from leadfoot.desk.answer import Answer


class Clock(Protocol):
    """Tells the time, with its zone."""

    def __call__(self) -> datetime: ...


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
    ) -> bytes: ...


class Book(Protocol):
    """The client book. Every writing call returns only when the change is safe on disk."""

    def students(self) -> tuple[Student, ...]: ...
    def student(self, student_id: int) -> Student: ...
    def add_student(
        self, *, name: str, hand: Hand, goals: str, cautions: str, invented: bool, at: datetime
    ) -> Student: ...
    def change_student(
        self, student_id: int, *, name: str, hand: Hand, goals: str, cautions: str
    ) -> Student: ...

    def lessons(self, student_id: int | None = None) -> tuple[Lesson, ...]: ...
    def lesson(self, lesson_id: int) -> Lesson: ...
    def add_lesson(
        self, *, student_id: int, held_on: date, title: str, change: str, club: str | None
    ) -> Lesson: ...
    def change_lesson(
        self, lesson_id: int, *, title: str, change: str, club: str | None, notes: str
    ) -> Lesson: ...

    def blocks(self, lesson_id: int) -> tuple[Block, ...]: ...
    def add_block(self, lesson_id: int, *, label: str, role: Role) -> Block: ...
    def change_block(self, block_id: int, *, label: str, role: Role) -> Block: ...

    def shots(self, lesson_id: int) -> tuple[StoredShot, ...]: ...
    def shot(self, shot_id: int) -> StoredShot: ...
    def add_shot(self, block_id: int, shot: NewShot, *, at: datetime) -> StoredShot: ...
    def leave_out(self, shot_id: int, *, reason: str) -> StoredShot: ...
    def take_back(self, shot_id: int) -> StoredShot: ...

    def keep_file(self, lesson_id: int, *, name: str, data: bytes, at: datetime) -> RawFile: ...
    def raw_file(self, raw_file_id: int) -> tuple[RawFile, bytes]: ...
    def import_shots(
        self,
        raw_file_id: int,
        blocks: Sequence[tuple[str, Role, Sequence[NewShot]]],
        *,
        at: datetime,
    ) -> tuple[StoredShot, ...]: ...

    def mapping(self, header_key: str) -> str | None: ...
    def save_mapping(self, header_key: str, mapping_json: str, *, at: datetime) -> None: ...

    def judgements(self, lesson_id: int) -> tuple[StoredJudgement, ...]: ...
    def save_judgement(
        self, lesson_id: int, *, answer_json: str, version: str, at: datetime
    ) -> StoredJudgement: ...

    def changes_since(self, change_id: int, lesson_id: int | None = None) -> Mapping[int, int]:
        """Changes after `change_id`: change id to the lesson it touched."""
        ...

    def last_change(self) -> int: ...
    def close(self) -> None: ...
