"""Example tables, typed by hand as a coach would, each beside what must be read from it.

The tables are invented; so are the players. Beside `name.csv` stands `name.toml`:
`columns` as "header: role-or-quantity unit", with a question mark where it must be unsure;
`rows`, `clubs`, `labels` and `values` by shot; `problems` as "row | column | text";
`blocks` as "label first-last count"; `questions` as "header > suggested unit".
"""

import math
import tomllib
from pathlib import Path
from typing import Any

import pytest

from leadfoot.shots.columns import Column
from leadfoot.shots.read import RowBlock, TableReading, read_table
from tests.shots.accounting import check_accounts
from tests.shots.workbooks import workbook_of

TABLES = Path(__file__).parent / "tables"
SPECS = sorted(TABLES.glob("*.toml"))


def load(spec_path: Path) -> tuple[dict[str, Any], bytes]:
    spec = tomllib.loads(spec_path.read_text(encoding="utf-8"))
    table = next(path for path in sorted(TABLES.glob(f"{spec_path.stem}.*")) if path != spec_path)
    text = table.read_bytes().decode("utf-8")
    if spec.get("workbook"):
        return spec, workbook_of(text, spec["workbook"])
    data = text.encode(spec.get("encoding", "utf-8"))
    return spec, bytes.fromhex(spec.get("mark", "")) + data


def read(spec: dict[str, Any], data: bytes) -> TableReading:
    blocks = [RowBlock(label=a, first_row=b, last_row=c) for a, b, c in spec.get("row_blocks", [])]
    return read_table(
        data,
        hand=spec.get("hand", "right"),
        block_column=spec.get("block_column"),
        row_blocks=blocks,
    )


def shown(column: Column) -> str:
    what = column.quantity or column.role
    parts = [what, column.unit or "", "" if column.sure or column.role != "quantity" else "?"]
    return f"{column.header}: {' '.join(part for part in parts if part)}"


@pytest.mark.parametrize("spec_path", SPECS, ids=[path.stem for path in SPECS])
def test_a_table_is_read_as_written_beside_it(spec_path: Path) -> None:
    spec, data = load(spec_path)
    reading = read(spec, data)
    assert [" ".join(shown(c).split()) for c in reading.columns] == spec["columns"]
    assert reading.shots.rows.tolist() == spec["rows"]
    count = len(spec["rows"])
    assert list(reading.shots.clubs) == spec.get("clubs", [None] * count)
    assert [label or "" for label in reading.shots.blocks] == spec.get("labels", [""] * count)
    check_values(reading, spec)
    found = [f"{p.row or '-'} | {p.column or ''} | {p.text}" for p in reading.problems]
    assert [" ".join(line.split()) for line in found] == spec.get("problems", [])
    spans = [f"{b.label} {b.first_row}-{b.last_row} {b.n_shots}" for b in reading.blocks]
    assert spans == spec.get("blocks", spans if "labels" not in spec else None)
    asked = [f"{q.column} > {q.suggested_unit or ''}".strip() for q in reading.questions]
    assert asked == spec.get("questions", [])
    assert reading.n_summary_rows == spec.get("summaries", 0)
    if "header_row" in spec:
        assert reading.header_row == (spec["header_row"] or None)
    check_accounts(reading)


def check_values(reading: TableReading, spec: dict[str, Any]) -> None:
    values = spec.get("values", {})
    assert sorted(values) == sorted(reading.shots.readings)
    for key, wanted in values.items():
        got = reading.shots.readings[key].values.tolist()
        assert len(got) == len(wanted), key
        for one, other in zip(got, wanted, strict=True):
            assert one == other or (math.isnan(one) and math.isnan(other)), (key, got, wanted)


def test_there_are_enough_tables() -> None:
    assert len(SPECS) >= 60


@pytest.mark.parametrize("spec_path", SPECS, ids=[path.stem for path in SPECS])
def test_every_unsure_column_says_why(spec_path: Path) -> None:
    spec, data = load(spec_path)
    reading = read(spec, data)
    assert all(column.reason for column in reading.columns)
