"""The balls of many lessons as plain numbers, read from the book once and again when they change.

A student of years has tens of thousands of balls. They say how far the student's balls usually
spread, so each new ball of today's lesson needs them; what is kept makes that cost nothing.
"""

import threading
from collections import OrderedDict
from collections.abc import Mapping, Sequence
from weakref import WeakKeyDictionary

from leadfoot.desk.desk import Desk
from leadfoot.desk.pooling_port import CountedBalls
from leadfoot.desk.ports import Book

MOST_LESSONS = 3000
"""Lessons that are kept, some 20 kB each where many quantities were measured (our own choice)."""


class _Kept:
    """What is kept of one book: the change up to which it holds, and the balls by lesson."""

    def __init__(self) -> None:
        self._turn = threading.Lock()
        self._change = -1
        self._balls: OrderedDict[int, CountedBalls] = OrderedDict()

    def of(self, book: Book, lesson_ids: Sequence[int]) -> Mapping[int, CountedBalls]:
        with self._turn, book.at_once():
            # Read before the balls: what comes in between is read once more.
            change = book.last_change()
            self._forget(book, change)
            missing = [one for one in lesson_ids if one not in self._balls]
            if missing:
                self._balls.update(book.counted_of(missing))
            found = {one: self._balls[one] for one in lesson_ids if one in self._balls}
            for lesson_id in found:
                self._balls.move_to_end(lesson_id)
            while len(self._balls) > MOST_LESSONS:
                self._balls.popitem(last=False)
            return found

    def _forget(self, book: Book, change: int) -> None:
        """Let go of what has changed; what concerns no lesson of its own may concern each."""
        if self._change < 0 or change < self._change:
            self._balls.clear()
        elif change > self._change:
            touched = set(book.changes_since(self._change).values())
            if 0 in touched:
                self._balls.clear()
            for lesson_id in touched:
                self._balls.pop(lesson_id, None)
        self._change = change


_kept: WeakKeyDictionary[Book, _Kept] = WeakKeyDictionary()
_finding = threading.Lock()


def past_balls(desk: Desk, lesson_ids: Sequence[int]) -> Mapping[int, CountedBalls]:
    """The balls of some lessons that count, by lesson; a lesson without any is not there."""
    with _finding:
        kept = _kept.setdefault(desk.book, _Kept())
    return kept.of(desk.book, lesson_ids)
