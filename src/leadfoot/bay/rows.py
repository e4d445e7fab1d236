"""A watched file as rows: whole lines only, each row told by what stands in it."""

import hashlib
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from leadfoot.desk.desk import Desk
from leadfoot.desk.records import Hand
from leadfoot.shots.columns import ColumnMapping
from leadfoot.shots.heads import names_column
from leadfoot.shots.read import is_term, read_table
from leadfoot.shots.reading import TableReading
from leadfoot.shots.shot import Reading
from leadfoot.tables.grid import text_of
from leadfoot.tables.open import open_table
from leadfoot.tables.problem import Problem
from leadfoot.tables.workbook import is_workbook

STILL_S: Final = 0.3
"""How long a workbook must be still before it is read (measured: savers pause less). [s]"""
UNFINISHED_S: Final = 2.0
"""How long a last line without an end must be still to be taken as whole (our own choice). [s]"""
_DIGEST_LENGTH = 16


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A row that holds a ball."""

    number: int
    """Row of the file, counted from 1."""
    digest: str
    """Of all that stands in its cells, whatever they are taken for."""
    club: str | None
    values: Mapping[str, Reading]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rows:
    """What a file holds so far."""

    rows: tuple[Row, ...]
    problems: tuple[Problem, ...]

    def digests(self) -> tuple[str, ...]:
        """Digest of each row, in order."""
        return tuple(row.digest for row in self.rows)


def whole_part(data: bytes, still_s: float) -> bytes:
    r"""Give what of a file is surely finished: all of it, its whole lines, or nothing yet.

    Parameters
    ----------
    data
        The file as it is now.
    still_s
        How long it has not changed. [s]

    Examples
    --------
    >>> whole_part(b"Carry\n200\n19", 0.0), whole_part(b"Carry\n200\n198", 5.0)
    (b'Carry\n200\n', b'Carry\n200\n198')
    """
    if is_workbook(data):
        return data if still_s >= STILL_S else b""
    if still_s >= UNFINISHED_S:
        return data
    # In UTF-16 the end of a line has two bytes; which comes first, its first two bytes tell.
    end = {b"\xff\xfe": b"\n\0", b"\xfe\xff": b"\0\n"}.get(data[:2], b"\n")
    cut = data.rfind(end) + len(end)
    if len(end) == 2:
        cut -= cut % 2
    return data[:cut] if end in data else b""


def read_rows(desk: Desk, data: bytes, *, name: str, hand: Hand) -> Rows:
    """Read the balls of a file by the mapping remembered for its header, else by guess.

    Raises
    ------
    InputError
        If it is no table of shots.
    """
    reading = read_table(data, name=name, hand=hand)
    saved = desk.book.mapping(reading.header_key)
    if saved is not None:
        mapping = ColumnMapping.from_json(saved)
        reading = read_table(data, name=name, mapping=mapping, hand=hand)
    grid = open_table(data, names_column=names_column, is_term=is_term)
    rows = tuple(
        Row(
            number=shot.row,
            digest=_digest([text_of(cell) for cell in grid.rows[shot.row - 1]]),
            club=shot.club,
            values=shot.values,
        )
        for shot in reading.shots
    )
    return Rows(rows=rows, problems=_problems(reading))


def name_mark(name: str) -> str:
    """What is kept of a file's name: it may be a student's, and a mark is enough to know it again.

    Examples
    --------
    >>> name_mark("a.csv")
    '32f29f33d51165a6'
    """
    return _digest([name])


def keys_of(identity: str, digests: Sequence[str]) -> list[str]:
    """Key of each row: the file's identity, what stands in the row, the how manieth such row.

    Examples
    --------
    >>> keys_of("a7 1", ["0f", "1e", "0f"])
    ['a7 1/0f/1', 'a7 1/1e/1', 'a7 1/0f/2']
    """
    seen: Counter[str] = Counter()
    keys = []
    for digest in digests:
        seen[digest] += 1
        keys.append(f"{identity}/{digest}/{seen[digest]}")
    return keys


def _digest(cells: Sequence[str]) -> str:
    texts = list(cells)
    while texts and not texts[-1]:
        texts.pop()
    whole = "\x1f".join(texts).encode("utf-8", "surrogatepass")
    return hashlib.sha256(whole).hexdigest()[:_DIGEST_LENGTH]


def _problems(reading: TableReading) -> tuple[Problem, ...]:
    """What can't be used; a header under which no ball stands yet is nothing to report."""
    if not len(reading.shots):
        return tuple(one for one in reading.problems if one.row is not None)
    return reading.problems
