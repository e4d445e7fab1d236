"""A studio under load: bays that send until they are answered, a desk that dies and comes back."""

import http.client
import itertools
import json
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from leadfoot.book.store import SqlBook, open_book
from leadfoot.desk import bays
from leadfoot.desk import lesson as deeds
from leadfoot.desk.desk import Desk
from tests.web.studio import free_port

CHILD = "tests.faults.desks_child"
TIMEOUT_S = 20.0
SLOWEST_START_S = 60.0


def carry_of(number: int) -> float:
    """A carry that tells the number of its ball [yd]."""
    return round(100.0 + number / 100, 2)


class Nursery:
    """Starts processes that are to be killed; see `tests.faults.desks_child`."""

    def __init__(self) -> None:
        root = str(Path(__file__).parents[2])
        places = [root, *os.environ.get("PYTHONPATH", "").split(os.pathsep)]
        self.process = subprocess.Popen(
            [sys.executable, "-m", CHILD],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            env={**os.environ, "PYTHONPATH": os.pathsep.join(places)},
        )
        assert self._said() == "ready"
        self._gone: set[int] = set()

    def start(self, *words: object) -> int:
        assert self.process.stdin is not None
        self.process.stdin.write("\t".join(map(str, words)) + "\n")
        self.process.stdin.flush()
        while not (line := self._said()).startswith("pid "):
            self._gone.add(int(line.split()[1]))
        return int(line.split()[1])

    def kill(self, pid: int) -> None:
        """End a process at once, as ``kill -9`` does, and wait until it is gone."""
        os.kill(pid, signal.SIGKILL)
        while pid not in self._gone:
            self._gone.add(int(self._said().split()[1]))

    def close(self) -> None:
        assert self.process.stdin is not None
        self.process.stdin.close()
        assert self.process.stdout is not None
        self.process.stdout.close()
        self.process.wait(timeout=30)

    def _said(self) -> str:
        assert self.process.stdout is not None
        line = self.process.stdout.readline()
        assert line, "the parent of the desks died"
        return line.strip()


@dataclass
class Bay:
    """A bay that sends ball after ball; one that is not answered is sent again, under its key."""

    name: str
    id: int
    token: str
    port: int
    acknowledged: dict[str, int] = field(default_factory=dict)
    """Number of the ball in the book, by key."""
    n_again: int = 0
    refusals: set[int] = field(default_factory=set)
    last_refusal: str = ""
    gave_up: str | None = None
    stop: threading.Event = field(default_factory=threading.Event)

    def send_for_ever(self) -> None:
        for number in itertools.count():
            if self.stop.is_set():
                return
            until = time.monotonic() + SLOWEST_START_S
            while not self._sent(number):
                self.n_again += 1
                if time.monotonic() > until:
                    self.gave_up = f"ball {number}: {self.last_refusal}"
                    return
                time.sleep(0.02)

    def _sent(self, number: int) -> bool:
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=TIMEOUT_S)
        key = f"{self.name} {number}"
        values = {"carry": {"value": carry_of(number), "unit": "yd"}}
        try:
            connection.request(
                "POST",
                f"/bays/{self.name}/shots",
                body=json.dumps({"key": key, "values": values}),
                headers={"Authorization": f"Bearer {self.token}"},
            )
            response = connection.getresponse()
            said = json.loads(response.read())
        except (OSError, http.client.HTTPException, ValueError):
            return False
        finally:
            connection.close()
        if response.status not in {200, 201}:
            self.refusals.add(response.status)
            self.last_refusal = str(said)
            return False
        self.acknowledged[key] = said["shots"][0]["shot"]
        return True


@dataclass
class Studio:
    """A book, the desk that serves it, and the bays that send to it."""

    nursery: Nursery
    address: str
    folder: Path
    book: SqlBook
    lesson_id: int
    port: int
    bays: list[Bay]
    patience_s: float = 5.0
    pid: int = 0

    @property
    def clock(self) -> Path:
        """By how many seconds the clock of the desk is set."""
        return self.folder / "clock"

    @property
    def n_acknowledged(self) -> int:
        return sum(len(bay.acknowledged) for bay in self.bays)

    def start(self) -> None:
        self.pid = self.nursery.start("serve", self.address, self.port, self.patience_s, self.clock)

    def kill(self) -> None:
        self.nursery.kill(self.pid)

    @contextmanager
    def under_load(self) -> Iterator[None]:
        """While the block runs all bays send; at its end each has been answered."""
        threads = [threading.Thread(target=bay.send_for_ever) for bay in self.bays]
        for thread in threads:
            thread.start()
        try:
            self.wait_for_more(1)
            yield
            self.wait_for_more(2)
        finally:
            for bay in self.bays:
                bay.stop.set()
            for thread in threads:
                thread.join()

    def wait_for_more(self, n_balls: int) -> None:
        """Wait until so many more balls were acknowledged."""
        wanted, until = self.n_acknowledged + n_balls, time.monotonic() + SLOWEST_START_S
        while self.n_acknowledged < wanted:
            assert time.monotonic() < until, "the desk takes in no more balls"
            time.sleep(0.005)

    def refuse_loss(self) -> None:
        """Each acknowledged ball is in the book once, as it was sent; none is there twice."""
        assert [bay.gave_up for bay in self.bays] == [None] * len(self.bays)
        shots = self.book.shots(self.lesson_id)
        assert [shot.place for shot in shots] == list(range(1, len(shots) + 1))
        arrived: dict[str, int | None] = {}
        for bay in self.bays:
            found = self.book.arrived(bay.id)
            assert bay.acknowledged.items() <= found.items()
            arrived |= found
        assert len(arrived) == len(shots) == len(set(arrived.values()))
        carries = {shot.id: shot.values["carry"].value for shot in shots}
        for key, shot_id in arrived.items():
            assert shot_id is not None
            assert carries[shot_id] == carry_of(int(key.rpartition(" ")[2]))


@contextmanager
def studio_on(
    nursery: Nursery, address: str, folder: Path, *, n_bays: int = 3, patience_s: float = 5.0
) -> Iterator[Studio]:
    """A studio with one lesson for which several bays hit."""
    from datetime import UTC, datetime

    from tests.web.conftest import print_plainly

    with open_book(address, backups=folder / "a.zip") as book:
        desk = Desk(
            book=book, clock=lambda: datetime.now(UTC), printer=print_plainly, version="0.0.test"
        )
        student = deeds.add_student(desk, name="Ida Invented", hand="right")
        lesson = deeds.add_lesson(desk, student.id, change="soft block", club="driver")
        port, made = free_port(), []
        for n in range(n_bays):
            new = bays.add_bay(desk, f"bay-{n + 1}", lesson_id=lesson.id)
            made.append(Bay(new.bay.name, new.bay.id, new.token, port))
        studio = Studio(nursery, address, folder, book, lesson.id, port, made, patience_s)
        studio.clock.write_text("0")
        studio.start()
        try:
            yield studio
        finally:
            studio.kill()
