"""A book as trees: whatever can be told apart or found again as one thing, with all below it.

A student is one who is known by name and moment of adding. Every other tree begins at a row that
hangs on a student (a lesson, a jump) or on nothing (a mapping); the rows that hang on it make up
the rest. Two trees are the same when all their rows are, numbers aside: so a lesson is found again
in another book, and one that differs in a single value is not taken for it.
"""

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Connection, Table, select

from leadfoot.book.plain_rows import exported_tables, in_utc, kind_of, plain_table

Key = tuple[str, int]
"""A row: its table and its number."""


@dataclass(slots=True)
class Tree:
    """A row with all below it, in an order that depends on their order of coming alone."""

    student: int | None
    rows: list[Key] = field(default_factory=list)
    digest: str = ""


@dataclass(frozen=True, slots=True)
class Trees:
    """All trees of a book, by the row at which they begin, and its students."""

    trees: Mapping[Key, Tree]
    students: Mapping[int, tuple[str, str]]
    """Name and moment of adding by number."""


def tree_tables() -> tuple[Table, ...]:
    """The tables whose rows make up trees: all that are exported, but students and the log."""
    return tuple(
        table
        for table in exported_tables()
        if table.name != "students" and not table.info.get("log", False)
    )


def links_in(table: Table) -> dict[str, str]:
    """Columns that point to another row, with the table to which they point."""
    return {
        column.name: link.column.table.name
        for column in table.columns
        for link in column.foreign_keys
    }


def owner_link(table: Table) -> str | None:
    """The column by which a row hangs on another: the first that is never empty, else none."""
    for column in table.columns:
        if column.foreign_keys and not column.nullable:
            return str(column.name)
    return None


def trees_of(connection: Connection) -> Trees:
    """Read a book as trees; only digests and numbers are held in memory."""
    reading = _Reading()
    for table in tree_tables():
        for row in _rows(connection, table):
            reading.take(table, row)
    for root, tree in reading.trees.items():
        tree.digest = reading.hashes[root].hexdigest()
    return Trees(trees=reading.trees, students=_students(connection))


@dataclass(slots=True)
class _Reading:
    """The trees so far, and where each row stands in them."""

    trees: dict[Key, Tree] = field(default_factory=dict)
    hashes: dict[Key, Any] = field(default_factory=dict)
    root_of: dict[Key, Key] = field(default_factory=dict)
    place_of: dict[Key, int] = field(default_factory=dict)
    alone: dict[Key, str] = field(default_factory=dict)
    """What stands in a row itself, as a digest."""

    def take(self, table: Table, row: Mapping[str, Any]) -> None:
        """Put a row into its tree."""
        key: Key = (table.name, int(row["id"]))
        links = links_in(table)
        root, student = self._root(key, row, owner_link(table), links)
        tree = self.trees.setdefault(root, Tree(student))
        self.root_of[key], self.place_of[key] = root, len(tree.rows)
        tree.rows.append(key)
        self.alone[key] = _digest(
            {name: value for name, value in row.items() if name != "id" and name not in links}
        )
        told = {
            name: self._told(root, (to, int(row[name])))
            for name, to in links.items()
            if to != "students" and row[name] is not None
        }
        text = repr((table.name, self.alone[key], sorted(told.items())))
        found = self.hashes.setdefault(root, hashlib.sha256())
        found.update(text.encode("utf-8", "surrogatepass"))

    def _root(
        self, key: Key, row: Mapping[str, Any], owner: str | None, links: Mapping[str, str]
    ) -> tuple[Key, int | None]:
        if owner is None:
            return key, None
        if links[owner] == "students":
            return key, int(row[owner])
        return self.root_of[links[owner], int(row[owner])], None

    def _told(self, root: Key, key: Key) -> str:
        """A link, said without numbers: by place in the tree, outside by what is there."""
        if self.root_of.get(key) == root:
            return f"place {self.place_of[key]}"
        return self.alone.get(key, "later")


def _digest(values: Mapping[str, Any]) -> str:
    plain = {
        name: hashlib.sha256(value).hexdigest() if isinstance(value, bytes) else value
        for name, value in values.items()
    }
    text = repr(sorted(plain.items()))
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def _rows(connection: Connection, table: Table) -> Iterator[Mapping[str, Any]]:
    plain = plain_table(table)
    at_once = 1 if any(kind_of(one.type).name == "bytes" for one in plain.columns) else 500
    query = select(plain).order_by(plain.c.id).execution_options(yield_per=at_once)
    for row in connection.execute(query).mappings():
        yield in_utc(dict(row))


def _students(connection: Connection) -> dict[int, tuple[str, str]]:
    students = plain_table(next(one for one in exported_tables() if one.name == "students"))
    query = select(students.c.id, students.c.name, students.c.added_at)
    return {
        int(row["id"]): (str(row["name"]), str(in_utc(dict(row))["added_at"]))
        for row in connection.execute(query).mappings()
    }
