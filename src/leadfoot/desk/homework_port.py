"""What the desk needs of the book for practice at home, tests to come, cautions and cue names."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Protocol

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


class HomeworkBook(Protocol):
    """The part of the client book that holds what happens after a lesson; see `Book`."""

    def homework(self, homework_id: int) -> StoredHomework:
        """One plan for home."""
        ...

    def homework_of(self, student_id: int) -> tuple[StoredHomework, ...]:
        """Plans of one student, the oldest first."""
        ...

    def add_homework(self, lesson_id: int, *, plan_json: str, at: datetime) -> StoredHomework:
        """Keep a plan that was given after a lesson."""
        ...

    def links(self, homework_id: int) -> tuple[PrivateLink, ...]:
        """Private links to a plan, those that are withdrawn or too old among them."""
        ...

    def link_by_digest(self, digest: str) -> PrivateLink | None:
        """The link with a digest; None where there is none."""
        ...

    def add_link(
        self, homework_id: int, *, digest: str, at: datetime, expires_at: datetime
    ) -> PrivateLink:
        """Keep a private link by the digest of its secret."""
        ...

    def withdraw_link(self, link_id: int, *, at: datetime) -> PrivateLink:
        """Withdraw a link; one that is withdrawn already stays as it was."""
        ...

    def homework_logs(self, homework_id: int) -> tuple[HomeworkLog, ...]:
        """What was written down of a plan, in order of writing."""
        ...

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
        """Write down a session. Of one session the latest counts; the earlier ones stay."""
        ...

    def home_tables(self, homework_id: int) -> tuple[HomeTable, ...]:
        """Tables of shots that were given for a plan, in order of giving, all of them."""
        ...

    def home_table(self, table_id: int) -> tuple[HomeTable, bytes]:
        """One table of shots with its bytes as they came."""
        ...

    def keep_home_table(
        self, homework_id: int, new: NewHomeTable, *, at: datetime
    ) -> tuple[HomeTable, bool]:
        """Keep a table; the same bytes again give the one there. True where it is new."""
        ...

    def read_home_table_anew(
        self, table_id: int, *, shots_json: str, n_shots: int, problems_json: str
    ) -> HomeTable:
        """Put what is read of a kept table in the place of what was read of it before."""
        ...

    def leave_home_table_out(self, table_id: int, *, reason: str | None) -> HomeTable:
        """Leave a table out with a reason; None: it counts again."""
        ...

    def planned_tests(self, lesson_id: int | None = None) -> tuple[PlannedTest, ...]:
        """Tests of one lesson's change or of all, by the day from which they are due."""
        ...

    def tests_of(self, student_id: int) -> tuple[PlannedTest, ...]:
        """Tests of all changes of one student, by the day from which they are due."""
        ...

    def planned_test(self, test_id: int) -> PlannedTest:
        """One planned test."""
        ...

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
        ...

    def settle_test(
        self, test_id: int, *, done_lesson_id: int | None, dropped: bool
    ) -> PlannedTest:
        """Say in which lesson a test was hit, or call it off; None and False: it is due again."""
        ...

    def cautions_given(self, lesson_id: int) -> tuple[CautionGiven, ...]:
        """Cautions acknowledged in a lesson, in order."""
        ...

    def give_caution(self, lesson_id: int, *, key: str, text: str, at: datetime) -> CautionGiven:
        """Record that a caution was shown; the same key and text again gives the one there."""
        ...

    def cue_names(self) -> Mapping[str, str]:
        """Spelling of a cue to the one that it stands for, as merged by the coach."""
        ...

    def merge_cue(self, spelling: str, means: str, *, at: datetime) -> None:
        """Let a spelling stand for another; for itself again: the merge is taken back."""
        ...

    def own_drills(self) -> Mapping[str, str]:
        """The coach's own cues, aids and drills by key: their fields as JSON, the oldest first."""
        ...

    def save_own_drill(self, key: str, drill_json: str | None, *, at: datetime) -> None:
        """Write one of the coach's own, new or anew; with None it is taken away."""
        ...
