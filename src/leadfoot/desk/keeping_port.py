"""What the desk needs of a book that lives for years: students kept, merged, erased; its file."""

from collections.abc import Callable, Sequence
from datetime import date, datetime
from pathlib import Path
from typing import Protocol

from leadfoot.desk.keeping_records import Backup, BookState, Brought, Erased, Exported, WhoWas
from leadfoot.desk.records import Student


class BookFile(Protocol):
    """The file of the book and what is made of it: backups, exports, and erasing for good."""

    def state(self) -> BookState:
        """Where the book is, how large, of which schema, and its backups."""
        ...

    def back_up(self) -> Backup:
        """Copy the book into its folder of backups and check the copy; it stays until deleted."""
        ...

    def back_up_if_due(self) -> Backup | None:
        """Back up, if there is no backup of today and the book has changed; prune old ones."""
        ...

    def exports_folder(self) -> Path:
        """The folder of this machine in which exports wait for whoever asked for them."""
        ...

    def export_to(
        self,
        path: Path,
        *,
        student_id: int | None,
        version: str,
        progress: Callable[[int, int], None] | None = None,
    ) -> Exported:
        """Write one student, or with None everything, into a new ZIP file at `path`.

        `progress` is told how many rows are written, and of how many.
        """
        ...

    def import_from(self, path: Path) -> Brought:
        """Bring in an export: as it is into an empty book, else beside what is there."""
        ...

    def holding(self, student_id: int) -> tuple[Backup, ...]:
        """Backups in which a student of the book still is."""
        ...

    def erase(self, student_id: int) -> Erased:
        """Erase a student from the book for good: every row and file, and their bytes."""
        ...

    def wipe(self) -> None:
        """Free the file of the bytes of what was erased while another program had it open."""
        ...

    def erase_from_backups(self, who: Sequence[WhoWas], names: Sequence[str]) -> None:
        """Write backups anew without the one who was erased."""
        ...

    def delete_backups(self, names: Sequence[str]) -> None:
        """Delete backups by name."""
        ...


class KeepingBook(Protocol):
    """The part of the client book that keeps students over the years."""

    @property
    def file(self) -> BookFile:
        """The file of the book."""
        ...

    def archive_student(self, student_id: int, *, at: datetime | None) -> Student:
        """Take a student out of the daily lists, or with None back into them."""
        ...

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
        ...

    def set_language(self, student_id: int, language: str) -> Student:
        """Write down in which language a student reads."""
        ...

    def merge_students(self, student_id: int, other_id: int, *, at: datetime) -> Student:
        """Move all that hangs on the other student to this one, and note what was there."""
        ...
