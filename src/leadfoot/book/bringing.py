"""Brings an export into a book: as it is into an empty one, else beside what is there.

Beside what is there, nothing that stands in the book is changed. A student known by name and moment
of adding is the same student; a lesson (a jump, a mapping) that is the same in every value is there
already; so is whatever has a name or a digest that only one may have. Everything else is added
under new numbers, with its links kept.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Table, UniqueConstraint, bindparam, func, insert, select, update

from leadfoot.book.plain_rows import exported_tables, in_utc, kind_of, plain_table
from leadfoot.book.postgres import go_on_counting
from leadfoot.book.tables import Base
from leadfoot.book.trees import Key, Tree, Trees, links_in, tree_tables, trees_of
from leadfoot.desk.keeping_records import Brought

_AT_ONCE = 500


def bring(
    staged: Connection, book: Connection, *, digest: str, whole: bool, at: datetime
) -> Brought:
    """Bring in what is staged.

    Parameters
    ----------
    staged
        A book of the newest schema that holds the export; see `leadfoot.book.staging`.
    book
        The book, in a writing transaction.
    digest
        Digest of the contents of the export.
    whole
        Whether the export is of a whole book.
    at
        The time of the import.
    """
    imports = Base.metadata.tables["imports"]
    if book.scalar(select(func.count()).where(imports.c.digest == digest)):
        n_rows = sum(_count(staged, table) for table in exported_tables())
        return Brought(rows={}, n_known=n_rows, before=True)
    if whole and not any(_count(book, table) for table in exported_tables()):
        brought = Brought(rows=copy_all(staged, book), n_known=0, before=False)
    else:
        brought = _Beside(staged, book).bring(at)
    book.execute(insert(imports).values(digest=digest, brought_at=at))
    return brought


def copy_all(staged: Connection, book: Connection) -> dict[str, int]:
    """Copy every exported row as it is, number and all, into empty tables; give how many."""
    rows = {table.name: _copy_as_is(staged, book, table) for table in exported_tables()}
    if book.dialect.name == "postgresql":
        go_on_counting(book, exported_tables())
    return _some(rows)


def _copy_as_is(staged: Connection, book: Connection, table: Table) -> int:
    n_rows, plain = 0, plain_table(table)
    # A row may point to a later one of its own table: such links are set when all are there.
    inside = [name for name, to in links_in(table).items() if to == table.name]
    later: list[dict[str, Any]] = []
    for batch in _batches(staged, table):
        for name in inside:
            later += [
                {"number": row["id"], name: row[name]} for row in batch if row[name] is not None
            ]
        book.execute(insert(plain), [{**row, **dict.fromkeys(inside)} for row in batch])
        n_rows += len(batch)
    if later:
        book.execute(update(plain).where(plain.c.id == bindparam("number")), later)
    return n_rows


@dataclass(slots=True)
class _Beside:
    """An import beside what is there, on its way."""

    staged: Connection
    book: Connection
    number_in_book: dict[Key, int] = field(default_factory=dict)
    rows: Counter[str] = field(default_factory=Counter)
    fresh: set[Key] = field(default_factory=set)
    """Rows that this import has added, by their numbers in the book."""
    n_known: int = 0

    def bring(self, at: datetime) -> Brought:
        coming, there = trees_of(self.staged), trees_of(self.book)
        new_students = self._know_students(coming, there)
        self._add_students(new_students)
        new = self._know_trees(coming, there)
        for table in tree_tables():
            self._add(table, {key[1] for tree in new for key in tree.rows if key[0] == table.name})
        self._note(new, at)
        return Brought(rows=_some(self.rows), n_known=self.n_known, before=False)

    def _know_students(self, coming: Trees, there: Trees) -> set[int]:
        """Find the students that are there, each at most once; give the others."""
        known: dict[tuple[str, str], list[int]] = defaultdict(list)
        for number, who in sorted(there.students.items(), reverse=True):
            known[who].append(number)
        new: set[int] = set()
        for number, who in sorted(coming.students.items()):
            if known[who]:
                self.number_in_book["students", number] = known[who].pop()
                self.n_known += 1
            else:
                new.add(number)
        return new

    def _know_trees(self, coming: Trees, there: Trees) -> list[Tree]:
        """Find the trees that are there, each at most once; give the others."""
        known: dict[tuple[str, int | None, str], list[Tree]] = defaultdict(list)
        for (table, _), tree in sorted(there.trees.items(), reverse=True):
            known[table, tree.student, tree.digest].append(tree)
        new: list[Tree] = []
        for (table, _), tree in sorted(coming.trees.items()):
            student = tree.student
            if student is not None:
                student = self.number_in_book["students", student]
            alike = known[table, student, tree.digest]
            if not alike:
                new.append(tree)
                continue
            for mine, yours in zip(tree.rows, alike.pop().rows, strict=True):
                self.number_in_book[mine] = yours[1]
                self.n_known += 1
        return new

    def _add_students(self, numbers: set[int]) -> None:
        self._add(next(one for one in exported_tables() if one.name == "students"), numbers)

    def _add(self, table: Table, numbers: set[int]) -> None:
        if not numbers:
            return
        plain, in_force = plain_table(table), self._in_force(table)
        insert_row = insert(plain)
        later: list[tuple[int, str, Key]] = []
        for row in _rows(self.staged, table):
            if row["id"] in numbers:
                values, still_open = self._linked(table, row)
                number = self._there(table, plain, values)
                if number is None:
                    done = self.book.execute(insert_row, values)
                    number = _number(done.inserted_primary_key)
                    self.rows[table.name] += 1
                    self.fresh.add((table.name, number))
                    later += [(number, name, key) for name, key in still_open]
                else:
                    self.n_known += 1
                self.number_in_book[table.name, row["id"]] = number
        for number, name, key in later:
            link = {name: self.number_in_book[key]}
            self.book.execute(update(plain).where(plain.c.id == number).values(link))
        self._keep_in_force(table, in_force)

    def _linked(
        self, table: Table, row: dict[str, Any]
    ) -> tuple[dict[str, Any], list[tuple[str, Key]]]:
        """A row with the numbers of this book; links to rows that come later are given apart."""
        values = {name: value for name, value in row.items() if name != "id"}
        still_open: list[tuple[str, Key]] = []
        for name, to in links_in(table).items():
            if values[name] is not None:
                key = (to, values[name])
                values[name] = self.number_in_book.get(key)
                if values[name] is None:
                    still_open.append((name, key))
        return values, still_open

    def _there(self, table: Table, plain: Table, values: dict[str, Any]) -> int | None:
        """The row that has what only one may have (a bay's name), and so stands for this one."""
        links = links_in(table)
        for unique in table.constraints:
            if isinstance(unique, UniqueConstraint):
                same = {column.name: values[column.name] for column in unique.columns}
                in_new = any(
                    (links.get(name, ""), value) in self.fresh for name, value in same.items()
                )
                if None not in same.values() and not in_new:
                    query = select(plain.c.id).where(
                        *(plain.c[name] == value for name, value in same.items())
                    )
                    number = self.book.scalar(query)
                    if number is not None:
                        return int(number)
        return None

    def _in_force(self, table: Table) -> dict[Any, int]:
        """Where the last row of a key holds: the last one that is in the book, by key."""
        key = table.info.get("last_holds_for")
        if key is None:
            return {}
        column = table.columns[key]
        query = select(column, func.max(table.c.id)).group_by(column)
        return {value: int(number) for value, number in self.book.execute(query).all()}

    def _keep_in_force(self, table: Table, before: dict[Any, int]) -> None:
        """Write what held before once more, so that it holds on."""
        plain = plain_table(table)
        for value, number in self._in_force(table).items():
            if value in before and before[value] != number:
                query = select(plain).where(plain.c.id == before[value])
                row = dict(self.book.execute(query).mappings().one())
                del row["id"]
                self.book.execute(insert(plain).values(**row))

    def _note(self, new: list[Tree], at: datetime) -> None:
        if not self.rows:
            return
        lessons = sorted(
            self.number_in_book[key] for tree in new for key in tree.rows if key[0] == "lessons"
        )
        changes = Base.metadata.tables["changes"]
        noted: list[int | None] = [None, *lessons]
        self.book.execute(insert(changes), [{"lesson_id": one, "at": at} for one in noted])


def _number(key: Sequence[Any] | None) -> int:
    if not key:
        raise TypeError("The book gave no number to a row.")
    return int(key[0])


def _count(connection: Connection, table: Table) -> int:
    return connection.scalar(select(func.count()).select_from(table)) or 0


def _rows(connection: Connection, table: Table) -> Iterator[dict[str, Any]]:
    for batch in _batches(connection, table):
        yield from batch


def _batches(connection: Connection, table: Table) -> Iterator[list[dict[str, Any]]]:
    plain = plain_table(table)
    at_once = 1 if any(kind_of(one.type).name == "bytes" for one in plain.columns) else _AT_ONCE
    query = select(plain).order_by(plain.c.id).execution_options(yield_per=at_once)
    for part in connection.execute(query).mappings().partitions():
        yield [in_utc(dict(row)) for row in part]


def _some(rows: dict[str, int] | Counter[str]) -> dict[str, int]:
    return {table: n for table, n in rows.items() if n}
