"""The file of a book and what is made of it: backups, exports, imports, erasing for good."""

from collections.abc import Sequence
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Final

from sqlalchemy import Connection
from sqlalchemy.exc import DatabaseError

from leadfoot.book import backups
from leadfoot.book.erasing import erase, note_erased, there, who_is, wipe
from leadfoot.book.sqlite_file import erasing_engine
from leadfoot.book.taking_out import TakingOut
from leadfoot.book.trouble import in_words
from leadfoot.book.upgrade import newest_schema
from leadfoot.desk.keeping_records import Backup, BookState, Erased, WhoWas
from leadfoot.desk.ports import Clock
from leadfoot.errors import BookError

if TYPE_CHECKING:
    from leadfoot.book.transactions import Transactions

_PATIENCE_S: Final = 5.0  # for another program that is writing; our own choice


class FileOfBook(TakingOut):
    """See `leadfoot.desk.keeping_port.BookFile` for the promises."""

    def __init__(self, book: "Transactions", *, clock: Clock) -> None:
        super().__init__(book, clock=clock)
        self._path = Path(book.name)

    def state(self) -> BookState:
        """Where the book is, how large, of which schema, and its backups."""
        path = self._path.absolute()
        sides = [path.with_name(path.name + end) for end in ("", "-wal")]
        return BookState(
            place=str(path),
            backups_place=str(backups.folder_of(path)),
            size_bytes=sum(one.stat().st_size for one in sides if one.exists()),
            schema=newest_schema(),
            kept_days=backups.KEPT_DAYS,
            kept_weeks=backups.KEPT_WEEKS,
            backups=backups.backups_of(path),
        )

    def back_up(self) -> Backup:
        """Copy the book into its folder of backups and check the copy; it stays until deleted."""
        return backups.make_backup(self._path, kind="by_hand", at=self._clock())

    def back_up_if_due(self) -> Backup | None:
        """Back up, if there is no backup of today and the book has changed; prune old ones."""
        now = self._clock()
        with in_words(str(self._path)):
            if not backups.is_due(self._path, now=now):
                return None
        made = backups.make_backup(self._path, kind="scheduled", at=now)
        with in_words(str(self._path)):
            backups.prune(self._path, now=now)
        return made

    def holding(self, student_id: int) -> tuple[Backup, ...]:
        """Backups in which a student of the book still is."""
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
        self._book.rest()  # connections that sleep would hold the side file
        with in_words(str(self._path)):
            rows = erase(self._path, who[:1], patience_s=_PATIENCE_S, note=self._note_erased)
        return Erased(rows=rows, who=who, still_in=still_in)

    def wipe(self) -> None:
        """Free the file of the bytes of what was erased while another program had it open."""
        self._book.rest()
        with in_words(str(self._path)), closing(backups.opened(self._path)) as connection:
            connection.execute(f"PRAGMA busy_timeout={int(1000 * _PATIENCE_S)}")
            wipe(connection, self._path)

    def erase_from_backups(self, who: Sequence[WhoWas], names: Sequence[str]) -> None:
        """Write backups anew without the one who was erased; each is checked, then replaced."""
        for name in names:
            path = backups.path_of(self._path, name)
            anew = path.with_name(path.name + ".anew")
            with in_words(str(path)):
                backups.copy_book(path, anew)
                try:
                    erase(anew, who, patience_s=_PATIENCE_S)
                    if faults := backups.faults_in(anew):
                        raise BookError(
                            f"The backup {name} is damaged: {faults[0]}.",
                            fix="Delete it instead.",
                        )
                    anew.replace(path)
                finally:
                    anew.unlink(missing_ok=True)

    def delete_backups(self, names: Sequence[str]) -> None:
        """Delete backups by name."""
        for path in [backups.path_of(self._path, name) for name in names]:
            path.unlink()

    def _with(self, who: Sequence[WhoWas]) -> tuple[Backup, ...]:
        """Backups that hold one of those; one that can't be read is named too, to be safe."""
        found: list[Backup] = []
        for backup in backups.backups_of(self._path):
            path = backups.path_of(self._path, backup.name)
            with erasing_engine(path, _PATIENCE_S) as engine:
                try:
                    with engine.connect() as connection:
                        holds = bool(there(connection, who))
                except DatabaseError:
                    holds = True
            if holds:
                found.append(backup)
        return tuple(found)

    def _note_erased(self, connection: Connection) -> None:
        note_erased(connection, at=self._clock())
