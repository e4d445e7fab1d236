"""A file straight to its question: its shots, their blocks and the roles of these, with no book."""

from collections.abc import Sequence

from leadfoot.desk.blocks import OUTSIDE, with_named_blocks
from leadfoot.desk.records import Hand
from leadfoot.desk.roles import roles_for
from leadfoot.desk.sides import Question
from leadfoot.shots.columns import ColumnMapping
from leadfoot.shots.read import RowBlock, read_table


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
) -> Question:
    r"""Read a table of shots and say which are before and which with the change.

    Parameters
    ----------
    data, name, hand, mapping, block_column, row_blocks, before, after, club
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
    )
