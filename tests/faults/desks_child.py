"""Starts desks and watchers that are to be killed, each in a process of its own.

All is imported once, then a process is forked for each line: ``serve BOOK PORT PATIENCE CLOCK`` or
``watch BOOK BAY PATH``. The answer is the number of the process, and "gone" when it has ended.
"""

import logging
import os
import signal
import sys
import tempfile
import threading
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import uvicorn

from leadfoot.bay.watch import Watcher, watch
from leadfoot.book.store import open_book
from leadfoot.desk.bays import AnswerKeeper, bay_named
from leadfoot.desk.desk import Desk
from leadfoot.web.app import build_app
from tests.web.conftest import print_plainly


def serve(address: str, port: int, patience_s: float, clock: Path) -> None:
    """Serve a book; the clock is set by as many seconds as stand in the file `clock`."""

    def now() -> datetime:
        return datetime.now(UTC) + timedelta(seconds=float(clock.read_text()))

    logging.getLogger("leadfoot").setLevel(logging.ERROR)
    with open_book(address, clock=now, patience_s=patience_s) as book:
        desk = Desk(book=book, clock=now, printer=print_plainly, version="0.0.test")
        uvicorn.run(build_app(desk, port=port), host="127.0.0.1", port=port, log_level="critical")


def watch_for_ever(address: str, bay: str, path: Path) -> None:
    """Watch a folder as ``leadfoot bay watch --take-past`` does."""
    with open_book(address) as book:
        desk = Desk(
            book=book, clock=lambda: datetime.now(UTC), printer=print_plainly, version="0.0.test"
        )
        watcher = Watcher(
            desk=desk, bay=bay_named(desk, bay), path=path, take_past=True, tell=lambda _: None
        )
        watch(watcher, keeper=AnswerKeeper(desk), on_balls=lambda _: None)


def begin(line: str) -> None:
    word, address, *more = line.rstrip("\n").split("\t")
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)  # a file that may not grow is an error, no end
    if word == "serve":
        serve(address, int(more[0]), float(more[1]), Path(more[2]))
    else:
        watch_for_ever(address, more[0], Path(more[1]))


def main() -> None:
    with (
        tempfile.TemporaryDirectory() as folder,
        closing(open_book(Path(folder, "warm.book"))) as book,
    ):
        build_app(
            Desk(
                book=book,
                clock=lambda: datetime.now(UTC),
                printer=print_plainly,
                version="0.0.test",
            ),
            port=1,
        )
    said = threading.Lock()

    def say(words: str) -> None:
        with said:
            os.write(1, f"{words}\n".encode())

    def bury(pid: int) -> None:
        os.waitpid(pid, 0)
        say(f"gone {pid}")

    say("ready")
    for line in sys.stdin:
        pid = os.fork()
        if pid == 0:
            begin(line)
            os._exit(0)
        say(f"pid {pid}")
        threading.Thread(target=bury, args=(pid,), daemon=True).start()


if __name__ == "__main__":
    main()
