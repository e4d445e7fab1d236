"""Rows of the table of balls: each ball's own, kept while nothing in it changes."""

from dataclasses import replace

from leadfoot.desk.records import Block
from leadfoot.web.row_text import row_text
from leadfoot.web.shot_table import TableRow

_BLOCK = Block(id=3, lesson_id=7, place=1, label="before <all>", role="before")
_ROW = TableRow(
    lesson_id=7,
    shot_id=11,
    place=2,
    block=_BLOCK,
    club="driver",
    left_out_reason=None,
    cells=(("94.3", "measured"), ("+2.0", "modelled"), ("–", "modelled")),
)


def test_a_measured_value_a_computed_one_and_none_look_different() -> None:
    text = row_text(_ROW, chosen=False)
    assert '<td class="num">94.3</td>' in text
    assert '<td class="num basis-modelled"><span class="value">+2.0</span></td>' in text
    assert '<td class="num">–</td>' in text


def test_a_row_is_rendered_once_while_nothing_in_it_changes() -> None:
    assert row_text(replace(_ROW), chosen=False) is row_text(_ROW, chosen=False)
    assert "checked" in row_text(_ROW, chosen=True)
    moved = replace(_ROW, block=replace(_BLOCK, label="later", role="with_change"))
    assert "later" in row_text(moved, chosen=False)
    assert "key-after" in row_text(moved, chosen=False)


def test_what_a_coach_wrote_is_text_and_never_markup() -> None:
    out = row_text(replace(_ROW, left_out_reason="a <b>horn</b>"), chosen=False)
    assert "a &lt;b&gt;horn&lt;/b&gt;" in out
    assert "before &lt;all&gt;" in out
    assert 'formaction="/lessons/7/take-back/11"' in out
    assert " disabled" in out
