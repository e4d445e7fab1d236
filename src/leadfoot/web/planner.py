"""The planner on the page of a lesson: before the change, which blocks are worth hitting."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from fastapi import Request

from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import LessonView
from leadfoot.desk.planning import USUAL_BALLS, WORTH_FINDING, Planned, plan_for_lesson
from leadfoot.errors import InputError
from leadfoot.evidence.plan import PlannedOrder

GAIN_UNITS = ("yd", "m", "mph", "km/h", "m/s")
"""Units in which a gain is asked for: of carry, or of speed."""
ASKED = ("gain", "unit", "balls")
"""What is typed for a plan."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Planner:
    """The plan on the page, or what is wrong with what was asked; and what was typed."""

    planned: Planned | None
    error: InputError | None
    typed: Mapping[str, str]


def planner_for(request: Request, desk: Desk, view: LessonView) -> Planner | None:
    """The planner of a lesson; None once there is an answer, or while nothing is known yet."""
    if view.answer is not None:
        return None
    asked = {name: request.query_params.get(name, "").strip() for name in ASKED}
    try:
        planned = planned_as_asked(desk, view.lesson.id, asked)
    except InputError as error:
        if not any(asked.values()):
            return None
        unit = asked["unit"] or WORTH_FINDING["carry"][1]
        return Planner(planned=None, error=error, typed={**asked, "unit": unit})
    return Planner(
        planned=planned,
        error=None,
        typed={
            "gain": f"{planned.wanted.change:g}",
            "unit": planned.wanted.unit,
            "balls": str(planned.wanted.balls),
        },
    )


def planned_as_asked(desk: Desk, lesson_id: int, asked: Mapping[str, str]) -> Planned:
    """The plan for what was typed: gain, unit and balls, each empty for the usual.

    Raises
    ------
    InputError
        If a number is none, or nothing can be planned.
    """
    gain, balls = _number(asked["gain"], "gain"), _number(asked["balls"], "number of balls")
    return plan_for_lesson(
        desk,
        lesson_id,
        change=gain,
        unit=asked["unit"] or None,
        balls=USUAL_BALLS if balls is None else round(balls),
    )


def order_named(planned: Planned, pattern: str) -> PlannedOrder:
    """One of the orders of a plan.

    Raises
    ------
    InputError
        If the plan has no such order.
    """
    for order in planned.orders:
        if order.pattern == pattern:
            return order
    raise InputError("No plan was chosen.", fix="Choose one from the table of the plan.")


def _number(text: str, name: str) -> float | None:
    if not text:
        return None
    if re.fullmatch(r"[+-]?\d{1,6}([.,]\d{1,6})?", text) is None:
        raise InputError(f"{text!r} is not a {name}.", fix="Type a number, such as 8 or 2.5.")
    return float(text.replace(",", "."))
