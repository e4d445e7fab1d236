"""Which rows hang on which: read from the database itself, so it holds for every schema.

A row hangs on another when it points there by a column that is never empty. Whatever hangs on a
student, over any number of steps, belongs to that student. A column that may be empty is a pointer
only (the lesson that runs in a bay): it is emptied when what it points to goes.
"""

import sqlite3
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

Rows = dict[str, set[int]]
"""Numbers of rows by table."""

_AT_ONCE = 500  # numbers in one statement; SQLite takes 999 at least in every build


@dataclass(frozen=True, slots=True)
class Link:
    """A column that points to the rows of another table."""

    table: str
    column: str
    to: str
    required: bool


def links_of(connection: sqlite3.Connection) -> tuple[Link, ...]:
    """Every link of a book.

    Examples
    --------
    >>> book = sqlite3.connect(":memory:")
    >>> _ = book.execute("CREATE TABLE students (id INTEGER PRIMARY KEY)")
    >>> _ = book.execute("CREATE TABLE bays (id INTEGER PRIMARY KEY, who REFERENCES students)")
    >>> links_of(book)
    (Link(table='bays', column='who', to='students', required=False),)
    >>> book.close()
    """
    query = """
        SELECT m.name, f."from", f."table", c."notnull" FROM sqlite_master AS m
        JOIN pragma_foreign_key_list(m.name) AS f
        JOIN pragma_table_info(m.name) AS c ON c.name = f."from"
        WHERE m.type = 'table' ORDER BY 1, 2
    """
    return tuple(
        Link(table, column, to, bool(required))
        for table, column, to, required in connection.execute(query)
    )


def hanging_on(connection: sqlite3.Connection, students: Iterable[int]) -> Rows:
    """Everything that belongs to some students: their own rows, and all that hangs on those."""
    links = [link for link in links_of(connection) if link.required]
    found: Rows = {"students": set(students)}
    fresh: Rows = {"students": set(found["students"])}
    while fresh:
        next_fresh: Rows = {}
        for link in links:
            numbers = _pointing(connection, link, fresh.get(link.to, set()))
            numbers -= found.setdefault(link.table, set())
            found[link.table] |= numbers
            next_fresh.setdefault(link.table, set()).update(numbers)
        fresh = {table: numbers for table, numbers in next_fresh.items() if numbers}
    return {table: numbers for table, numbers in found.items() if numbers}


def with_their_needs(connection: sqlite3.Connection, rows: Mapping[str, set[int]]) -> Rows:
    """Rows together with all to which they point, so that no link leads nowhere."""
    links = links_of(connection)
    found: Rows = {table: set(numbers) for table, numbers in rows.items()}
    fresh = {table: set(numbers) for table, numbers in rows.items()}
    while fresh:
        next_fresh: Rows = {}
        for link in links:
            numbers = _pointed_to(connection, link, fresh.get(link.table, set()))
            numbers -= found.setdefault(link.to, set())
            found[link.to] |= numbers
            next_fresh.setdefault(link.to, set()).update(numbers)
        fresh = {table: numbers for table, numbers in next_fresh.items() if numbers}
    return {table: numbers for table, numbers in found.items() if numbers}


def delete_rows(connection: sqlite3.Connection, rows: Mapping[str, set[int]]) -> None:
    """Delete rows, and empty the pointers that other rows have to them."""
    connection.execute("PRAGMA defer_foreign_keys=ON")
    for link in links_of(connection):
        if not link.required:
            others = _pointing(connection, link, rows.get(link.to, set()))
            empty = f'UPDATE "{link.table}" SET "{link.column}" = NULL WHERE id'  # noqa: S608  (names come from the schema)
            for part in _parts(others - rows.get(link.table, set())):
                connection.execute(f"{empty} IN ({_marks(part)})", part)
    for table, numbers in rows.items():
        for part in _parts(numbers):
            connection.execute(f'DELETE FROM "{table}" WHERE id IN ({_marks(part)})', part)  # noqa: S608  (names come from the schema)


def _pointing(connection: sqlite3.Connection, link: Link, to: set[int]) -> set[int]:
    found: set[int] = set()
    for part in _parts(to):
        query = f'SELECT id FROM "{link.table}" WHERE "{link.column}" IN ({_marks(part)})'  # noqa: S608  (as above)
        found.update(row[0] for row in connection.execute(query, part))
    return found


def _pointed_to(connection: sqlite3.Connection, link: Link, of: set[int]) -> set[int]:
    found: set[int] = set()
    for part in _parts(of):
        query = f"""
            SELECT DISTINCT "{link.column}" FROM "{link.table}"
            WHERE "{link.column}" IS NOT NULL AND id IN ({_marks(part)})
        """  # noqa: S608  (as above)
        found.update(row[0] for row in connection.execute(query, part))
    return found


def _parts(numbers: Iterable[int]) -> list[list[int]]:
    ordered = sorted(numbers)
    return [ordered[at : at + _AT_ONCE] for at in range(0, len(ordered), _AT_ONCE)]


def _marks(part: list[int]) -> str:
    return ", ".join("?" * len(part))
