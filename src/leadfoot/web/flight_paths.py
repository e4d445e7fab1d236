"""The way of every ball of a lesson through the air of the studio, for the drawing in space."""

import math
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from leadfoot.desk.lesson import LessonView, table_of
from leadfoot.desk.records import StoredShot
from leadfoot.errors import InputError
from leadfoot.physics.air import Air
from leadfoot.physics.flight import Launch, Path, fly
from leadfoot.units import si_into

MOST_FLIGHTS = 400
"""Most flights that are drawn: more would be a grey cloud (our own choice)."""

_NEEDED = ("ball_speed", "launch_angle", "spin_rate")
_EVERY = 4  # of the path's 121 points: 31 draw a curve that looks smooth


def flight_paths(view: LessonView) -> Mapping[str, Any]:
    """Fly each ball that has ball speed, launch angle and spin rate.

    Returns
    -------
    Mapping
        ``unit`` of length; ``flights``, each with its place, role and ``x`` (toward the target),
        ``y`` (up), ``z`` (right); ``assumed``, what was taken where it was not measured;
        ``missing``, how many balls could not be flown.
    """
    role_of = {block.id: block.role for block in view.blocks}
    unit = _length_unit(view)
    flights = []
    for shot in view.shots[:MOST_FLIGHTS]:
        way = _way(shot, unit, view.studio.air)
        if way is not None:
            flights.append(
                {
                    "place": shot.place,
                    "role": role_of[shot.block_id],
                    "leftOut": shot.left_out_reason is not None,
                    **way,
                }
            )
    return {
        "unit": unit,
        "flights": flights,
        "missing": len(view.shots) - len(flights),
        "assumed": _assumed(view),
    }


def _way(shot: StoredShot, unit: str, air: Air) -> Mapping[str, list[float]] | None:
    """The way of one ball; None where a value that it needs is missing or can't be flown."""
    if any(key not in shot.values for key in _NEEDED):
        return None
    try:
        launch = Launch(
            ball_speed_mps=shot.values["ball_speed"].si,
            launch_angle_rad=shot.values["launch_angle"].si,
            spin_rate_radps=shot.values["spin_rate"].si,
            launch_direction_rad=_or_straight(shot, "launch_direction"),
            spin_axis_rad=_or_straight(shot, "spin_axis"),
        )
        return _flown(launch, unit, air)
    except InputError:
        return None


@lru_cache(maxsize=20 * MOST_FLIGHTS)
def _flown(launch: Launch, unit: str, air: Air) -> Mapping[str, list[float]] | None:
    """Fly a ball once, however often its page is drawn anew."""
    path = fly(launch, air=air, path=True).path
    if path is None:
        return None
    return drawn_path(path, unit)


def drawn_path(path: Path, unit: str) -> Mapping[str, list[float]]:
    """A way through the air as the drawings take it: ``x`` to the target, ``y`` up, ``z`` right."""
    axes = {"x": path.x_m, "y": path.y_m, "z": path.z_m}
    return {axis: _drawn(values_m, unit) for axis, values_m in axes.items()}


def _or_straight(shot: StoredShot, key: str) -> float:
    reading = shot.values.get(key)
    return 0.0 if reading is None or not math.isfinite(reading.si) else reading.si


def _length_unit(view: LessonView) -> str:
    readings = table_of(view.shots, view.blocks).readings
    read = readings["carry"].unit if "carry" in readings else None
    return read or view.studio.units.usual("carry") or "yd"


def _drawn(values_m: Any, unit: str) -> list[float]:
    kept = [*values_m[:-1:_EVERY], values_m[-1]]
    return [round(si_into(float(value), unit), 2) for value in kept]


def _assumed(view: LessonView) -> list[str]:
    flown = [shot for shot in view.shots if all(needed in shot.values for needed in _NEEDED)]
    assumed = []
    for key, words in (
        ("launch_direction", "started at the target where no launch direction was measured"),
        ("spin_axis", "no curve where no spin axis was measured"),
    ):
        if any(key not in shot.values for shot in flown):
            assumed.append(words)
    return assumed
