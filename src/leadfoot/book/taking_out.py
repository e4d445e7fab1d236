"""Exports of a book and imports into it: the same for every kind of database."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from leadfoot.book.archive import Limits, open_archive
from leadfoot.book.bringing import bring
from leadfoot.book.erasing import who_is
from leadfoot.book.exporting import export
from leadfoot.book.links import hanging_on, with_their_needs
from leadfoot.book.staging import staged
from leadfoot.book.upgrade import newest_schema
from leadfoot.desk.keeping_records import Brought, Exported
from leadfoot.desk.ports import Clock
from leadfoot.errors import InputError

if TYPE_CHECKING:
    from leadfoot.book.transactions import Transactions


class TakingOut:
    """What leaves a book, and comes into one, as a ZIP file."""

    def __init__(self, book: "Transactions", *, clock: Clock) -> None:
        self._book = book
        self._clock = clock

    def exports_folder(self) -> Path:
        """The folder of this machine in which exports wait for whoever asked for them."""
        beside = self._book.backups or Path(self._book.name).absolute()
        return beside.with_name(f"{beside.stem}-exports")

    def export_to(
        self,
        path: Path,
        *,
        student_id: int | None,
        version: str,
        progress: Callable[[int, int], None] | None = None,
    ) -> Exported:
        """Write one student, or with None everything, into a new ZIP file at `path`.

        Raises
        ------
        InputError
            If there is a file of that name.
        NotInBookError
            If there is no such student.
        """
        if path.exists():
            raise InputError(f"A file {str(path)!r} is there already.", fix="Choose another name.")
        with self._book.reading() as session:
            connection = session.connection()
            rows = None
            if student_id is not None:
                who_is(connection, student_id)
                rows = with_their_needs(connection, hanging_on(connection, [student_id]))
            try:
                return export(
                    connection,
                    path,
                    rows=rows,
                    schema=newest_schema(),
                    version=version,
                    at=self._clock(),
                    progress=progress,
                )
            except OSError as error:
                raise InputError(
                    f"The export {path} can't be written: {error.strerror or error}.",
                    fix="Choose a folder where you may write and there is space.",
                ) from error

    def import_from(self, path: Path, *, limits: Limits | None = None) -> Brought:
        """Bring in an export: as it is into an empty book, else beside what is there.

        Raises
        ------
        InputError
            If it is no whole export; nothing was changed then.
        """
        with (
            open_archive(path, limits) as archive,
            staged(archive) as rows,
            self._book.writing() as session,
        ):
            return bring(
                rows,
                session.connection(),
                digest=archive.digest,
                whole=archive.whole,
                at=self._clock(),
            )
