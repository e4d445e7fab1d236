"""What the desk holds of the machine's memory, page by page, over the demo book.

    python -m benchmarks.desk_memory
    python -m benchmarks.desk_memory --rounds 8

Every kind of page is opened for several lessons and students, one after the other, and after each
the resident memory of the serving process is read. Then all are opened again and again by several
browsers at once: what is held must come to an end.
"""

import argparse
import os
import re
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from pathlib import Path

from leadfoot.book.store import open_book
from leadfoot.desk.demo import fill
from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import judge_lesson
from leadfoot.web.memory import GIVE_BACK_EVERY_S
from tests.web.conftest import print_plainly
from tests.web.studio import Studio, free_port

OF_ALL = ("/", "/works", "/drills", "/bays", "/method", "/book", "/access", "/flight")
OF_A_STUDENT = (
    "", "/clubs", "/clubs.svg", "/clubs.png", "/card.pdf", "/speed", "/jumps", "/homework",
    "/season.svg", "/season.png", "/export",
)  # fmt: skip
OF_A_LESSON = (
    "", "/bay", "/why", "/find", "/try", "/flight", "/ground", "/after", "/flights", "/sheet.pdf",
    "/figures/pattern.svg", "/figures/pattern.png", "/figures/run.png", "/figures/change.png",
    "/why/carry.png", "/lasted.json",
)  # fmt: skip
OF_A_RECORDING = ("/traces", "/swing.png", "/swing.svg")


def addresses(desk: Desk, n_lessons: int, n_students: int) -> Iterator[str]:
    """The pages, kind by kind."""
    yield from OF_ALL
    for student in desk.book.students()[:n_students]:
        yield from (f"/students/{student.id}{more}" for more in OF_A_STUDENT)
    for lesson in desk.book.lessons()[::5][:n_lessons]:
        yield from (f"/lessons/{lesson.id}{more}" for more in OF_A_LESSON)
    for lesson in desk.book.lessons():
        recordings = desk.book.recordings(lesson.id)
        if recordings:
            yield f"/lessons/{lesson.id}/ground"
        for one in recordings[:n_students]:
            yield from (f"/recordings/{one.id}{more}" for more in OF_A_RECORDING)


def resident_mb(pid: int) -> float:
    """The memory that a process holds."""
    text = Path(f"/proc/{pid}/status").read_text(encoding="ascii")
    return int(re.search(r"VmRSS:\s+(\d+)", text)[1]) / 1024  # type: ignore[index]


def fetch(address: str) -> int:
    """Open a page as a browser does; give its status."""
    try:
        with urllib.request.urlopen(address, timeout=120) as found:  # noqa: S310  (our own desk)
            found.read()
            return int(found.status)
    except urllib.error.HTTPError as error:
        return error.code


def main() -> None:
    """Open the pages, and say after each what is held."""
    reading = argparse.ArgumentParser(description=__doc__)
    reading.add_argument("--rounds", type=int, default=4, help="of all pages, by many at once")
    reading.add_argument("--at-once", type=int, default=8, help="pages opened at the same time")
    reading.add_argument("--lessons", type=int, default=4)
    reading.add_argument("--students", type=int, default=3)
    reading.add_argument("--book", help="a book that is there; else the demo book is made")
    asked = reading.parse_args()
    with tempfile.TemporaryDirectory(prefix="leadfoot-memory-") as folder:
        path = asked.book or str(Path(folder, "demo.book"))
        with open_book(path) as book:
            desk = Desk(
                book=book, clock=lambda: datetime.now(UTC), printer=print_plainly, version="0.0.mem"
            )
            if not book.students():
                fill(book, today=desk.clock().date(), zone=UTC)
                for lesson in book.lessons():
                    judge_lesson(desk, lesson.id)
            studio = Studio(path=path, port=free_port(), desk=desk)
            studio.start()
            try:
                pages = list(addresses(desk, asked.lessons, asked.students))
                page_by_page(studio, pages)
                many_at_once(studio, pages, asked.rounds, asked.at_once)
            finally:
                studio.stop()


def page_by_page(studio: Studio, pages: list[str]) -> None:
    """Print a line a page: what it added, and what is held then."""
    held = _held_mb(studio)
    print(f"{len(pages)} pages; load of the machine: {os.getloadavg()[0]:.1f}")
    print(f"{'the desk before any page':44}{'':8}{held:9.0f} MB")
    for page in pages:
        status = fetch(f"{studio.address}{page}")
        before, held = held, _held_mb(studio)
        print(f"{page:38}{status:6}{held - before:+8.1f}{held:9.0f} MB")


def many_at_once(studio: Studio, pages: list[str], rounds: int, at_once: int) -> None:
    """Print a line a round: what all the pages added, and what is held then."""
    held = _held_mb(studio)
    with ThreadPoolExecutor(at_once) as browsers:
        for number in range(rounds):
            list(browsers.map(fetch, (f"{studio.address}{page}" for page in pages)))
            before, held = held, _held_mb(studio)
            what = f"all pages again, {at_once} at once, round {number + 1}"
            print(f"{what:44}{held - before:+8.1f}{held:9.0f} MB", flush=True)
    time.sleep(2 + GIVE_BACK_EVERY_S)
    before, held = held, _held_mb(studio)
    print(f"{'after a rest':44}{held - before:+8.1f}{held:9.0f} MB", flush=True)


def _held_mb(studio: Studio) -> float:
    assert studio.process is not None
    return resident_mb(studio.process.pid)


if __name__ == "__main__":
    main()
