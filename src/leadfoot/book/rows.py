"""From rows of the tables to the desk's records."""

import json
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, cast

from sqlalchemy import Row

from leadfoot.book.tables import (
    BlockRow,
    ClearanceRow,
    JudgementRow,
    JumpFileRow,
    JumpRow,
    LessonRow,
    RawFileRow,
    RecordingRow,
    ScreeningRow,
    ShotRow,
    StudentRow,
)
from leadfoot.desk.records import (
    Block,
    Hand,
    JumpFile,
    Lesson,
    LinkedBy,
    RawFile,
    Role,
    Source,
    StoredClearance,
    StoredJudgement,
    StoredJump,
    StoredRecording,
    StoredScreening,
    StoredShot,
    StrikeFrom,
    Student,
)

if TYPE_CHECKING:
    from leadfoot.ground.jump_days import Kind as JumpKind


def student_from(row: StudentRow) -> Student:
    """One student."""
    return Student(
        id=row.id,
        name=row.name,
        hand=cast("Hand", row.hand),
        goals=row.goals,
        cautions=row.cautions,
        invented=row.invented,
        added_at=row.added_at,
        archived_at=row.archived_at,
        consent_on=row.consent_on,
        consent_words=row.consent_words,
        minor=row.minor,
        guardian=row.guardian,
        language=row.language,
    )


def lesson_from(row: LessonRow) -> Lesson:
    """One lesson."""
    return Lesson(
        id=row.id,
        student_id=row.student_id,
        held_on=row.held_on,
        title=row.title,
        change=row.change,
        club=row.club,
        notes=row.notes,
        place=row.place,
    )


def block_from(row: BlockRow) -> Block:
    """One block."""
    return Block(
        id=row.id,
        lesson_id=row.lesson_id,
        place=row.place,
        label=row.label,
        role=cast("Role", row.role),
    )


def shot_from(row: ShotRow | Row[Any]) -> StoredShot:
    """One ball."""
    return StoredShot(
        id=row.id,
        lesson_id=row.lesson_id,
        block_id=row.block_id,
        place=row.place,
        club=row.club,
        values=row.readings,
        source=cast("Source", row.source),
        raw_file_id=row.raw_file_id,
        row=row.file_row,
        left_out_reason=row.left_out_reason,
        hit_at=row.hit_at,
    )


def raw_file_from(row: RawFileRow) -> RawFile:
    """One file, without its bytes."""
    return RawFile(
        id=row.id,
        lesson_id=row.lesson_id,
        name=row.name,
        digest=row.digest,
        size_bytes=row.size_bytes,
        received_at=row.received_at,
        imported=row.imported_at is not None,
    )


def judgement_from(row: JudgementRow) -> StoredJudgement:
    """One answer as it was given."""
    return StoredJudgement(
        id=row.id,
        lesson_id=row.lesson_id,
        made_at=row.made_at,
        version=row.version,
        answer_json=row.answer_json,
    )


def recording_from(row: RecordingRow, name: str) -> StoredRecording:
    """One force recording, with the name of its file."""
    return StoredRecording(
        id=row.id,
        lesson_id=row.lesson_id,
        place=row.place,
        raw_file_id=row.raw_file_id,
        name=name,
        block_id=row.block_id,
        shot_id=row.shot_id,
        linked_by=cast("LinkedBy | None", row.linked_by),
        choices_json=row.choices_json,
        mapping_json=row.mapping_json,
        strike_s=row.strike_s,
        strike_from=cast("StrikeFrom | None", row.strike_from),
        left_out_reason=row.left_out_reason,
        received_at=row.received_at,
    )


def jump_file_from(row: JumpFileRow) -> JumpFile:
    """One file of a jump, without its bytes."""
    return JumpFile(
        id=row.id,
        student_id=row.student_id,
        name=row.name,
        digest=row.digest,
        size_bytes=row.size_bytes,
        received_at=row.received_at,
    )


def jump_from(row: JumpRow) -> StoredJump:
    """One jump."""
    return StoredJump(
        id=row.id,
        student_id=row.student_id,
        done_on=row.done_on,
        kind=cast("JumpKind", row.kind),
        height_m=row.height_m,
        values_json=row.values_json,
        jump_file_id=row.jump_file_id,
        left_out_reason=row.left_out_reason,
        added_at=row.added_at,
    )


def screening_from(row: ScreeningRow) -> StoredScreening:
    """The answers of one day."""
    return StoredScreening(
        id=row.id,
        student_id=row.student_id,
        on_day=row.on_day,
        junior=row.junior,
        answers=MappingProxyType(dict(json.loads(row.answers_json))),
        asked_at=row.asked_at,
    )


def clearance_from(row: ClearanceRow) -> StoredClearance:
    """One clearance."""
    return StoredClearance(
        id=row.id,
        student_id=row.student_id,
        clinician=row.clinician,
        on_day=row.on_day,
        until_day=row.until_day,
        covers=tuple(json.loads(row.covers_json)),
        limits=row.limits,
        recorded_at=row.recorded_at,
    )
