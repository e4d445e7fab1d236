"""The figures of ``ground.md`` and ``jump.md``: ``python -m docs.explain.ground_pictures``."""

from pathlib import Path

import numpy as np
from matplotlib.figure import Figure

from docs.explain.chart import chart, name
from leadfoot.figures.ground import jump_picture, swing_picture
from leadfoot.figures.look import DAY
from leadfoot.figures.picture import Picture
from leadfoot.ground.jump import jump_of
from leadfoot.ground.made_jump import MadeJump
from leadfoot.ground.made_swing import usual_swing
from leadfoot.ground.phases import Impact
from leadfoot.ground.smoothing import low_pass
from leadfoot.ground.swing import swing_of

HERE = Path(__file__).parent
RATE_HZ = 1000.0
JUMP = MadeJump()
FORCE_N = JUMP.force_n(RATE_HZ, rng=np.random.default_rng(1), noise_n=1.5)


def _swing() -> Picture:
    made = usual_swing()
    recording = made.recording(RATE_HZ, rng=np.random.default_rng(1), noise_n=1.5)
    strike = Impact(time_s=made.impact_s, source="trigger channel")
    return swing_picture(swing_of(recording, strike, stature_m=1.80))


def _drift(figure: Figure) -> None:
    axes = chart(
        figure,
        across="seconds since the quiet address",
        up="place off by, mm",
        title="What a wrong force does to the centre of mass, 80 kg",
    )
    time_s = np.linspace(0.0, 3.0, 61)
    for force_n, style in ((1.0, "solid"), (2.0, "dashed"), (5.0, "dotted")):
        off_mm = 1000.0 * force_n / 80.0 * time_s**2 / 2.0
        axes.plot(time_s, off_mm, color=DAY.after, lw=1.4, linestyle=style)
        at = min(3.0, float(np.sqrt(2.0 * 80.0 * 0.11 / force_n)))
        name(axes, at, min(110.0, float(off_mm[-1])) + 2.0, f"{force_n:g} N", color=DAY.ink)
    axes.set_xlim(0.0, 3.3)
    axes.set_ylim(0.0, 120.0)


def _smoothed(figure: Figure) -> None:
    axes = chart(
        figure,
        across="low-pass before the jump is measured, Hz",
        up="height, cm",
        title="The same invented jump, smoothed first",
    )
    cut_offs_hz = np.array([10.0, 15.0, 20.0, 26.6, 35.0, 50.0, 75.0, 100.0])
    heights = [jump_of(low_pass(FORCE_N, RATE_HZ, float(hz)), RATE_HZ) for hz in cut_offs_hz]
    impulse_cm = [100.0 * one.height_m for one in heights]
    flight_cm = [100.0 * one.height_by_flight_m for one in heights]
    axes.plot(cut_offs_hz, impulse_cm, "o-", color=DAY.after, lw=1.2)
    axes.plot(cut_offs_hz, flight_cm, "o--", color=DAY.before, lw=1.2, markerfacecolor="none")
    axes.axhline(100.0 * JUMP.height_m, color=DAY.target, lw=1.0)
    name(axes, 101.0, 100.0 * JUMP.height_m + 0.1, "truth", color=DAY.target)
    name(axes, 22.0, impulse_cm[1] - 0.1, "solid: by impulse", color=DAY.after)
    name(axes, 22.0, impulse_cm[1] - 0.7, "dashed: by flight", color=DAY.before)
    axes.set_xlim(8.0, 110.0)


PICTURES = {
    "ground_swing": _swing(),
    "ground_drift": Picture(
        alt="Error of the centre of mass by time for a force that is off by 1, 2 and 5 N: it grows "
        "with the square of the time, to 56 mm after three seconds for 1 N.",
        width_mm=150.0,
        height_mm=70.0,
        look=DAY,
        paint=_drift,
    ),
    "jump_force": jump_picture(FORCE_N, jump_of(FORCE_N, RATE_HZ)),
    "jump_smoothed": Picture(
        alt="Height of one jump by impulse and by flight after smoothing at 10 to 100 Hz: the "
        "lower the cut-off, the further both are from the truth.",
        width_mm=150.0,
        height_mm=70.0,
        look=DAY,
        paint=_smoothed,
    ),
}

if __name__ == "__main__":
    for key, picture in PICTURES.items():
        (HERE / f"{key}.svg").write_bytes(picture.svg())
