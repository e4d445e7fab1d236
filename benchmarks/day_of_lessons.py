"""A day of lessons in a real Chromium: from a ball that is sent to every open page, and faults.

    python -m benchmarks.day_of_lessons
    python -m benchmarks.day_of_lessons --book postgresql

Six students hit 20 balls each in two bays, while two tablets, a laptop and two bay screens are
open; each is cut off once, and the desk is killed and started again (`tests/web/day.py`). What is
promised: a ball is on every page within 1 s, the new answer within 1.5 s. Exits with 1 if anything
is lost, doubled or wrong; late is told by the table.
"""

import argparse
import os
import statistics
import sys
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime

from playwright.sync_api import sync_playwright

from benchmarks.load_bays import a_book
from leadfoot.book.store import open_book
from leadfoot.desk.desk import Desk
from tests.web.conftest import print_plainly
from tests.web.day import Plan, run_day
from tests.web.day_report import Day
from tests.web.studio import Studio, free_port, launch

BALL_S, ANSWER_S = 1.0, 1.5


def main() -> None:
    """Read what is asked, let the day go by, print the table."""
    reading = argparse.ArgumentParser(description=__doc__)
    reading.add_argument("--balls", type=int, default=20, help="of each student")
    reading.add_argument("--pace", type=float, default=1.5, help="seconds from ball to ball")
    reading.add_argument("--book", choices=("sqlite", "postgresql"), default="sqlite")
    asked = reading.parse_args()
    with a_book(asked.book) as address, open_book(address) as book, sync_playwright() as playwright:
        desk = Desk(
            book=book, clock=lambda: datetime.now(UTC), printer=print_plainly, version="0.0.day"
        )
        studio = Studio(path=address, port=free_port(), desk=desk)
        studio.start()
        browser = launch(playwright.chromium)
        try:
            day = run_day(browser, studio, Plan(n_balls=asked.balls, pace_s=asked.pace))
        finally:
            browser.close()
            studio.stop()
    _tell(day, asked.book)
    sys.exit(1 if day.faults else 0)


def _tell(day: Day, book: str) -> None:
    load = ", ".join(f"{one:.1f}" for one in os.getloadavg())
    print(f"{day.n_balls} balls, book: {book}; load of the machine (1, 5, 15 min): {load}")
    print(f"{'':26}{'n':>6}{'median':>9}{'p99':>9}{'max':>9}{'late':>6}   [s]")
    _rows("ball on the", day.to_screen_s, BALL_S)
    _rows("answer on the", day.to_answer_s, ANSWER_S)
    print(f"met a cut or the restart: {day.n_disturbed} balls times pages; caught up after [s]:")
    for what, took_s in day.caught_up_s.items():
        print(f"  {what:24}{took_s:6.2f}")
    print(f"lost, doubled or wrong: {len(day.faults)}")
    for one in day.faults:
        print(f"  {one}")


def _rows(what: str, times: Mapping[str, Sequence[float]], promised_s: float) -> None:
    for kind, found in times.items():
        p99 = statistics.quantiles(found, n=100)[98] if len(found) > 1 else found[0]
        late = sum(one > promised_s for one in found)
        print(
            f"{what + ' ' + kind:26}{len(found):6}{statistics.median(found):9.3f}"
            f"{min(p99, max(found)):9.3f}{max(found):9.3f}{late:6}"
        )


if __name__ == "__main__":
    main()
