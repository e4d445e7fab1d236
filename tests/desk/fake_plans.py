"""The part of the book in memory that holds running plans."""

from dataclasses import dataclass, field, replace
from datetime import datetime

from leadfoot.desk.plan_port import StoredPlan


@dataclass
class FakePlans:
    """Keeps every plan, in order of starting."""

    all_plans: list[StoredPlan] = field(default_factory=list)
    touched: list[int] = field(default_factory=list)

    def plans(self, lesson_id: int) -> tuple[StoredPlan, ...]:
        return tuple(one for one in self.all_plans if one.lesson_id == lesson_id)

    def running_plan(self, lesson_id: int) -> StoredPlan | None:
        last = self.plans(lesson_id)[-1:]
        return last[0] if last and last[0].stopped_at is None else None

    def start_plan(
        self, lesson_id: int, *, plan_json: str, from_place: int, by_itself: bool, at: datetime
    ) -> StoredPlan:
        self._stop(lesson_id, at)
        plan = StoredPlan(
            id=len(self.all_plans) + 1,
            lesson_id=lesson_id,
            plan_json=plan_json,
            from_place=from_place,
            by_itself=by_itself,
            started_at=at,
            stopped_at=None,
        )
        self.all_plans.append(plan)
        self.touched.append(lesson_id)
        return plan

    def stop_plan(self, lesson_id: int, *, at: datetime) -> None:
        if self.running_plan(lesson_id) is not None:
            self._stop(lesson_id, at)
            self.touched.append(lesson_id)

    def _stop(self, lesson_id: int, at: datetime) -> None:
        assert at.tzinfo is not None
        self.all_plans = [
            replace(one, stopped_at=at)
            if one.lesson_id == lesson_id and one.stopped_at is None
            else one
            for one in self.all_plans
        ]
