"""Keeps each lesson as it was last judged and shown, until the book changes: one answer for all."""

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import LessonView, keep_answer, lesson_view
from leadfoot.web.packed import PackedPage

if TYPE_CHECKING:
    from datetime import date

MOST_KEPT = 40
"""Lessons that are kept: more than are open at a time (our own choice)."""
MOST_SHEETS = 24
"""Ways of showing one lesson that are kept: by page, question and browser (our own choice)."""


@dataclass(slots=True)
class _Kept:
    """One lesson: the change up to which it holds, how it is judged, how it was shown."""

    turn: threading.RLock = field(default_factory=threading.RLock)
    change: int = -1
    view: LessonView | None = None
    sheets: OrderedDict[Hashable, PackedPage] = field(default_factory=OrderedDict)


class Turn:
    """One lesson, as it stands for a moment, shown in several ways."""

    def __init__(self, kept: _Kept, renewed: Callable[[], tuple[int, LessonView]]) -> None:
        self._kept = kept
        self._renewed = renewed
        self._state: tuple[int, LessonView] | None = None

    def shown(self, how: Hashable, render: Callable[[int, LessonView], PackedPage]) -> PackedPage:
        """The lesson as a page, rendered once for all who ever ask for it in the same way.

        Parameters
        ----------
        how
            All that the page depends on beside the lesson: address, question, choices, who asks.
        render
            Renders it, from the change that it holds and the lesson.

        Raises
        ------
        NotInBookError
            If there is no such lesson.
        """
        if self._state is None:
            self._state = self._renewed()
        sheets = self._kept.sheets
        if how not in sheets:
            sheets[how] = render(*self._state)
            if len(sheets) > MOST_SHEETS:
                sheets.popitem(last=False)
        return sheets[how]


class Views:
    """Lessons as the pages show them.

    A new ball makes every open page of its lesson ask anew; the first one judges and renders, the
    others get the same answer. What is kept belongs to one state of the book, so it can never be
    stale.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._turn = threading.Lock()
        self._kept: OrderedDict[int, _Kept] = OrderedDict()
        self._places: dict[int, tuple[int, date]] = {}
        """Student and day of lessons: neither changes, but by a merge, which concerns all."""

    def of(self, lesson_id: int) -> tuple[int, LessonView]:
        """The last change of the book that a lesson holds, and the lesson.

        Raises
        ------
        NotInBookError
            If there is no such lesson.
        """
        kept = self._place_of(lesson_id)
        with kept.turn:
            return self._renewed(kept, lesson_id)

    @contextmanager
    def turn(self, lesson_id: int) -> Iterator["Turn"]:
        """Hold a lesson as it stands now, to show it in several ways; it is judged when needed."""
        kept = self._place_of(lesson_id)
        with kept.turn:
            yield Turn(kept, lambda: self._renewed(kept, lesson_id))

    def keep_answer(self, lesson_id: int) -> None:
        """Keep the answer of a lesson in the book; the pages need not judge once more for that."""
        kept = self._place_of(lesson_id)
        with kept.turn:
            change, view = self._renewed(kept, lesson_id)
            if not keep_answer(self._desk, view):
                return
            later = self._desk.book.changes_since(change)
            mine = [number for number, touched in later.items() if touched in {0, lesson_id}]
            if len(mine) == 1:  # our own, and nobody else's
                kept.change = mine[0]
                kept.sheets.clear()

    def _place_of(self, lesson_id: int) -> _Kept:
        with self._turn:
            kept = self._kept.setdefault(lesson_id, _Kept())
            self._kept.move_to_end(lesson_id)
            if len(self._kept) > MOST_KEPT:
                self._kept.popitem(last=False)
            return kept

    def _renewed(self, kept: _Kept, lesson_id: int) -> tuple[int, LessonView]:
        # Read before the lesson: what comes in between is shown too, and asked for once more.
        with self._desk.book.at_once():
            change = self._desk.book.last_change()
            stands = kept.view is not None and (kept.change == change or self._untouched(kept))
        if kept.view is None or not stands:
            kept.view = lesson_view(self._desk, lesson_id)
            kept.sheets.clear()
        kept.change = change
        return change, kept.view

    def _untouched(self, kept: _Kept) -> bool:
        """Whether nothing that an answer rests on has changed: this lesson and earlier ones."""
        touched = set(self._desk.book.changes_since(kept.change).values())
        return 0 not in touched and not any(self._concerns(kept, one) for one in touched)

    def _concerns(self, kept: _Kept, touched: int) -> bool:
        if kept.view is None or touched == kept.view.lesson.id:
            return True
        if touched not in self._places:
            lesson = self._desk.book.lesson(touched)
            self._places[touched] = (lesson.student_id, lesson.held_on)
        student_id, held_on = self._places[touched]
        mine = kept.view.lesson
        return student_id == mine.student_id and (held_on, touched) <= (mine.held_on, mine.id)
