"""What the desk needs for long work: jobs in the book, and a queue that gets them done."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Literal, Protocol

JobState = Literal["waiting", "at work", "done", "failed"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """A piece of long work; ``change`` is the last change of the book when it was asked for."""

    id: int
    kind: str
    change: int
    state: JobState
    n_done: int
    n_steps: int
    result_json: str | None
    """What came of it, or in words what went wrong; None until it has ended."""
    asked_at: datetime
    ended_at: datetime | None
    about: str = ""
    """What it is about, in the words of its kind."""
    whose: str = ""
    """Who alone may have what came of it; empty: everyone."""

    @property
    def has_ended(self) -> bool:
        """Whether nothing more will come of it."""
        return self.state in {"done", "failed"}


class JobQueue(Protocol):
    """Gets jobs done outside of any request; what a restart cut off is begun anew."""

    def start(self) -> None:
        """Begin to work, also on what is left from before; twice is once."""
        ...

    def put(self, job_id: int, *, here: bool = False) -> None:
        """Have a job done; with `here` on this machine, where the file that it makes belongs."""
        ...

    def stop(self) -> None:
        """Take on no more; what is at work is cut off, and begun anew at the next start."""
        ...


class JobBook(Protocol):
    """The jobs of a book."""

    def ask(self, kind: str, *, at: datetime, about: str = "", whose: str = "") -> tuple[Job, bool]:
        """The job of a kind that has not ended, else a new one; and whether it is new.

        Jobs about something else, or of somebody else, are other jobs.
        """
        ...

    def newest(self, kind: str) -> Job | None:
        """The job of a kind that was asked for last."""
        ...

    def job(self, job_id: int) -> Job:
        """One job as it stands."""
        ...

    def begin(self, job_id: int) -> bool:
        """Note that a job is at work; False where it has ended, or was forgotten."""
        ...

    def tell(self, job_id: int, n_done: int, n_steps: int) -> None:
        """Note how far a job is."""
        ...

    def end(self, job_id: int, *, failed: bool, result_json: str, at: datetime) -> None:
        """Note what came of a job; earlier ones like it that have ended are forgotten."""
        ...

    def queue(self, do: Callable[[int], None]) -> JobQueue:
        """The queue of this book; `do` is called with the number of a job, in a thread."""
        ...
