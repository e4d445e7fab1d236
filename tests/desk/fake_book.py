"""A client book in memory, behind the port: for tests of the desk that need no store."""

import hashlib
from collections.abc import AsyncIterator, Mapping, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, field, replace
from datetime import date, datetime

from leadfoot.desk.access_port import AccessBook
from leadfoot.desk.job_port import JobBook
from leadfoot.desk.places import STUDIO
from leadfoot.desk.pooling_port import CountedBalls, LessonBalls
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
from tests.desk.fake_bays import FakeBays
from tests.desk.fake_ground import found
from tests.desk.fake_homework import FakeHomework
from tests.desk.fake_keeping import FakeKeeping
from tests.desk.fake_plans import FakePlans
from tests.desk.fake_settings import FakeSettings
from tests.naive.pooled_balls import balls_one_by_one, counted_one_by_one


@dataclass(eq=False)
class FakeBook(FakeKeeping, FakeHomework, FakeBays, FakeSettings, FakePlans):
    """Keeps everything in dictionaries by number, from 1."""

    __hash__ = object.__hash__  # each is a book of its own, whatever stands in it

    all_students: dict[int, Student] = field(default_factory=dict)
    all_lessons: dict[int, Lesson] = field(default_factory=dict)
    typed_keys: dict[tuple[int, str], int] = field(default_factory=dict)
    all_blocks: dict[int, Block] = field(default_factory=dict)
    all_shots: dict[int, StoredShot] = field(default_factory=dict)
    all_files: dict[int, tuple[RawFile, bytes]] = field(default_factory=dict)
    all_judgements: dict[int, StoredJudgement] = field(default_factory=dict)
    is_closed: bool = False

    @property
    def access(self) -> AccessBook:
        """Nobody signs in to a book in memory: those tests use a real one."""
        raise LookupError("A book in memory has no door; open a real one.")

    def students(self) -> tuple[Student, ...]:
        return tuple(sorted(self.all_students.values(), key=lambda one: one.name))

    def student(self, student_id: int) -> Student:
        return found(self.all_students, "student", student_id)

    def add_student(
        self, *, name: str, hand: Hand, goals: str, cautions: str, invented: bool, at: datetime
    ) -> Student:
        student = Student(
            id=len(self.all_students) + 1,
            name=name,
            hand=hand,
            goals=goals,
            cautions=cautions,
            invented=invented,
            added_at=at,
        )
        self.all_students[student.id] = student
        self.touched.append(0)
        return student

    def change_student(
        self, student_id: int, *, name: str, hand: Hand, goals: str, cautions: str
    ) -> Student:
        changed = replace(
            self.student(student_id), name=name, hand=hand, goals=goals, cautions=cautions
        )
        self.all_students[student_id] = changed
        self.touched.append(0)
        return changed

    def lessons(self, student_id: int | None = None) -> tuple[Lesson, ...]:
        chosen = [
            lesson
            for lesson in self.all_lessons.values()
            if student_id is None or lesson.student_id == student_id
        ]
        return tuple(sorted(chosen, key=lambda lesson: (lesson.held_on, lesson.id)))

    def lesson(self, lesson_id: int) -> Lesson:
        return found(self.all_lessons, "lesson", lesson_id)

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
        self.student(student_id)
        lesson = Lesson(
            id=len(self.all_lessons) + 1,
            student_id=student_id,
            held_on=held_on,
            title=title,
            change=change,
            club=club,
            notes="",
            place=place,
        )
        self.all_lessons[lesson.id] = lesson
        self.touched.append(lesson.id)
        return lesson

    def change_lesson(
        self, lesson_id: int, *, title: str, change: str, club: str | None, notes: str
    ) -> Lesson:
        changed = replace(
            self.lesson(lesson_id), title=title, change=change, club=club, notes=notes
        )
        self.all_lessons[lesson_id] = changed
        self.touched.append(lesson_id)
        return changed

    def place_lesson(self, lesson_id: int, place: str) -> Lesson:
        self.all_lessons[lesson_id] = replace(self.lesson(lesson_id), place=place)
        self.touched.append(lesson_id)
        return self.all_lessons[lesson_id]

    def blocks(self, lesson_id: int) -> tuple[Block, ...]:
        self.lesson(lesson_id)
        return tuple(block for block in self.all_blocks.values() if block.lesson_id == lesson_id)

    def block(self, block_id: int) -> Block:
        return found(self.all_blocks, "block", block_id)

    def add_block(self, lesson_id: int, *, label: str, role: Role) -> Block:
        block = Block(
            id=len(self.all_blocks) + 1,
            lesson_id=lesson_id,
            place=len(self.blocks(lesson_id)) + 1,
            label=label,
            role=role,
        )
        self.all_blocks[block.id] = block
        self.touched.append(lesson_id)
        return block

    def change_block(self, block_id: int, *, label: str, role: Role) -> Block:
        changed = replace(self.block(block_id), label=label, role=role)
        self.all_blocks[block_id] = changed
        self.touched.append(changed.lesson_id)
        return changed

    def shots(self, lesson_id: int) -> tuple[StoredShot, ...]:
        self.lesson(lesson_id)
        return tuple(shot for shot in self.all_shots.values() if shot.lesson_id == lesson_id)

    def balls_of(
        self, lesson_ids: Sequence[int], quantities: Sequence[str]
    ) -> Mapping[int, LessonBalls]:
        return {
            number: balls_one_by_one(self.blocks(number), shots, quantities)
            for number in lesson_ids
            if (shots := self.shots(number))
        }

    def counted_of(self, lesson_ids: Sequence[int]) -> Mapping[int, CountedBalls]:
        return {
            number: counted_one_by_one(self.blocks(number), shots)
            for number in lesson_ids
            if (shots := [one for one in self.shots(number) if one.left_out_reason is None])
        }

    def shot(self, shot_id: int) -> StoredShot:
        return found(self.all_shots, "shot", shot_id)

    def add_shot(
        self, block_id: int, shot: NewShot, *, at: datetime, key: str | None = None
    ) -> StoredShot:
        lesson_id = self.block(block_id).lesson_id
        came = None if key is None else self.typed_shot(lesson_id, key)
        if came is not None:
            return came
        kept = self._keep(self.block(block_id), shot, at, None)
        if key is not None:
            self.typed_keys[lesson_id, key] = kept.id
        return kept

    def typed_shot(self, lesson_id: int, key: str) -> StoredShot | None:
        self.lesson(lesson_id)
        shot_id = self.typed_keys.get((lesson_id, key))
        return None if shot_id is None else self.shot(shot_id)

    def leave_out(self, shot_id: int, *, reason: str) -> StoredShot:
        assert reason
        return self._count(shot_id, reason)

    def take_back(self, shot_id: int) -> StoredShot:
        return self._count(shot_id, None)

    def keep_file(self, lesson_id: int, *, name: str, data: bytes, at: datetime) -> RawFile:
        digest = hashlib.sha256(data).hexdigest()
        for kept in self.raw_files(lesson_id):
            if kept.digest == digest:
                return kept
        raw_file = RawFile(
            id=len(self.all_files) + 1,
            lesson_id=lesson_id,
            name=name,
            digest=digest,
            size_bytes=len(data),
            received_at=at,
            imported=False,
        )
        self.all_files[raw_file.id] = raw_file, data
        self.touched.append(lesson_id)
        return raw_file

    def raw_files(self, lesson_id: int) -> tuple[RawFile, ...]:
        self.lesson(lesson_id)
        return tuple(kept for kept, _ in self.all_files.values() if kept.lesson_id == lesson_id)

    def raw_file(self, raw_file_id: int) -> tuple[RawFile, bytes]:
        return found(self.all_files, "file", raw_file_id)

    def import_shots(
        self,
        raw_file_id: int,
        blocks: Sequence[tuple[str, Role, Sequence[NewShot]]],
        *,
        at: datetime,
    ) -> tuple[StoredShot, ...]:
        raw_file, data = self.raw_file(raw_file_id)
        if not raw_file.imported:
            for label, role, run in blocks:
                block = self.add_block(raw_file.lesson_id, label=label, role=role)
                for shot in run:
                    self._keep(block, shot, at, raw_file_id)
            self.all_files[raw_file_id] = replace(raw_file, imported=True), data
        return tuple(shot for shot in self.all_shots.values() if shot.raw_file_id == raw_file_id)

    def withdraw_import(self, raw_file_id: int) -> int:
        raw_file, data = self.raw_file(raw_file_id)
        brought = [key for key, shot in self.all_shots.items() if shot.raw_file_id == raw_file_id]
        for key in brought:
            del self.all_shots[key]
        self.lose_links(brought)
        self.all_files[raw_file_id] = replace(raw_file, imported=False), data
        return len(brought)

    def mapping(self, header_key: str) -> str | None:
        return self.all_mappings.get(header_key)

    def save_mapping(
        self,
        header_key: str,
        mapping_json: str,
        *,
        at: datetime,
    ) -> None:
        assert at.tzinfo is not None
        self.all_mappings[header_key] = mapping_json
        self.touched.append(0)

    def judgements(self, lesson_id: int) -> tuple[StoredJudgement, ...]:
        return tuple(one for one in self.all_judgements.values() if one.lesson_id == lesson_id)

    def last_judgements(self, student_id: int) -> Mapping[int, StoredJudgement]:
        lessons = [one.id for one in self.lessons(student_id)]
        return {number: kept[-1] for number in lessons if (kept := self.judgements(number))}

    def save_judgement(
        self, lesson_id: int, *, answer_json: str, version: str, at: datetime
    ) -> StoredJudgement:
        judgement = StoredJudgement(
            id=len(self.all_judgements) + 1,
            lesson_id=lesson_id,
            made_at=at,
            version=version,
            answer_json=answer_json,
        )
        self.all_judgements[judgement.id] = judgement
        self.touched.append(lesson_id)
        return judgement

    def changes_since(self, change_id: int, lesson_id: int | None = None) -> Mapping[int, int]:
        later = enumerate(self.touched[change_id:], start=change_id + 1)
        return {number: touched for number, touched in later if lesson_id in {None, touched}}

    def last_change(self) -> int:
        return len(self.touched)

    @property
    def jobs(self) -> JobBook:
        raise NotImplementedError

    def at_once(self) -> AbstractContextManager[None]:
        return nullcontext()

    async def news(self) -> AsyncIterator[None]:
        yield

    def close(self) -> None:
        self.is_closed = True

    def _keep(
        self, block: Block, shot: NewShot, at: datetime, raw_file_id: int | None
    ) -> StoredShot:
        kept = StoredShot(
            id=len(self.all_shots) + 1,
            lesson_id=block.lesson_id,
            block_id=block.id,
            place=len(self.shots(block.lesson_id)) + 1,
            club=shot.club,
            values=shot.values,
            source="typed" if raw_file_id is None else "file",
            raw_file_id=raw_file_id,
            row=shot.row,
            left_out_reason=None,
            hit_at=at,
        )
        self.all_shots[kept.id] = kept
        self.touched.append(block.lesson_id)
        return kept

    def _count(self, shot_id: int, reason: str | None) -> StoredShot:
        changed = replace(self.shot(shot_id), left_out_reason=reason)
        self.all_shots[shot_id] = changed
        self.touched.append(changed.lesson_id)
        return changed
