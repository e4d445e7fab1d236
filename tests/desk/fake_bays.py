"""Bays of the client book in memory, behind the port."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from leadfoot.desk.bay_records import Arrival, Bay, WatchedFile
from leadfoot.desk.records import Block, NewShot, Role, StoredShot
from leadfoot.errors import InputError
from tests.desk.fake_ground import FakeGround, found


@dataclass(kw_only=True)
class FakeBays(FakeGround):
    """Keeps bays, arrivals and watched files in dictionaries."""

    all_bays: dict[int, Bay] = field(default_factory=dict)
    all_arrivals: dict[tuple[int, str], int | None] = field(default_factory=dict)
    all_watched: dict[tuple[int, str], WatchedFile] = field(default_factory=dict)
    all_shots: dict[int, StoredShot] = field(default_factory=dict)

    def blocks(self, lesson_id: int) -> tuple[Block, ...]:
        raise NotImplementedError

    def add_block(self, lesson_id: int, *, label: str, role: Role) -> Block:
        raise NotImplementedError

    def add_shot(self, block_id: int, shot: NewShot, *, at: datetime) -> StoredShot:
        raise NotImplementedError

    def bays(self) -> tuple[Bay, ...]:
        return tuple(sorted(self.all_bays.values(), key=lambda bay: bay.name))

    def bay(self, bay_id: int) -> Bay:
        return found(self.all_bays, "bay", bay_id)

    def add_bay(self, *, name: str, token_digest: str, at: datetime) -> Bay:
        for there in self.all_bays.values():
            if there.name == name:
                if there.withdrawn_at is None:
                    raise InputError(f"There is a bay {name!r} already.", fix="Another name.")
                return self._set(replace(there, token_digest=token_digest, withdrawn_at=None))
        return self._set(
            Bay(
                id=len(self.all_bays) + 1,
                name=name,
                token_digest=token_digest,
                lesson_id=None,
                added_at=at,
                withdrawn_at=None,
            )
        )

    def withdraw_bay(self, bay_id: int, *, at: datetime) -> Bay:
        bay = self.bay(bay_id)
        return self._set(replace(bay, withdrawn_at=bay.withdrawn_at or at, lesson_id=None))

    def point_bay(self, bay_id: int, lesson_id: int | None) -> Bay:
        return self._set(replace(self._in_use(bay_id), lesson_id=lesson_id))

    def arrive(
        self, bay_id: int, key: str, shot: NewShot, *, first_block: tuple[str, Role], at: datetime
    ) -> Arrival:
        bay = self._in_use(bay_id)
        came = self.all_arrivals.get((bay_id, key))
        if came is not None:
            there = self.all_shots[came]
            if dict(there.values) != dict(shot.values):
                raise InputError(f"The key {key!r} came before.", fix="Another key.")
            return Arrival(key=key, shot=there, role=self.block(there.block_id).role, is_new=False)
        if bay.lesson_id is None:
            raise InputError(f"Bay {bay.name!r} hits for no lesson.", fix="Choose one.")
        blocks = self.blocks(bay.lesson_id)
        label, role = first_block
        block = blocks[-1] if blocks else self.add_block(bay.lesson_id, label=label, role=role)
        kept = replace(self.add_shot(block.id, shot, at=at), source="live")
        self.all_shots[kept.id] = kept
        self.all_arrivals[bay_id, key] = kept.id
        return Arrival(key=key, shot=kept, role=block.role, is_new=True)

    def note_past(self, bay_id: int, keys: Sequence[str], *, at: datetime) -> None:
        assert at.tzinfo is not None
        for key in keys:
            self.all_arrivals.setdefault((bay_id, key), None)

    def arrived(self, bay_id: int) -> Mapping[str, int | None]:
        return {key: shot for (bay, key), shot in self.all_arrivals.items() if bay == bay_id}

    def move_shot(self, shot_id: int, block_id: int) -> StoredShot:
        shot, block = self.shot(shot_id), self.block(block_id)
        if shot.lesson_id != block.lesson_id:
            raise InputError(f"Block {block_id} belongs to another lesson.", fix="Another block.")
        self.all_shots[shot_id] = replace(shot, block_id=block_id)
        self.touched.append(shot.lesson_id)
        return self.all_shots[shot_id]

    def watched_files(self, bay_id: int) -> tuple[WatchedFile, ...]:
        return tuple(file for (bay, _), file in self.all_watched.items() if bay == bay_id)

    def keep_watched(self, bay_id: int, file: WatchedFile) -> None:
        self.all_watched[bay_id, file.identity] = file

    def _in_use(self, bay_id: int) -> Bay:
        bay = self.bay(bay_id)
        if bay.withdrawn_at is not None:
            raise InputError(f"Bay {bay.name!r} was withdrawn.", fix="Add it again.")
        return bay

    def _set(self, bay: Bay) -> Bay:
        self.all_bays[bay.id] = bay
        self.touched.append(0)
        return bay
