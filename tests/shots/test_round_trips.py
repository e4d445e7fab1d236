"""Write any shots in any supported shape, read the same shots back, exactly."""

import numpy as np
from hypothesis import example, given, settings

from leadfoot.shots.read import read_table
from tests.shots.accounting import check_accounts
from tests.shots.shapes import Shape, Table, bytes_of, first_shot_row, shapes, tables

ONE_SHOT = Table(
    units={"carry": "yd", "spin_rate": "rpm"},
    values={"carry": [146.0, 151.0, 141.5], "spin_rate": [6120.0, 5890.0, 6405.0]},
    clubs=["7 iron"] * 3,
    blocks=[None] * 3,
)
PLAIN = Shape(
    mark=";",
    decimal=",",
    encoding="utf-8",
    newline="\n",
    unit_style="[]",
    sign_style="minus",
    thousands=".",
    missing="-",
    language="de",
    term=0,
    n_above=19,
    repeats_header=True,
    has_summary=True,
    is_workbook=False,
    quotes_all=False,
)


@settings(max_examples=400)
@given(tables(), shapes())
@example(ONE_SHOT, PLAIN)
def test_shots_come_back_as_they_were_written(table: Table, shape: Shape) -> None:
    reading = read_table(bytes_of(table, shape))
    check_accounts(reading)
    assert reading.problems == ()
    assert set(reading.shots.readings) == set(table.values)
    for key, values in table.values.items():
        column = reading.shots.readings[key]
        assert column.unit == table.units[key]
        np.testing.assert_array_equal(column.values, np.array(values))
    assert list(reading.shots.clubs) == list(table.clubs)
    assert list(reading.shots.blocks) == list(table.blocks)
    assert reading.shots.rows[0] == first_shot_row(shape)
    assert reading.n_summary_rows == shape.has_summary
    assert reading.header_row == shape.n_above + 1


@settings(max_examples=60)
@given(tables(), shapes())
def test_a_confirmed_mapping_reads_the_same_again(table: Table, shape: Shape) -> None:
    data = bytes_of(table, shape)
    first = read_table(data)
    again = read_table(data, mapping=first.mapping())
    assert again.header_key == first.header_key
    assert [column.sure for column in again.columns if column.role == "quantity"] == [
        not any(question.column == column.header for question in again.questions)
        for column in again.columns
        if column.role == "quantity"
    ]
    for key, column in first.shots.readings.items():
        assert again.shots.readings[key].unit == column.unit
        np.testing.assert_array_equal(again.shots.readings[key].values, column.values)
