"""A swing and a jump as JSON, in the form that scripts may rely on; every number has its method."""

import math
from dataclasses import asdict
from typing import Any

from leadfoot.ground.form import basis_json
from leadfoot.ground.jump import Jump
from leadfoot.ground.method import Method
from leadfoot.ground.recording import Remark
from leadfoot.ground.swing import PressureSwing
from leadfoot.ground.swing_numbers import numbers_of

JUMP_SCHEMA = "leadfoot.jump/1"
"""Name and version of the jump's form."""


def method_json(method: Method) -> dict[str, Any]:
    """A method as plain values.

    Examples
    --------
    >>> sorted(method_json(Method(name="x", rate_hz=1000.0)))
    ['filter', 'name', 'rate_hz', 'threshold_n', 'version', 'weighed_for_s', 'weighed_from_s']
    """
    start, length = method.window_s or (None, None)
    return {
        "name": method.name,
        "rate_hz": method.rate_hz,
        "filter": method.filter,
        "threshold_n": method.threshold_n,
        "weighed_from_s": start,
        "weighed_for_s": length,
        "version": method.version,
    }


def swing_json(swing: PressureSwing) -> dict[str, Any]:
    """A swing as plain values; what its device cannot see is not there.

    Examples
    --------
    >>> from leadfoot.ground.made_swing import usual_swing
    >>> from leadfoot.ground.swing import swing_of
    >>> sorted(swing_json(swing_of(usual_swing().recording(1000.0), None)))
    ['device', 'impact', 'methods', 'numbers', 'phases', 'remarks', 'travel', 'weight']
    """
    travel = None if swing.pressure is None else swing.pressure.travel
    return {
        "device": "force plates" if type(swing) is not PressureSwing else "pressure",
        "impact": None if swing.impact is None else asdict(swing.impact),
        "weight": basis_json(swing.basis),
        "phases": asdict(swing.phases),
        "methods": {"peaks": method_json(swing.peaks), "impulses": method_json(swing.impulses)},
        "numbers": {
            number.key: {
                "value": round(number.value, 4),
                "unit": number.unit,
                "doubt": None if number.doubt is None else round(number.doubt, 4),
                "method": number.by,
            }
            for number in numbers_of(swing)
            if math.isfinite(number.value)
        },
        "travel": None if travel is None else {"style": travel.style, "said": travel.said},
        "remarks": [remark_json(remark) for remark in swing.remarks],
    }


def jump_json(jump: Jump) -> dict[str, Any]:
    """A jump as plain values.

    Examples
    --------
    >>> import numpy as np
    >>> from leadfoot.ground.jump import jump_of
    >>> from leadfoot.ground.made_jump import MadeJump
    >>> form = jump_json(jump_of(MadeJump().force_n(1000.0), 1000.0))
    >>> form["schema"], form["numbers"]["height"]["unit"], form["numbers"]["height"]["kind"]
    ('leadfoot.jump/1', 'm', 'measured')
    """
    return {
        "schema": JUMP_SCHEMA,
        "method": method_json(jump.method),
        "weight": basis_json(jump.basis),
        "phases": asdict(jump.phases),
        "numbers": {
            key: {"value": round(value, 4), "unit": unit, "doubt": doubt, "kind": "measured"}
            for key, value, unit, doubt in _jump_numbers(jump)
        },
        "feet": [asdict(foot) for foot in jump.feet],
        "remarks": [remark_json(remark) for remark in jump.remarks],
    }


def remark_json(remark: Remark) -> dict[str, Any]:
    """A remark as plain values."""
    return asdict(remark)


def _jump_numbers(jump: Jump) -> list[tuple[str, float, str, float | None]]:
    return [
        ("height", jump.height_m, "m", round(jump.height_doubt_m, 4)),
        ("height_by_flight", jump.height_by_flight_m, "m", None),
        ("height_from_standing", jump.height_from_standing_m, "m", None),
        ("take_off_velocity", jump.take_off_velocity_mps, "m/s", None),
        ("flight_time", jump.flight_s, "s", None),
        ("depth", jump.depth_m, "m", None),
        ("net_impulse", jump.net_impulse_ns, "N·s", None),
        ("positive_impulse", jump.positive_impulse_ns, "N·s", None),
        ("peak_force", jump.peak_force_n, "N", None),
        ("peak_power", jump.peak_power_w, "W", None),
        ("landing_force", jump.landing_force_n, "N", None),
        ("weight", jump.weighing.weight_n, "N", round(jump.weighing.doubt_n, 3)),
        ("mass", jump.weighing.mass_kg, "kg", None),
        ("flight_offset", jump.flight_offset_n, "N", None),
        ("flight_noise", jump.flight_noise_n, "N", None),
    ]
