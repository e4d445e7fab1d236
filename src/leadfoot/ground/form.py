"""A reading of forces as JSON, in the form that scripts may rely on."""

import math
from typing import Any

import numpy as np

from leadfoot.ground.quiet import quiet_stance
from leadfoot.ground.recording import Plate, Recording, Remark
from leadfoot.ground.table import ForceReading
from leadfoot.ground.weight_basis import WeightBasis, basis_of

SCHEMA = "leadfoot.ground/1"
"""Name and version of the form."""


def reading_json(reading: ForceReading) -> dict[str, Any]:
    r"""Give what was found of a force recording as plain dictionaries and lists.

    Parameters
    ----------
    reading
        From ``read_recording``.

    Examples
    --------
    >>> from leadfoot.ground.read import read_recording
    >>> form = reading_json(read_recording("\n".join(["Fz", *["800"] * 20]).encode()))
    >>> form["schema"], form["recording"], len(form["questions"])
    ('leadfoot.ground/1', None, 1)
    """
    recording = reading.recording
    return {
        "schema": SCHEMA,
        "source": reading.source,
        "recording": None if recording is None else _recording(recording),
        "columns": [
            {
                "header": column.header,
                "quantity": column.quantity,
                "plate": column.plate,
                "unit": column.unit,
                "reason": column.reason,
                "sure": column.sure,
            }
            for column in reading.columns
        ],
        "questions": list(reading.questions),
        "remarks": [] if recording is None else [_remark(one) for one in recording.remarks],
        "problems": [
            {
                "row": problem.row,
                "column": problem.column,
                "text": problem.text,
                "reason": problem.reason,
            }
            for problem in reading.problems
        ],
    }


def _recording(recording: Recording) -> dict[str, Any]:
    quiet = quiet_stance(recording.vertical_n, recording.rate_hz)
    source = recording.source
    return {
        "rate": {"value": recording.rate_hz, "unit": "Hz", "reason": source.rate_reason},
        "samples": len(recording),
        "start": {"value": recording.start_s, "unit": "s"},
        "duration": {"value": len(recording) / recording.rate_hz, "unit": "s"},
        "hand": recording.hand,
        "sees": recording.sees,
        "units": {
            "force": source.force_unit,
            "length": source.length_unit,
            "moment": source.moment_unit,
            "reason": source.unit_reason,
        },
        "sign": {"value": source.sign, "reason": source.sign_reason},
        "frame": source.turned,
        "threshold": {"value": round(source.threshold_n, 3), "unit": "N"},
        "quiet_stance": None
        if quiet is None
        else {
            "from": {"value": float(recording.time_s[quiet.first]), "unit": "s"},
            "to": {"value": float(recording.time_s[quiet.last - 1]), "unit": "s"},
            "weight": {"value": round(quiet.weight_n, 3), "unit": "N"},
            "spread": {"value": round(quiet.spread_n, 3), "unit": "N"},
        },
        "weight": None
        if quiet is None
        else basis_json(basis_of(quiet.weight_n, recording.known_weight)),
        "trigger": recording.trigger_name,
        "marks": [
            {"label": mark.label, "time": {"value": mark.time_s, "unit": "s"}}
            for mark in recording.marks
        ],
        "plates": [_plate(plate) for plate in recording.plates],
    }


def basis_json(basis: WeightBasis) -> dict[str, Any]:
    """What a weight rests on, as plain values.

    Examples
    --------
    >>> basis_json(WeightBasis(weight_n=784.532, rests_on="file"))["rests_on"]
    'file'
    """
    return {
        "value": round(basis.weight_n, 3),
        "unit": "N",
        "rests_on": basis.rests_on,
        "confirmed": basis.is_known,
        "said": basis.said,
    }


def _plate(plate: Plate) -> dict[str, Any]:
    return {
        "name": plate.name,
        "foot": plate.foot,
        "sees": plate.sees,
        "greatest_vertical": _number(float(np.nanmax(plate.vertical_n, initial=-math.inf)), "N"),
        "corners": None if plate.corners_m is None else np.round(plate.corners_m, 6).tolist(),
    }


def _number(value: float, unit: str) -> dict[str, Any] | None:
    return {"value": round(value, 3), "unit": unit} if math.isfinite(value) else None


def _remark(remark: Remark) -> dict[str, Any]:
    return {
        "kind": remark.kind,
        "weight": remark.weight,
        "plate": remark.plate,
        "text": remark.text,
        "fix": remark.fix,
    }
