"""The part of the book in memory that holds what happens after a lesson."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import TypeVar

from leadfoot.desk.homework_records import (
    CautionGiven,
    HomeTable,
    HomeworkLog,
    LoggedBy,
    NewHomeTable,
    PlannedTest,
    PrivateLink,
    StoredHomework,
    TestKind,
)
from leadfoot.desk.records import Lesson
from leadfoot.errors import NotInBookError

Kept = TypeVar("Kept")


@dataclass
class FakeHomework:
    """Keeps plans, links, logs, tests, cautions and cue names; from 1, in order of writing."""

    all_lessons: dict[int, Lesson] = field(default_factory=dict)
    all_homework: list[StoredHomework] = field(default_factory=list)
    all_links: list[PrivateLink] = field(default_factory=list)
    all_logs: list[HomeworkLog] = field(default_factory=list)
    all_home_tables: list[HomeTable] = field(default_factory=list)
    all_home_bytes: list[bytes] = field(default_factory=list)
    all_tests: list[PlannedTest] = field(default_factory=list)
    all_cautions: list[CautionGiven] = field(default_factory=list)
    all_cue_names: dict[str, str] = field(default_factory=dict)
    all_own_drills: dict[str, str | None] = field(default_factory=dict)

    def homework(self, homework_id: int) -> StoredHomework:
        return _at(self.all_homework, "homework", homework_id)

    def homework_of(self, student_id: int) -> tuple[StoredHomework, ...]:
        return tuple(
            one
            for one in self.all_homework
            if self.all_lessons[one.lesson_id].student_id == student_id
        )

    def add_homework(self, lesson_id: int, *, plan_json: str, at: datetime) -> StoredHomework:
        number = len(self.all_homework) + 1
        kept = StoredHomework(id=number, lesson_id=lesson_id, plan_json=plan_json, made_at=at)
        self.all_homework.append(kept)
        return kept

    def links(self, homework_id: int) -> tuple[PrivateLink, ...]:
        return tuple(one for one in self.all_links if one.homework_id == homework_id)

    def link_by_digest(self, digest: str) -> PrivateLink | None:
        return next((one for one in self.all_links if one.digest == digest), None)

    def add_link(
        self, homework_id: int, *, digest: str, at: datetime, expires_at: datetime
    ) -> PrivateLink:
        kept = PrivateLink(
            id=len(self.all_links) + 1,
            homework_id=homework_id,
            digest=digest,
            made_at=at,
            expires_at=expires_at,
            withdrawn_at=None,
        )
        self.all_links.append(kept)
        return kept

    def withdraw_link(self, link_id: int, *, at: datetime) -> PrivateLink:
        link = _at(self.all_links, "link", link_id)
        self.all_links[link_id - 1] = replace(link, withdrawn_at=link.withdrawn_at or at)
        return self.all_links[link_id - 1]

    def homework_logs(self, homework_id: int) -> tuple[HomeworkLog, ...]:
        return tuple(one for one in self.all_logs if one.homework_id == homework_id)

    def add_homework_log(
        self,
        homework_id: int,
        *,
        session: int,
        done_on: date,
        n_balls: int,
        n_counted: int,
        n_met: int,
        pain: bool,
        notes: str,
        logged_by: LoggedBy,
        at: datetime,
    ) -> HomeworkLog:
        self.homework(homework_id)
        kept = HomeworkLog(
            id=len(self.all_logs) + 1,
            homework_id=homework_id,
            session=session,
            done_on=done_on,
            n_balls=n_balls,
            n_counted=n_counted,
            n_met=n_met,
            pain=pain,
            notes=notes,
            logged_by=logged_by,
            logged_at=at,
        )
        self.all_logs.append(kept)
        return kept

    def home_tables(self, homework_id: int) -> tuple[HomeTable, ...]:
        return tuple(one for one in self.all_home_tables if one.homework_id == homework_id)

    def home_table(self, table_id: int) -> tuple[HomeTable, bytes]:
        table = _at(self.all_home_tables, "table from home", table_id)
        return table, self.all_home_bytes[table_id - 1]

    def keep_home_table(
        self, homework_id: int, new: NewHomeTable, *, at: datetime
    ) -> tuple[HomeTable, bool]:
        self.homework(homework_id)
        digest = hashlib.sha256(new.data).hexdigest()
        for there in self.home_tables(homework_id):
            if there.digest == digest:
                return there, False
        kept = HomeTable(
            id=len(self.all_home_tables) + 1,
            homework_id=homework_id,
            session=new.session,
            done_on=new.done_on,
            place=new.place,
            name=new.name,
            digest=digest,
            size_bytes=len(new.data),
            shots_json=new.shots_json,
            n_shots=new.n_shots,
            problems_json=new.problems_json,
            left_out_reason=None,
            given_by=new.given_by,
            given_at=at,
        )
        self.all_home_tables.append(kept)
        self.all_home_bytes.append(new.data)
        return kept, True

    def read_home_table_anew(
        self, table_id: int, *, shots_json: str, n_shots: int, problems_json: str
    ) -> HomeTable:
        table, _ = self.home_table(table_id)
        self.all_home_tables[table_id - 1] = replace(
            table, shots_json=shots_json, n_shots=n_shots, problems_json=problems_json
        )
        return self.all_home_tables[table_id - 1]

    def leave_home_table_out(self, table_id: int, *, reason: str | None) -> HomeTable:
        table, _ = self.home_table(table_id)
        self.all_home_tables[table_id - 1] = replace(table, left_out_reason=reason)
        return self.all_home_tables[table_id - 1]

    def planned_tests(self, lesson_id: int | None = None) -> tuple[PlannedTest, ...]:
        chosen = [one for one in self.all_tests if lesson_id in {None, one.lesson_id}]
        return tuple(sorted(chosen, key=lambda one: (one.due_from, one.id)))

    def tests_of(self, student_id: int) -> tuple[PlannedTest, ...]:
        return tuple(
            one
            for one in self.planned_tests()
            if self.all_lessons[one.lesson_id].student_id == student_id
        )

    def planned_test(self, test_id: int) -> PlannedTest:
        return _at(self.all_tests, "planned test", test_id)

    def plan_test(
        self,
        lesson_id: int,
        *,
        kind: TestKind,
        due_from: date,
        due_to: date,
        club: str | None,
        words: str,
    ) -> PlannedTest:
        kept = PlannedTest(
            id=len(self.all_tests) + 1,
            lesson_id=lesson_id,
            kind=kind,
            due_from=due_from,
            due_to=due_to,
            club=club,
            words=words,
            done_lesson_id=None,
            dropped=False,
        )
        self.all_tests.append(kept)
        return kept

    def settle_test(
        self, test_id: int, *, done_lesson_id: int | None, dropped: bool
    ) -> PlannedTest:
        test = replace(self.planned_test(test_id), done_lesson_id=done_lesson_id, dropped=dropped)
        self.all_tests[test_id - 1] = test
        return test

    def cautions_given(self, lesson_id: int) -> tuple[CautionGiven, ...]:
        return tuple(one for one in self.all_cautions if one.lesson_id == lesson_id)

    def give_caution(self, lesson_id: int, *, key: str, text: str, at: datetime) -> CautionGiven:
        for one in self.cautions_given(lesson_id):
            if (one.key, one.text) == (key, text):
                return one
        number = len(self.all_cautions) + 1
        kept = CautionGiven(id=number, lesson_id=lesson_id, key=key, text=text, given_at=at)
        self.all_cautions.append(kept)
        return kept

    def cue_names(self) -> Mapping[str, str]:
        return {name: means for name, means in self.all_cue_names.items() if name != means}

    def merge_cue(self, spelling: str, means: str, *, at: datetime) -> None:
        assert at.tzinfo is not None
        self.all_cue_names[spelling] = means

    def own_drills(self) -> Mapping[str, str]:
        return {key: fields for key, fields in self.all_own_drills.items() if fields is not None}

    def save_own_drill(self, key: str, drill_json: str | None, *, at: datetime) -> None:
        assert at.tzinfo is not None
        self.all_own_drills[key] = drill_json


def _at(kept: list[Kept], kind: str, number: int) -> Kept:
    if not 1 <= number <= len(kept):
        raise NotInBookError(kind, number)
    return kept[number - 1]
