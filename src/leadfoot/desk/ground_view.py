"""The ground page of a lesson: recordings by block, averages with a band, block against block."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import block_names
from leadfoot.desk.recordings import Found, Look
from leadfoot.desk.records import Block, Lesson, Role, StoredShot, Student
from leadfoot.errors import InputError
from leadfoot.ground.aligned import CURVES, Aligned, Curve, aligned
from leadfoot.ground.swing import PressureSwing
from leadfoot.ground.swing_blocks import BlockChange, BlockNumber, block_of, change_of_blocks

NO_BLOCK = "in no block"
LEAD_KEYS = (
    "lead_peak_share",
    "lead_peak_before_impact",
    "lead_impulse",
    "lead_share_impact",
    "cop_range",
    "pivoting_and_free",
    "frontal_moment",
)
"""Numbers that stand first in a comparison; the others follow in a fold."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Group:
    """The recordings of one block."""

    block: Block | None
    label: str
    founds: tuple[Found, ...]
    numbers: tuple[BlockNumber, ...] = ()
    trouble: str = ""
    """Why there is no average; empty where there is one."""

    @property
    def swings(self) -> tuple[PressureSwing, ...]:
        """The swings that count."""
        return tuple(one.swing for one in self.founds if one.swing is not None and one.counts)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Comparison:
    """One block against another."""

    before: Group
    after: Group
    changes: tuple[BlockChange, ...] = ()
    trouble: str = ""
    curves: Mapping[Curve, tuple[Aligned | None, Aligned | None]] = field(
        default_factory=lambda: MappingProxyType({})
    )

    @property
    def first(self) -> tuple[BlockChange, ...]:
        """The changes that stand first."""
        return tuple(one for one in self.changes if one.key in LEAD_KEYS)

    @property
    def further(self) -> tuple[BlockChange, ...]:
        """The other ones."""
        return tuple(one for one in self.changes if one.key not in LEAD_KEYS)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class GroundView:
    """Everything the ground page of a lesson shows."""

    student: Student
    lesson: Lesson
    blocks: tuple[Block, ...]
    shots: tuple[StoredShot, ...]
    founds: tuple[Found, ...]
    groups: tuple[Group, ...]
    comparison: Comparison | None
    """None until two blocks have recordings."""

    def group(self, block_id: int) -> Group | None:
        """The group of a block."""
        mine = (one for one in self.groups if one.block is not None and one.block.id == block_id)
        return next(mine, None)


def ground_view(
    desk: Desk, lesson_id: int, look: Look, *, before: int | None = None, after: int | None = None
) -> GroundView:
    """Gather the recordings of a lesson.

    Parameters
    ----------
    desk, lesson_id
        Of which lesson.
    look
        Reads a recording.
    before, after
        Ids of the blocks to compare; None: the last one of each role, or the first and the last.
    """
    book = desk.book
    lesson = book.lesson(lesson_id)
    blocks = book.blocks(lesson_id)
    founds = tuple(look(one) for one in book.recordings(lesson_id))
    groups = _groups(founds, blocks)
    return GroundView(
        student=book.student(lesson.student_id),
        lesson=lesson,
        blocks=blocks,
        shots=book.shots(lesson_id),
        founds=founds,
        groups=groups,
        comparison=_comparison(groups, before, after),
    )


def compare(before: Group, after: Group) -> Comparison:
    """Compare two blocks of one lesson: every number, and the curves about the strike."""
    curves = MappingProxyType(
        {curve: (aligned(before.swings, curve), aligned(after.swings, curve)) for curve in CURVES}
    )
    try:
        changes, trouble = change_of_blocks(before.swings, after.swings), ""
    except InputError as error:
        changes, trouble = (), str(error)
    return Comparison(before=before, after=after, changes=changes, trouble=trouble, curves=curves)


def _groups(founds: Sequence[Found], blocks: Sequence[Block]) -> tuple[Group, ...]:
    names = block_names(blocks)
    found = []
    for block in (*blocks, None):
        mine = tuple(
            one for one in founds if one.stored.block_id == (None if block is None else block.id)
        )
        if mine:
            label = NO_BLOCK if block is None else names[block.id]
            found.append(_averaged(Group(block=block, label=label, founds=mine)))
    return tuple(found)


def _averaged(group: Group) -> Group:
    try:
        numbers, trouble = block_of(group.swings), ""
    except InputError as error:
        numbers, trouble = (), str(error)
    return Group(
        block=group.block,
        label=group.label,
        founds=group.founds,
        numbers=numbers,
        trouble=trouble,
    )


def _comparison(
    groups: Sequence[Group], before: int | None, after: int | None
) -> Comparison | None:
    named = [one for one in groups if one.block is not None]
    if len(named) < 2:
        return None
    first = _chosen(named, before) or _last_of(named, "before") or named[0]
    second = _chosen(named, after) or _last_of(named, "with_change")
    if second is None or second is first:
        second = next(one for one in reversed(named) if one is not first)
    return compare(first, second)


def _chosen(groups: Sequence[Group], block_id: int | None) -> Group | None:
    return next((one for one in groups if one.block and one.block.id == block_id), None)


def _last_of(groups: Sequence[Group], role: Role) -> Group | None:
    return next((one for one in reversed(groups) if one.block and one.block.role == role), None)
