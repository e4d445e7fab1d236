"""Watches a file or a folder for balls: appended, replaced, renamed, half-written, begun anew."""

import threading
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from leadfoot.bay.identity import identity_of
from leadfoot.bay.rows import STILL_S, Row, Rows, keys_of, name_mark, read_rows, whole_part
from leadfoot.desk.bay_records import Bay, WatchedFile
from leadfoot.desk.bays import AnswerKeeper, arrive
from leadfoot.desk.desk import Desk
from leadfoot.desk.live_shots import LiveShot
from leadfoot.desk.records import Hand
from leadfoot.errors import InputError, LeadfootError
from leadfoot.tables.problem import Problem

LOOK_EVERY_S: Final = 0.2
"""Pause between two looks: a ball must be on every page within 1 s. [s]"""
KEEP_FILE_AFTER_S: Final = 30.0
"""Quiet after which a file is kept in the book as it is (our own choice). [s]"""
LARGEST_BYTES: Final = 20 * 2**20
"""Larger files are not read each time they change (our own choice)."""
_PASSING = (".tmp", ".part", ".crdownload", ".swp", "~")


@dataclass(slots=True, kw_only=True)
class _Seen:
    """A path as it was last seen."""

    stamp: tuple[str, int, int]
    """Place on the disk, size, time of change."""
    since_s: float
    """From when on it has been so, on the watcher's clock."""
    was_there: bool
    """Whether it was there when watching began."""
    part: bytes | None = None
    """What of it was taken last."""
    is_done: bool = False
    """Whether all of it was taken."""


@dataclass(slots=True, kw_only=True)
class _Raw:
    """The bytes of a file that brought balls, until they are kept in the book."""

    name: str
    data: bytes
    since_s: float


@dataclass(slots=True, kw_only=True, eq=False)
class Watcher:
    """Takes the balls of a file, or of the files in a folder, while they are written.

    The book knows by a key what has arrived, so a file may be read as often as one likes, also
    after a restart.

    Parameters
    ----------
    desk
        Where the balls go.
    bay
        The bay that the files belong to.
    path
        A file, there already or to come; or a folder.
    take_past
        Whether balls that stand in the files when they are first seen at the start are taken too.
    tell
        Called with a sentence for each thing that a person should know.
    """

    desk: Desk
    bay: Bay
    path: Path
    take_past: bool = False
    tell: Callable[[str], None] = print
    _seen: dict[Path, _Seen] = field(default_factory=dict)
    _raw: dict[str, _Raw] = field(default_factory=dict)
    _told: set[tuple[object, ...]] = field(default_factory=set)
    _arrived: dict[str, int | None] = field(default_factory=dict)
    _known: dict[str, WatchedFile] = field(default_factory=dict)
    _has_begun: bool = False

    def __post_init__(self) -> None:
        self._arrived = dict(self.desk.book.arrived(self.bay.id))
        self._known = {one.identity: one for one in self.desk.book.watched_files(self.bay.id)}

    def look(self, now_s: float) -> list[int]:
        """Look once; give the lessons into which balls fell, one for each ball.

        Parameters
        ----------
        now_s
            Time of any steady clock. [s]
        """
        fell: list[int] = []
        try:
            files = self._files()
        except OSError as error:
            self._tell_once(None, f"{self.path} can't be read: {error.strerror or error}.")
            return []
        for path in files:
            try:
                fell += self._look_at(path, now_s)
            except FileNotFoundError:
                continue  # renamed or removed between two looks
            except OSError as error:
                self._tell_once(path, f"{path.name} can't be read: {error.strerror or error}.")
            except LeadfootError as error:
                self._tell_once(path, f"{path.name}: {error}")
        for path in [path for path in self._seen if not path.exists()]:
            del self._seen[path]
        self._keep_quiet_files(now_s)
        self._has_begun = True
        return fell

    def close(self) -> None:
        """Keep the files that brought balls, as they are now."""
        for identity in list(self._raw):
            self._keep_file(identity)

    def _files(self) -> list[Path]:
        """The files to look at, the one changed first before the others."""
        if not self.path.is_dir():
            return [self.path] if self.path.is_file() else []
        found = []
        for path in self.path.iterdir():
            passing = path.name.startswith((".", "~")) or path.name.endswith(_PASSING)
            with suppress(FileNotFoundError):  # gone between two looks
                if not passing and path.is_file():
                    found.append((path.stat().st_mtime_ns, path.name, path))
        return [path for _, _, path in sorted(found)]

    def _look_at(self, path: Path, now_s: float) -> list[int]:
        seen = self._stamped(path, now_s)
        if seen.is_done:
            return []
        if seen.stamp[1] > LARGEST_BYTES:
            self._tell_once(path, f"{path.name} has more than 20 MB; it is not watched.")
            return []
        data = path.read_bytes()
        part = whole_part(data, now_s - seen.since_s)
        fell: list[int] = []
        if part and part != seen.part:
            taken = self._take(path, part, seen, now_s)
            if taken is None:
                return []  # the bay hits for no lesson: it is looked at again
            fell = taken
        seen.part = part
        # The clock of a disk has steps: what is written within one leaves no trace in the time.
        is_still = now_s - seen.since_s >= STILL_S
        seen.is_done = is_still and len(part) == len(data)
        return fell

    def _stamped(self, path: Path, now_s: float) -> _Seen:
        stat = path.stat()
        stamp = (f"{stat.st_dev}:{stat.st_ino}", stat.st_size, stat.st_mtime_ns)
        seen = self._seen.get(path)
        if seen is None:
            # How long it has been still before, its own time tells, as far as clocks agree.
            still_s = max(0.0, time.time() - stat.st_mtime)
            seen = _Seen(stamp=stamp, since_s=now_s - still_s, was_there=not self._has_begun)
            self._seen[path] = seen
        elif seen.stamp != stamp:
            seen.stamp, seen.since_s, seen.is_done = stamp, now_s, False
        return seen

    def _take(self, path: Path, part: bytes, seen: _Seen, now_s: float) -> list[int] | None:
        """Take what is new in a file; None where the bay hits for no lesson."""
        lesson_id = self.desk.book.bay(self.bay.id).lesson_id
        if lesson_id is None:
            self._tell_once(
                None, f"Bay {self.bay.name!r} hits for no lesson: its balls wait until it does."
            )
            return None
        hand = self.desk.book.student(self.desk.book.lesson(lesson_id).student_id).hand
        rows = self._read(path, part, hand)
        if not rows.rows:
            return []
        name, device, digests = name_mark(path.name), seen.stamp[0], rows.digests()
        names_there = {name_mark(one.name) for one in self._files()}
        identity = identity_of(name, device, digests, tuple(self._known.values()), names_there)
        keys = keys_of(identity, digests)
        if seen.was_there and not self.take_past and identity not in self._known:
            self._note_past(path, keys)
        self._remember(identity, path.name, device, digests)
        fell = [
            self._arrive(row, key)
            for row, key in zip(rows.rows, keys, strict=True)
            if self._is_new(key)
        ]
        if fell or identity in self._raw:
            self._raw[identity] = _Raw(name=path.name, data=part, since_s=now_s)
        return fell

    def _read(self, path: Path, part: bytes, hand: Hand) -> Rows:
        """Read the rows of a file; what can't be used is told, and not tried again as it is."""
        try:
            rows = read_rows(self.desk, part, name=path.name, hand=hand)
        except InputError as error:
            self._tell_once(path, f"{path.name}: {error}")
            return Rows(rows=(), problems=())
        self._tell_problems(path.name, rows.problems)
        return rows

    def _note_past(self, path: Path, keys: Sequence[str]) -> None:
        self.desk.book.note_past(self.bay.id, keys, at=self.desk.clock())
        self._arrived.update(dict.fromkeys(keys))
        self.tell(
            f"{path.name} held {len(keys)} balls before watching began: they are left where they "
            "are; --all takes them too."
        )

    def _remember(self, identity: str, name: str, device: str, digests: tuple[str, ...]) -> None:
        """Keep how the file looks before its balls go in: a restart then finds it by that."""
        before = self._known.get(identity)
        now = WatchedFile(name=name_mark(name), device=device, identity=identity, rows=digests)
        if before == now:
            return
        if before is None:  # begun anew: keep what lay under this name until now
            for other in [one for one, raw in self._raw.items() if raw.name == name]:
                self._keep_file(other)
        elif not set(before.rows) <= set(digests):
            self._keep_file(identity)  # rows are gone from it: keep what it was
        self.desk.book.keep_watched(self.bay.id, now)
        self._known[identity] = now

    def _is_new(self, key: str) -> bool:
        if key not in self._arrived:
            return True
        return self.take_past and self._arrived[key] is None

    def _arrive(self, row: Row, key: str) -> int:
        shot = LiveShot(key=key, club=row.club, values=row.values)
        came = arrive(self.desk, self.bay, shot)
        self._arrived[key] = came.shot.id
        return came.shot.lesson_id

    def _keep_quiet_files(self, now_s: float) -> None:
        for identity, raw in list(self._raw.items()):
            if now_s - raw.since_s >= KEEP_FILE_AFTER_S:
                try:
                    self._keep_file(identity)
                except LeadfootError as error:
                    self._tell_once(identity, f"{raw.name} could not be kept yet: {error}")

    def _keep_file(self, identity: str) -> None:
        """Keep a file byte for byte with its lesson, marked as one whose balls are in."""
        raw = self._raw.get(identity)
        lesson_id = self.desk.book.bay(self.bay.id).lesson_id
        if raw is None or lesson_id is None:
            return
        at = self.desk.clock()
        kept = self.desk.book.keep_file(lesson_id, name=raw.name, data=raw.data, at=at)
        self.desk.book.import_shots(kept.id, [], at=at)
        del self._raw[identity]

    def _tell_problems(self, name: str, problems: Sequence[Problem]) -> None:
        for one in problems:
            place = f"row {one.row}" if one.row is not None else "the file"
            column = f", {one.column}" if one.column else ""
            self._tell_once(name, f"{name}, {place}{column}: {one.text}: {one.reason}")

    def _tell_once(self, about: object, words: str) -> None:
        if (about, words) not in self._told:
            self._told.add((about, words))
            self.tell(words)


def watch(
    watcher: Watcher,
    *,
    keeper: AnswerKeeper,
    on_balls: Callable[[int], None],
    on_ready: Callable[[], None] = lambda: None,
    stop: threading.Event | None = None,
) -> None:
    """Look again and again until stopped or interrupted; then keep the files and the answers.

    Parameters
    ----------
    watcher
        What looks.
    keeper
        Keeps the answers of lessons that have gone quiet.
    on_balls
        Called with the number of balls whenever some fell into a lesson.
    on_ready
        Called after the first look: what is written from then on is new.
    stop
        Ends it at the next look once it is set.
    """
    stop = stop or threading.Event()
    try:
        is_ready = False
        while not stop.is_set():
            now_s = time.monotonic()
            fell = watcher.look(now_s)
            if not is_ready:
                is_ready = True
                on_ready()
            if fell:
                on_balls(len(fell))
                keeper.note(fell, now_s)
            try:
                keeper.keep_due(now_s)
            except LeadfootError as error:  # the balls are in; the next deed keeps the answer
                watcher.tell(f"An answer could not be kept: {error}")
            stop.wait(LOOK_EVERY_S)
    finally:
        watcher.close()
        keeper.keep_due()
