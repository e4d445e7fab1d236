"""The balls hit as usual: of a lesson in the book, or straight from a file."""

from collections.abc import Sequence

from leadfoot.desk.blocks import OUTSIDE, with_named_blocks
from leadfoot.desk.lesson import block_names, left_out_of, table_of
from leadfoot.desk.records import Block, Hand, Role, StoredShot
from leadfoot.desk.roles import guess_roles, roles_for
from leadfoot.desk.sides import Question
from leadfoot.desk.studio import USUAL_STUDIO, Studio
from leadfoot.errors import InputError
from leadfoot.shots.columns import ColumnMapping
from leadfoot.shots.read import RowBlock, read_table

HIT_FIRST = "Hit 12 to 20 balls as usual first."


def baseline_for_file(
    data: bytes,
    *,
    name: str = "",
    hand: Hand = "right",
    mapping: ColumnMapping | None = None,
    block_column: str | None = None,
    row_blocks: Sequence[RowBlock] = (),
    before: str | None = None,
    club: str | None = None,
) -> Question:
    r"""Read a table of shots and say which were hit as usual.

    Parameters
    ----------
    data, name, hand, mapping, block_column, row_blocks, before, club
        As in `leadfoot.desk.file_answer.answer_for_file`. Without blocks all balls count.

    Raises
    ------
    InputError
        If the file is no table of shots, or no block has the label of `before`.

    Examples
    --------
    >>> dict(baseline_for_file(b"club speed (mph)\n91\n92\n").roles)
    {}
    >>> dict(baseline_for_file(b"block,club speed (mph)\nusual,91\npush,95\n").roles)
    {'usual': 'before', 'push': 'with_change'}
    """
    reading = read_table(
        data,
        name=name,
        mapping=mapping,
        hand=hand,
        block_column=block_column,
        row_blocks=row_blocks,
    )
    shots = with_named_blocks(reading.shots, by_rows=bool(row_blocks))
    labels = [label for label in shots.blocks if label is not None and label != OUTSIDE]
    return Question(
        table=shots,
        roles=_roles(labels, before=before, by_rows=bool(row_blocks)),
        club=club,
        problems=reading.problems,
    )


def baseline_of(
    blocks: Sequence[Block],
    shots: Sequence[StoredShot],
    studio: Studio = USUAL_STUDIO,
    own_club: str | None = None,
) -> Question:
    """The baseline of a lesson; there need be no balls with a change yet.

    Parameters
    ----------
    blocks, shots
        The lesson's.
    studio, own_club
        As in `Question`.

    Raises
    ------
    InputError
        If no shot was hit as usual; it says what to do next.
    """
    role_of = {block.id: block.role for block in blocks}
    if not any(role_of[shot.block_id] == "before" for shot in shots):
        raise InputError("No ball was hit as usual yet.", fix=HIT_FIRST)
    names = block_names(blocks)
    return Question(
        table=table_of(studio.shown(shots), blocks),
        roles={names[block.id]: block.role for block in blocks},
        left_out=left_out_of(shots),
        studio=studio,
        own_club=own_club,
    )


def _roles(labels: Sequence[str], *, before: str | None, by_rows: bool) -> dict[str, Role]:
    """Which blocks were hit as usual; none is named where there is but one."""
    distinct = list(dict.fromkeys(labels))
    if by_rows:
        return dict.fromkeys(distinct, "before")
    if before is not None and len(distinct) > 1:
        return dict(roles_for(labels, before=before, after=None))
    return dict(guess_roles(labels)) if len(distinct) > 1 else {}
