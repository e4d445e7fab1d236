"""The book once more, slow and plain: dictionaries in memory, to compare the real one with."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from leadfoot.desk.records import (
    Block,
    Lesson,
    NewShot,
    RawFile,
    Role,
    StoredJudgement,
    StoredShot,
    Student,
)


def stored(text: str) -> str:
    return text.replace("\0", "\ufffd")


@dataclass
class PlainFile:
    record: RawFile
    data: bytes
    brought: list[int] = field(default_factory=list)
    """Shots of this file and of the states from which it grew, in order."""


@dataclass
class PlainBook:
    students: dict[int, Student] = field(default_factory=dict)
    lessons: dict[int, Lesson] = field(default_factory=dict)
    blocks: dict[int, Block] = field(default_factory=dict)
    shots: dict[int, StoredShot] = field(default_factory=dict)
    files: dict[int, PlainFile] = field(default_factory=dict)
    mappings: dict[str, str] = field(default_factory=dict)
    judgements: dict[int, list[StoredJudgement]] = field(default_factory=dict)
    changes: list[int] = field(default_factory=list)

    def blocks_of(self, lesson_id: int) -> list[Block]:
        return [block for block in self.blocks.values() if block.lesson_id == lesson_id]

    def shots_of(self, lesson_id: int) -> list[StoredShot]:
        return [shot for shot in self.shots.values() if shot.lesson_id == lesson_id]

    def files_of(self, lesson_id: int) -> list[PlainFile]:
        return [file for file in self.files.values() if file.record.lesson_id == lesson_id]

    def add_block(self, lesson_id: int, label: str, role: Role) -> Block:
        block = Block(
            id=len(self.blocks) + 1,
            lesson_id=lesson_id,
            place=len(self.blocks_of(lesson_id)) + 1,
            label=stored(label),
            role=role,
        )
        self.blocks[block.id] = block
        return block

    def add_shot(
        self, block_id: int, shot: NewShot, at: datetime, file_id: int | None = None
    ) -> StoredShot:
        lesson_id = self.blocks[block_id].lesson_id
        kept = StoredShot(
            id=len(self.shots) + 1,
            lesson_id=lesson_id,
            block_id=block_id,
            place=len(self.shots_of(lesson_id)) + 1,
            club=None if shot.club is None else stored(shot.club),
            values=shot.values,
            source="typed" if file_id is None else "file",
            raw_file_id=file_id,
            row=shot.row,
            left_out_reason=None,
            hit_at=at,
        )
        self.shots[kept.id] = kept
        return kept

    def import_shots(
        self, file_id: int, blocks: Sequence[tuple[str, Role, Sequence[NewShot]]], at: datetime
    ) -> list[StoredShot]:
        file = self.files[file_id]
        if not file.record.imported:
            self._bring_in(file, blocks, at)
            file.record = replace(file.record, imported=True)
            self.changes.append(file.record.lesson_id)
        return [shot for shot in self.shots.values() if shot.raw_file_id == file_id]

    def _bring_in(
        self,
        file: PlainFile,
        blocks: Sequence[tuple[str, Role, Sequence[NewShot]]],
        at: datetime,
    ) -> None:
        given = [(place, shot) for place, (_, _, run) in enumerate(blocks) for shot in run]
        if all(shot.row is not None for _, shot in given):
            given.sort(key=lambda pair: pair[1].row or 0)
        known = self._known(file, [shot for _, shot in given])
        homes: dict[int, int] = {}
        for (place, _), shot_id in zip(given, known, strict=False):
            homes[place] = self.shots[shot_id].block_id
        for place, (label, role, _) in enumerate(blocks):
            if place not in homes:
                homes[place] = self._home(file.record.lesson_id, label, role, list(homes.values()))
        file.brought = list(known)
        for place, shot in given[len(known) :]:
            file.brought.append(self.add_shot(homes[place], shot, at, file.record.id).id)

    def _known(self, file: PlainFile, shots: Sequence[NewShot]) -> list[int]:
        for earlier in reversed(self.files_of(file.record.lesson_id)):
            if earlier.record.imported and earlier.record.name == file.record.name:
                kept = [self.shots[shot_id] for shot_id in earlier.brought]
                begins = [
                    (shot.row, None if shot.club is None else stored(shot.club), shot.values)
                    for shot in shots[: len(kept)]
                ]
                same = begins == [(shot.row, shot.club, shot.values) for shot in kept]
                if kept and same and all(shot.row is not None for shot in kept):
                    return earlier.brought
        return []

    def _home(self, lesson_id: int, label: str, role: Role, taken: list[int]) -> int:
        used = {shot.block_id for shot in self.shots.values()}
        for block in self.blocks_of(lesson_id):
            free = block.id not in used and block.id not in taken
            if free and (block.label, block.role) == (stored(label), role):
                return block.id
        return self.add_block(lesson_id, label, role).id
