"""Plans that are being hit, of the client book in SQL."""

from datetime import datetime

from sqlalchemy import Update, select, update

from leadfoot.book.plan_tables import RunningPlanRow
from leadfoot.book.tables import LessonRow
from leadfoot.book.transactions import Transactions, found
from leadfoot.desk.plan_port import StoredPlan


class PlanShelf(Transactions):
    """See `leadfoot.desk.plan_port.PlanBook` for the promises."""

    def running_plan(self, lesson_id: int) -> StoredPlan | None:
        """The plan of a lesson that was started last; None where it was stopped, or never was."""
        of_lesson = select(RunningPlanRow).where(RunningPlanRow.lesson_id == lesson_id)
        with self.reading() as session:
            row = session.scalar(of_lesson.order_by(RunningPlanRow.id.desc()).limit(1))
            return None if row is None or row.stopped_at is not None else _plan_from(row)

    def plans(self, lesson_id: int) -> tuple[StoredPlan, ...]:
        """All plans of a lesson in order of starting, those that were stopped among them."""
        of_lesson = select(RunningPlanRow).where(RunningPlanRow.lesson_id == lesson_id)
        with self.reading() as session:
            return tuple(map(_plan_from, session.scalars(of_lesson.order_by(RunningPlanRow.id))))

    def start_plan(
        self, lesson_id: int, *, plan_json: str, from_place: int, by_itself: bool, at: datetime
    ) -> StoredPlan:
        """Start a plan; the one that ran is stopped."""
        row = RunningPlanRow(
            lesson_id=lesson_id,
            plan_json=plan_json,
            from_place=from_place,
            by_itself=by_itself,
            started_at=at,
        )
        with self.writing() as session:
            found(session, LessonRow, lesson_id, "lesson")
            session.execute(_stopping(lesson_id, at))
            return _plan_from(self.added(session, row, lesson_id))

    def stop_plan(self, lesson_id: int, *, at: datetime) -> None:
        """Stop the plan of a lesson; where none runs nothing happens."""
        if self.running_plan(lesson_id) is None:
            return
        with self.writing() as session:
            session.execute(_stopping(lesson_id, at))
            self.note_change(session, lesson_id)


def _stopping(lesson_id: int, at: datetime) -> Update:
    running = RunningPlanRow.lesson_id == lesson_id, RunningPlanRow.stopped_at.is_(None)
    return update(RunningPlanRow).where(*running).values(stopped_at=at)


def _plan_from(row: RunningPlanRow) -> StoredPlan:
    return StoredPlan(
        id=row.id,
        lesson_id=row.lesson_id,
        plan_json=row.plan_json,
        from_place=row.from_place,
        by_itself=row.by_itself,
        started_at=row.started_at,
        stopped_at=row.stopped_at,
    )
