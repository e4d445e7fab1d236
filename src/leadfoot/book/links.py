"""Which rows hang on which: read from the database itself, so it holds for every schema.

A row hangs on another when it points there by a column that is never empty. Whatever hangs on a
student, over any number of steps, belongs to that student. A column that may be empty is a pointer
only (the lesson that runs in a bay): it is emptied when what it points to goes.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from sqlalchemy import Connection, column, delete, inspect, select, table, update

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


def links_of(connection: Connection) -> tuple[Link, ...]:
    """Every link of a book.

    Examples
    --------
    >>> from sqlalchemy import create_engine
    >>> with create_engine("sqlite://").connect() as book:
    ...     _ = book.exec_driver_sql("CREATE TABLE students (id INTEGER PRIMARY KEY)")
    ...     _ = book.exec_driver_sql("CREATE TABLE bays (id INTEGER, who INT REFERENCES students)")
    ...     links_of(book)
    (Link(table='bays', column='who', to='students', required=False),)
    """
    look = inspect(connection)
    found: list[Link] = []
    for name in look.get_table_names():
        keys = look.get_foreign_keys(name)
        never_empty = {one["name"] for one in look.get_columns(name) if not one["nullable"]}
        for key in keys:
            (link,) = key["constrained_columns"]
            found.append(Link(name, link, key["referred_table"], link in never_empty))
    return tuple(sorted(found, key=lambda one: (one.table, one.column)))


def hanging_on(connection: Connection, students: Iterable[int]) -> Rows:
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
        fresh = {name: numbers for name, numbers in next_fresh.items() if numbers}
    return {name: numbers for name, numbers in found.items() if numbers}


def with_their_needs(connection: Connection, rows: Mapping[str, set[int]]) -> Rows:
    """Rows together with all to which they point, so that no link leads nowhere."""
    links = links_of(connection)
    found: Rows = {name: set(numbers) for name, numbers in rows.items()}
    fresh = {name: set(numbers) for name, numbers in rows.items()}
    while fresh:
        next_fresh: Rows = {}
        for link in links:
            numbers = _pointed_to(connection, link, fresh.get(link.table, set()))
            numbers -= found.setdefault(link.to, set())
            found[link.to] |= numbers
            next_fresh.setdefault(link.to, set()).update(numbers)
        fresh = {name: numbers for name, numbers in next_fresh.items() if numbers}
    return {name: numbers for name, numbers in found.items() if numbers}


def delete_rows(connection: Connection, rows: Mapping[str, set[int]]) -> None:
    """Delete rows, and empty the pointers that other rows have to them."""
    links = links_of(connection)
    for link in links:
        if not link.required:
            others = _pointing(connection, link, rows.get(link.to, set()))
            if link.table != link.to:  # those that go too go first
                others -= rows.get(link.table, set())
            for part in _parts(others):
                here = table(link.table, column("id"), column(link.column))
                empty = update(here).where(here.c.id.in_(part)).values({link.column: None})
                connection.execute(empty)
    for name in _pointing_first(set(rows), links):
        here = table(name, column("id"))
        for part in _parts(rows[name]):
            connection.execute(delete(here).where(here.c.id.in_(part)))


def _pointing_first(names: set[str], links: Iterable[Link]) -> Iterator[str]:
    """Tables in such an order that none goes while a row of a later one points to it."""
    between = {(one.table, one.to) for one in links if one.table != one.to}
    left = set(names)
    while left:
        held = {to for name, to in between if name in left}
        free = sorted(left - held)
        if not free:
            raise ValueError(f"The tables {sorted(left)} point to each other in a circle.")
        yield from free
        left -= set(free)


def _pointing(connection: Connection, link: Link, to: set[int]) -> set[int]:
    found: set[int] = set()
    here = table(link.table, column("id"), column(link.column))
    for part in _parts(to):
        found.update(
            connection.scalars(select(here.c.id).where(here.c[link.column].in_(part))).all()
        )
    return found


def _pointed_to(connection: Connection, link: Link, of: set[int]) -> set[int]:
    found: set[int] = set()
    here = table(link.table, column("id"), column(link.column))
    to = here.c[link.column]
    for part in _parts(of):
        query = select(to).distinct().where(to.is_not(None), here.c.id.in_(part))
        found.update(connection.scalars(query).all())
    return found


def _parts(numbers: Iterable[int]) -> list[list[int]]:
    ordered = sorted(numbers)
    return [ordered[at : at + _AT_ONCE] for at in range(0, len(ordered), _AT_ONCE)]
