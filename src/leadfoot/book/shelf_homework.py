"""Homework, tests to come, cautions and cue names of the client book in SQL."""

from collections.abc import Mapping
from datetime import date, datetime

from sqlalchemy import select

from leadfoot.book.columns import storable
from leadfoot.book.drill_tables import OwnDrillRow
from leadfoot.book.homework_rows import (
    caution_from,
    homework_from,
    link_from,
    log_from,
    planned_test_from,
)
from leadfoot.book.homework_tables import (
    CautionRow,
    CueNameRow,
    HomeworkLogRow,
    HomeworkRow,
    LinkRow,
    PlannedTestRow,
)
from leadfoot.book.tables import LessonRow, StudentRow
from leadfoot.book.transactions import Transactions, found, kept
from leadfoot.desk.homework_records import (
    CautionGiven,
    HomeworkLog,
    LoggedBy,
    PlannedTest,
    PrivateLink,
    StoredHomework,
    TestKind,
)


class HomeworkShelf(Transactions):
    """What happens after a lesson; see `leadfoot.desk.homework_port` for the promises."""

    def homework(self, homework_id: int) -> StoredHomework:
        """One plan for home."""
        with self.reading() as session:
            return homework_from(found(session, HomeworkRow, homework_id, "homework"))

    def homework_of(self, student_id: int) -> tuple[StoredHomework, ...]:
        """Plans of one student, the oldest first."""
        query = (
            select(HomeworkRow)
            .join(LessonRow, LessonRow.id == HomeworkRow.lesson_id)
            .where(LessonRow.student_id == student_id)
            .order_by(HomeworkRow.id)
        )
        with self.reading() as session:
            found(session, StudentRow, student_id, "student")
            return tuple(homework_from(row) for row in session.scalars(query))

    def add_homework(self, lesson_id: int, *, plan_json: str, at: datetime) -> StoredHomework:
        """Keep a plan that was given after a lesson."""
        with self.writing() as session:
            found(session, LessonRow, lesson_id, "lesson")
            row = HomeworkRow(lesson_id=lesson_id, plan_json=plan_json, made_at=at)
            return homework_from(self.added(session, row, lesson_id))

    # Private links

    def links(self, homework_id: int) -> tuple[PrivateLink, ...]:
        """Private links to a plan, those that are withdrawn or too old among them."""
        query = select(LinkRow).where(LinkRow.homework_id == homework_id).order_by(LinkRow.id)
        with self.reading() as session:
            found(session, HomeworkRow, homework_id, "homework")
            return tuple(link_from(row) for row in session.scalars(query))

    def link_by_digest(self, digest: str) -> PrivateLink | None:
        """The link with a digest; None where there is none."""
        with self.reading() as session:
            row = session.scalar(select(LinkRow).where(LinkRow.digest == storable(digest)))
            return None if row is None else link_from(row)

    def add_link(
        self, homework_id: int, *, digest: str, at: datetime, expires_at: datetime
    ) -> PrivateLink:
        """Keep a private link by the digest of its secret."""
        with self.writing() as session:
            plan = found(session, HomeworkRow, homework_id, "homework")
            row = LinkRow(homework_id=plan.id, digest=digest, made_at=at, expires_at=expires_at)
            return link_from(self.added(session, row, plan.lesson_id))

    def withdraw_link(self, link_id: int, *, at: datetime) -> PrivateLink:
        """Withdraw a link; one that is withdrawn already stays as it was."""
        with self.writing() as session:
            row = found(session, LinkRow, link_id, "link")
            if row.withdrawn_at is None:
                row.withdrawn_at = at
                plan = found(session, HomeworkRow, row.homework_id, "homework")
                self.note_change(session, plan.lesson_id)
            return link_from(kept(session, row))

    # Sessions at home

    def homework_logs(self, homework_id: int) -> tuple[HomeworkLog, ...]:
        """What was written down of a plan, in order of writing."""
        query = select(HomeworkLogRow).where(HomeworkLogRow.homework_id == homework_id)
        with self.reading() as session:
            found(session, HomeworkRow, homework_id, "homework")
            rows = session.scalars(query.order_by(HomeworkLogRow.id))
            return tuple(log_from(row) for row in rows)

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
        """Write down a session; the earlier ones stay."""
        row = HomeworkLogRow(
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
        with self.writing() as writing:
            plan = found(writing, HomeworkRow, homework_id, "homework")
            return log_from(self.added(writing, row, plan.lesson_id))

    # Tests

    def planned_tests(self, lesson_id: int | None = None) -> tuple[PlannedTest, ...]:
        """Tests of one lesson's change or of all, by the day from which they are due."""
        query = select(PlannedTestRow).order_by(PlannedTestRow.due_from, PlannedTestRow.id)
        with self.reading() as session:
            if lesson_id is not None:
                found(session, LessonRow, lesson_id, "lesson")
                query = query.where(PlannedTestRow.lesson_id == lesson_id)
            return tuple(planned_test_from(row) for row in session.scalars(query))

    def tests_of(self, student_id: int) -> tuple[PlannedTest, ...]:
        """Tests of all changes of one student, by the day from which they are due."""
        query = select(PlannedTestRow).join(LessonRow, LessonRow.id == PlannedTestRow.lesson_id)
        query = query.where(LessonRow.student_id == student_id)
        with self.reading() as session:
            found(session, StudentRow, student_id, "student")
            rows = session.scalars(query.order_by(PlannedTestRow.due_from, PlannedTestRow.id))
            return tuple(planned_test_from(row) for row in rows)

    def planned_test(self, test_id: int) -> PlannedTest:
        """One planned test."""
        with self.reading() as session:
            return planned_test_from(found(session, PlannedTestRow, test_id, "planned test"))

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
        """Plan a test of a lesson's change."""
        row = PlannedTestRow(
            lesson_id=lesson_id,
            kind=kind,
            due_from=due_from,
            due_to=due_to,
            club=club,
            words=words,
            dropped=False,
        )
        with self.writing() as session:
            found(session, LessonRow, lesson_id, "lesson")
            return planned_test_from(self.added(session, row, lesson_id))

    def settle_test(
        self, test_id: int, *, done_lesson_id: int | None, dropped: bool
    ) -> PlannedTest:
        """Say in which lesson a test was hit, or call it off; None and False: it is due again."""
        with self.writing() as session:
            row = found(session, PlannedTestRow, test_id, "planned test")
            if done_lesson_id is not None:
                found(session, LessonRow, done_lesson_id, "lesson")
            row.done_lesson_id, row.dropped = done_lesson_id, dropped
            self.note_change(session, row.lesson_id)
            return planned_test_from(kept(session, row))

    # Cautions and cue names

    def cautions_given(self, lesson_id: int) -> tuple[CautionGiven, ...]:
        """Cautions acknowledged in a lesson, in order."""
        query = select(CautionRow).where(CautionRow.lesson_id == lesson_id).order_by(CautionRow.id)
        return self.of_lesson(lesson_id, query, caution_from)

    def give_caution(self, lesson_id: int, *, key: str, text: str, at: datetime) -> CautionGiven:
        """Record that a caution was shown; the same key and text again gives the one there."""
        same = select(CautionRow).where(
            CautionRow.lesson_id == lesson_id,
            CautionRow.key == key,
            CautionRow.text == storable(text),
        )
        with self.writing() as session:
            found(session, LessonRow, lesson_id, "lesson")
            there = session.scalars(same).first()
            if there is not None:
                return caution_from(there)
            row = CautionRow(lesson_id=lesson_id, key=key, text=text, given_at=at)
            return caution_from(self.added(session, row, lesson_id))

    def cue_names(self) -> Mapping[str, str]:
        """Spelling of a cue to the one that it stands for, as merged by the coach."""
        with self.reading() as session:
            rows = session.scalars(select(CueNameRow).order_by(CueNameRow.id))
            named = {row.spelling: row.means for row in rows}
        return {spelling: means for spelling, means in named.items() if spelling != means}

    def merge_cue(self, spelling: str, means: str, *, at: datetime) -> None:
        """Let a spelling stand for another; for itself again: the merge is taken back."""
        with self.writing() as session:
            self.added(session, CueNameRow(spelling=spelling, means=means, saved_at=at), None)

    def own_drills(self) -> Mapping[str, str]:
        """The coach's own cues, aids and drills by key: their fields as JSON, the oldest first."""
        with self.reading() as session:
            rows = session.scalars(select(OwnDrillRow).order_by(OwnDrillRow.id))
            written = {row.key: row.drill_json for row in rows}
        return {key: fields for key, fields in written.items() if fields is not None}

    def save_own_drill(self, key: str, drill_json: str | None, *, at: datetime) -> None:
        """Write one of the coach's own, new or anew; with None it is taken away."""
        with self.writing() as session:
            self.added(session, OwnDrillRow(key=key, drill_json=drill_json, saved_at=at), None)
