"""Mappings: what they refuse and in which words, and that they are found and applied again."""

import json

import pytest

from leadfoot.errors import InputError, MappingError
from leadfoot.shots.columns import ColumnMapping, ColumnRule
from leadfoot.shots.read import RowBlock, read_table

TABLE = b"Club,Ball speed,Distance\nDriver,138.5,221\nDriver,135.9,212\n"


def rule(header: str, quantity: str, unit: str | None, sign: int = 1) -> ColumnRule:
    return ColumnRule(
        header=header,
        role="quantity",
        quantity=quantity,
        unit=unit,
        sign=-1 if sign == -1 else 1,
    )


def test_a_mapping_settles_unit_and_quantity() -> None:
    mapping = ColumnMapping(
        columns=(rule("distance", "total", "m"), rule("Ball speed", "ball_speed", "mph"))
    )
    reading = read_table(TABLE, mapping=mapping)
    found = {c.header: (c.quantity, c.unit, c.sure, c.reason) for c in reading.columns}
    assert found["Distance"] == (
        "total",
        "m",
        True,
        "as confirmed in the mapping; m by the mapping",
    )
    assert found["Ball speed"][:3] == ("ball_speed", "mph", True)
    assert found["Club"][0] is None
    assert list(reading.shots.clubs) == ["Driver", "Driver"]


def test_a_mapping_may_turn_a_sign_and_leave_a_column_aside() -> None:
    data = b"Offline,Carry [m],Apex [m]\n3,200,28\n-4,190,27\n"
    mapping = ColumnMapping(
        columns=(
            rule("Offline", "offline", "yd", -1),
            ColumnRule(header="Apex [m]", role="ignored"),
        )
    )
    reading = read_table(data, mapping=mapping)
    assert reading.shots.readings["offline"].values.tolist() == [-3.0, 4.0]
    assert "apex" not in reading.shots.readings
    assert "carry" in reading.shots.readings


def test_a_mapping_gives_meaning_to_unknown_headers() -> None:
    data = b"a title\nalpha,beta\n200,3\n190,-4\n"
    mapping = ColumnMapping(columns=(rule("alpha", "carry", "m"), rule("beta", "offline", "m")))
    reading = read_table(data, mapping=mapping)
    assert reading.header_row == 2
    assert reading.shots.readings["carry"].values.tolist() == [200.0, 190.0]


def test_a_mapping_gives_meaning_to_columns_without_header() -> None:
    mapping = ColumnMapping(columns=(rule("column 2", "carry", "m"),))
    reading = read_table(b"1,200\n2,190\n", mapping=mapping)
    assert reading.shots.readings["carry"].values.tolist() == [200.0, 190.0]
    assert reading.header_key == ""


def test_a_mapping_against_the_table_is_asked_about() -> None:
    mapping = ColumnMapping(columns=(rule("Carry [m]", "carry", "yd"),))
    reading = read_table(b"Carry [m],Spin [rpm]\n200,2500\n190,2600\n", mapping=mapping)
    assert [question.text for question in reading.questions] == [
        "The mapping reads 'Carry [m]' in yd, and the table says m."
    ]
    assert not reading.columns[0].sure
    assert reading.columns[0].unit == "yd"


def test_the_key_does_not_depend_on_order_case_or_blanks() -> None:
    one = read_table(b"Carry [m],Spin [rpm]\n200,2500\n")
    other = read_table(b"spin  [RPM],CARRY [m]\n2500,200\n")
    third = read_table(b"Carry [yd],Spin [rpm]\n200,2500\n")
    assert one.header_key == other.header_key != third.header_key


def test_the_key_tells_rows_of_units_apart() -> None:
    one = read_table(b"Carry,Spin\nm,rpm\n200,2500\n")
    other = read_table(b"Carry,Spin\nyd,rpm\n200,2500\n")
    assert one.header_key != other.header_key


SAVE_AGAIN = "Save it again from the page that confirms columns."
REFUSED = {
    "{": f"The mapping is not JSON. {SAVE_AGAIN}",
    "[]": f"The mapping does not say that it is of the form leadfoot.mapping/1. {SAVE_AGAIN}",
    '{"schema": "leadfoot.mapping/1"}': f"The mapping has no list of columns. {SAVE_AGAIN}",
}


@pytest.mark.parametrize("text", REFUSED)
def test_texts_that_are_no_mapping(text: str) -> None:
    with pytest.raises(MappingError) as caught:
        ColumnMapping.from_json(text)
    assert str(caught.value) == REFUSED[text]


RULES = [
    ({}, "The mapping has a column without a header: {}. "
     "Give each column the header as it stands in the table."),
    ({"header": "A", "role": "hero"},
     "Column 'A' has the role 'hero'. Use one of: quantity club block ball time ignored."),
    ({"header": "A", "role": "club", "sign": 2},
     "Column 'A' has the sign 2. Use 1, or -1 where the table counts left as positive."),
    ({"header": "A", "role": "club", "unit": "m"},
     "Column 'A' has the role club and a quantity or unit as well. "
     "Give a quantity and a unit only with the role quantity."),
    ({"header": "A", "quantity": "carry"},
     "Column 'A' has no unit. Give one in the mapping: yd m ft in cm mm."),
    ({"header": "A", "quantity": "carry", "unit": "mph"},
     "Column 'A' is carry and has the unit 'mph'. Use one of: yd m ft in cm mm."),
    ({"header": "A", "quantity": "smash_factor", "unit": "m"},
     "Column 'A' is smash factor, a ratio, and has the unit 'm'. Leave the unit away."),
]  # fmt: skip


@pytest.mark.parametrize(("row", "text"), RULES)
def test_rules_that_are_refused(row: dict[str, object], text: str) -> None:
    with pytest.raises(MappingError) as caught:
        ColumnMapping.from_json(json.dumps({"schema": "leadfoot.mapping/1", "columns": [row]}))
    assert str(caught.value) == text


def test_an_unknown_quantity_is_refused_with_the_list() -> None:
    with pytest.raises(MappingError) as caught:
        ColumnMapping(columns=(rule("A", "luck", None),))
    assert str(caught.value).startswith(
        "Column 'A' is mapped to 'luck', which is not in the glossary. Use one of: club_speed "
    )


def test_two_columns_for_one_quantity_are_refused() -> None:
    with pytest.raises(MappingError) as caught:
        ColumnMapping(columns=(rule("A", "carry", "m"), rule("B", "carry", "m")))
    assert str(caught.value) == (
        "Columns 'A' and 'B' are both mapped to carry. "
        "Keep one, and set the role of the other to ignored."
    )


def test_a_mapping_that_fits_no_column_is_refused() -> None:
    with pytest.raises(MappingError) as caught:
        read_table(TABLE, mapping=ColumnMapping(columns=(rule("Apex", "apex", "m"),)))
    assert str(caught.value) == (
        "The mapping fits no column: the table has 'Club', 'Ball speed', 'Distance'. "
        "Use the mapping that was made for this header, or none."
    )


def test_a_block_column_that_is_not_there_is_refused() -> None:
    with pytest.raises(MappingError) as caught:
        read_table(TABLE, block_column="Phase")
    assert str(caught.value) == (
        "The table has no column 'Phase' for the blocks. "
        "Use one of: 'Club', 'Ball speed', 'Distance'."
    )


def test_row_ranges_are_checked() -> None:
    with pytest.raises(InputError) as caught:
        RowBlock(label="before", first_row=5, last_row=2)
    assert str(caught.value) == (
        "Rows 5 to 2 for 'before' are no range. "
        "Give the first row, then the last, counted from 1 as a spreadsheet does."
    )
    with pytest.raises(InputError) as caught:
        read_table(
            TABLE,
            row_blocks=[
                RowBlock(label="before", first_row=1, last_row=3),
                RowBlock(label="after", first_row=3, last_row=4),
            ],
        )
    assert str(caught.value) == (
        "Rows 3 to 3 belong to both 'before' and 'after'. Give ranges that do not overlap."
    )
