"""Writes the example lesson: invented balls, typed the way a coach types them.

Run it with ``python examples/make_lesson.py``; it writes ``lesson.csv`` beside itself.
"""

import csv
import io
from pathlib import Path

import numpy as np

from leadfoot.desk.demo_studio.balls import hit_balls, read_balls
from leadfoot.desk.demo_studio.plan import Effect, Swing, levels
from leadfoot.shots.shot import Reading

BEFORE, WITH = "before", "block under lead foot"
BALLS = {BEFORE: 12, WITH: 14}
CHANGE = Effect(speed_mph=4.0)
HEAD = [
    "ball",
    "drill",
    "club",
    "club speed (mph)",
    "ball speed (mph)",
    "launch angle (deg)",
    "launch direction (deg)",
    "spin (rpm)",
    "carry (yd)",
    "offline (yd)",
]
COLUMNS = [
    "club_speed",
    "ball_speed",
    "launch_angle",
    "launch_direction",
    "spin_rate",
    "carry",
    "offline",
]
SIDED = {"launch_direction", "offline"}


def typed(key: str, reading: Reading | None) -> str:
    """One cell as a coach types it: right and left as letters, whole numbers for spin."""
    if reading is None:
        return ""
    if key in SIDED:
        side = "R" if reading.value > 0 else "L"
        return f"{abs(reading.value):.1f} {side}" if reading.value else "0"
    return f"{reading.value:.0f}" if key == "spin_rate" else f"{reading.value:.1f}"


def average(balls: list[dict[str, Reading]], key: str) -> str:
    """Average of a column, as the coach adds it up under each block."""
    values = [ball[key].value for ball in balls if key in ball]
    return typed(key, Reading(value=float(np.mean(values)), unit="deg"))


def lesson_csv(seed: int = 24) -> str:
    """The whole file as text."""
    rng = np.random.default_rng(seed)
    swing = Swing(speed_mph=88.0, attack_deg=-0.5, loft_deg=14.0, path_deg=-1.0, face_deg=0.5)
    spread = levels()["middle"]
    swings = [
        CHANGE.on(swing, spread) if block == WITH else (swing, spread)
        for block, n in BALLS.items()
        for _ in range(n)
    ]
    balls = hit_balls(swings, club_name="driver", hand="right", already_hit=10, rng=rng)
    readings = read_balls(balls, units="yards", rng=rng)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["Driver lesson, indoor bay, after ten balls of warm-up"])
    writer.writerow(["INVENTED example: no real student, no real ball, made by a flight model"])
    writer.writerow([])
    writer.writerow(HEAD)
    number = 0
    for block, n in BALLS.items():
        of_block = readings[number : number + n]
        for ball in of_block:
            number += 1
            cells = [typed(key, ball.get(key)) for key in COLUMNS]
            writer.writerow([number, block, "driver", *cells])
        writer.writerow(["average", "", "", *(average(of_block, key) for key in COLUMNS)])
    return out.getvalue()


if __name__ == "__main__":
    Path(__file__).with_name("lesson.csv").write_text(lesson_csv(), encoding="utf-8")
