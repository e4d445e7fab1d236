"""Which recording belongs to which ball: by time, by order, by hand, and saying which."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from leadfoot.desk.desk import Desk
from leadfoot.desk.records import StoredRecording, StoredShot
from leadfoot.errors import InputError

NEAR_S: Final = 20.0
"""A recording and a ball that come in within so long of each other belong together, where nothing
else is near (own choice: players hit a ball every 20 s or slower). [s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkReport:
    """What was linked, and in words what was not and why."""

    n_linked: int
    left: tuple[str, ...]


def link_by_hand(desk: Desk, recording_id: int, shot_id: int | None) -> StoredRecording:
    """Link a recording to a ball of its lesson, or take its link away.

    Raises
    ------
    InputError
        If the ball belongs to another lesson, or has a recording already.
    """
    return desk.book.link_recording(recording_id, shot_id, None if shot_id is None else "hand")


def link_by_order(desk: Desk, lesson_id: int) -> LinkReport:
    """Link the recordings of each block to its balls in order, where there are as many.

    A link that is there stays. Where the numbers differ nothing is guessed: which ball was not
    recorded only the coach knows.
    """
    recordings, shots = _free(desk, lesson_id)
    n_linked, left = 0, []
    for block in desk.book.blocks(lesson_id):
        mine = [one for one in recordings if one.block_id == block.id]
        balls = [shot for shot in shots if shot.block_id == block.id]
        if not mine:
            continue
        if len(mine) != len(balls):
            left.append(
                f"Block {block.label!r} has {len(mine)} recordings and {len(balls)} balls without "
                "one: link them by hand."
            )
            continue
        for recording, shot in zip(mine, balls, strict=True):
            desk.book.link_recording(recording.id, shot.id, "order")
        n_linked += len(mine)
    left += [f"Recording {one.place} is in no block." for one in recordings if one.block_id is None]
    return LinkReport(n_linked=n_linked, left=tuple(left))


def link_by_time(desk: Desk, lesson_id: int, *, near_s: float = NEAR_S) -> LinkReport:
    """Link each recording to the ball that came in at its time, where one alone is near.

    Balls of one table all came in at one time, and say nothing.
    """
    recordings, shots = _free(desk, lesson_id)
    n_linked, left = 0, []
    for recording in recordings:
        near = [shot for shot in shots if _apart_s(recording, shot) <= near_s]
        also = [
            other
            for other in recordings
            if other is not recording and any(_apart_s(other, shot) <= near_s for shot in near)
        ]
        if len(near) == 1 and not also:
            desk.book.link_recording(recording.id, near[0].id, "time")
            n_linked += 1
        else:
            why = "no ball" if not near else "more than one ball or recording"
            left.append(f"Recording {recording.place}: {why} within {near_s:g} s of it.")
    return LinkReport(n_linked=n_linked, left=tuple(left))


def shot_in(shots: Sequence[StoredShot], shot_id: int | None) -> StoredShot | None:
    """The ball with a number, None where there is none."""
    return next((shot for shot in shots if shot.id == shot_id), None)


def _apart_s(recording: StoredRecording, shot: StoredShot) -> float:
    return abs((recording.received_at - shot.hit_at).total_seconds())


def _free(desk: Desk, lesson_id: int) -> tuple[list[StoredRecording], list[StoredShot]]:
    """Recordings and balls of a lesson that are not linked yet.

    Raises
    ------
    InputError
        If there are no recordings, or no balls, to link.
    """
    every = desk.book.recordings(lesson_id)
    taken = {one.shot_id for one in every}
    recordings = [one for one in every if one.shot_id is None]
    shots = [shot for shot in desk.book.shots(lesson_id) if shot.id not in taken]
    if not recordings or not shots:
        what = "recording" if not recordings else "ball"
        raise InputError(
            f"There is no {what} without a link.",
            fix=f"Give this lesson its {what}s first, or change the links by hand.",
        )
    return recordings, shots
