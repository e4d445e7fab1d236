"""The queue of a book in a file: one thread of this program, which begins with what was left."""

import queue
import threading
from collections.abc import Callable


class ThreadQueue:
    """See `leadfoot.desk.job_port.JobQueue` for the promises."""

    def __init__(self, do: Callable[[int], None], left: Callable[[], list[int]]) -> None:
        self._do = do
        self._left = left
        self._numbers: queue.SimpleQueue[int | None] = queue.SimpleQueue()
        self._turn = threading.Lock()
        self._thread: threading.Thread | None = None

    def start(self) -> None:
        """Begin to work, also on what is left from before."""
        with self._turn:
            if self._thread is None:
                for number in self._left():
                    self._numbers.put(number)
                self._thread = threading.Thread(target=self._work, daemon=True)
                self._thread.start()

    def put(self, job_id: int, *, here: bool = False) -> None:  # noqa: ARG002  (it is always here)
        """Have a job done."""
        self.start()
        self._numbers.put(job_id)  # one that was left is done once: it has ended by then

    def stop(self) -> None:
        """Take on no more."""
        with self._turn:
            if self._thread is not None:
                self._numbers.put(None)
                self._thread.join(timeout=1.0)
                self._thread = None

    def _work(self) -> None:
        while (number := self._numbers.get()) is not None:
            self._do(number)
