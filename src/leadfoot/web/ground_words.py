"""What the ground page says: its sentence, the curves of two blocks, the club of the model."""

import math
from typing import Any

from leadfoot.desk.ground_view import Comparison
from leadfoot.desk.recordings import Found
from leadfoot.ground.aligned import CURVES, Aligned, clock_s
from leadfoot.ground.swing import PressureSwing
from leadfoot.physics.clubs import clubs

EVERY = 2
"""Every second place of an aligned curve is drawn: 8 ms apart."""


def ground_sentence(chosen: Found | None) -> str:
    """The page in one sentence."""
    if chosen is None:
        return "No force recording yet."
    if chosen.swing is None:
        return f"Recording {chosen.stored.place} gives no swing yet."
    by = "" if chosen.swing.basis.is_known else ", by the file alone"
    return f"Body weight {_weight(chosen.swing)}{by}. {_lead(chosen.swing)}"


def _weight(swing: PressureSwing) -> str:
    found = swing.weighing
    return f"{found.weight_n:.0f} ± {found.doubt_n:.1f} N ({found.mass_kg:.1f} kg)"


def _lead(swing: PressureSwing) -> str:
    load = swing.lead or swing.total
    name = "The lead foot" if swing.lead is not None else "The load"
    peak = f"{100.0 * load.peak_share:.0f} % of it"
    said = f"{name} peaks at {peak if swing.basis.is_known else f'{load.peak_n:.0f} N'}"
    if load.before_impact_s is None:
        return f"{said}; the strike is not known."
    ms = 1000.0 * load.before_impact_s
    when = f"{ms:.0f} ms before the strike" if ms > 0.0 else f"{-ms:.0f} ms after the strike"
    return f"{said}, {when if abs(ms) >= 0.5 else 'at the strike'}."


def compared_json(compared: Comparison | None) -> dict[str, Any] | None:
    """The curves of two blocks, as the page's script draws them."""
    if compared is None:
        return None
    return {
        "before": compared.before.label,
        "after": compared.after.label,
        "order": list(CURVES),
        "curves": {
            curve: {
                "name": CURVES[curve][0],
                "unit": CURVES[curve][1],
                "time": _numbers(clock_s()),
                "before": _curve(before),
                "after": _curve(after),
            }
            for curve, (before, after) in compared.curves.items()
            if before is not None or after is not None
        },
    }


def model_club(lesson_club: str | None, wanted: str | None) -> str:
    """Key of the generic club that stands for a lesson's club in the model of the swing."""
    known = clubs()
    if wanted in known:
        return str(wanted)
    plain = (lesson_club or "").strip().lower().replace(" ", "")
    for key, club in known.items():
        if plain in {key, club.name.lower().replace(" ", "")}:
            return key
    return "driver" if "driver" in known else next(iter(known))


def _curve(found: Aligned | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {
        "n": len(found.each),
        "mean": _numbers(found.mean),
        "low": _numbers(found.low),
        "high": _numbers(found.high),
    }


def _numbers(values: Any) -> list[float | None]:
    return [round(float(one), 3) if math.isfinite(one) else None for one in values[::EVERY]]
