"""Force recordings and jumps of the client book in memory, behind the port."""

import hashlib
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import TypeVar

from leadfoot.desk.records import (
    Block,
    JumpFile,
    LinkedBy,
    RawFile,
    StoredClearance,
    StoredJump,
    StoredRecording,
    StoredScreening,
    StoredShot,
    StrikeFrom,
)
from leadfoot.errors import InputError, NotInBookError
from leadfoot.ground.jump_days import Kind as JumpKind

Kept = TypeVar("Kept")


@dataclass(kw_only=True)
class FakeGround:
    """Keeps recordings, jumps and what was asked in dictionaries by number, from 1."""

    all_recordings: dict[int, StoredRecording] = field(default_factory=dict)
    all_jump_files: dict[int, tuple[JumpFile, bytes]] = field(default_factory=dict)
    all_jumps: dict[int, StoredJump] = field(default_factory=dict)
    all_screenings: dict[int, StoredScreening] = field(default_factory=dict)
    all_clearances: dict[int, StoredClearance] = field(default_factory=dict)
    touched: list[int] = field(default_factory=list)

    def block(self, block_id: int) -> Block:
        raise NotImplementedError

    def shot(self, shot_id: int) -> StoredShot:
        raise NotImplementedError

    def raw_file(self, raw_file_id: int) -> tuple[RawFile, bytes]:
        raise NotImplementedError

    def recordings(self, lesson_id: int) -> tuple[StoredRecording, ...]:
        return tuple(one for one in self.all_recordings.values() if one.lesson_id == lesson_id)

    def recording(self, recording_id: int) -> StoredRecording:
        return found(self.all_recordings, "recording", recording_id)

    def add_recording(
        self, raw_file_id: int, *, block_id: int | None, choices_json: str, at: datetime
    ) -> StoredRecording:
        for one in self.all_recordings.values():
            if one.raw_file_id == raw_file_id:
                return one
        file, _ = self.raw_file(raw_file_id)
        if block_id is not None and self.block(block_id).lesson_id != file.lesson_id:
            raise InputError("Another lesson's block.", fix="Choose another.")
        recording = StoredRecording(
            id=len(self.all_recordings) + 1,
            lesson_id=file.lesson_id,
            place=len(self.recordings(file.lesson_id)) + 1,
            raw_file_id=raw_file_id,
            name=file.name,
            block_id=block_id,
            shot_id=None,
            linked_by=None,
            choices_json=choices_json,
            mapping_json=None,
            strike_s=None,
            strike_from=None,
            left_out_reason=None,
            received_at=at,
        )
        return self._put(recording)

    def understand_recording(
        self, recording_id: int, *, choices_json: str, mapping_json: str | None
    ) -> StoredRecording:
        old = self.recording(recording_id)
        return self._put(replace(old, choices_json=choices_json, mapping_json=mapping_json))

    def put_recording(self, recording_id: int, block_id: int | None) -> StoredRecording:
        old = self.recording(recording_id)
        if block_id is not None and self.block(block_id).lesson_id != old.lesson_id:
            raise InputError("Another lesson's block.", fix="Choose another.")
        return self._put(replace(old, block_id=block_id))

    def link_recording(
        self, recording_id: int, shot_id: int | None, linked_by: LinkedBy | None
    ) -> StoredRecording:
        old = self.recording(recording_id)
        if shot_id is None:
            return self._put(replace(old, shot_id=None, linked_by=None))
        taken = [one.id for one in self.all_recordings.values() if one.shot_id == shot_id]
        shot = self.shot(shot_id)
        if shot.lesson_id != old.lesson_id or set(taken) - {recording_id}:
            raise InputError("That ball can't be linked.", fix="Choose another.")
        return self._put(replace(old, shot_id=shot_id, linked_by=linked_by, block_id=shot.block_id))

    def set_strike(
        self, recording_id: int, strike_s: float | None, strike_from: StrikeFrom | None
    ) -> StoredRecording:
        old = self.recording(recording_id)
        return self._put(replace(old, strike_s=strike_s, strike_from=strike_from))

    def leave_out_recording(self, recording_id: int, reason: str | None) -> StoredRecording:
        assert reason != ""
        return self._put(replace(self.recording(recording_id), left_out_reason=reason))

    def lose_links(self, shot_ids: Collection[int]) -> None:
        for one in self.all_recordings.values():
            if one.shot_id in shot_ids:
                self._put(replace(one, shot_id=None, linked_by=None))

    def keep_jump_file(self, student_id: int, *, name: str, data: bytes, at: datetime) -> JumpFile:
        digest = hashlib.sha256(data).hexdigest()
        for kept, _ in self.all_jump_files.values():
            if (kept.student_id, kept.digest) == (student_id, digest):
                return kept
        file = JumpFile(
            id=len(self.all_jump_files) + 1,
            student_id=student_id,
            name=name,
            digest=digest,
            size_bytes=len(data),
            received_at=at,
        )
        self.all_jump_files[file.id] = file, data
        self.touched.append(0)
        return file

    def jump_file(self, jump_file_id: int) -> tuple[JumpFile, bytes]:
        return found(self.all_jump_files, "file", jump_file_id)

    def jumps(self, student_id: int) -> tuple[StoredJump, ...]:
        chosen = [one for one in self.all_jumps.values() if one.student_id == student_id]
        return tuple(sorted(chosen, key=lambda one: (one.done_on, one.id)))

    def jump(self, jump_id: int) -> StoredJump:
        return found(self.all_jumps, "jump", jump_id)

    def add_jump(
        self,
        student_id: int,
        *,
        done_on: date,
        kind: JumpKind,
        height_m: float,
        values_json: str,
        jump_file_id: int | None,
        at: datetime,
    ) -> StoredJump:
        assert (kind == "impulse") == (jump_file_id is not None)
        jump = StoredJump(
            id=len(self.all_jumps) + 1,
            student_id=student_id,
            done_on=done_on,
            kind=kind,
            height_m=height_m,
            values_json=values_json,
            jump_file_id=jump_file_id,
            left_out_reason=None,
            added_at=at,
        )
        self.all_jumps[jump.id] = jump
        self.touched.append(0)
        return jump

    def leave_out_jump(self, jump_id: int, reason: str | None) -> StoredJump:
        assert reason != ""
        self.all_jumps[jump_id] = replace(self.jump(jump_id), left_out_reason=reason)
        self.touched.append(0)
        return self.all_jumps[jump_id]

    def screenings(self, student_id: int) -> tuple[StoredScreening, ...]:
        return tuple(one for one in self.all_screenings.values() if one.student_id == student_id)

    def add_screening(
        self,
        student_id: int,
        *,
        on_day: date,
        junior: bool,
        answers: Mapping[str, bool],
        at: datetime,
    ) -> StoredScreening:
        screening = StoredScreening(
            id=len(self.all_screenings) + 1,
            student_id=student_id,
            on_day=on_day,
            junior=junior,
            answers=dict(answers),
            asked_at=at,
        )
        self.all_screenings[screening.id] = screening
        self.touched.append(0)
        return screening

    def clearances(self, student_id: int) -> tuple[StoredClearance, ...]:
        return tuple(one for one in self.all_clearances.values() if one.student_id == student_id)

    def add_clearance(
        self,
        student_id: int,
        *,
        clinician: str,
        on_day: date,
        until_day: date | None,
        covers: Sequence[str],
        limits: str,
        at: datetime,
    ) -> StoredClearance:
        clearance = StoredClearance(
            id=len(self.all_clearances) + 1,
            student_id=student_id,
            clinician=clinician,
            on_day=on_day,
            until_day=until_day,
            covers=tuple(covers),
            limits=limits,
            recorded_at=at,
        )
        self.all_clearances[clearance.id] = clearance
        self.touched.append(0)
        return clearance

    def _put(self, recording: StoredRecording) -> StoredRecording:
        self.all_recordings[recording.id] = recording
        self.touched.append(recording.lesson_id)
        return recording


def found(kept: Mapping[int, Kept], kind: str, number: int) -> Kept:
    try:
        return kept[number]
    except KeyError:
        raise NotInBookError(kind, number) from None
