"""Writes the table of the export's fields into ``docs/guide/book.md``, from the tables themselves.

Run ``python -m tests.contracts.export_page`` after a change of the tables.
"""

from pathlib import Path

from sqlalchemy import Column, Table

from leadfoot.book.plain_rows import exported_tables, kind_of
from leadfoot.book.tables import Base

PAGE = Path(__file__).parents[2] / "docs" / "guide" / "book.md"
BEGIN = "<!-- fields: made by python -m tests.contracts.export_page -->\n"
END = "<!-- end of fields -->\n"


def fields() -> str:
    """Every table with every field."""
    return "\n".join(_section(table) for table in exported_tables())


def page(text: str) -> str:
    """The page with the fields as they are now."""
    head, _, rest = text.partition(BEGIN)
    _, _, tail = rest.partition(END)
    return head + BEGIN + "\n" + fields() + "\n" + END + tail


def _section(table: Table) -> str:
    what = (_class_of(table).__doc__ or "").strip().splitlines()[0]
    note = " Only in an export of everything." if table.info.get("log") else ""
    rows = "".join(_row(table, column) for column in table.columns)
    head = "| field | kind | may be null | points to |\n|---|---|---|---|\n"
    return f"### `{table.name}`\n\n{what}{note}\n\n{head}{rows}"


def _row(table: Table, column: Column[object]) -> str:
    to = ", ".join(f"`{link.column.table.name}`" for link in column.foreign_keys)
    kind = kind_of(column.type).name
    return f"| `{column.name}` | {kind} | {'yes' if column.nullable else 'no'} | {to} |\n"


def _class_of(table: Table) -> type:
    return next(one.class_ for one in Base.registry.mappers if one.local_table is table)


if __name__ == "__main__":
    PAGE.write_text(page(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
