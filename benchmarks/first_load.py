"""How long pages take on a tablet, in a real Chromium: the first, the next, a long student's.

    python -m benchmarks.first_load
    python -m benchmarks.first_load --book postgresql
    python -m benchmarks.first_load --balls 5000

What is promised: the first page within 1 s and 600 kB, the next ones within 300 ms, a student with
50,000 balls within 1 s. The book is the demo book with one student more, who has that many balls.
Taken are the time from the beginning of the navigation to the end of loading, and to the largest
part that is drawn (`largest-contentful-paint`), the wait for the desk's answer, the processor time
of the desk (with all that the page fetches), and the bytes on the wire.
"""

import argparse
import os
import statistics
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from benchmarks.load_bays import a_book
from leadfoot.book.store import open_book
from leadfoot.desk import lesson as deeds
from leadfoot.desk.demo import fill
from leadfoot.desk.desk import Desk
from tests.web.conftest import print_plainly
from tests.web.lessons import new_shot
from tests.web.long_student import write_long_student
from tests.web.studio import Studio, free_port, launch

WIDTH, HEIGHT = 1180, 820
_PAINTS = """
globalThis.largest = 0;
new PerformanceObserver((list) => {
  for (const one of list.getEntries()) globalThis.largest = one.startTime;
}).observe({type: "largest-contentful-paint", buffered: true});
"""
_TIMES = """() => {
  const [all] = performance.getEntriesByType("navigation");
  return [all.loadEventEnd, globalThis.largest, all.responseStart - all.requestStart];
}"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """One page that was opened: times in ms, the work of the desk among them; bytes on the wire."""

    loaded_ms: float
    painted_ms: float
    server_ms: float
    worked_ms: float
    kilobytes: float


def worked_s(studio: Studio) -> float:
    """Processor time that the desk has used: what other programs of the machine do not disturb."""
    assert studio.process is not None
    text = Path(f"/proc/{studio.process.pid}/stat").read_text(encoding="ascii")
    fields = text.rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def opened(page: Page, address: str, studio: Studio) -> Load:
    """Open a page, and take its times."""
    n_bytes, begun_s = [0.0], worked_s(studio)
    network = page.context.new_cdp_session(page)
    network.send("Network.enable")
    network.on(
        "Network.loadingFinished",
        lambda found: n_bytes.append(found["encodedDataLength"]),
    )
    page.goto(address, wait_until="load", timeout=120_000)
    page.wait_for_function("performance.getEntriesByType('navigation')[0].loadEventEnd > 0")
    page.wait_for_timeout(300)
    loaded, painted, server = page.evaluate(_TIMES)
    network.detach()
    return Load(
        loaded_ms=loaded,
        painted_ms=painted,
        server_ms=server,
        worked_ms=1000 * (worked_s(studio) - begun_s),
        kilobytes=sum(n_bytes) / 1000,
    )


def a_tablet(browser: Browser, studio: Studio) -> BrowserContext:
    """A tablet that has kept nothing of the desk."""
    context = browser.new_context(
        base_url=studio.address, viewport={"width": WIDTH, "height": HEIGHT}, has_touch=True
    )
    context.add_init_script(_PAINTS)
    return context


def first_loads(browser: Browser, studio: Studio, address: str, rounds: int) -> list[Load]:
    """A page as the first one of a tablet, again and again."""
    found = []
    for _ in range(rounds):
        context = a_tablet(browser, studio)
        found.append(opened(context.new_page(), address, studio))
        context.close()
    return found


def next_loads(browser: Browser, studio: Studio, way: list[str], rounds: int) -> list[list[Load]]:
    """The pages of a way through the desk on one tablet, each several times after the first."""
    context = a_tablet(browser, studio)
    page = context.new_page()
    for address in way:
        opened(page, address, studio)
    found = [[opened(page, address, studio) for address in way] for _ in range(rounds)]
    context.close()
    return [list(loads) for loads in zip(*found, strict=True)]


def tell(what: str, loads: Iterable[Load], *, limit_ms: float) -> None:
    """Print one row: medians, the longest, and whether the promise is kept."""
    those = list(loads)

    def middle(of: Callable[[Load], float]) -> float:
        return statistics.median(of(one) for one in those)

    longest = max(one.loaded_ms for one in those)
    late = sum(max(one.loaded_ms, one.painted_ms) > limit_ms for one in those)
    print(
        f"{what:44}{middle(lambda one: one.loaded_ms):8.0f}{longest:8.0f}"
        f"{middle(lambda one: one.painted_ms):8.0f}{middle(lambda one: one.server_ms):8.0f}"
        f"{middle(lambda one: one.worked_ms):8.0f}"
        f"{middle(lambda one: one.kilobytes):8.0f}{late:4}/{len(those)} over {limit_ms:.0f} ms",
        flush=True,
    )


def measure(browser: Browser, studio: Studio, long_student_id: int, rounds: int) -> None:
    """All that is promised, row by row."""
    desk = studio.desk
    short = desk.book.students()[0]
    pages = {
        "today": "/",
        "a student": f"/students/{short.id}",
        "a lesson": f"/lessons/{desk.book.lessons(short.id)[-1].id}",
    }
    last = desk.book.lessons(long_student_id)[-1].id
    long_pages = {
        "long student": f"/students/{long_student_id}",
        "long student, season of ball speed": f"/students/{long_student_id}?quantity=ball_speed",
        "long student, last lesson": f"/lessons/{last}",
    }
    load = ", ".join(f"{one:.1f}" for one in os.getloadavg())
    print(f"tablet of {WIDTH} by {HEIGHT}; load of the machine (1, 5, 15 min): {load}")
    print(f"{'':44}{'loaded':>8}{'max':>8}{'paint':>8}{'server':>8}{'work':>8}{'kB':>8}")
    for what, address in (pages | long_pages).items():
        studio.stop()
        studio.start()
        tell(f"{what}, desk just started", first_loads(browser, studio, address, 1), limit_ms=1000)
    for what, address in pages.items():
        loads = first_loads(browser, studio, address, rounds)
        tell(f"{what}, nothing kept", loads, limit_ms=1000)
    for what, found in zip(
        pages, next_loads(browser, studio, list(pages.values()), rounds), strict=True
    ):
        tell(f"{what}, next page", found, limit_ms=300)
    for what, found in zip(
        long_pages, next_loads(browser, studio, list(long_pages.values()), rounds), strict=True
    ):
        tell(f"{what}, next page", found, limit_ms=1000)
    context = a_tablet(browser, studio)
    page, block = context.new_page(), desk.book.blocks(last)[-1]
    loads = []
    for n in range(rounds):
        values = {"club_speed": 94.0 + n / 10, "carry": 205.0 + n, "offline": 3.0 - n}
        desk.book.add_shot(block.id, new_shot(values), at=desk.clock())
        loads.append(opened(page, long_pages["long student, last lesson"], studio))
    context.close()
    tell("long student, last lesson, one more ball", loads, limit_ms=1000)


def main() -> None:
    """Make the book, open the pages, print the table."""
    reading = argparse.ArgumentParser(description=__doc__)
    reading.add_argument("--balls", type=int, default=50_000, help="of the long student")
    reading.add_argument("--rounds", type=int, default=7)
    reading.add_argument("--book", choices=("sqlite", "postgresql"), default="sqlite")
    asked = reading.parse_args()
    with a_book(asked.book) as address, open_book(address) as book, sync_playwright() as playwright:
        desk = Desk(
            book=book, clock=lambda: datetime.now(UTC), printer=print_plainly, version="0.0.load"
        )
        fill(book, today=desk.clock().date(), zone=UTC)
        for lesson in book.lessons():
            deeds.judge_lesson(desk, lesson.id)
        student = write_long_student(desk, book, n_balls=asked.balls)
        studio = Studio(path=address, port=free_port(), desk=desk)
        studio.start()
        browser = launch(playwright.chromium)
        print(f"book: {asked.book}; {asked.balls} balls of one student")
        try:
            measure(browser, studio, student.id, asked.rounds)
        finally:
            browser.close()
            studio.stop()


if __name__ == "__main__":
    main()
