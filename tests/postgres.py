"""A PostgreSQL server for the tests: private, in a folder for a moment, with a fresh book for each.

The server comes from a package of the registry; nothing is asked of the machine. A new book is a
copy of one that was made once, so it is there in some hundredths of a second.
"""

import itertools
import os
import pwd
import shutil
import subprocess
import sysconfig
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Literal

import psycopg

from leadfoot.book.store import open_book
from leadfoot.book.tables import Base

TEMPLATE = "book_to_copy"
PROGRAMS = Path(sysconfig.get_path("purelib"), "pgserver", "pginstall", "bin")
SETTINGS = {
    "listen_addresses": "''",  # by a socket in its folder alone
    "fsync": "off",  # tests kill programs, not the machine: nothing has to wait for the disk
    "shared_buffers": "32MB",
}


class Server:
    """A running server, and the addresses of its databases."""

    def __init__(self, place: Path) -> None:
        self.place = place
        self.folder = place / "data"
        self._numbers = itertools.count(1)
        self._empty: list[str] = []

    def address(self, database: str) -> str:
        return f"postgresql://postgres@/{database}?host={self.place}"

    def new_book(self) -> str:
        """The address of a new, empty book."""
        if self._empty:
            return self._empty.pop()
        name = f"book_{next(self._numbers)}"
        self.run(f"CREATE DATABASE {name} TEMPLATE {TEMPLATE}")
        return self.address(name)

    def take_back(self, address: str) -> None:
        """Empty a book that nobody has open any more, for the next test that wants one."""
        names = ", ".join(one.name for one in Base.metadata.sorted_tables)
        with psycopg.connect(address, autocommit=True) as connection:
            connection.execute(f"TRUNCATE {names} RESTART IDENTITY CASCADE".encode())
        self._empty.append(address)

    def new_database(self) -> str:
        """The address of a database without any table."""
        name = f"empty_{next(self._numbers)}"
        self.run(f"CREATE DATABASE {name}")
        return self.address(name)

    def run(self, command: str, database: str = "postgres") -> list[Any]:
        """Let the server do something, and give what it answers."""
        with psycopg.connect(self.address(database), autocommit=True) as connection:
            found = connection.execute(command)
            return found.fetchall() if found.description else []

    def make(self) -> None:
        self.place.chmod(0o755)  # so that the one it runs as can go through
        self.folder.mkdir(mode=0o700)
        if owner := _owner():
            shutil.chown(self.place, owner)
            shutil.chown(self.folder, owner)
        self._do("initdb", "-U", "postgres", "-A", "trust", "-E", "UTF8", "--locale=C", "-N")

    def start(self) -> None:
        settings = {**SETTINGS, "unix_socket_directories": f"'{self.place}'"}
        options = " ".join(f"-c {name}={value}" for name, value in settings.items())
        self._do("pg_ctl", "-w", "-o", options, "-l", str(self.place / "log"), "start")

    def stop(self, mode: Literal["fast", "immediate"] = "fast") -> None:
        """Stop the server: "fast" ends its connections, "immediate" is a crash."""
        self._do("pg_ctl", "-w", "-m", mode, "stop")

    def restart(self, *, mode: Literal["fast", "immediate"] = "fast") -> None:
        self.stop(mode)
        self.start()

    def _do(self, program: str, *words: str) -> None:
        subprocess.run(
            [PROGRAMS / program, "-D", self.folder, *words],
            check=True,
            stdout=subprocess.DEVNULL,
            cwd=self.place,
            user=_owner(),
        )


def _owner() -> str | None:
    """PostgreSQL refuses to run as root; then it runs as the user without rights."""
    return pwd.getpwnam("nobody").pw_name if os.geteuid() == 0 else None


def _quick_place() -> str | None:
    """A folder in memory, where there is one: a database is some three hundred files."""
    return "/dev/shm" if os.access("/dev/shm", os.W_OK) else None  # noqa: S108  (made private)


@contextmanager
def running_server() -> Iterator[Server]:
    """A server for as long as the block runs."""
    with tempfile.TemporaryDirectory(prefix="leadfoot-pg-", dir=_quick_place()) as place:
        server = Server(Path(place))
        server.make()
        server.start()
        try:
            server.run(f"CREATE DATABASE {TEMPLATE}")
            open_book(server.address(TEMPLATE)).close()
            yield server
        finally:
            server.stop("immediate")
