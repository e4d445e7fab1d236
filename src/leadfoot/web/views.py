"""Keeps each lesson as it was last judged, until the book changes: many pages, one answer."""

import threading
from collections import OrderedDict

from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import LessonView, lesson_view

MOST_KEPT = 40
"""Lessons that are kept: more than are open at a time (our own choice)."""


class Views:
    """Lessons as the pages show them.

    A new ball makes every open page of its lesson ask anew; the first one judges, the others get
    the same answer. What is kept belongs to one state of the book, so it can never be stale.
    """

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        # One at a time: judging keeps a core busy, and the next one asks for the same.
        self._turn = threading.Lock()
        self._kept: OrderedDict[int, tuple[int, LessonView]] = OrderedDict()

    def of(self, lesson_id: int) -> tuple[int, LessonView]:
        """The last change of the book that a lesson holds, and the lesson.

        Raises
        ------
        NotInBookError
            If there is no such lesson.
        """
        with self._turn:
            # Read before the lesson: what comes in between is shown too, and asked for once more.
            change = self._desk.book.last_change()
            kept = self._kept.get(lesson_id)
            if kept is None or kept[0] != change:
                stands = kept is not None and self._untouched(*kept)
                view = kept[1] if kept and stands else lesson_view(self._desk, lesson_id)
                kept = change, view
                self._kept[lesson_id] = kept
            self._kept.move_to_end(lesson_id)
            if len(self._kept) > MOST_KEPT:
                self._kept.popitem(last=False)
            return kept

    def _untouched(self, change: int, view: LessonView) -> bool:
        """Whether nothing that an answer rests on has changed: this lesson and earlier ones."""
        touched = set(self._desk.book.changes_since(change).values())
        if 0 in touched:
            return False
        when = (view.lesson.held_on, view.lesson.id)
        return not any(
            one.id in touched and (one.held_on, one.id) <= when
            for one in self._desk.book.lessons(view.lesson.student_id)
        )
