"""Backups of a book: made while it is in use, checked, pruned, listed, and brought back.

They lie in a folder beside the book (``lessons-backups``) under a name that holds their time. A
copy gets its name only once it is complete and checked, so a killed program leaves no half backup.
"""

import re
import sqlite3
from collections.abc import Callable, Sequence
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import Final, get_args

from leadfoot.book.sqlite_file import make_private
from leadfoot.book.trouble import in_words
from leadfoot.desk.keeping_records import Backup, BackupKind
from leadfoot.errors import BookError

KEPT_DAYS: Final = 14
"""Days of which the last backup is kept (our own choice)."""
KEPT_WEEKS: Final = 10
"""Weeks of which the last backup is kept (our own choice)."""

_STAMP = "%Y%m%dT%H%M%SZ"


def folder_of(book: Path) -> Path:
    """The folder of backups of a book.

    Examples
    --------
    >>> folder_of(Path("lessons.book")).name
    'lessons-backups'
    """
    return book.with_name(f"{book.stem}-backups")


def backups_of(book: Path) -> tuple[Backup, ...]:
    """The backups of a book, the newest first; copies made before an upgrade are among them."""
    found = [
        backup
        for path in [*_files(folder_of(book)), *_files(book.parent)]
        if (backup := _backup_at(path, book)) is not None
    ]
    return tuple(sorted(found, key=lambda one: (one.made_at, one.name), reverse=True))


def path_of(book: Path, name: str) -> Path:
    """The file of a backup.

    Raises
    ------
    BookError
        If the book has no backup of that name.
    """
    for path in (folder_of(book) / name, book.parent / name):
        if path.name == name and _backup_at(path, book) is not None:
            return path
    raise BookError(
        f"The client book {book} has no backup {name!r}.",
        fix="See them with: leadfoot book backups.",
    )


def make_backup(book: Path, *, kind: BackupKind, at: datetime) -> Backup:
    """Copy a book while it is in use, check the copy, and give it its name.

    Raises
    ------
    BookError
        If the book can't be read or the copy is not whole; earlier backups are left as they are.
    """
    with in_words(str(book)):
        target = new_backup(book, kind=kind, at=at)
        unchecked = target.with_name(target.name + ".part")
        copy_book(book, unchecked)
        faults = faults_in(unchecked)
    if faults:
        unchecked.unlink()
        raise BookError(
            f"The client book {book} can't be backed up, it is damaged: {faults[0]}.",
            fix="Copy the file away as it is, then restore an earlier backup.",
        )
    unchecked.replace(target)
    return made_backup(target, book)


def new_backup(book: Path, *, kind: BackupKind, at: datetime) -> Path:
    """The file of a backup to be made, in its folder; what killed programs left is cleared away."""
    folder = folder_of(book)
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    for left in folder.glob("*.part*"):
        left.unlink(missing_ok=True)
    stamp = at.astimezone(UTC).strftime(_STAMP)
    return folder / f"{book.stem}-{kind.replace('_', '-')}-{stamp}{book.suffix}"


def upgrade_backup(book: Path, *, schema: int, at: datetime) -> Path:
    """The file of a copy to be made before an upgrade; it lies beside the book.

    Examples
    --------
    >>> upgrade_backup(Path("a.book"), schema=1, at=datetime(2026, 3, 1, 9, 15, tzinfo=UTC)).name
    'a-schema-1-20260301T091500Z.book'
    """
    stamp = at.astimezone(UTC).strftime(_STAMP)
    return book.with_name(f"{book.stem}-schema-{schema}-{stamp}{book.suffix}")


def made_backup(path: Path, book: Path) -> Backup:
    """The backup in a file that was just made."""
    made = _backup_at(path, book)
    if made is None:
        raise BookError(f"The backup {path} has vanished.", fix="Back up again.")
    return made


def copy_book(source: Path, target: Path) -> None:
    """Copy a book of any state into a new file that is complete in itself, all or nothing."""
    unfinished = target.with_name(target.name + ".part")
    unfinished.unlink(missing_ok=True)
    make_private(unfinished)
    with (
        closing(opened(source)) as old,
        closing(sqlite3.connect(unfinished)) as new,
    ):
        old.backup(new)
        new.execute("PRAGMA journal_mode=DELETE")
    unfinished.replace(target)


def opened(path: Path) -> sqlite3.Connection:
    """Open a file that is there; none is made where there is none."""
    return sqlite3.connect(f"{path.absolute().as_uri()}?mode=rw", uri=True)


def faults_in(path: Path) -> tuple[str, ...]:
    """What SQLite finds wrong with a file: damaged pages, rows that point nowhere."""
    with closing(opened(path)) as connection:
        try:
            told = [row[0] for row in connection.execute("PRAGMA integrity_check(20)")]
            broken = connection.execute("PRAGMA foreign_key_check").fetchall()
        except sqlite3.DatabaseError as error:
            return (str(error),)
    pages = tuple(text for text in told if text != "ok")
    return (*pages, *(f"row {row[1]} of {row[0]} points nowhere" for row in broken))


def last_change_in(path: Path) -> int:
    """Number of the last change that a book or a copy holds."""
    with closing(opened(path)) as connection:
        return connection.execute("SELECT max(id) FROM changes").fetchone()[0] or 0


def is_due(book: Path, *, now: datetime) -> bool:
    """Whether there is no backup of today, and the book has changed since the last one."""
    made = [one for one in backups_of(book) if one.kind == "scheduled"]
    change = last_change_in(book)
    if not made:
        return change > 0
    if made[0].made_at.astimezone(now.tzinfo).date() >= now.date():
        return False
    try:
        return last_change_in(path_of(book, made[0].name)) != change
    except sqlite3.DatabaseError:
        return True


def to_prune(
    backups: Sequence[Backup], *, now: datetime, days: int = KEPT_DAYS, weeks: int = KEPT_WEEKS
) -> tuple[Backup, ...]:
    """The scheduled backups that may go: neither the last of a recent day or week, nor the newest.

    Parameters
    ----------
    backups
        All backups; those of other kinds always stay.
    now
        The time, with the zone in which days are counted.
    days, weeks
        For how many days and calendar weeks, counted from `now`, one backup each is kept.

    Examples
    --------
    >>> from datetime import timedelta
    >>> now = datetime(2026, 3, 31, 20, tzinfo=UTC)
    >>> daily = [
    ...     Backup(name=f"{n}", kind="scheduled", made_at=now - timedelta(days=n), size_bytes=1)
    ...     for n in range(100)
    ... ]
    >>> len(daily) - len(to_prune(daily, now=now, days=14, weeks=10))
    22
    """
    scheduled = sorted(
        (one for one in backups if one.kind == "scheduled"),
        key=lambda one: (one.made_at, one.name),
        reverse=True,
    )
    kept = set(scheduled[:1])
    last_of_day: dict[object, Backup] = {}
    last_of_week: dict[object, Backup] = {}
    for one in scheduled:
        day = one.made_at.astimezone(now.tzinfo).date()
        age_days = (now.date() - day).days
        if age_days < days:
            last_of_day.setdefault(day, one)
        if age_days < 7 * weeks:
            last_of_week.setdefault(day.isocalendar()[:2], one)
    kept |= {*last_of_day.values(), *last_of_week.values()}
    return tuple(one for one in scheduled if one not in kept)


def prune(
    book: Path,
    *,
    now: datetime,
    faults_in: Callable[[Path], tuple[str, ...]] = faults_in,
) -> tuple[Backup, ...]:
    """Delete the backups that may go, unless the newest one is damaged; give those deleted."""
    backups = backups_of(book)
    going = to_prune(backups, now=now)
    newest = next((one for one in backups if one.kind == "scheduled"), None)
    if not going or newest is None or faults_in(path_of(book, newest.name)):
        return ()
    for one in going:
        path_of(book, one.name).unlink()
    return going


def _files(folder: Path) -> list[Path]:
    return [path for path in folder.iterdir() if path.is_file()] if folder.is_dir() else []


def _backup_at(path: Path, book: Path) -> Backup | None:
    kinds: tuple[BackupKind, ...] = get_args(BackupKind)
    words = {kind.replace("_", "-"): kind for kind in kinds}
    here = "|".join(words) if path.parent == folder_of(book) else r"schema-\d+"
    named = re.fullmatch(
        rf"{re.escape(book.stem)}-({here})-(\d{{8}}T\d{{6}}Z){re.escape(book.suffix)}", path.name
    )
    if named is None or not path.is_file():
        return None
    try:
        made_at = datetime.strptime(named[2], _STAMP).replace(tzinfo=UTC)
    except ValueError:
        return None
    return Backup(
        name=path.name,
        kind=words.get(named[1], "before_upgrade"),
        made_at=made_at,
        size_bytes=path.stat().st_size,
    )
