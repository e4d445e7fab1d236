"""Long work beside the pages: asked for by a page, done by a queue, its progress in the book."""

import json
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from typing import Final

from leadfoot.desk.desk import Desk
from leadfoot.desk.job_port import Job
from leadfoot.errors import LeadfootError

TELL_EVERY_S: Final = 0.3
"""Pause between two notes of how far a job is (our own choice)."""
_LOOK_EVERY_S: Final = 0.05

Progress = Callable[[int, int], None]
"""Told how many steps are done, and of how many."""
Work = Callable[[Job, Progress], str]
"""Does a job; gives what came of it as JSON."""


class Jobs:
    """The long work of a desk, by kind.

    What is asked for stands in the book, so it is done also when the program is ended in between:
    by itself at the next start, or by another desk on the same book.
    """

    def __init__(self, desk: Desk, kinds: Mapping[str, Work]) -> None:
        self._desk = desk
        self._kinds = kinds
        self._queue = desk.book.jobs.queue(self._do)

    @contextmanager
    def running(self) -> Iterator[None]:
        """Work for as long as the application runs."""
        self._queue.start()
        try:
            yield
        finally:
            self._queue.stop()

    def ask(self, kind: str, *, about: str = "", whose: str = "", here: bool = False) -> Job:
        """Have work done; one like it that has not ended stands for it.

        Parameters
        ----------
        kind, about
            What is to be done.
        whose
            Who alone may have what comes of it; empty: everyone.
        here
            Whether it makes a file that belongs on this machine.
        """
        at = self._desk.clock()
        job, is_new = self._desk.book.jobs.ask(kind, at=at, about=about, whose=whose)
        if is_new:
            self._queue.put(job.id, here=here)
        else:
            self._queue.start()
        return job

    def wait(self, job: Job, patience_s: float) -> Job:
        """The job as it stands when it has ended, or when the patience has."""
        until = time.monotonic() + patience_s
        while not job.has_ended and time.monotonic() < until:
            time.sleep(_LOOK_EVERY_S)
            job = self._desk.book.jobs.job(job.id)
        return job

    def _do(self, job_id: int) -> None:
        jobs = self._desk.book.jobs
        if not jobs.begin(job_id):
            return
        told_s = 0.0

        def tell(n_done: int, n_steps: int) -> None:
            nonlocal told_s
            if time.monotonic() - told_s >= TELL_EVERY_S:
                told_s = time.monotonic()
                jobs.tell(job_id, n_done, n_steps)

        try:
            job = jobs.job(job_id)
            result, failed = self._kinds[job.kind](job, tell), False
        except LeadfootError as error:
            result, failed = json.dumps({"what": error.what, "fix": error.fix}), True
        jobs.end(job_id, failed=failed, result_json=result, at=self._desk.clock())


def trouble_of(job: Job) -> LeadfootError:
    """What went wrong in a job that failed."""
    said = json.loads(job.result_json or "{}")
    return LeadfootError(said["what"], fix=said["fix"])
