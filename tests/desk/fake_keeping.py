"""Students over the years and the file of the book, in memory, behind the port."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime
from pathlib import Path

from leadfoot.desk.keeping_port import BookFile
from leadfoot.desk.keeping_records import Backup, BookState, Brought, Erased, Exported, WhoWas
from leadfoot.desk.records import Lesson, Student
from tests.desk.fake_ground import found

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)


@dataclass(kw_only=True)
class FakeFile:
    """Backups are sets of students; an export is a list of their numbers."""

    students: dict[int, Student]
    copies: dict[str, dict[int, Student]] = field(default_factory=dict)

    def state(self) -> BookState:
        return BookState(
            place="memory",
            backups_place="memory",
            size_bytes=0,
            schema=1,
            kept_days=1,
            kept_weeks=1,
            backups=tuple(self._backup(name) for name in reversed(self.copies)),
        )

    def back_up(self) -> Backup:
        name = f"copy-{len(self.copies) + 1}"
        self.copies[name] = dict(self.students)
        return self._backup(name)

    def back_up_if_due(self) -> Backup | None:
        return None if self.copies else self.back_up()

    def exports_folder(self) -> Path:
        return Path("no-folder-in-memory")

    def export_to(
        self,
        path: Path,
        *,
        student_id: int | None,
        version: str,
        progress: Callable[[int, int], None] | None = None,
    ) -> Exported:
        assert progress is None
        numbers = [one for one in self.students if student_id in {None, one}]
        path.write_text(f"{version} {numbers}")
        return Exported(rows={"students": len(numbers)}, n_files=0, digest="")

    def import_from(self, path: Path) -> Brought:
        assert path.exists()
        return Brought(rows={}, n_known=0, before=True)

    def holding(self, student_id: int) -> tuple[Backup, ...]:
        return tuple(self._backup(name) for name, held in self.copies.items() if student_id in held)

    def erase(self, student_id: int) -> Erased:
        student = found(self.students, "student", student_id)
        still_in = self.holding(student_id)
        del self.students[student_id]
        who = WhoWas(number=student.id, added_at=student.added_at)
        return Erased(rows={"students": 1}, who=(who,), still_in=still_in)

    def wipe(self) -> None:
        assert self.students is not None

    def erase_from_backups(self, who: Sequence[WhoWas], names: Sequence[str]) -> None:
        for name in names:
            for one in who:
                self.copies[name].pop(one.number, None)

    def delete_backups(self, names: Sequence[str]) -> None:
        for name in names:
            del self.copies[name]

    def _backup(self, name: str) -> Backup:
        return Backup(name=name, kind="scheduled", made_at=NOON, size_bytes=0)


@dataclass(kw_only=True)
class FakeKeeping:
    """Archives, notes consent and merges in the dictionaries of the book."""

    all_students: dict[int, Student] = field(default_factory=dict)
    all_lessons: dict[int, Lesson] = field(default_factory=dict)
    the_file: FakeFile | None = None

    @property
    def file(self) -> BookFile:
        if self.the_file is None:
            self.the_file = FakeFile(students=self.all_students)
        return self.the_file

    def archive_student(self, student_id: int, *, at: datetime | None) -> Student:
        return self._changed(replace(self._one(student_id), archived_at=at))

    def set_language(self, student_id: int, language: str) -> Student:
        return self._changed(replace(self._one(student_id), language=language))

    def note_consent(
        self,
        student_id: int,
        *,
        consent_on: date | None,
        consent_words: str,
        minor: bool,
        guardian: str,
    ) -> Student:
        return self._changed(
            replace(
                self._one(student_id),
                consent_on=consent_on,
                consent_words=consent_words,
                minor=minor,
                guardian=guardian,
            )
        )

    def merge_students(self, student_id: int, other_id: int, *, at: datetime) -> Student:
        assert at.tzinfo is not None
        kept, _ = self._one(student_id), self._one(other_id)
        for lesson in list(self.all_lessons.values()):
            if lesson.student_id == other_id:
                self.all_lessons[lesson.id] = replace(lesson, student_id=student_id)
        del self.all_students[other_id]
        return kept

    def _one(self, student_id: int) -> Student:
        return found(self.all_students, "student", student_id)

    def _changed(self, student: Student) -> Student:
        self.all_students[student.id] = student
        return student
