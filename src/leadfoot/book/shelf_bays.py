"""Bays of the client book in SQL, and what arrives from them: each shot once."""

import json
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import cast

from sqlalchemy import select
from sqlalchemy.orm import Session

from leadfoot.book.columns import storable
from leadfoot.book.importing import hit_now, new_block
from leadfoot.book.rows import shot_from
from leadfoot.book.tables import ArrivalRow, BayRow, BlockRow, LessonRow, ShotRow, WatchedFileRow
from leadfoot.book.transactions import Transactions, done_again, found, kept
from leadfoot.desk.bay_records import Arrival, Bay, WatchedFile
from leadfoot.desk.records import NewShot, Role, StoredShot
from leadfoot.errors import InputError


class BayShelf(Transactions):
    """Bays and arrivals; see `leadfoot.desk.bay_port.BayBook` for the promises."""

    def bays(self) -> tuple[Bay, ...]:
        """All bays by name, those withdrawn among them."""
        with self.reading() as session:
            found_bays = [_bay_from(row) for row in session.scalars(select(BayRow))]
        return tuple(sorted(found_bays, key=lambda bay: bay.name))

    def bay(self, bay_id: int) -> Bay:
        """One bay."""
        with self.reading() as session:
            return _bay_from(found(session, BayRow, bay_id, "bay"))

    def add_bay(self, *, name: str, token_digest: str, at: datetime) -> Bay:
        """Add a bay; the name of a withdrawn one brings that one back, with the new token.

        Raises
        ------
        InputError
            If a bay of this name is in use.
        """
        with self.writing() as session:
            there = session.scalar(select(BayRow).where(BayRow.name == storable(name)))
            if there is None:
                there = BayRow(name=name, token_digest=token_digest, added_at=at)
            elif there.withdrawn_at is None:
                raise InputError(
                    f"There is a bay {name!r} already.",
                    fix="Choose another name, or withdraw that one first.",
                )
            there.token_digest, there.withdrawn_at, there.lesson_id = token_digest, None, None
            return _bay_from(self.added(session, there, None))

    def withdraw_bay(self, bay_id: int, *, at: datetime) -> Bay:
        """Let a bay send nothing more; what it has sent stays."""
        with self.writing() as session:
            row = found(session, BayRow, bay_id, "bay")
            left = row.lesson_id
            row.withdrawn_at, row.lesson_id = row.withdrawn_at or at, None
            self._tell(session, left)
            return _bay_from(kept(session, row))

    def point_bay(self, bay_id: int, lesson_id: int | None) -> Bay:
        """Say for which lesson a bay hits, or that it hits for none.

        Raises
        ------
        InputError
            If the bay was withdrawn.
        """
        with self.writing() as session:
            row = _in_use(found(session, BayRow, bay_id, "bay"))
            if lesson_id is not None:
                found(session, LessonRow, lesson_id, "lesson")
            left, row.lesson_id = row.lesson_id, lesson_id
            self._tell(session, left, lesson_id)
            return _bay_from(kept(session, row))

    @done_again(keyed=True)
    def arrive(
        self, bay_id: int, key: str, shot: NewShot, *, first_block: tuple[str, Role], at: datetime
    ) -> Arrival:
        """Put a shot into the running block of the bay's lesson, once for each key.

        Raises
        ------
        InputError
            If the bay was withdrawn, hits for no lesson, or sent this key with other values.
        """
        with self.writing() as session:
            bay = _in_use(found(session, BayRow, bay_id, "bay"))
            came = session.scalar(
                select(ArrivalRow).where(
                    ArrivalRow.bay_id == bay.id, ArrivalRow.key == storable(key)
                )
            )
            if came is not None and came.shot_id is not None:
                return _again(session, came, shot)
            row = _live_shot(session, bay, shot, first_block, at)
            session.add(row)
            session.flush()
            if came is None:
                session.add(ArrivalRow(bay_id=bay.id, key=key, shot_id=row.id, arrived_at=at))
            else:
                came.shot_id, came.arrived_at = row.id, at
            self.note_change(session, row.lesson_id)
            return _arrival(session, key, kept(session, row), is_new=True)

    def note_past(self, bay_id: int, keys: Sequence[str], *, at: datetime) -> None:
        """Note keys of balls hit before anyone watched: they have come, and are in no lesson."""
        with self.writing() as session:
            found(session, BayRow, bay_id, "bay")
            known = set(session.scalars(select(ArrivalRow.key).where(ArrivalRow.bay_id == bay_id)))
            session.add_all(
                ArrivalRow(bay_id=bay_id, key=key, shot_id=None, arrived_at=at)
                for key in dict.fromkeys(map(storable, keys))
                if key not in known
            )

    def arrived(self, bay_id: int) -> Mapping[str, int | None]:
        """Key of all that came from a bay to its shot; None for balls from before."""
        query = select(ArrivalRow.key, ArrivalRow.shot_id).where(ArrivalRow.bay_id == bay_id)
        with self.reading() as session:
            found(session, BayRow, bay_id, "bay")
            return {row.key: row.shot_id for row in session.execute(query)}

    def move_shot(self, shot_id: int, block_id: int) -> StoredShot:
        """Put a shot into another block of its lesson; its place in the order stays.

        Raises
        ------
        InputError
            If the block belongs to another lesson.
        """
        with self.writing() as session:
            row = found(session, ShotRow, shot_id, "shot")
            block = found(session, BlockRow, block_id, "block")
            if block.lesson_id != row.lesson_id:
                raise InputError(
                    f"Block {block_id} belongs to another lesson than shot {shot_id}.",
                    fix="Choose a block of the same lesson.",
                )
            row.block_id = block.id
            self.note_change(session, row.lesson_id)
            return shot_from(kept(session, row))

    def watched_files(self, bay_id: int) -> tuple[WatchedFile, ...]:
        """Files that a bay watches, as they were last seen."""
        query = select(WatchedFileRow).where(WatchedFileRow.bay_id == bay_id)
        with self.reading() as session:
            found(session, BayRow, bay_id, "bay")
            return tuple(
                WatchedFile(
                    name=row.name,
                    device=row.device,
                    identity=row.identity,
                    rows=tuple(json.loads(row.rows_json)),
                )
                for row in session.scalars(query.order_by(WatchedFileRow.id))
            )

    def keep_watched(self, bay_id: int, file: WatchedFile) -> None:
        """Keep how a file was seen; the same identity replaces what was kept of it."""
        with self.writing() as session:
            found(session, BayRow, bay_id, "bay")
            row = session.scalar(
                select(WatchedFileRow).where(
                    WatchedFileRow.bay_id == bay_id,
                    WatchedFileRow.identity == storable(file.identity),
                )
            ) or WatchedFileRow(bay_id=bay_id, identity=file.identity)
            row.name, row.device, row.rows_json = file.name, file.device, json.dumps(file.rows)
            session.add(row)

    def _tell(self, session: Session, *lesson_ids: int | None) -> None:
        """Note a change of the bays, and of each lesson that they hit for."""
        self.note_change(session, None)
        for lesson_id in lesson_ids:
            if lesson_id is not None:
                self.note_change(session, lesson_id)


def _bay_from(row: BayRow) -> Bay:
    return Bay(
        id=row.id,
        name=row.name,
        token_digest=row.token_digest,
        lesson_id=row.lesson_id,
        added_at=row.added_at,
        withdrawn_at=row.withdrawn_at,
    )


def _in_use(row: BayRow) -> BayRow:
    if row.withdrawn_at is not None:
        raise InputError(
            f"Bay {row.name!r} was withdrawn.", fix="Add it again; it gets a new token."
        )
    return row


def _live_shot(
    session: Session, bay: BayRow, shot: NewShot, first_block: tuple[str, Role], at: datetime
) -> ShotRow:
    """The shot as a row of the running block."""
    if bay.lesson_id is None:
        raise InputError(
            f"Bay {bay.name!r} hits for no lesson.",
            fix="Choose its lesson on the page of the bays, then send the shot again.",
        )
    running = session.scalar(
        select(BlockRow)
        .where(BlockRow.lesson_id == bay.lesson_id)
        .order_by(BlockRow.place.desc())
        .limit(1)
    )
    block = running or new_block(session, bay.lesson_id, *first_block)
    return hit_now(session, block, shot, "live", at)


def _again(session: Session, came: ArrivalRow, shot: NewShot) -> Arrival:
    """The shot that a key brought before; the same key may not bring another ball."""
    row = found(session, ShotRow, came.shot_id or 0, "shot")
    if dict(row.readings) != dict(shot.values):
        raise InputError(
            f"The key {came.key!r} came before with other values (ball {row.place}).",
            fix="Give each ball a key of its own; the same key only to send the same ball again.",
        )
    return _arrival(session, came.key, row, is_new=False)


def _arrival(session: Session, key: str, row: ShotRow, *, is_new: bool) -> Arrival:
    block = found(session, BlockRow, row.block_id, "block")
    return Arrival(key=key, shot=shot_from(row), role=cast("Role", block.role), is_new=is_new)
