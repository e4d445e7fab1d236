"""Many bays on one book: 20 bays, 200 open pages, 10 balls a second, for as long as is asked.

    python -m benchmarks.load_bays --seconds 600
    python -m benchmarks.load_bays --seconds 600 --book postgresql --desks 2
    python -m benchmarks.load_bays --seconds 60 --before 250

Each page does what a browser does: it holds one WebSocket, and fetches its page anew when it hears
of a change. Taken is the time from before a ball is sent until a page shows it, for every page of
its lesson; and how many balls are lost, doubled or never shown, and what memory the desks hold (a
desk's second process counts with it).
"""

import argparse
import asyncio
import json
import re
import statistics
import sys
import tempfile
import time
import zlib
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from websockets.asyncio.client import connect
from websockets.exceptions import ConnectionClosed
from websockets.typing import Origin

from leadfoot.bay.simulated import InventedStudent
from leadfoot.book.store import open_book
from leadfoot.desk import bays, switching
from leadfoot.desk import lesson as deeds
from leadfoot.desk.desk import Desk
from tests.postgres import running_server
from tests.web.conftest import print_plainly
from tests.web.studio import Studio, free_port

if TYPE_CHECKING:
    from leadfoot.desk.records import Role

AS_USUAL = 8
"""Balls of a lesson before the change; all further ones are hit with it."""
SCREENS = 2  # of the pages of a lesson, so many are big screens of the bay
_PLACE = re.compile(rb'data-place="(\d+)"')
_BALLS = re.compile(rb"(\d+) balls")


@dataclass
class Seen:
    """What the run has measured."""

    sent_at: dict[tuple[int, int], float] = field(default_factory=dict)
    """When the ball of a lesson and place was about to be sent."""
    shown_s: list[float] = field(default_factory=list)
    acknowledged_s: list[float] = field(default_factory=list)
    fetched_s: list[float] = field(default_factory=list)
    memory_mb: list[list[float]] = field(default_factory=list)


class Link:
    """One connection that stays open, as a browser keeps it."""

    def __init__(self, port: int) -> None:
        self._port = port
        self._streams: tuple[asyncio.StreamReader, asyncio.StreamWriter] | None = None

    async def ask(
        self, method: str, path: str, body: bytes = b"", headers: str = ""
    ) -> tuple[int, bytes]:
        """Ask once; a connection that was closed in between is made anew."""
        for last in (False, True):
            try:
                return await self._once(method, path, body, headers)
            except (ConnectionError, asyncio.IncompleteReadError):
                self._streams = None
                if last:
                    raise
        raise AssertionError

    async def _once(self, method: str, path: str, body: bytes, headers: str) -> tuple[int, bytes]:
        if self._streams is None:
            self._streams = await asyncio.open_connection("127.0.0.1", self._port)
        reader, writer = self._streams
        writer.write(
            f"{method} {path} HTTP/1.1\r\nHost: 127.0.0.1:{self._port}\r\n"
            f"Accept-Encoding: gzip\r\nContent-Length: {len(body)}\r\n{headers}\r\n".encode()
            + body
        )
        head = (await reader.readuntil(b"\r\n\r\n")).lower()
        size = re.search(rb"content-length: (\d+)", head)
        if size is None:
            raise ValueError(f"no length: {head!r}")
        found = await reader.readexactly(int(size[1]))
        if b"content-encoding: gzip" in head:
            found = zlib.decompress(found, wbits=31)
        return int(head.split(None, 2)[1]), found


class Page:
    """An open page of a lesson, or its big screen."""

    def __init__(self, port: int, lesson_id: int, seen: Seen, *, screen: bool) -> None:
        self.path = f"/lessons/{lesson_id}{'/bay' if screen else ''}"
        self.shows = -1
        self._screen, self._port, self._lesson_id, self._seen = screen, port, lesson_id, seen
        self._link = Link(port)
        self._change = 0
        self._told = asyncio.Event()

    async def live(self) -> None:
        """Open, and keep up until cancelled."""
        await self._fetch()
        async with asyncio.TaskGroup() as group:
            group.create_task(self._listen())
            group.create_task(self._keep_up())

    async def _listen(self) -> None:
        while True:
            address = f"ws://127.0.0.1:{self._port}/live?since={self._change}"
            origin = Origin(f"http://127.0.0.1:{self._port}")
            try:
                async with connect(
                    f"{address}&lesson={self._lesson_id}", origin=origin, proxy=None,
                    compression=None, open_timeout=60,
                ) as socket:  # fmt: skip
                    async for message in socket:
                        if json.loads(message).get("change", self._change) != self._change:
                            self._told.set()
            except (ConnectionClosed, OSError, TimeoutError):
                await asyncio.sleep(0.3)

    async def _keep_up(self) -> None:
        while True:
            await self._told.wait()
            self._told.clear()
            await self._fetch()

    async def _fetch(self) -> None:
        begun = time.perf_counter()
        status, text = await self._link.ask("GET", self.path)
        now = time.perf_counter()
        if status != 200:
            raise ValueError(f"{self.path}: {status}")
        self._seen.fetched_s.append(now - begun)
        self._change = int(re.search(rb'data-change="(\d+)"', text)[1])  # type: ignore[index]
        found = _BALLS.search(text) if self._screen else None
        places = [int(found[1])] if found else [int(one) for one in _PLACE.findall(text)]
        last = max(places, default=0)
        if self.shows >= 0:
            self._seen.shown_s += [
                now - self._seen.sent_at[self._lesson_id, place]
                for place in range(self.shows + 1, last + 1)
            ]
        self.shows = max(self.shows, last)


@dataclass(frozen=True)
class Bay:
    """A bay that sends, and the lesson it hits for."""

    name: str
    token: str
    lesson_id: int


def set_up(desk: Desk, n_bays: int, n_before: int) -> list[Bay]:
    """A student, a lesson and a bay each, with so many balls in the book."""
    made = []
    for n in range(n_bays):
        student = deeds.add_student(desk, name=f"Ida Invented {n + 1}", hand="right")
        lesson = deeds.add_lesson(desk, student.id, change="soft block", club="driver")
        new = bays.add_bay(desk, f"bay-{n + 1}", lesson_id=lesson.id)
        balls = InventedStudent(change="faster").hit(n_before)
        for k in range(n_before):
            if k == AS_USUAL:
                switching.switch_block(desk, lesson.id, "with_change")
            role: Role = "before" if k < AS_USUAL else "with_change"
            bays.arrive(desk, new.bay, balls.shot(k, role, run="before"))
        if n_before <= AS_USUAL:
            switching.switch_block(desk, lesson.id, "with_change")
        made.append(Bay(new.bay.name, new.token, lesson.id))
    return made


async def send_all(
    ports: list[int], sending: list[Bay], asked: argparse.Namespace, seen: Seen
) -> int:
    """Send balls evenly over the bays, each at its time, whatever the others do."""
    balls = InventedStudent(change="faster").hit(500)
    turns = [asyncio.Lock() for _ in sending]
    links = [Link(ports[n % len(ports)]) for n in range(len(sending))]
    next_place = [asked.before + 1] * len(sending)
    begun, n_sent = time.perf_counter(), int(asked.seconds * asked.rate)

    async def one(number: int) -> None:
        which, at = number % len(sending), begun + number / asked.rate
        await asyncio.sleep(max(0.0, at - time.perf_counter()))
        bay = sending[which]
        async with turns[which]:
            shot = balls.shot(number // len(sending) % 500, "with_change", run=str(number))
            place, next_place[which] = next_place[which], next_place[which] + 1
            sent_at = seen.sent_at[bay.lesson_id, place] = time.perf_counter()
            status, text = await links[which].ask(
                "POST",
                f"/bays/{bay.name}/shots",
                json.dumps(shot.as_json()).encode(),
                f"Authorization: Bearer {bay.token}\r\nContent-Type: application/json\r\n",
            )
            if status != 201:
                raise ValueError(text)
            seen.acknowledged_s.append(time.perf_counter() - sent_at)

    async with asyncio.TaskGroup() as group:
        for number in range(n_sent):
            group.create_task(one(number))
    return n_sent


async def watch_memory(pids: list[int], seen: Seen) -> None:
    """Note what the desks hold, every five seconds."""
    while True:
        seen.memory_mb.append([_resident_mb(pid) for pid in pids])
        await asyncio.sleep(5.0)


def _with_second(pid: int) -> list[int]:
    """A desk and the processes that it has begun."""
    tasks = Path(f"/proc/{pid}/task").glob("*/children")
    begun = [int(one) for task in tasks for one in task.read_text(encoding="ascii").split()]
    return [pid, *begun]


def _resident_mb(pid: int) -> float:
    texts = [Path(f"/proc/{one}/status").read_text(encoding="ascii") for one in _with_second(pid)]
    return sum(int(re.search(r"VmRSS:\s+(\d+)", text)[1]) for text in texts) / 1024  # type: ignore[index]


def _busy_s(pid: int) -> float:
    texts = [Path(f"/proc/{one}/stat").read_text(encoding="ascii") for one in _with_second(pid)]
    fields = [text.rpartition(")")[2].split() for text in texts]
    return sum(int(one[11]) + int(one[12]) for one in fields) / 100


async def run(
    studios: list[Studio], sending: list[Bay], asked: argparse.Namespace
) -> dict[str, Any]:
    """Open the pages, send the balls, wait until all is shown, and tell what was measured."""
    seen, ports = Seen(), [one.port for one in studios]
    pids = [one.process.pid for one in studios if one.process is not None]
    a_lesson = asked.pages // len(sending)
    pages = [
        Page(ports[k % len(ports)], bay.lesson_id, seen, screen=k < SCREENS)
        for bay in sending
        for k in range(a_lesson)
    ]
    tasks = [asyncio.create_task(page.live()) for page in pages]
    while any(page.shows < 0 for page in pages):
        await asyncio.sleep(0.1)
    await asyncio.sleep(2.0)
    tasks.append(asyncio.create_task(watch_memory(pids, seen)))
    busy = [_busy_s(pid) for pid in pids]
    begun = time.perf_counter()
    n_sent = await send_all(ports, sending, asked, seen)
    took = time.perf_counter() - begun
    busy = [(_busy_s(pid) - before) / took for pid, before in zip(pids, busy, strict=True)]
    wanted = n_sent * a_lesson
    deadline = time.perf_counter() + 30
    while len(seen.shown_s) < wanted and time.perf_counter() < deadline:
        await asyncio.sleep(0.2)
    for task in tasks:
        task.cancel()
    failed = [
        one for one in await asyncio.gather(*tasks, return_exceptions=True)
        if isinstance(one, BaseException) and not isinstance(one, asyncio.CancelledError)
    ]  # fmt: skip
    for error in failed[:3]:
        print(f"a page failed: {error!r}", file=sys.stderr)
    return {
        "balls": n_sent,
        "seconds": round(took, 1),
        "shown": len(seen.shown_s),
        "never shown": wanted - len(seen.shown_s),
        "shot to screen [s]": _quantiles(seen.shown_s),
        "99 of 100 within, by quarter [s]": _by_quarter(seen.shown_s),
        "acknowledged [s]": _quantiles(seen.acknowledged_s),
        "page fetched [s]": _quantiles(seen.fetched_s),
        "fetches a second": round(len(seen.fetched_s) / took),
        "cores busy, by desk": [round(one, 2) for one in busy],
        "memory [MB], by desk": _memory(seen.memory_mb),
        "pages that failed": len(failed),
    }


def _quantiles(values: list[float]) -> dict[str, float]:
    if len(values) < 2:
        return {}
    cuts = statistics.quantiles(values, n=100)
    return {
        "p50": round(cuts[49], 3),
        "p95": round(cuts[94], 3),
        "p99": round(cuts[98], 3),
        "max": round(max(values), 3),
    }


def _by_quarter(values: list[float]) -> list[float]:
    """Whether it gets slower as the lessons grow."""
    quarter = len(values) // 4
    parts = [values[k * quarter : (k + 1) * quarter] for k in range(4)]
    return [_quantiles(part).get("p99", float("nan")) for part in parts]


def _memory(samples: list[list[float]]) -> dict[str, list[int]]:
    """At the beginning, after each quarter, at the end."""
    places = [round(k * (len(samples) - 1) / 4) for k in range(5)]
    return {f"{25 * k} %": [round(one) for one in samples[at]] for k, at in enumerate(places)}


def count(desk: Desk, sending: list[Bay], n_before: int, n_sent: int) -> dict[str, int]:
    """What of it is in the book."""
    places = [[shot.place for shot in desk.book.shots(bay.lesson_id)] for bay in sending]
    held = sum(len(one) for one in places) - n_before * len(sending)
    in_order = all(one == list(range(1, len(one) + 1)) for one in places)
    return {
        "lost": max(0, n_sent - held),
        "doubled": max(0, held - n_sent),
        "out of order": int(not in_order),
    }


@contextmanager
def a_book(kind: str) -> Iterator[str]:
    """A new book of either kind, in a folder for a moment."""
    with tempfile.TemporaryDirectory(prefix="leadfoot-load-") as folder, ExitStack() as closing:
        if kind == "postgresql":
            yield closing.enter_context(running_server()).new_book()
        else:
            yield str(Path(folder, "lessons.book"))


def main() -> None:
    """Read what is asked, run it, print what was measured as JSON."""
    reading = argparse.ArgumentParser(description=__doc__)
    reading.add_argument("--seconds", type=float, default=120.0)
    reading.add_argument("--rate", type=float, default=10.0, help="balls a second, all bays")
    reading.add_argument("--bays", type=int, default=20)
    reading.add_argument("--pages", type=int, default=200)
    reading.add_argument(
        "--before", type=int, default=AS_USUAL, help="balls of each lesson at the start"
    )
    reading.add_argument("--book", choices=("sqlite", "postgresql"), default="sqlite")
    reading.add_argument("--desks", type=int, default=1, help="processes that serve the book")
    asked = reading.parse_args()
    with a_book(asked.book) as address, open_book(address) as book:
        desk = Desk(
            book=book, clock=lambda: datetime.now(UTC), printer=print_plainly, version="0.0.load"
        )
        sending = set_up(desk, asked.bays, asked.before)
        studios = [Studio(path=address, port=free_port(), desk=desk) for _ in range(asked.desks)]
        try:
            for one in studios:
                one.start()
            told = asyncio.run(run(studios, sending, asked))
        finally:
            for one in studios:
                one.stop()
        told |= count(desk, sending, asked.before, told["balls"])
    print(json.dumps({**vars(asked), **told}, indent=1))


if __name__ == "__main__":
    main()
