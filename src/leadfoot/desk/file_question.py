"""A file straight to its question: its shots, their blocks and the roles of these, with no book."""

from collections.abc import Sequence

from leadfoot.desk.blocks import OUTSIDE, with_named_blocks
from leadfoot.desk.records import Hand
from leadfoot.desk.roles import roles_for
from leadfoot.desk.sides import Question
from leadfoot.errors import InputError
from leadfoot.shots.columns import ColumnMapping
from leadfoot.shots.read import RowBlock, read_table

MOST_IN_A_BLOCK = 200
"""More balls in a row than anyone hits in a lesson. A choice."""


def question_for_file(
    data: bytes,
    *,
    name: str = "",
    hand: Hand = "right",
    mapping: ColumnMapping | None = None,
    block_column: str | None = None,
    row_blocks: Sequence[RowBlock] = (),
    before: str | None = None,
    after: str | None = None,
    club: str | None = None,
    planned: Sequence[int] = (),
) -> Question:
    r"""Read a table of shots and say which are before and which with the change.

    Parameters
    ----------
    data, name, hand, mapping, block_column, row_blocks, before, after, club, planned
        As in `leadfoot.desk.file_answer.answer_for_file`.

    Returns
    -------
    Question
        With everything that could not be read among its problems.

    Raises
    ------
    InputError
        If the file is no table of shots.

    Examples
    --------
    >>> found = question_for_file(b"block,club speed (mph)\nbefore,91\npush,95\n")
    >>> dict(found.roles)
    {'before': 'before', 'push': 'with_change'}
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
        roles=roles_for(labels, before=before, after=after),
        club=club,
        problems=reading.problems,
        planned=planned_balls(planned) if planned else None,
    )


def planned_balls(blocks: Sequence[int]) -> tuple[bool, ...]:
    """For every planned ball whether it would be hit with the change; without it comes first.

    Raises
    ------
    InputError
        If there are fewer than two blocks, or a block is empty or longer than a lesson.

    Examples
    --------
    >>> planned_balls((1, 2, 1))
    (False, True, True, False)
    """
    if len(blocks) < 2 or not all(1 <= balls <= MOST_IN_A_BLOCK for balls in blocks):
        told = ",".join(map(str, blocks))
        raise InputError(
            f"The plan {told!r} can't be hit.",
            fix=f"Give two blocks or more of 1 to {MOST_IN_A_BLOCK} balls, without the change "
            "first: 10,15,15.",
        )
    return tuple(place % 2 == 1 for place, balls in enumerate(blocks) for _ in range(balls))
