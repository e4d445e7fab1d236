"""Serves a book for the browser tests, in a process of its own: ``serve.py BOOK PORT [NOW]``."""

import sys
from datetime import UTC, datetime
from functools import partial

import uvicorn

from leadfoot.book.store import open_book
from leadfoot.desk.desk import Desk
from leadfoot.reports.homework_sheet import print_homework
from leadfoot.reports.sheet import print_sheet
from leadfoot.web.app import build_app
from leadfoot.web.warming import settle


def open_desk(path: str, now: datetime | None) -> Desk:
    return Desk(
        book=open_book(path),
        clock=lambda: now or datetime.now(UTC),
        printer=print_sheet,
        version="0.0.test",
        home_printer=print_homework,
    )


def main() -> None:
    path, port = sys.argv[1], int(sys.argv[2])
    now = datetime.fromisoformat(sys.argv[3]) if len(sys.argv) > 3 else None
    again = partial(open_desk, path, now)
    app = build_app(again(), port=port, again=again)
    settle()
    uvicorn.run(
        app,
        host="127.0.0.1",
        port=port,
        log_level="warning",
        timeout_graceful_shutdown=1,
    )


if __name__ == "__main__":
    main()
