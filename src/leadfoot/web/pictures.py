"""The numbers behind the figures of a lesson, as the page's scripts receive them."""

import math
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any

import numpy as np

from leadfoot.desk.answer import Answer, Pattern
from leadfoot.desk.lesson import LessonView, view_table
from leadfoot.figures.spread import ring
from leadfoot.quantities import glossary
from leadfoot.web.words import SIDED, unit_shown


@lru_cache(maxsize=8)  # the page and the big screen of one lesson draw the same
def pictures(view: LessonView) -> Mapping[str, Any]:
    """Everything that the figures of a lesson draw; a value that is not known is None."""
    return {
        "pattern": _pattern(view.answer) if view.answer is not None else None,
        "run": _run(view),
    }


def _pattern(answer: Answer) -> Mapping[str, Any]:
    pattern = answer.pattern
    return {
        "unit": pattern.unit,
        "places": [int(row) for row in pattern.rows],
        "withChange": [bool(flag) for flag in pattern.with_change],
        "offline": _numbers(pattern.offline),
        "carry": _numbers(pattern.carry),
        "carryBasis": pattern.carry_basis,
        "offlineBasis": pattern.offline_basis,
        "speed": _numbers(pattern.speed),
        "speedUnit": pattern.speed_unit,
        "speedName": pattern.speed_name,
        "before": answer.before_label,
        "after": answer.after_label,
        "loops": {
            "before": _loop(pattern, with_change=False),
            "after": _loop(pattern, with_change=True),
        },
    }


def _loop(pattern: Pattern, *, with_change: bool) -> Mapping[str, Any] | None:
    """Middle of one side, and the ring that holds two in three: those of the printed sheet."""
    x, y = pattern.offline, pattern.carry
    chosen = (pattern.with_change == with_change) & np.isfinite(x) & np.isfinite(y)
    if int(chosen.sum()) < 2:
        return None
    found = ring(x[chosen], y[chosen])
    return {
        "middle": _numbers((np.median(x[chosen]), np.median(y[chosen]))),
        "ring": None if found is None else found.outline().round(3).tolist(),
    }


def _run(view: LessonView) -> Mapping[str, Any]:
    table = view_table(view)
    role_of = {block.id: block.role for block in view.blocks}
    return {
        "places": [shot.place for shot in view.shots],
        "roles": [role_of[shot.block_id] for shot in view.shots],
        "leftOut": [shot.left_out_reason is not None for shot in view.shots],
        "series": [
            {
                "key": key,
                "name": known.name,
                "unit": unit_shown(table.readings[key].unit),
                "sided": key in SIDED,
                "values": _numbers(table.readings[key].values),
            }
            for key, known in glossary().items()
            if key in table.readings
        ],
        "first": view.answer.headline.quantity
        if view.answer is not None and view.answer.headline is not None
        else None,
    }


def _numbers(values: Iterable[float]) -> list[float | None]:
    return [round(float(value), 4) if math.isfinite(value) else None for value in values]
