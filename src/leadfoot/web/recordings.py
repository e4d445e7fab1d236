"""Keeps force recordings as they were read last: a page, its traces and its pictures read once."""

import threading
from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import replace

from leadfoot.desk import recordings
from leadfoot.desk.desk import Desk
from leadfoot.desk.recordings import Found
from leadfoot.desk.records import Hand, StoredRecording

MOST_SAMPLES = 6_000_000
"""Samples of all plates that are kept: about 350 MB, 25 recordings of a minute (own choice)."""

_Key = tuple[int, str, str | None, float | None, str | None, Hand]


class Recordings:
    """Reads recordings of the book, and keeps them until what is said of them changes."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._turn = threading.Lock()
        self._kept: OrderedDict[_Key, Found] = OrderedDict()

    def look(self, stored: StoredRecording) -> Found:
        """A recording as it is understood."""
        key = self._key(stored)
        with self._turn:
            found = self._kept.get(key) or recordings.look(self._desk, stored)
            self._kept[key] = found
            self._kept.move_to_end(key)
            while len(self._kept) > 1 and _samples(list(self._kept.values())) > MOST_SAMPLES:
                self._kept.popitem(last=False)
        return replace(found, stored=stored)

    def of(self, recording_id: int) -> Found:
        """A recording by its number."""
        return self.look(self._desk.book.recording(recording_id))

    def _key(self, stored: StoredRecording) -> _Key:
        lesson = self._desk.book.lesson(stored.lesson_id)
        return (
            stored.id,
            stored.choices_json,
            stored.mapping_json,
            stored.strike_s,
            stored.strike_from,
            self._desk.book.student(lesson.student_id).hand,
        )


def _samples(founds: Sequence[Found]) -> int:
    return sum(
        len(one.recording) * len(one.recording.plates)
        for one in founds
        if one.recording is not None
    )
