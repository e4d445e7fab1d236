"""Writes ``plates.csv``: one invented swing on two force plates, as a table of channels.

Run it with ``python examples/make_plates.py``; it writes ``plates.csv`` beside itself.
"""

from pathlib import Path

import numpy as np

from leadfoot.ground.made_swing import usual_swing

RATE_HZ = 250.0
TITLE = "INVENTED: nobody swung here; the numbers follow from a made-up motion and Newton's laws"
NAMES = ("Fx [N]", "Fy [N]", "Fz [N]", "COPx [mm]", "COPy [mm]", "Tz [N m]")


def plates_csv() -> str:
    """Give the file as text: noise of a good plate, left foot first, a right-hander."""
    recording = usual_swing().recording(RATE_HZ, rng=np.random.default_rng(7), noise_n=0.5)
    columns = [recording.time_s - recording.time_s[0]]
    headers = ["time [s]"]
    for side, plate in zip(("left", "right"), recording.plates, strict=True):
        headers += [f"{side} {name}" for name in NAMES]
        columns += [*plate.force_n.T, *(1000.0 * plate.cop_m.T), plate.free_moment_nm]
    lines = [TITLE, f"Sampling rate,{RATE_HZ:g}", "", ",".join(headers)]
    lines += [
        f"{row[0]:.3f}," + ",".join(f"{value:.1f}" for value in row[1:])
        for row in np.column_stack(columns)
    ]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    (Path(__file__).parent / "plates.csv").write_text(plates_csv(), encoding="utf-8")
