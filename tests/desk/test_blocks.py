"""Blocks that a table leaves unsaid."""

import numpy as np
import pytest

from leadfoot.desk.blocks import ONE_BLOCK, OUTSIDE, with_named_blocks
from leadfoot.desk.file_answer import answer_for_file
from leadfoot.errors import InputError
from leadfoot.shots.shot import ShotTable


def table(*labels: str | None) -> ShotTable:
    return ShotTable(rows=np.arange(len(labels)) + 2, blocks=labels, clubs=(None,) * len(labels))


@pytest.mark.parametrize(
    ("labels", "by_rows", "named"),
    [
        ((None, None), False, (ONE_BLOCK, ONE_BLOCK)),
        ((None, "push", "push"), False, ("before", "push", "push")),
        ((None, "before", "push"), False, (OUTSIDE, "before", "push")),
        ((None, "a", None, "b"), True, (OUTSIDE, "a", OUTSIDE, "b")),
        (("a", None, "b"), False, ("a", OUTSIDE, "b")),
        ((), False, ()),
    ],
)
def test_every_shot_gets_a_block(
    labels: tuple[str | None, ...], by_rows: bool, named: tuple[str, ...]
) -> None:
    assert with_named_blocks(table(*labels), by_rows=by_rows).blocks == named


def test_balls_above_the_first_section_are_the_ones_before() -> None:
    before = [f"{90 + i % 3},{200 + i}" for i in range(8)]
    after = [f"{96 + i % 3},{216 + i}" for i in range(8)]
    text = "\n".join(["club speed (mph),carry (yd)", *before, "Soft block,", *after])
    answer = answer_for_file(text.encode())
    assert (answer.before_label, answer.after_label) == ("before", "Soft block")
    assert answer.decision == "keep"


def test_a_table_without_blocks_says_what_to_do() -> None:
    with pytest.raises(InputError) as error:
        answer_for_file(b"club speed (mph)\n90\n91\n92\n")
    assert str(error.value) == (
        "There is nothing to compare: the blocks here are 'all balls'. "
        "Name the blocks in a column (--block), or give --before-rows and --after-rows."
    )
