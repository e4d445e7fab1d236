"""Whatever breaks: each ball that was acknowledged is in the book once, and no other twice."""

import random
import resource
import sqlite3
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, closing, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import psycopg
import pytest

from leadfoot.book.store import open_book
from tests.faults.page import Row
from tests.faults.studio import Nursery, Studio, carry_of, studio_on

if TYPE_CHECKING:
    from tests.postgres import Server

MakeStudio = Callable[..., AbstractContextManager[Studio]]
Told = Callable[[Row], None]

pytestmark = pytest.mark.xdist_group("faults")


def row(fault: str, book: str, n_times: int, studio: Studio, remark: str) -> Row:
    """A line of the page; that nothing is lost or doubled was asserted before."""
    return Row(
        fault=fault,
        book=book,
        n_times=n_times,
        n_acknowledged=studio.n_acknowledged,
        n_again=sum(bay.n_again for bay in studio.bays),
        lost=0,
        doubled=0,
        remark=remark,
    )


def test_the_desk_is_killed(
    any_studio: tuple[str, MakeStudio], is_long: bool, rng: random.Random, told: Told
) -> None:
    kind, make = any_studio
    n_kills = 200 if is_long else 4
    with make() as studio:
        with studio.under_load():
            for _ in range(n_kills):
                studio.wait_for_more(rng.choice([1, 2, 5, 9]))
                time.sleep(rng.uniform(0.0, 0.01))  # at any moment of the next
                studio.kill()
                studio.start()
        studio.refuse_loss()
        assert sum(bay.n_again for bay in studio.bays) >= n_kills
        said = "nothing; bays send again until the desk is back"
        told(row("`kill -9` of the desk under load", kind, n_kills, studio, said))


def test_the_disk_is_full(
    file_studio: MakeStudio, tmp_path: Path, is_long: bool, told: Told
) -> None:
    """No file of the desk may grow: each write beyond fails, in the middle of a page if need be."""
    n_times = 20 if is_long else 2
    with file_studio() as studio:
        with studio.under_load():
            for _ in range(n_times):
                studio.wait_for_more(3)
                largest = max(one.stat().st_size for one in tmp_path.glob("lessons.book*"))
                limits = resource.prlimit(studio.pid, resource.RLIMIT_FSIZE)
                resource.prlimit(studio.pid, resource.RLIMIT_FSIZE, (largest + 1000, limits[1]))
                time.sleep(0.5)
                resource.prlimit(studio.pid, resource.RLIMIT_FSIZE, limits)
        studio.refuse_loss()
        assert {503} <= set().union(*(bay.refusals for bay in studio.bays))
        with closing(sqlite3.connect(studio.address)) as connection:
            assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        said = "503: the disk; bays send again until there is room"
        told(row("disk full (no file may grow)", "a file", n_times, studio, said))


def test_the_disk_of_the_server_is_full(
    server_studio: MakeStudio, is_long: bool, told: Told
) -> None:
    """The server refuses half-way: the ball is written, what tells the pages of it is not."""
    n_times = 20 if is_long else 2
    with server_studio() as studio:
        with studio.under_load(), psycopg.connect(studio.address, autocommit=True) as server:
            server.execute(_NO_ROOM)
            for _ in range(n_times):
                studio.wait_for_more(3)
                server.execute(
                    "CREATE TRIGGER full_disk AFTER INSERT ON changes "
                    "FOR EACH ROW EXECUTE FUNCTION no_room()"
                )
                time.sleep(0.1)  # what was on its way has been answered
                before = studio.n_acknowledged
                time.sleep(0.4)
                assert studio.n_acknowledged == before
                server.execute("DROP TRIGGER full_disk ON changes")
        studio.refuse_loss()
        assert set().union(*(bay.refusals for bay in studio.bays)) == {503}
        assert "the disk is full" in " ".join(bay.last_refusal for bay in studio.bays)
        said = "503: the disk; bays send again until there is room"
        told(row("disk full, as the server says it", "a server", n_times, studio, said))


_NO_ROOM = """
CREATE FUNCTION no_room() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  RAISE EXCEPTION 'could not extend file: No space left on device' USING ERRCODE = 'disk_full';
END $$
"""


def test_the_book_is_locked_by_another_program(
    any_studio: tuple[str, MakeStudio], is_long: bool, told: Told
) -> None:
    kind, make = any_studio
    n_times = 20 if is_long else 1
    with make(patience_s=0.3) as studio:
        with studio.under_load():
            for _ in range(n_times):
                studio.wait_for_more(3)
                with _held(studio.address):
                    time.sleep(0.2)  # what was on its way has been answered
                    before = studio.n_acknowledged
                    time.sleep(1.0)
                    assert studio.n_acknowledged == before
        studio.refuse_loss()
        assert set().union(*(bay.refusals for bay in studio.bays)) == {503}
        said = "503: in use by another program; bays send again until it is free"
        told(row("database locked by another program", kind, n_times, studio, said))


@contextmanager
def _held(address: str) -> Iterator[None]:
    """Another program has the book to itself."""
    if "://" in address:
        with psycopg.connect(address) as server:
            server.execute("LOCK TABLE shots IN ACCESS EXCLUSIVE MODE")
            yield
        return
    with closing(sqlite3.connect(address, isolation_level=None, timeout=20)) as file:
        file.execute("BEGIN IMMEDIATE")
        yield
        file.execute("ROLLBACK")


def test_the_clock_is_set_back(
    any_studio: tuple[str, MakeStudio], is_long: bool, told: Told
) -> None:
    """Numbers say what came first, and no clock: changes are heard, balls keep their order."""
    kind, make = any_studio
    offsets_s = (-86_400, 3600, -10 * 365 * 86_400, 0) * (5 if is_long else 1)
    with make() as studio:
        with studio.under_load():
            for offset_s in offsets_s:
                studio.wait_for_more(4)
                studio.clock.write_text(str(offset_s))
                seen = studio.book.last_change()
                studio.wait_for_more(4)
                assert studio.book.changes_since(seen)
        studio.refuse_loss()
        times = [shot.hit_at for shot in studio.book.shots(studio.lesson_id)]
        assert times != sorted(times)
        said = "nothing; order is by number"
        told(row("clock set back and forth", kind, len(offsets_s), studio, said))


def test_the_server_is_restarted(
    server_studio: MakeStudio, postgres: "Server", is_long: bool, told: Told
) -> None:
    n_times = 20 if is_long else 2
    with server_studio() as studio:
        with studio.under_load():
            for n in range(n_times):
                studio.wait_for_more(5)
                postgres.restart(mode="immediate" if n % 2 else "fast")
        studio.refuse_loss()
        said = "nothing within 5 s, then 503; every second time as by a crash"
        told(row("PostgreSQL restarted", "a server", n_times, studio, said))


def test_files_are_half_written_and_replaced_while_the_watcher_is_killed(
    nursery: Nursery, tmp_path: Path, is_long: bool, rng: random.Random, told: Told
) -> None:
    n_kills = 60 if is_long else 3
    address, folder = str(tmp_path / "lessons.book"), tmp_path / "balls"
    folder.mkdir()
    with studio_on(nursery, address, tmp_path, n_bays=1) as studio:
        bay = studio.bays[0]
        writing = Writing(folder / "balls.csv", rng)
        begun = threading.Thread(target=writing.write_for_ever)
        begun.start()
        try:
            for _ in range(n_kills):
                pid = nursery.start("watch", address, bay.name, folder)
                time.sleep(rng.uniform(0.3, 1.5))
                nursery.kill(pid)
        finally:
            writing.stop.set()
            begun.join()
        pid = nursery.start("watch", address, bay.name, folder)
        until = time.monotonic() + 60
        with open_book(address) as book:
            while len(book.shots(studio.lesson_id)) < writing.n_rows and time.monotonic() < until:
                time.sleep(0.1)
            time.sleep(1.0)  # one too many would come now
            carries = [shot.values["carry"].value for shot in book.shots(studio.lesson_id)]
        nursery.kill(pid)
        assert carries == [carry_of(n) for n in range(writing.n_rows)]
        assert writing.n_rows > n_kills
        told(
            Row(
                fault="watcher killed while its file is half written, replaced, renamed",
                book="a file",
                n_times=n_kills,
                n_acknowledged=writing.n_rows,
                n_again=0,
                lost=0,
                doubled=0,
                remark="nothing; the file is read again",
            )
        )


class Writing:
    """Another program that writes a table: by halves of lines, by copies, under other names."""

    def __init__(self, path: Path, rng: random.Random) -> None:
        self.path, self.rng, self.n_rows = path, rng, 0
        self.stop = threading.Event()

    def write_for_ever(self) -> None:
        self.path.write_text("Club,Carry [yd]\n")
        while not self.stop.is_set():
            line = f"driver,{carry_of(self.n_rows)}\n"
            deed = self.rng.choice([self._by_halves, self._by_copy, self._under_another_name])
            deed(line)
            self.n_rows += 1
            time.sleep(self.rng.uniform(0.0, 0.15))

    def _by_halves(self, line: str) -> None:
        cut = self.rng.randrange(1, len(line))
        for part in (line[:cut], line[cut:]):
            with self.path.open("a") as table:
                table.write(part)
            time.sleep(self.rng.uniform(0.0, 0.1))

    def _by_copy(self, line: str) -> None:
        copy = self.path.with_suffix(".tmp")
        copy.write_text(self.path.read_text() + line)
        copy.replace(self.path)

    def _under_another_name(self, line: str) -> None:
        other = self.path.with_name(f"balls-{self.n_rows}.csv")
        self.path.rename(other)
        self.path = other
        self._by_halves(line)
