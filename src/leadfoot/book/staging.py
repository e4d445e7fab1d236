"""A book for a moment: the rows of an export in a file of their own, checked and upgraded.

An export of an earlier schema is put into a book of that schema and upgraded as any book is. The
book that the coach works in is touched only when all of this has gone well.
"""

import hashlib
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from sqlalchemy import (
    URL,
    Column,
    Connection,
    MetaData,
    NullPool,
    Table,
    create_engine,
    event,
    insert,
    select,
)
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.exc import DBAPIError, StatementError
from sqlalchemy.pool import ConnectionPoolEntry
from sqlalchemy.types import TypeDecorator

from leadfoot.book.archive import Archive, refused
from leadfoot.book.plain_rows import WrongValueError, exported_tables, kind_of
from leadfoot.book.upgrade import newest_schema, refuse_newer, upgrade
from leadfoot.errors import LeadfootError

_AT_ONCE: Final = 200


@contextmanager
def staged(archive: Archive) -> Iterator[Connection]:
    """Give a connection to a book of the newest schema that holds what an export holds.

    Raises
    ------
    BookError
        If the export was made by a newer program.
    InputError
        If its rows can't be those of a book.
    """
    refuse_newer(archive.schema)
    if archive.schema < 1:
        raise refused(f"it has schema {archive.schema}")
    with tempfile.TemporaryDirectory(prefix="leadfoot-") as folder:
        engine = create_engine(
            URL.create("sqlite", database=str(Path(folder, "staged.book"))), poolclass=NullPool
        )

        @event.listens_for(engine, "connect")
        def _fast(connection: DBAPIConnection, _: ConnectionPoolEntry) -> None:
            cursor = connection.cursor()
            cursor.execute("PRAGMA synchronous=OFF")  # after a crash the folder is thrown away
            cursor.close()

        try:
            with engine.connect() as connection:
                _fill(connection, archive)
                yield connection
        finally:
            engine.dispose()


def _fill(connection: Connection, archive: Archive) -> None:
    upgrade(connection, archive.schema)
    connection.commit()
    made = MetaData()
    made.reflect(connection)
    unknown = set(archive.tables) - set(made.tables) | {"alembic_version"} & set(archive.tables)
    if unknown:
        raise refused(f"a book of schema {archive.schema} has no table {min(unknown)!r}")
    if "students" not in archive.tables:
        raise refused("it has no students")
    for table in made.sorted_tables:
        if table.name in archive.tables:
            _fill_table(connection, table, archive)
    connection.commit()
    if archive.schema < newest_schema():
        upgrade(connection)
        connection.commit()
    broken = connection.exec_driver_sql("PRAGMA foreign_key_check").first()
    if broken is not None:
        raise refused(f"row {broken[1]} of {broken[0]} points nowhere")
    _check_values(connection)


def _fill_table(connection: Connection, table: Table, archive: Archive) -> None:
    batch: list[dict[str, Any]] = []
    for n, row in enumerate(archive.rows(table.name), start=1):
        batch.append(_values(table, row, archive, f"row {n} of {table.name}"))
        if len(batch) == _AT_ONCE or any(isinstance(one, bytes) for one in batch[-1].values()):
            _insert(connection, table, batch)
            batch = []
    _insert(connection, table, batch)


def _insert(connection: Connection, table: Table, batch: list[dict[str, Any]]) -> None:
    if not batch:
        return
    try:
        connection.execute(insert(table), batch)
    except (DBAPIError, StatementError) as error:
        raise refused(f"a row of {table.name} can't be in a book ({error.orig})") from error


def _values(table: Table, row: Any, archive: Archive, where: str) -> dict[str, Any]:
    if not isinstance(row, dict) or set(row) != set(table.columns.keys()):
        raise refused(f"{where} has not the columns of a book of schema {archive.schema}")
    values: dict[str, Any] = {}
    for column in table.columns:
        value, kind = row[column.name], kind_of(column.type)
        try:
            if value is None:
                values[column.name] = None
            elif kind.name == "bytes":
                values[column.name] = _bytes(value, archive, where)
            else:
                values[column.name] = kind.back(value)
        except WrongValueError as error:
            raise refused(f"{where}: {column.name}: {str(error)[:120]}") from error
    return values


def _bytes(value: Any, archive: Archive, where: str) -> bytes:
    if not isinstance(value, Mapping) or not isinstance(value.get("file"), str):
        raise refused(f"{where} does not name its file")
    return archive.data(value["file"])


def _check_values(connection: Connection) -> None:
    """Read every value once as the program will, so that no page can stumble over one later."""
    for table in exported_tables():
        own = [column for column in table.columns if isinstance(column.type, TypeDecorator)]
        hashed = {"digest", "data"} <= set(table.columns.keys())
        query = select(table) if hashed else select(table.c.id, *own)
        rows = connection.execute(query.execution_options(yield_per=1 if hashed else _AT_ONCE))
        try:
            for row in rows.mappings():
                for column in own:
                    _storable_again(column, row[column.name], connection)
                if hashed and hashlib.sha256(row["data"]).hexdigest() != row["digest"]:
                    raise WrongValueError(f"the digest of file {row['id']} is another")
        except LeadfootError as error:
            raise refused(f"{table.name}: {error.what.rstrip('.')}") from error
        except (ValueError, TypeError, AttributeError) as error:
            raise refused(f"{table.name} holds a value that no book has ({error})") from error


def _storable_again(column: Column[Any], value: Any, connection: Connection) -> None:
    """Refuse what the book itself would not take: a number that is none, an unknown unit."""
    decorator: Any = column.type
    decorator.process_bind_param(value, connection.dialect)
