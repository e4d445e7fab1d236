"""Whatever is done to a book in whatever order, it holds what a plain book in memory holds."""

import hashlib
import shutil
import tempfile
from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, timedelta, timezone
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    Bundle,
    MultipleResults,
    RuleBasedStateMachine,
    initialize,
    invariant,
    multiple,
    rule,
    run_state_machine_as_test,
)

from leadfoot.book.store import open_book
from leadfoot.desk.records import (
    Hand,
    Lesson,
    NewShot,
    RawFile,
    Role,
    StoredJudgement,
    Student,
)
from leadfoot.shots.shot import Reading
from tests.book.model import PlainBook, PlainFile, stored

if TYPE_CHECKING:
    from tests.postgres import Server

Table = list[tuple[str, Role, list[NewShot]]]

TEXT = st.text(max_size=20)
CLUB = st.none() | TEXT
HANDS: st.SearchStrategy[Hand] = st.sampled_from(["right", "left"])
ROLES: st.SearchStrategy[Role] = st.sampled_from(["before", "with_change", "other"])
TIMES = st.datetimes(
    min_value=datetime(1900, 1, 1),  # noqa: DTZ001  (the zone comes from the next argument)
    max_value=datetime(9000, 1, 1),  # noqa: DTZ001
    timezones=st.integers(-720, 840).map(lambda minutes: timezone(timedelta(minutes=minutes))),
)
NEW_STUDENTS = st.builds(
    Student,
    id=st.just(0),
    name=TEXT,
    hand=HANDS,
    goals=TEXT,
    cautions=TEXT,
    invented=st.booleans(),
    added_at=TIMES,
)
VALUES = st.dictionaries(
    st.sampled_from(["carry", "offline", "smash_factor"]),
    st.builds(
        Reading,
        value=st.floats(allow_nan=False, allow_infinity=False),
        unit=st.sampled_from(["yd", "m", None]),
    ),
)
SHOTS = st.builds(NewShot, club=CLUB, values=VALUES)
LABELS = st.sampled_from(["before", "cue", "\0"])
NAMES = st.sampled_from(["a.csv", "b\0.csv"])


@st.composite
def tables(draw: st.DrawFn) -> Table:
    """Blocks of a small table; so few different shots that tables often begin alike."""
    numbered = draw(st.sampled_from([True, True, True, False]))
    carries = draw(st.lists(st.sampled_from([1.0, 2.0]), max_size=5))
    shots = [
        NewShot(
            club=draw(st.sampled_from(["7\0", "7\0", "7\0", None])),
            values={"carry": Reading(value=carry, unit="yd")},
            row=row if numbered else None,
        )
        for row, carry in enumerate(carries, start=2)
    ]
    cut = draw(st.integers(0, len(shots)))
    return [(draw(LABELS), draw(ROLES), shots[:cut]), (draw(LABELS), draw(ROLES), shots[cut:])]


class AnyOrder(RuleBasedStateMachine):
    students: Bundle[int] = Bundle("students")
    lessons: Bundle[int] = Bundle("lessons")
    blocks: Bundle[int] = Bundle("blocks")
    shots: Bundle[int] = Bundle("shots")
    files: Bundle[int] = Bundle("files")

    address_of: Callable[[Path], str] = staticmethod(lambda folder: str(folder / "lessons.book"))
    """Where a new book is."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp(prefix="leadfoot-test-"))
        self.address = self.address_of(self.folder)
        self.book = open_book(self.address)
        self.plain = PlainBook()

    def teardown(self) -> None:
        self.book.close()
        shutil.rmtree(self.folder)

    @initialize(target=students, new=NEW_STUDENTS)
    def begin(self, new: Student) -> int:
        return self._add_student(new)

    @rule(target=students, new=NEW_STUDENTS)
    def add_student(self, new: Student) -> int:
        return self._add_student(new)

    def _add_student(self, new: Student) -> int:
        student = self.book.add_student(
            name=new.name,
            hand=new.hand,
            goals=new.goals,
            cautions=new.cautions,
            invented=new.invented,
            at=new.added_at,
        )
        assert student == replace(
            new,
            id=len(self.plain.students) + 1,
            name=stored(new.name),
            goals=stored(new.goals),
            cautions=stored(new.cautions),
        )
        self.plain.students[student.id] = student
        self.plain.changes.append(0)
        return student.id

    @rule(student_id=students, name=TEXT, hand=HANDS, goals=TEXT, cautions=TEXT)
    def change_student(
        self, student_id: int, name: str, hand: Hand, goals: str, cautions: str
    ) -> None:
        self.plain.students[student_id] = replace(
            self.plain.students[student_id],
            name=stored(name),
            hand=hand,
            goals=stored(goals),
            cautions=stored(cautions),
        )
        theirs = [one.id for one in self.plain.lessons.values() if one.student_id == student_id]
        self.plain.changes += [0, *theirs]
        changed = self.book.change_student(
            student_id, name=name, hand=hand, goals=goals, cautions=cautions
        )
        assert changed == self.plain.students[student_id]

    @rule(student_id=students, at=st.none() | TIMES)
    def archive_student(self, student_id: int, at: datetime | None) -> None:
        student = replace(self.plain.students[student_id], archived_at=at)
        self._note_student(student)
        assert self.book.archive_student(student_id, at=at) == student

    @rule(student_id=students, language=st.sampled_from(["en", "de"]))
    def set_language(self, student_id: int, language: str) -> None:
        student = replace(self.plain.students[student_id], language=language)
        self._note_student(student)
        assert self.book.set_language(student_id, language) == student

    @rule(
        student_id=students,
        consent_on=st.none() | st.dates(),
        words=TEXT,
        minor=st.booleans(),
        guardian=TEXT,
    )
    def note_consent(
        self, student_id: int, consent_on: date | None, words: str, minor: bool, guardian: str
    ) -> None:
        student = replace(
            self.plain.students[student_id],
            consent_on=consent_on,
            consent_words=stored(words),
            minor=minor,
            guardian=stored(guardian),
        )
        self._note_student(student)
        noted = self.book.note_consent(
            student_id,
            consent_on=consent_on,
            consent_words=words,
            minor=minor,
            guardian=guardian,
        )
        assert noted == student

    def _note_student(self, student: Student) -> None:
        self.plain.students[student.id] = student
        theirs = [one.id for one in self.plain.lessons.values() if one.student_id == student.id]
        self.plain.changes += [0, *theirs]

    @rule(
        target=lessons, student_id=students, held_on=st.dates(), title=TEXT, change=TEXT, club=CLUB
    )
    def add_lesson(
        self, student_id: int, held_on: date, title: str, change: str, club: str | None
    ) -> int:
        lesson = self.book.add_lesson(
            student_id=student_id, held_on=held_on, title=title, change=change, club=club
        )
        assert lesson == Lesson(
            id=len(self.plain.lessons) + 1,
            student_id=student_id,
            held_on=held_on,
            title=stored(title),
            change=stored(change),
            club=None if club is None else stored(club),
            notes="",
        )
        self.plain.lessons[lesson.id] = lesson
        self.plain.changes.append(lesson.id)
        return lesson.id

    @rule(lesson_id=lessons, title=TEXT, change=TEXT, club=CLUB, notes=TEXT)
    def change_lesson(
        self, lesson_id: int, title: str, change: str, club: str | None, notes: str
    ) -> None:
        self.plain.lessons[lesson_id] = replace(
            self.plain.lessons[lesson_id],
            title=stored(title),
            change=stored(change),
            club=None if club is None else stored(club),
            notes=stored(notes),
        )
        self.plain.changes.append(lesson_id)
        changed = self.book.change_lesson(
            lesson_id, title=title, change=change, club=club, notes=notes
        )
        assert changed == self.plain.lessons[lesson_id]

    @rule(lesson_id=lessons, place=TEXT)
    def place_lesson(self, lesson_id: int, place: str) -> None:
        before = self.plain.lessons[lesson_id]
        after = replace(before, place=stored(place))
        self.plain.lessons[lesson_id] = after
        self.plain.changes += [lesson_id] * (after != before)
        assert self.book.place_lesson(lesson_id, place) == after

    @rule(target=blocks, lesson_id=lessons, label=LABELS, role=ROLES)
    def add_block(self, lesson_id: int, label: str, role: Role) -> int:
        block = self.book.add_block(lesson_id, label=label, role=role)
        assert block == self.plain.add_block(lesson_id, label, role)
        self.plain.changes.append(lesson_id)
        return block.id

    @rule(block_id=blocks, label=LABELS, role=ROLES)
    def change_block(self, block_id: int, label: str, role: Role) -> None:
        block = replace(self.plain.blocks[block_id], label=stored(label), role=role)
        self.plain.blocks[block_id] = block
        self.plain.changes.append(block.lesson_id)
        assert self.book.change_block(block_id, label=label, role=role) == block

    @rule(target=shots, block_id=blocks, shot=SHOTS, at=TIMES)
    def add_shot(self, block_id: int, shot: NewShot, at: datetime) -> int:
        kept = self.book.add_shot(block_id, shot, at=at)
        assert kept == self.plain.add_shot(block_id, shot, at)
        self.plain.changes.append(kept.lesson_id)
        return kept.id

    @rule(shot_id=shots, reason=st.none() | st.text(min_size=1, max_size=20))
    def leave_out_or_take_back(self, shot_id: int, reason: str | None) -> None:
        kept = replace(
            self.plain.shots[shot_id],
            left_out_reason=None if reason is None else stored(reason),
        )
        self.plain.shots[shot_id] = kept
        self.plain.changes.append(kept.lesson_id)
        if reason is None:
            assert self.book.take_back(shot_id) == kept
        else:
            assert self.book.leave_out(shot_id, reason=reason) == kept

    @rule(target=files, lesson_id=lessons, name=NAMES, data=st.binary(max_size=2), at=TIMES)
    def keep_file(self, lesson_id: int, name: str, data: bytes, at: datetime) -> int:
        return self._keep_file(lesson_id, name, data, at)

    def _keep_file(self, lesson_id: int, name: str, data: bytes, at: datetime) -> int:
        kept = self.book.keep_file(lesson_id, name=name, data=data, at=at)
        for file in self.plain.files_of(lesson_id):
            if file.data == data:
                assert kept == file.record
                return kept.id
        assert kept == RawFile(
            id=len(self.plain.files) + 1,
            lesson_id=lesson_id,
            name=stored(name),
            digest=hashlib.sha256(data).hexdigest(),
            size_bytes=len(data),
            received_at=at,
            imported=False,
        )
        self.plain.files[kept.id] = PlainFile(kept, data)
        self.plain.changes.append(lesson_id)
        return kept.id

    @rule(target=shots, file_id=files, blocks=tables(), at=TIMES)
    def import_shots(self, file_id: int, blocks: Table, at: datetime) -> MultipleResults[int]:
        return multiple(*self._import_shots(file_id, blocks, at))

    def _import_shots(self, file_id: int, blocks: Table, at: datetime) -> list[int]:
        brought = self.book.import_shots(file_id, blocks, at=at)
        assert list(brought) == self.plain.import_shots(file_id, blocks, at)
        return [shot.id for shot in brought]

    @rule(lesson_id=lessons, blocks=tables(), more=tables(), at=TIMES)
    def import_a_file_that_grows(
        self,
        lesson_id: int,
        blocks: Table,
        more: Table,
        at: datetime,
    ) -> None:
        n_rows = sum(len(run) for _, _, run in blocks)
        tail: Table = [
            (label, role, [replace(one, row=one.row and one.row + n_rows) for one in run])
            for label, role, run in more
        ]
        for number, table in enumerate((blocks, blocks + tail)):
            data = f"{number} {len(self.plain.files)}".encode()
            self._import_shots(self._keep_file(lesson_id, "a.csv", data, at), table, at)

    @rule(key=st.sampled_from(["one", "two", "\0"]), text=TEXT, at=TIMES)
    def save_mapping(self, key: str, text: str, at: datetime) -> None:
        self.book.save_mapping(key, text, at=at)
        if self.plain.mappings.get(key) != stored(text):
            self.plain.changes.append(0)
        self.plain.mappings[key] = stored(text)

    @rule(lesson_id=lessons, text=TEXT, version=TEXT, at=TIMES)
    def save_judgement(self, lesson_id: int, text: str, version: str, at: datetime) -> None:
        kept = self.book.save_judgement(lesson_id, answer_json=text, version=version, at=at)
        theirs = self.plain.judgements.setdefault(lesson_id, [])
        theirs.append(
            StoredJudgement(
                id=sum(map(len, self.plain.judgements.values())) + 1,
                lesson_id=lesson_id,
                made_at=at,
                version=stored(version),
                answer_json=stored(text),
            )
        )
        self.plain.changes.append(lesson_id)
        assert kept == theirs[-1]

    @rule()
    def open_again(self) -> None:
        self.book.close()
        self.book = open_book(self.address)

    @invariant()
    def changes_are_told(self) -> None:
        assert self.book.changes_since(0) == dict(enumerate(self.plain.changes, start=1))
        assert self.book.last_change() == len(self.plain.changes)

    @rule()
    def hold_the_same(self) -> None:
        plain = self.plain
        assert set(self.book.students()) == set(plain.students.values())
        assert list(self.book.lessons()) == sorted(
            plain.lessons.values(), key=lambda one: (one.held_on, one.id)
        )
        for lesson_id in plain.lessons:
            assert list(self.book.blocks(lesson_id)) == plain.blocks_of(lesson_id)
            assert list(self.book.shots(lesson_id)) == plain.shots_of(lesson_id)
            files = [file.record for file in plain.files_of(lesson_id)]
            assert list(self.book.raw_files(lesson_id)) == files
            assert list(self.book.judgements(lesson_id)) == plain.judgements.get(lesson_id, [])
        for file_id, file in plain.files.items():
            assert self.book.raw_file(file_id) == (file.record, file.data)
        for key in ("one", "two", "\0"):
            assert self.book.mapping(key) == plain.mappings.get(key)


@pytest.mark.parametrize(("kind", "n_runs"), [("sqlite", 25), ("postgresql", 8)])
def test_any_order(
    request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch, kind: str, n_runs: int
) -> None:
    if kind == "postgresql":
        server: Server = request.getfixturevalue("postgres")
        monkeypatch.setattr(AnyOrder, "address_of", staticmethod(lambda _: server.new_book()))
    run_state_machine_as_test(
        AnyOrder, settings=settings(max_examples=n_runs, stateful_step_count=40)
    )
