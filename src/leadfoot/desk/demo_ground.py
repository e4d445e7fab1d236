"""Force recordings and jumps of the demo studio: invented, and every file says so."""

import json
from dataclasses import replace
from datetime import date, datetime, time, timedelta, tzinfo
from io import StringIO

import numpy as np

from leadfoot.desk.force_words import Said
from leadfoot.desk.jumps import typed_json
from leadfoot.desk.ports import Book
from leadfoot.desk.records import Hand, StoredShot
from leadfoot.ground.choices import Choices
from leadfoot.ground.height_only import by_flight_time
from leadfoot.ground.made_swing import MadeSwing, usual_swing
from leadfoot.ground.recording import Recording
from leadfoot.ground.screening import QUESTIONS

RATE_HZ = 500.0
MOST_BALLS = 8
"""Balls of each block that were hit on the plates."""
BLOCK_PUSH = 1.1
"""How much larger the push is with the change, and ..."""
PUSH_SPREAD = 0.03
"""... how much it varies from ball to ball; what is faster than usual was pushed harder."""
FLIGHTS_MS = ((118, 486), (88, 489), (60, 497), (25, 512), (0, 519))
"""Days ago and mean time in the air of the invented jump tests."""
TRY_MS = 6.0
FIRST_ROW = "# Invented by the program: nobody stood on these plates."


def record_swings(
    book: Book, lesson_id: int, *, hand: Hand, rng: np.random.Generator, zone: tzinfo
) -> int:
    """Put invented recordings beside the balls of a lesson, linked by order; give their number.

    Parameters
    ----------
    book, lesson_id
        A lesson with balls before and with the change.
    hand
        Of the student.
    rng
        Where chance comes from.
    zone
        Zone of the times.
    """
    lesson = book.lesson(lesson_id)
    at = datetime.combine(lesson.held_on, time(hour=9), tzinfo=zone)
    said = Said(
        choices=Choices(
            hand=hand, feet=("lead", "trail"), target="+y", scale_n=usual_swing().weight_n
        ),
        stature_m=1.78,
    )
    n = 0
    for block in book.blocks(lesson_id):
        shots = [shot for shot in book.shots(lesson_id) if shot.block_id == block.id]
        if block.role == "other":
            continue
        usual = BLOCK_PUSH if block.role == "with_change" else 1.0
        for shot, push in zip(shots[:MOST_BALLS], _pushes(shots, usual, rng), strict=False):
            n += 1
            swing = _pushed(usual_swing(), push, rng).recording(RATE_HZ, rng=rng, noise_n=1.2)
            file = book.keep_file(
                lesson_id, name=f"plates-{n:02d}.csv", data=_table(swing, hand), at=at
            )
            kept = book.add_recording(
                file.id, block_id=block.id, choices_json=said.to_json(), at=at
            )
            book.link_recording(kept.id, shot.id, "order")
            book.set_strike(kept.id, float(_strike_s(swing)), "launch monitor")
    return n


def record_jumps(
    book: Book, student_id: int, *, today: date, rng: np.random.Generator, zone: tzinfo
) -> int:
    """Put invented jumps of some months into the book, each day asked first; give their number."""
    answers = {question.key: False for question in QUESTIONS}
    n = 0
    for days_ago, flight_ms in FLIGHTS_MS:
        day = today - timedelta(days=days_ago)
        at = datetime.combine(day, time(hour=7, minute=45), tzinfo=zone)
        book.add_screening(student_id, on_day=day, junior=False, answers=answers, at=at)
        for _ in range(3):
            jump = by_flight_time((flight_ms + rng.normal(0.0, TRY_MS)) / 1000.0)
            book.add_jump(
                student_id,
                done_on=day,
                kind="flight time",
                height_m=jump.height_m,
                values_json=json.dumps(typed_json(jump), sort_keys=True),
                jump_file_id=None,
                at=at,
            )
            n += 1
    return n


def _strike_s(swing: Recording) -> float:
    """The made swing's strike, on the clock of the table, which begins at its first sample."""
    return usual_swing().impact_s - swing.start_s


def _pushes(shots: list[StoredShot], usual: float, rng: np.random.Generator) -> list[float]:
    """How hard each ball is pushed: harder where the club was faster."""
    speeds = np.array(
        [shot.values["club_speed"].si if "club_speed" in shot.values else np.nan for shot in shots]
    )
    off = np.nan_to_num((speeds - np.nanmean(speeds)) / max(float(np.nanstd(speeds)), 1e-9))
    size = PUSH_SPREAD * (0.7 * off + 0.7 * rng.standard_normal(len(shots)))
    return [float(usual * (1.0 + one)) for one in size]


def _pushed(swing: MadeSwing, push: float, rng: np.random.Generator) -> MadeSwing:
    """The same swing with a larger lift and turn of the body."""
    return replace(
        swing,
        along_z=tuple(replace(step, size=push * step.size) for step in swing.along_z),
        turn_z=tuple(replace(step, size=push * step.size) for step in swing.turn_z),
        along_y=tuple(
            replace(step, size=(1.0 + 0.04 * rng.standard_normal()) * step.size)
            for step in swing.along_y
        ),
    )


def _table(swing: Recording, hand: Hand) -> bytes:
    """The recording as a table of its laboratory, where a left-hander stands in a mirror."""
    side = -1.0 if hand == "left" else 1.0
    names = ["time (s)"]
    columns = [np.arange(len(swing)) / swing.rate_hz]
    for number, plate in enumerate(swing.plates, start=1):
        names += [
            f"Fx{number} (N)",
            f"Fy{number} (N)",
            f"Fz{number} (N)",
            f"COPx{number} (m)",
            f"COPy{number} (m)",
            f"Tz{number} (N·m)",
        ]
        columns += [
            side * plate.force_n[:, 0],
            plate.force_n[:, 1],
            plate.force_n[:, 2],
            side * plate.cop_m[:, 0],
            plate.cop_m[:, 1],
            side * plate.free_moment_nm,
        ]
    out = StringIO()
    out.write(f"{FIRST_ROW}\n{','.join(names)}\n")
    np.savetxt(out, np.column_stack(columns), fmt="%.4f", delimiter=",")
    return out.getvalue().encode("utf-8")
