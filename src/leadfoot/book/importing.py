"""Brings the shots of a file into a lesson: all or none, and none of them twice.

A file may come again when it has grown (a table to which another program appends). It is taken for
the same table when an earlier file of the same name in the same lesson brought shots that are, all
of them and in order, its first ones: same row, same club, same values. Then only the further rows
are added. Anything less alike is a different table, and every row of it is added: a coach sees a
ball too many and can leave it out, but can't see one that was dropped in silence.
"""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import delete, exists, func, insert, select, update
from sqlalchemy.orm import Session

from leadfoot.book.columns import storable
from leadfoot.book.tables import BlockRow, RawFileRow, RecordingRow, ShotRow
from leadfoot.desk.records import NewShot, Role, Source
from leadfoot.errors import InputError

NewBlocks = Sequence[tuple[str, Role, Sequence[NewShot]]]
"""Label, role and shots of each block."""


def bring_in(session: Session, file: RawFileRow, blocks: NewBlocks, *, at: datetime) -> None:
    """Add the shots of a kept file to its lesson, and mark the file as imported.

    Parameters
    ----------
    session
        A writing session; nothing is committed here.
    file
        The kept file, not imported yet.
    blocks
        The blocks. Where every shot knows its row, rows are the hitting order over all blocks;
        else shots are taken in the order in which they stand.
    at
        Time of the import.
    """
    shots = _in_hitting_order(blocks)
    earlier, known = _earlier_state(session, file, [shot for _, shot in shots])
    homes = {index: row.block_id for (index, _), row in zip(shots, known, strict=False)}
    for index, (label, role, _) in enumerate(blocks):
        if index not in homes:
            homes[index] = _free_block(session, file.lesson_id, label, role, set(homes.values()))
    place = next_shot_place(session, file.lesson_id)
    new = [
        _row(file, homes[index], place + step, shot, at)
        for step, (index, shot) in enumerate(shots[len(known) :])
    ]
    if new:
        session.execute(insert(ShotRow), new)
    file.imported_at = at
    file.grew_from_id = earlier.id if earlier else None


def take_out(session: Session, file: RawFileRow) -> int:
    """Take out what a file brought, and mark it as not imported; give the number of shots.

    Blocks stay, empty, and are filled again by the next import of the same labels and roles. A
    force recording that was linked to one of the shots stays in its block, linked to none.

    Raises
    ------
    InputError
        If a later file grew from this one and is imported.
    """
    later = session.scalar(
        select(RawFileRow).where(
            RawFileRow.grew_from_id == file.id, RawFileRow.imported_at.is_not(None)
        )
    )
    if later is not None:
        raise InputError(
            f"A later state of {file.name!r} was imported on top of this one.",
            fix="Take the later one out first.",
        )
    shots = session.scalars(select(ShotRow.id).where(ShotRow.raw_file_id == file.id)).all()
    session.execute(
        update(RecordingRow)
        .where(RecordingRow.shot_id.in_(shots))
        .values(shot_id=None, linked_by=None)
    )
    session.execute(delete(ShotRow).where(ShotRow.raw_file_id == file.id))
    file.imported_at = None
    file.grew_from_id = None
    return len(shots)


def new_block(session: Session, lesson_id: int, label: str, role: Role) -> BlockRow:
    """Add a block after the last one of its lesson."""
    last = session.scalar(select(func.max(BlockRow.place)).where(BlockRow.lesson_id == lesson_id))
    row = BlockRow(lesson_id=lesson_id, place=(last or 0) + 1, label=label, role=role)
    session.add(row)
    session.flush()
    return row


def next_shot_place(session: Session, lesson_id: int) -> int:
    """Place of the next ball of a lesson, counted from 1."""
    last = session.scalar(select(func.max(ShotRow.place)).where(ShotRow.lesson_id == lesson_id))
    return (last or 0) + 1


def hit_now(
    session: Session, block: BlockRow, shot: NewShot, source: Source, at: datetime
) -> ShotRow:
    """A ball that was just hit as a row, after the last one of its lesson."""
    return ShotRow(
        lesson_id=block.lesson_id,
        block_id=block.id,
        place=next_shot_place(session, block.lesson_id),
        club=shot.club,
        readings=shot.values,
        source=source,
        raw_file_id=None,
        file_row=None if shot.row is None else int(shot.row),
        left_out_reason=None,
        hit_at=at,
    )


def _in_hitting_order(blocks: NewBlocks) -> list[tuple[int, NewShot]]:
    """Every shot with the number of its block, in the order in which the balls were hit."""
    shots = [(index, shot) for index, (_, _, run) in enumerate(blocks) for shot in run]
    if any(shot.row is None for _, shot in shots):
        return shots
    return sorted(shots, key=lambda pair: pair[1].row or 0)


def _earlier_state(
    session: Session, file: RawFileRow, shots: Sequence[NewShot]
) -> tuple[RawFileRow | None, Sequence[ShotRow]]:
    """Find the file from which this one grew, newest first, and the shots that came with it."""
    candidates = session.scalars(
        select(RawFileRow)
        .where(
            RawFileRow.lesson_id == file.lesson_id,
            RawFileRow.name == file.name,
            RawFileRow.imported_at.is_not(None),
        )
        .order_by(RawFileRow.id.desc())
    )
    for candidate in candidates:
        known = _shots_up_to(session, candidate)
        if 0 < len(known) <= len(shots) and all(map(_same, known, shots)):
            return candidate, known
    return None, ()


def _shots_up_to(session: Session, file: RawFileRow) -> Sequence[ShotRow]:
    """Shots that a file brought, together with those of the states from which it had grown."""
    states = (
        select(RawFileRow.id, RawFileRow.grew_from_id)
        .where(RawFileRow.id == file.id)
        .cte("states", recursive=True)
    )
    states = states.union_all(
        select(RawFileRow.id, RawFileRow.grew_from_id).join(
            states, RawFileRow.id == states.c.grew_from_id
        )
    )
    return session.scalars(
        select(ShotRow)
        .where(ShotRow.raw_file_id.in_(select(states.c.id)))
        .order_by(ShotRow.file_row, ShotRow.place)
    ).all()


def _same(known: ShotRow, shot: NewShot) -> bool:
    club = None if shot.club is None else storable(shot.club)
    return (
        shot.row is not None
        and (known.file_row, known.club) == (shot.row, club)
        and dict(known.readings) == dict(shot.values)
    )


def _free_block(session: Session, lesson_id: int, label: str, role: Role, taken: set[int]) -> int:
    """A block that was set up beforehand and has no shot yet, else a new one."""
    waiting = session.scalars(
        select(BlockRow.id)
        .where(
            BlockRow.lesson_id == lesson_id,
            BlockRow.label == label,
            BlockRow.role == role,
            ~exists().where(ShotRow.block_id == BlockRow.id),
        )
        .order_by(BlockRow.place)
    )
    for block_id in waiting:
        if block_id not in taken:
            return block_id
    return new_block(session, lesson_id, label, role).id


def _row(
    file: RawFileRow, block_id: int, place: int, shot: NewShot, at: datetime
) -> dict[str, Any]:
    return {
        "lesson_id": file.lesson_id,
        "block_id": block_id,
        "place": place,
        "club": shot.club,
        "readings": shot.values,
        "source": "file",
        "raw_file_id": file.id,
        "file_row": None if shot.row is None else int(shot.row),
        "left_out_reason": None,
        "hit_at": at,
    }
