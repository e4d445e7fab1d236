"""From rows of homework, tests and cautions to the desk's records."""

from typing import cast

from leadfoot.book.homework_tables import (
    CautionRow,
    HomeTableRow,
    HomeworkLogRow,
    HomeworkRow,
    LinkRow,
    PlannedTestRow,
)
from leadfoot.desk.homework_records import (
    CautionGiven,
    HomeTable,
    HomeworkLog,
    LoggedBy,
    PlannedTest,
    PrivateLink,
    StoredHomework,
    TestKind,
)


def homework_from(row: HomeworkRow) -> StoredHomework:
    """One plan."""
    return StoredHomework(
        id=row.id, lesson_id=row.lesson_id, plan_json=row.plan_json, made_at=row.made_at
    )


def link_from(row: LinkRow) -> PrivateLink:
    """One link."""
    return PrivateLink(
        id=row.id,
        homework_id=row.homework_id,
        digest=row.digest,
        made_at=row.made_at,
        expires_at=row.expires_at,
        withdrawn_at=row.withdrawn_at,
    )


def log_from(row: HomeworkLogRow) -> HomeworkLog:
    """One session as written down."""
    return HomeworkLog(
        id=row.id,
        homework_id=row.homework_id,
        session=row.session,
        done_on=row.done_on,
        n_balls=row.n_balls,
        n_counted=row.n_counted,
        n_met=row.n_met,
        pain=row.pain,
        notes=row.notes,
        logged_by=cast("LoggedBy", row.logged_by),
        logged_at=row.logged_at,
    )


def home_table_from(row: HomeTableRow) -> HomeTable:
    """One table of shots from practice, without its bytes."""
    return HomeTable(
        id=row.id,
        homework_id=row.homework_id,
        session=row.session,
        done_on=row.done_on,
        place=row.place,
        name=row.name,
        digest=row.digest,
        size_bytes=row.size_bytes,
        shots_json=row.shots_json,
        n_shots=row.n_shots,
        problems_json=row.problems_json,
        left_out_reason=row.left_out_reason,
        given_by=cast("LoggedBy", row.given_by),
        given_at=row.given_at,
    )


def planned_test_from(row: PlannedTestRow) -> PlannedTest:
    """One planned test."""
    return PlannedTest(
        id=row.id,
        lesson_id=row.lesson_id,
        kind=cast("TestKind", row.kind),
        due_from=row.due_from,
        due_to=row.due_to,
        club=row.club,
        words=row.words,
        done_lesson_id=row.done_lesson_id,
        dropped=row.dropped,
    )


def caution_from(row: CautionRow) -> CautionGiven:
    """One caution that was given."""
    return CautionGiven(
        id=row.id, lesson_id=row.lesson_id, key=row.key, text=row.text, given_at=row.given_at
    )
