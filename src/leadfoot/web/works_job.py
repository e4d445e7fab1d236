"""Pools the whole book beside the pages, once a state of the book, and says how far it is."""

import threading
from dataclasses import dataclass

from leadfoot.desk.desk import Desk
from leadfoot.desk.works import Works, what_works_for_whom
from leadfoot.errors import LeadfootError

PATIENCE_S = 1.5
"""How long a page waits for the answer before it shows the progress instead. Our own choice."""


@dataclass(slots=True)
class _Job:
    change: int
    finished: threading.Event
    done: int = 0
    steps: int = 1
    works: Works | None = None
    error: LeadfootError | None = None


class WorksJob:
    """What works for whom, as pages ask for it: one reckoning at a time, kept until a change."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._turn = threading.Lock()
        self._job: _Job | None = None

    def ask(self, patience_s: float = PATIENCE_S) -> Works | tuple[int, int]:
        """The answer, or how many steps are done of how many.

        Raises
        ------
        LeadfootError
            What went wrong in the reckoning.
        """
        with self._turn:
            job = self._job
            stale = job is None or (
                job.finished.is_set() and job.change != self._desk.book.last_change()
            )
            if job is None or stale or job.error is not None:
                job = _Job(change=self._desk.book.last_change(), finished=threading.Event())
                self._job = job
                threading.Thread(target=self._run, args=(job,), daemon=True).start()
        job.finished.wait(patience_s)
        if job.error is not None:
            raise job.error
        return job.works if job.works is not None else (job.done, job.steps)

    def _run(self, job: _Job) -> None:
        def told(done: int, steps: int) -> None:
            job.done, job.steps = done, steps

        try:
            job.works = what_works_for_whom(self._desk, told)
        except LeadfootError as error:
            job.error = error
        finally:
            job.finished.set()
