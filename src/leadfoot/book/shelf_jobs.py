"""Jobs of the client book in SQL. Their progress is no change of the book: no page is woken."""

from collections.abc import Callable
from datetime import datetime
from typing import cast

from sqlalchemy import ColumnElement, delete, func, select, update

from leadfoot.book.job_queue import ThreadQueue
from leadfoot.book.job_tables import JobRow
from leadfoot.book.server_queue import ServerQueue, own_queue
from leadfoot.book.tables import ChangeRow
from leadfoot.book.transactions import Transactions, found, kept
from leadfoot.desk.job_port import Job, JobQueue, JobState

_OPEN = JobRow.state.in_(["waiting", "at work"])


class JobShelf:
    """See `leadfoot.desk.job_port.JobBook` for the promises."""

    def __init__(self, book: Transactions) -> None:
        self._book = book

    def ask(self, kind: str, *, at: datetime, about: str = "", whose: str = "") -> tuple[Job, bool]:
        """The job of a kind that has not ended, else a new one; and whether it is new."""
        with self._book.writing() as session:
            change = session.scalar(select(func.max(ChangeRow.id))) or 0
            row = session.scalar(select(JobRow).where(*_like(kind, about, whose), _OPEN))
            if row is not None:
                return _job_from(row), False
            row = JobRow(
                kind=kind,
                change=change,
                state="waiting",
                n_done=0,
                n_steps=1,
                asked_at=at,
                about=about,
                whose=whose,
            )
            session.add(row)
            return _job_from(kept(session, row)), True

    def newest(self, kind: str) -> Job | None:
        """The job of a kind that was asked for last."""
        query = select(JobRow).where(JobRow.kind == kind).order_by(JobRow.id.desc()).limit(1)
        with self._book.reading() as session:
            row = session.scalar(query)
            return None if row is None else _job_from(row)

    def job(self, job_id: int) -> Job:
        """One job as it stands."""
        with self._book.reading() as session:
            return _job_from(found(session, JobRow, job_id, "job"))

    def begin(self, job_id: int) -> bool:
        """Note that a job is at work; False where it has ended, or was forgotten."""
        with self._book.writing() as session:
            row = session.get(JobRow, job_id)
            if row is None or row.ended_at is not None:
                return False
            row.state, row.n_done = "at work", 0
            return True

    def tell(self, job_id: int, n_done: int, n_steps: int) -> None:
        """Note how far a job is."""
        with self._book.writing() as session:
            here = update(JobRow).where(JobRow.id == job_id, JobRow.state == "at work")
            session.execute(here.values(n_done=min(n_done, n_steps), n_steps=n_steps))

    def end(self, job_id: int, *, failed: bool, result_json: str, at: datetime) -> None:
        """Note what came of a job; earlier ones like it that have ended are forgotten."""
        with self._book.writing() as session:
            row = session.get(JobRow, job_id)
            if row is None:  # a student was erased meanwhile, and every result with it
                return
            row.state, row.result_json, row.ended_at = (
                "failed" if failed else "done",
                result_json,
                at,
            )
            row.n_done = row.n_steps
            like = _like(row.kind, row.about, row.whose)
            older = JobRow.id < job_id, JobRow.ended_at.is_not(None)
            session.execute(delete(JobRow).where(*like, *older))

    def queue(self, do: Callable[[int], None]) -> JobQueue:
        """The queue of this book."""
        if self._book.backups is not None:
            return ServerQueue(self._book.engine.url, do, own=own_queue(self._book.backups))
        return ThreadQueue(do, self._left)

    def _left(self) -> list[int]:
        with self._book.reading() as session:
            return list(session.scalars(select(JobRow.id).where(_OPEN).order_by(JobRow.id)))


def _like(kind: str, about: str, whose: str) -> tuple[ColumnElement[bool], ...]:
    return JobRow.kind == kind, JobRow.about == about, JobRow.whose == whose


def _job_from(row: JobRow) -> Job:
    return Job(
        id=row.id,
        kind=row.kind,
        change=row.change,
        state=cast("JobState", row.state),
        n_done=row.n_done,
        n_steps=row.n_steps,
        result_json=row.result_json,
        asked_at=row.asked_at,
        ended_at=row.ended_at,
        about=row.about,
        whose=row.whose,
    )
