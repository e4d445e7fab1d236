"""Pools the whole book beside the pages, once a state of the book, and says how far it is."""

import threading

from pydantic import TypeAdapter

from leadfoot.desk.desk import Desk
from leadfoot.desk.job_port import Job
from leadfoot.desk.works import Works, what_works_for_whom
from leadfoot.web.jobs import Jobs, Progress, trouble_of

PATIENCE_S = 1.5
"""How long a page waits for the answer before it shows the progress instead. Our own choice."""
KIND = "works"

_WORKS = TypeAdapter(Works)


def reckon(desk: Desk, _: Job, progress: Progress) -> str:
    """What works for whom, as JSON."""
    return _WORKS.dump_json(what_works_for_whom(desk, progress)).decode()


class WorksJob:
    """What works for whom, as pages ask for it: one reckoning at a time, kept until a change."""

    def __init__(self, desk: Desk, jobs: Jobs) -> None:
        self._desk = desk
        self._jobs = jobs
        self._turn = threading.Lock()
        self._read: tuple[int, Works] | None = None

    def ask(self, patience_s: float = PATIENCE_S) -> Works | tuple[int, int]:
        """The answer, or how many steps are done of how many.

        Raises
        ------
        LeadfootError
            What went wrong in the reckoning; it is begun anew when it is asked for again.
        """
        job = self._desk.book.jobs.newest(KIND)
        if job is None or job.state != "done" or job.change != self._desk.book.last_change():
            job = self._jobs.wait(self._jobs.ask(KIND), patience_s)
        if job.state == "failed":
            raise trouble_of(job)
        if job.result_json is None:
            return job.n_done, job.n_steps
        return self._works(job.id, job.result_json)

    def last(self) -> Works | None:
        """The last answer, perhaps of an earlier state of the book; nothing is begun for it."""
        job = self._desk.book.jobs.newest(KIND)
        if job is None or job.state != "done" or job.result_json is None:
            return None
        return self._works(job.id, job.result_json)

    def _works(self, job_id: int, result_json: str) -> Works:
        with self._turn:
            if self._read is None or self._read[0] != job_id:
                self._read = job_id, _WORKS.validate_json(result_json)
            return self._read[1]
