"""What the desk needs of a book that keeps the plans that are being hit."""

from dataclasses import dataclass
from datetime import datetime
from typing import Protocol


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredPlan:
    """A plan as it was started; balls up to ``from_place`` of the lesson came before it."""

    id: int
    lesson_id: int
    plan_json: str
    from_place: int
    by_itself: bool
    started_at: datetime
    stopped_at: datetime | None


class PlanBook(Protocol):
    """The part of the client book that keeps running plans; see `Book`."""

    def running_plan(self, lesson_id: int) -> StoredPlan | None:
        """The plan of a lesson that was started last; None where it was stopped, or never was."""
        ...

    def plans(self, lesson_id: int) -> tuple[StoredPlan, ...]:
        """All plans of a lesson in order of starting, those that were stopped among them."""
        ...

    def start_plan(
        self, lesson_id: int, *, plan_json: str, from_place: int, by_itself: bool, at: datetime
    ) -> StoredPlan:
        """Start a plan; the one that ran is stopped."""
        ...

    def stop_plan(self, lesson_id: int, *, at: datetime) -> None:
        """Stop the plan of a lesson; where none runs nothing happens."""
        ...
