"""Writes invented swings and jumps as C3D files and tables, for either hand."""

import numpy as np
from numpy.typing import NDArray

from leadfoot.ground.made_swing import MadeSwing
from leadfoot.ground.recording import Hand, Recording
from tests.ground.c3d_files import ORIGIN_MM, Made, written
from tests.ground.force_tables import table

Values = NDArray[np.float64]

MATRIX = np.eye(6) * [200.0, 180.0, 410.0, 90.0, 95.0, 70.0]
"""For type 4: what the channels are multiplied by."""


def swing_c3d(
    swing: MadeSwing,
    rate_hz: float,
    *,
    kind: int = 2,
    hand: Hand = "right",
    trigger: bool = True,
    recording: Recording | None = None,
    depth_sign: float = -1.0,
) -> bytes:
    """A swing on two plates, with a trigger that fires at the strike; target at +y, up +z.

    With `depth_sign` 1 the file says that the sensors lie above the surface, which is wrong.
    """
    recording = recording or swing.recording(rate_hz)
    plates = []
    for plate, middle in zip(recording.plates, (swing.lead_m, swing.trail_m), strict=True):
        force, place, twist = _in_laboratory(plate.force_n, plate.cop_m, plate.free_moment_nm, hand)
        plates.append(
            Made(
                force_n=force,
                place_mm=1000.0 * place,
                twist_nmm=1000.0 * twist,
                kind=kind,
                centre_mm=np.array([1000.0 * middle[0], 1000.0 * middle[1], 0.0]),
                matrix=MATRIX if kind == 4 else np.eye(6),
                written_origin_mm=(*ORIGIN_MM[kind][:2], -depth_sign * ORIGIN_MM[kind][2]),
            )
        )
    fires = np.where(recording.time_s >= swing.impact_s, 5.0, 0.0)
    return written(plates, rate_hz=rate_hz, extra={"trigger": fires} if trigger else None)


def swing_table(swing: MadeSwing, rate_hz: float) -> bytes:
    """The same as a table: time, and of each plate force, centre of pressure, free moment."""
    recording: Recording = swing.recording(rate_hz)
    columns = {"time (s)": recording.time_s}
    for plate in recording.plates:
        foot = plate.foot
        columns |= {
            f"{foot} Fx (N)": plate.force_n[:, 0],
            f"{foot} Fy (N)": plate.force_n[:, 1],
            f"{foot} Fz (N)": plate.force_n[:, 2],
            f"{foot} COPx (m)": plate.cop_m[:, 0],
            f"{foot} COPy (m)": plate.cop_m[:, 1],
            f"{foot} Tz (N·m)": plate.free_moment_nm,
        }
    return table(columns)


def jump_table(force_n: Values, rate_hz: float) -> bytes:
    """A jump on one plate as a table: time and vertical force."""
    return table({"time (s)": np.arange(len(force_n)) / rate_hz, "Fz (N)": force_n})


def _in_laboratory(
    force: Values, place: Values, twist: Values, hand: Hand
) -> tuple[Values, Values, Values]:
    """A left-hander does the same in a mirror: the ball lies at -x."""
    if hand == "right":
        return force, place, twist
    return force * [-1.0, 1.0, 1.0], place * [-1.0, 1.0], -twist
