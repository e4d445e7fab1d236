"""The block into which the next ball falls: switched by a press, or by a plan."""

from leadfoot.desk.desk import Desk
from leadfoot.desk.records import Block, Lesson, Role


def switch_block(desk: Desk, lesson_id: int, role: Role) -> Block:
    """Let the balls from now on be before the change, with it, or neither.

    The running block goes on where it is that already. Where no ball of it was hit yet, it is
    taken for the new one; else a new block begins, so that the order of the balls is kept.
    """
    lesson = desk.book.lesson(lesson_id)
    blocks = desk.book.blocks(lesson_id)
    if blocks and blocks[-1].role == role:
        return blocks[-1]
    label = block_label(role, lesson)
    if blocks and all(shot.block_id != blocks[-1].id for shot in desk.book.shots(lesson_id)):
        return desk.book.change_block(blocks[-1].id, label=label, role=role)
    return desk.book.add_block(lesson_id, label=label, role=role)


def block_label(role: Role, lesson: Lesson) -> str:
    """What a new block of a lesson is called."""
    return {
        "before": "before",
        "with_change": lesson.change or "with the change",
        "other": "other balls",
    }[role]
