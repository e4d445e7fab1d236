"""Invented lessons with force recordings, for the tests of desk and pages."""

from dataclasses import dataclass, replace

import numpy as np

from leadfoot.desk import lesson as deeds
from leadfoot.desk import recordings
from leadfoot.desk.desk import Desk
from leadfoot.desk.records import Block, NewShot, StoredRecording, StoredShot
from leadfoot.ground.made_jump import MadeJump
from leadfoot.ground.made_swing import MadeSwing, usual_swing
from leadfoot.shots.shot import Reading
from tests.ground.synthetic import jump_table, swing_c3d

N_EACH = 3


@dataclass(frozen=True)
class OnPlates:
    """A lesson with two blocks of balls and their recordings, not linked yet."""

    lesson_id: int
    student_id: int
    blocks: tuple[Block, Block]
    shots: tuple[StoredShot, ...]
    recordings: tuple[StoredRecording, ...]


def made(number: int) -> MadeSwing:
    """The usual swing, each one of another length, so that no two files are the same."""
    swing = usual_swing()
    return replace(swing, lasts_s=swing.lasts_s + 0.01 * number)


def swing_file(number: int = 0, *, rate_hz: float = 500.0, trigger: bool = True) -> bytes:
    return swing_c3d(made(number), rate_hz, trigger=trigger)


def jump_file(number: int = 0) -> bytes:
    rng = np.random.default_rng(number)
    force_n = MadeJump().force_n(1000.0)
    return jump_table(force_n + rng.normal(0.0, 0.4, len(force_n)), 1000.0)


def ball(speed_mps: float) -> NewShot:
    return NewShot(
        club="driver", values={"club_speed": Reading(value=speed_mps / 0.44704, unit="mph")}
    )


def on_plates(desk: Desk, *, n_each: int = N_EACH, name: str = "Ada Nowhere") -> OnPlates:
    student = desk.book.add_student(
        name=name, hand="right", goals="", cautions="", invented=True, at=desk.clock()
    )
    lesson = deeds.add_lesson(
        desk, student.id, title="On plates", change="push the lead foot", club="driver"
    )
    first = desk.book.add_block(lesson.id, label="before", role="before")
    second = desk.book.add_block(lesson.id, label="with the push", role="with_change")
    shots: list[StoredShot] = []
    kept: list[StoredRecording] = []
    for place, block in enumerate((first, second)):
        for number in range(n_each):
            shots.append(
                desk.book.add_shot(block.id, ball(42.0 + place + 0.1 * number), at=desk.clock())
            )
            data = swing_file(place * n_each + number)
            kept.append(
                recordings.receive(
                    desk, lesson.id, name=f"swing-{len(kept) + 1}.c3d", data=data, block_id=block.id
                )
            )
    if kept:
        recordings.confirm_weight(desk, kept[0].id)
    return OnPlates(
        lesson_id=lesson.id,
        student_id=student.id,
        blocks=(first, second),
        shots=tuple(shots),
        recordings=tuple(kept),
    )
