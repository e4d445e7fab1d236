"""What is made of a book on a PostgreSQL server: backups as exports, restores, erasing for good.

A backup is a whole export (see ``docs/guide/book.md``): it is documented, it can be brought into a
book of either kind, and it needs no program of the server's. It lies on the machine of the desk
that made it, so a server that is lost does not take its backups along.
"""

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final

from sqlalchemy import Connection, MetaData, column, func, select, table, text

import leadfoot
from leadfoot.book import backups
from leadfoot.book.archive import open_archive
from leadfoot.book.bringing import copy_all
from leadfoot.book.erasing import erase_rows, note_erased, who_is
from leadfoot.book.exporting import export
from leadfoot.book.links import delete_rows, links_of
from leadfoot.book.plain_rows import MOMENT, exported_tables
from leadfoot.book.staging import staged
from leadfoot.book.tables import Base
from leadfoot.book.taking_out import TakingOut
from leadfoot.book.trouble import in_words
from leadfoot.book.upgrade import newest_schema
from leadfoot.desk.keeping_records import Backup, BackupKind, BookState, Erased, WhoWas
from leadfoot.desk.ports import Clock
from leadfoot.errors import BookError, InputError

if TYPE_CHECKING:
    from leadfoot.book.transactions import Transactions

_DAILY: Final = 0x1EADF008  # number of the advisory lock of who makes the backup of the day


class ServerFile(TakingOut):
    """See `leadfoot.desk.keeping_port.BookFile` for the promises."""

    def __init__(self, book: "Transactions", path: Path, *, clock: Clock) -> None:
        super().__init__(book, clock=clock)
        self._path = path

    def state(self) -> BookState:
        """Where the book is, how large, of which schema, and the backups on this machine."""
        with self._book.reading() as session:
            size = session.scalar(text("SELECT pg_database_size(current_database())"))
        return BookState(
            place=self._book.name,
            backups_place=str(backups.folder_of(self._path)),
            size_bytes=int(size or 0),
            schema=newest_schema(),
            kept_days=backups.KEPT_DAYS,
            kept_weeks=backups.KEPT_WEEKS,
            backups=backups.backups_of(self._path),
        )

    def back_up(self) -> Backup:
        """Export the book into its folder of backups and check the file; it stays until deleted."""
        with self._book.reading() as session:
            return self._make(session.connection(), "by_hand")

    def back_up_if_due(self) -> Backup | None:
        """Back up, if there is no backup of today and the book has changed; prune old ones.

        Where several desks work on one server, one of them at a time looks.
        """
        now = self._clock()
        with self._book.reading() as session:
            if not session.scalar(select(text(f"pg_try_advisory_xact_lock({_DAILY})"))):
                return None
            change = session.scalar(select(func.max(Base.metadata.tables["changes"].c.id)))
            if not self._is_due(now, int(change or 0)):
                return None
            made = self._make(session.connection(), "scheduled")
        backups.prune(self._path, now=now, faults_in=faults_in_export)
        return made

    def holding(self, student_id: int) -> tuple[Backup, ...]:
        """Backups on this machine in which a student of the book still is."""
        with self._book.reading() as session:
            who = who_is(session.connection(), student_id)
        return self._with(who)

    def erase(self, student_id: int) -> Erased:
        """Erase a student from the book for good: every row and file, and their bytes.

        Raises
        ------
        NotInBookError
            If there is no such student.
        """
        with self._book.reading() as session:
            who = who_is(session.connection(), student_id)
        still_in = self._with(who)
        with self._book.writing() as session:
            rows = erase_rows(session.connection(), who[:1])
            note_erased(session.connection(), at=self._clock())
        self.wipe()
        gone = {name: len(numbers) for name, numbers in rows.items()}
        return Erased(rows=gone, who=who, still_in=still_in)

    def wipe(self) -> None:
        """Let the server write every table anew, without the bytes of what was erased.

        What its own log and its own copies keep is for whoever runs the server to erase.
        """
        alone = self._book.engine.execution_options(isolation_level="AUTOCOMMIT")
        with in_words(self._book.name), alone.connect() as connection:
            for one in Base.metadata.sorted_tables:
                connection.exec_driver_sql(f"VACUUM (FULL) {one.name}")

    def erase_from_backups(self, who: Sequence[WhoWas], names: Sequence[str]) -> None:
        """Write backups anew without the one who was erased; each is checked, then replaced."""
        for name in names:
            path = backups.path_of(self._path, name)
            anew = path.with_name(path.name + ".anew")
            try:
                with open_archive(path) as archive, staged(archive) as rows:
                    erase_rows(rows, who)
                    self._write(rows, anew)
                _refuse_damaged(anew)
                anew.replace(path)
            finally:
                anew.unlink(missing_ok=True)

    def delete_backups(self, names: Sequence[str]) -> None:
        """Delete backups by name."""
        for path in [backups.path_of(self._path, name) for name in names]:
            path.unlink()

    def restore(self, backup: str) -> Backup:
        """Put a backup in the place of what is in the book, in one transaction.

        Parameters
        ----------
        backup
            Its name, or the path of a whole export of any book.

        Returns
        -------
        Backup
            The backup that was made of what was there.

        Raises
        ------
        InputError
            If it is no whole export; the book is as it was then.
        """
        path = Path(backup)
        source = path if path.is_file() else backups.path_of(self._path, backup)
        with open_archive(source) as archive, staged(archive) as rows:
            if not archive.whole:
                raise InputError(
                    f"{source} holds one student, not a book.",
                    fix="Choose a backup, or bring it in with: leadfoot book import.",
                )
            with self._book.writing() as session:
                book = session.connection()
                saved = self._make(book, "before_restore")
                _clear(book)
                copy_all(rows, book)
        return saved

    def faults(self) -> tuple[str, ...]:
        """What is wrong with the book as far as it can be read: every row is, and checked."""
        import tempfile  # noqa: PLC0415  (only a check needs it)

        with tempfile.TemporaryDirectory(prefix="leadfoot-") as folder:
            try:
                with self._book.reading() as session:
                    self._write(session.connection(), Path(folder, "check.zip"))
                with open_archive(Path(folder, "check.zip")) as archive, staged(archive):
                    return ()
            except (BookError, InputError) as error:
                return (error.what.rstrip("."),)

    def faults_in_backup(self, name: str) -> tuple[str, ...]:
        """What is wrong with a backup."""
        return faults_in_export(backups.path_of(self._path, name))

    def _make(self, connection: Connection, kind: BackupKind) -> Backup:
        target = backups.new_backup(self._path, kind=kind, at=self._clock())
        unchecked = target.with_name(target.name + ".part")
        try:
            self._write(connection, unchecked)
            _refuse_damaged(unchecked)
            unchecked.replace(target)
        except OSError as error:
            raise BookError(
                f"No backup can be written to {target}: {error.strerror or error}.",
                fix="Free some space there, then back up again.",
            ) from error
        finally:
            unchecked.unlink(missing_ok=True)
        return backups.made_backup(target, self._path)

    def _write(self, connection: Connection, path: Path) -> None:
        version = leadfoot.__version__
        schema, at = newest_schema(), self._clock()
        export(connection, path, rows=None, schema=schema, version=version, at=at)

    def _is_due(self, now: datetime, change: int) -> bool:
        made = [one for one in backups.backups_of(self._path) if one.kind == "scheduled"]
        if not made:
            return change > 0
        if made[0].made_at.astimezone(now.tzinfo).date() >= now.date():
            return False
        try:
            with open_archive(backups.path_of(self._path, made[0].name)) as archive:
                last = max((int(row["id"]) for row in archive.rows("changes")), default=0)
        except InputError:
            return True
        return last != change

    def _with(self, who: Sequence[WhoWas]) -> tuple[Backup, ...]:
        """Backups that hold one of those; one that can't be read is named too, to be safe."""
        wanted = {(one.number, one.added_at.strftime(MOMENT)) for one in who}
        return tuple(one for one in backups.backups_of(self._path) if self._holds(one, wanted))

    def _holds(self, backup: Backup, wanted: set[tuple[int, str]]) -> bool:
        try:
            with open_archive(backups.path_of(self._path, backup.name)) as archive:
                return any(
                    (row["id"], row["added_at"]) in wanted for row in archive.rows("students")
                )
        except InputError:
            return True


def faults_in_export(path: Path) -> tuple[str, ...]:
    """What is wrong with an export: nothing, or the first thing that was found."""
    try:
        with open_archive(path):
            return ()
    except InputError as error:
        return (error.what.rstrip("."),)


def back_up_old(connection: Connection, path: Path, *, schema: int, at: datetime) -> Path:
    """Export a book of an earlier schema before it is upgraded; give the file.

    Parameters
    ----------
    connection
        The book, in the transaction that will upgrade it.
    path
        Names the backups of this book; see `leadfoot.book.postgres.backups_beside`.
    schema
        Its schema.
    at
        The time, for the name.
    """
    found = MetaData()
    found.reflect(connection)
    own = {one.name for one in Base.metadata.sorted_tables} - {
        one.name for one in exported_tables()
    }
    tables = [one for one in found.sorted_tables if one.name not in own | {"alembic_version"}]
    target = backups.upgrade_backup(path, schema=schema, at=at)
    target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    version = leadfoot.__version__
    export(connection, target, rows=None, schema=schema, version=version, at=at, tables=tables)
    return target


def _refuse_damaged(path: Path) -> None:
    if faults := faults_in_export(path):
        raise BookError(
            f"The backup {path} is not whole: {faults[0]}.",
            fix="Check the disk, then back up again; earlier backups are as they were.",
        )


def _clear(connection: Connection) -> None:
    """Empty every table that an export holds, with all that hangs on their rows.

    Nobody stays signed in; accounts and the log of who did what stay as they are.
    """
    names = {one.name for one in exported_tables()} | {"imports", "sign_ins"}
    links = links_of(connection)
    while more := {one.table for one in links if one.required and one.to in names} - names:
        names |= more
    rows = {
        name: set(connection.scalars(select(table(name, column("id")).c.id)).all())
        for name in names
    }
    delete_rows(connection, rows)
