"""Bringing a table of shots into a lesson: keep the file, look, confirm."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from leadfoot.desk.blocks import ONE_BLOCK, OUTSIDE, with_named_blocks
from leadfoot.desk.desk import Desk
from leadfoot.desk.records import Hand, NewShot, RawFile, Role
from leadfoot.desk.roles import guess_roles
from leadfoot.errors import InputError
from leadfoot.shots.columns import ColumnMapping
from leadfoot.shots.read import RowBlock, TableReading, read_table
from leadfoot.shots.shot import ShotTable
from leadfoot.tables.problem import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """A file as understood, before anything of it is in the lesson."""

    raw_file: RawFile
    reading: TableReading
    roles: Mapping[str, Role]
    """Guessed for each block label; the coach confirms."""
    from_saved: bool
    """True where a mapping saved for this very header was applied."""
    mapping_json: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ImportReport:
    """What an import did."""

    n_added: int
    n_already: int
    """Shots of this file that were in the lesson before."""
    problems: tuple[Problem, ...]


def receive(desk: Desk, lesson_id: int, *, name: str, data: bytes) -> RawFile:
    """Keep a file as it came, before anyone tries to understand it."""
    return desk.book.keep_file(lesson_id, name=name, data=data, at=desk.clock())


def look(
    desk: Desk,
    raw_file_id: int,
    *,
    mapping_json: str | None = None,
    row_blocks: Sequence[RowBlock] = (),
) -> Look:
    """Read a kept file: by the mapping given, else by the one saved for its header, else by guess.

    Raises
    ------
    InputError
        If the file is not a table of shots; it stays in the book all the same.
    """
    raw_file, data = desk.book.raw_file(raw_file_id)
    hand = desk.book.student(desk.book.lesson(raw_file.lesson_id).student_id).hand
    from_saved = False
    if mapping_json is None:
        reading, from_saved = _by_memory(desk, data, raw_file.name, hand, row_blocks)
    else:
        mapping = ColumnMapping.from_json(mapping_json)
        reading = read_table(
            data, name=raw_file.name, mapping=mapping, hand=hand, row_blocks=row_blocks
        )
    return Look(
        raw_file=raw_file,
        reading=reading,
        roles=_guessed_roles(with_named_blocks(reading.shots, by_rows=bool(row_blocks))),
        from_saved=from_saved,
        mapping_json=reading.mapping().to_json(),
    )


def read_as_known(desk: Desk, data: bytes, *, name: str, hand: Hand) -> TableReading:
    """Read a table by the mapping saved for its header, else by guess; nothing is kept.

    Raises
    ------
    InputError
        If the file is not a table of shots.
    """
    return _by_memory(desk, data, name, hand, ())[0]


def _by_memory(
    desk: Desk, data: bytes, name: str, hand: Hand, row_blocks: Sequence[RowBlock]
) -> tuple[TableReading, bool]:
    """A table as its header was confirmed before (True), else by guess."""
    reading = read_table(data, name=name, hand=hand, row_blocks=row_blocks)
    saved = desk.book.mapping(reading.header_key)
    if saved is None:
        return reading, False
    mapping = ColumnMapping.from_json(saved)
    return read_table(data, name=name, mapping=mapping, hand=hand, row_blocks=row_blocks), True


def confirm(
    desk: Desk,
    raw_file_id: int,
    *,
    mapping_json: str,
    roles: Mapping[str, Role],
    row_blocks: Sequence[RowBlock] = (),
) -> ImportReport:
    """Import a file as the coach confirmed it, and remember how its columns were understood.

    Importing the same file into the same lesson twice adds nothing.

    Raises
    ------
    InputError
        If no column holds a quantity, or the file has no shots.
    """
    seen = look(desk, raw_file_id, mapping_json=mapping_json, row_blocks=row_blocks)
    shots = with_named_blocks(seen.reading.shots, by_rows=bool(row_blocks))
    if not len(shots):
        raise InputError(
            f"No shots were found in {seen.raw_file.name!r}.",
            fix="Say which columns hold which quantities, or choose another file.",
        )
    blocks = [
        (label, roles.get(label, seen.roles.get(label, "other")), run)
        for label, run in _runs(shots)
    ]
    before = len(desk.book.shots(seen.raw_file.lesson_id))
    desk.book.import_shots(raw_file_id, blocks, at=desk.clock())
    n_added = len(desk.book.shots(seen.raw_file.lesson_id)) - before
    desk.book.save_mapping(seen.reading.header_key, mapping_json, at=desk.clock())
    return ImportReport(
        n_added=n_added, n_already=len(shots) - n_added, problems=seen.reading.problems
    )


def withdraw(desk: Desk, raw_file_id: int) -> int:
    """Take the balls of a file out of the lesson again, to confirm its columns anew.

    The file stays in the book. Reasons for which its balls were left out go with them.

    Returns
    -------
    int
        Number of balls taken out.

    Raises
    ------
    InputError
        If a later state of the same file was imported on top of it.
    """
    return desk.book.withdraw_import(raw_file_id)


def _guessed_roles(shots: ShotTable) -> Mapping[str, Role]:
    """Roles by label; balls outside the blocks are compared with nothing."""
    labels = [label or ONE_BLOCK for label in shots.blocks]
    roles = dict(guess_roles([label for label in labels if label != OUTSIDE]))
    return {**roles, OUTSIDE: "other"} if OUTSIDE in labels else roles


def _runs(shots: ShotTable) -> list[tuple[str, list[NewShot]]]:
    """Consecutive shots with one label, in hitting order.

    A label that comes back (A-B-A) is a block of its own each time: the order of the balls is kept.
    """
    runs: list[tuple[str, list[NewShot]]] = []
    for shot in shots:
        label = shot.block or ONE_BLOCK
        if not runs or runs[-1][0] != label:
            runs.append((label, []))
        runs[-1][1].append(NewShot(club=shot.club, values=shot.values, row=shot.row))
    return runs
