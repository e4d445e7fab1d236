"""From rows of the tables to the desk's records."""

from typing import cast

from leadfoot.book.tables import (
    BlockRow,
    JudgementRow,
    LessonRow,
    RawFileRow,
    ShotRow,
    StudentRow,
)
from leadfoot.desk.records import (
    Block,
    Hand,
    Lesson,
    RawFile,
    Role,
    Source,
    StoredJudgement,
    StoredShot,
    Student,
)


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


def shot_from(row: ShotRow) -> StoredShot:
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
