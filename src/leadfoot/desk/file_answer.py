"""A file straight to its answer, with no book: for the command line, scripts and notebooks."""

from collections.abc import Sequence

from leadfoot.desk.answer import Answer
from leadfoot.desk.file_question import question_for_file
from leadfoot.desk.judging import answer_for
from leadfoot.desk.records import Hand
from leadfoot.shots.columns import ColumnMapping
from leadfoot.shots.read import RowBlock


def answer_for_file(
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
) -> Answer:
    r"""Judge the change in a table of shots.

    Parameters
    ----------
    data
        The file as it is, byte for byte.
    name
        Its name, for messages.
    hand
        The student's hand, for words such as "open" and "in-to-out".
    mapping
        Which column is which quantity; None: guessed from the headers.
    block_column
        Header of the column that holds the blocks; None: guessed.
    row_blocks
        Blocks by rows as a spreadsheet counts them, instead of by labels.
    before, after
        Labels of the two sides; None: guessed from the labels.
    club
        The club to judge; None: the one with the most balls on both sides.
    planned
        Balls of each block as they were planned before the change, without it first; empty: no
        plan. With a plan the looks on the way are stricter and the last ones milder, so that more
        is found at the same promise.

    Returns
    -------
    Answer
        With everything that could not be read among its problems.

    Raises
    ------
    InputError
        If the file is no table of shots, or there are no two blocks to compare.

    Examples
    --------
    >>> rows = [f"before,{90 + i % 3}" for i in range(8)] + [f"push,{95 + i % 3}" for i in range(8)]
    >>> answer = answer_for_file("\n".join(["block,club speed (mph)", *rows]).encode())
    >>> answer.decision, answer.headline.unit
    ('keep', 'mph')
    """
    return answer_for(
        question_for_file(
            data,
            name=name,
            hand=hand,
            mapping=mapping,
            block_column=block_column,
            row_blocks=row_blocks,
            before=before,
            after=after,
            club=club,
            planned=planned,
        )
    )
