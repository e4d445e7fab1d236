"""A window of traces as bytes for the page: its words as JSON, then the numbers as float32."""

import json
from typing import Any

from leadfoot.desk.recordings import Found
from leadfoot.desk.traces import TITLES, Window

KIND = "application/octet-stream"


def trace_bytes(found: Found, cut: Window) -> bytes:
    """Write a window: four bytes with the length of the words, the words, the rows.

    Numbers are little-endian and begin at a multiple of four, so that a browser reads them in
    place.
    """
    words = json.dumps(_words(found, cut), allow_nan=False).encode()
    words += b" " * (-len(words) % 4)
    return len(words).to_bytes(4, "little") + words + cut.rows.astype("<f4").tobytes()


def _words(found: Found, cut: Window) -> dict[str, Any]:
    recording, swing = found.recording, found.swing
    impact = None if swing is None else swing.impact
    return {
        "first": cut.first_s,
        "step": cut.step_s,
        "n": cut.rows.shape[1],
        "exact": cut.exact,
        "traces": [{"panel": one.panel, "key": one.key, "label": one.label} for one in cut.traces],
        "titles": {one.panel: TITLES[one.panel] for one in cut.traces},
        "whole": None
        if recording is None
        else [float(recording.time_s[0]), float(recording.time_s[-1])],
        "rate": None if recording is None else recording.rate_hz,
        "strike": None if impact is None else {"at": impact.time_s, "from": impact.source},
        "weight": None if swing is None else swing.weighing.weight_n,
        "marks": []
        if swing is None
        else [["first move", swing.phases.first_move_s], ["turn", swing.phases.turn_s]],
    }
