"""The part of the book in memory that holds running plans."""

from dataclasses import dataclass, field
from datetime import datetime

from leadfoot.desk.plan_port import StoredPlan


@dataclass
class FakePlans:
    """Keeps the plan that runs, by lesson."""

    all_plans: dict[int, StoredPlan] = field(default_factory=dict)
    touched: list[int] = field(default_factory=list)

    def running_plan(self, lesson_id: int) -> StoredPlan | None:
        return self.all_plans.get(lesson_id)

    def start_plan(
        self, lesson_id: int, *, plan_json: str, from_place: int, by_itself: bool, at: datetime
    ) -> StoredPlan:
        plan = StoredPlan(
            id=len(self.all_plans) + 1,
            lesson_id=lesson_id,
            plan_json=plan_json,
            from_place=from_place,
            by_itself=by_itself,
            started_at=at,
            stopped_at=None,
        )
        self.all_plans[lesson_id] = plan
        self.touched.append(lesson_id)
        return plan

    def stop_plan(self, lesson_id: int, *, at: datetime) -> None:
        assert at.tzinfo is not None
        if self.all_plans.pop(lesson_id, None) is not None:
            self.touched.append(lesson_id)
