"""Each row to its kind: shot, summary, label, repeated header, remark, blank."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import zip_longest
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from leadfoot.shots.cell import is_missing
from leadfoot.shots.club import club_class, club_name
from leadfoot.shots.header import LOOSE, header_key_part, understand
from leadfoot.shots.heads import names_column
from leadfoot.shots.layout import MOST_COLUMNS, Layout, is_rule, is_units_row
from leadfoot.shots.terms import plain, squeezed, terms
from leadfoot.tables.grid import Cell, row_text, text_of
from leadfoot.tables.problem import Problem
from leadfoot.tables.split import is_mostly_numbers, is_number

RowKind = Literal[
    "blank", "rule", "title", "header", "units", "summary", "section", "shot", "problem", "unread"
]
"""What a row turned out to be. Every row of a table is of one kind."""

_DIGIT = re.compile(r"\d")
_LETTER = re.compile(r"[^\W\d_]")
_DECORATION = " -=*#:_~>•·|"
_LONGEST_LABEL = 80
_REMARK = (
    "This line of text is no shot and no label that shots follow; "
    "move it above the header if it is a remark."
)

_SLIPPED = (
    "This row has more numbers than the header has columns; if it has decimal commas, part the "
    "cells by semicolons, else give each column a header."
)


@dataclass(slots=True, kw_only=True)
class Sorted:
    """The rows of a table by kind, and what the rows between the shots say of them."""

    kinds: list[RowKind]
    shots: list[int] = field(default_factory=list)
    """Places of the rows that may be shots, from 0."""
    sections: list[str | None] = field(default_factory=list)
    """The label above each of these."""
    clubs: list[str | None] = field(default_factory=list)
    """The club named above each of these."""
    problems: list[Problem] = field(default_factory=list)


def sort_rows(
    rows: Sequence[Sequence[Cell]],
    layout: Layout,
    quantity_columns: Sequence[int],
    club_column: int | None = None,
    *,
    may_slip: bool = False,
) -> Sorted:
    """Tell of every row what it is.

    Parameters
    ----------
    rows
        All rows, as cells.
    layout
        Where the header stands.
    quantity_columns
        Places of the columns that hold quantities.
    club_column
        Place of the column that holds the clubs, if there is one.
    may_slip
        True where a decimal comma may have parted a number into two cells.
    """
    found = Sorted(kinds=["shot"] * len(rows))
    n_named = layout.n_named() if may_slip else MOST_COLUMNS
    state = _State(rows=rows, layout=layout, found=found, club_column=club_column, n_named=n_named)
    state.read_top()
    body = rows[layout.first_row :]
    doubtful = _doubtful_rows(body, quantity_columns, n_named)
    for place in range(len(body)):
        if doubtful[place]:
            state.read_row(place + layout.first_row)
        else:
            state.take_shot(place + layout.first_row)
    state.close_section()
    state.name_first()
    return found


def _doubtful_rows(
    body: Sequence[Sequence[Cell]], quantity_columns: Sequence[int], n_named: int
) -> NDArray[np.bool_]:
    """Mark the rows that need a look: few numbers, or a word that sums up or names a column."""
    n_numbers = np.zeros(len(body), dtype=np.int64)
    marked = np.zeros(len(body), dtype=np.bool_)
    for index, cells in enumerate(zip_longest(*body, fillvalue="")):
        distinct = set(cells)
        if index in quantity_columns:
            has = {
                cell: not isinstance(cell, str) or bool(_DIGIT.search(cell)) for cell in distinct
            }
            n_numbers += np.fromiter(map(has.__getitem__, cells), dtype=np.bool_, count=len(cells))
        telling = {cell for cell in distinct if isinstance(cell, str) and _is_telling(cell)}
        if index >= n_named:
            telling |= {cell for cell in distinct if isinstance(cell, str) and is_number(cell)}
        if telling:
            hits = map(telling.__contains__, cells)
            marked |= np.fromiter(hits, dtype=np.bool_, count=len(cells))
    return marked | (n_numbers <= min(1, len(quantity_columns) - 1))


def _has_digit(cell: Cell) -> bool:
    return not isinstance(cell, str) or bool(_DIGIT.search(cell))


def _is_telling(cell: str) -> bool:
    """Tell whether a cell may make its row a summary or a header."""
    bare = cell.strip()
    if len(bare) > 60 or not _LETTER.search(bare):
        return False
    return summary_word(bare) is not None or names_column(bare)


@lru_cache(maxsize=8192)
def summary_word(text: str) -> Literal["always", "often"] | None:
    """Tell whether a cell says that its row sums up others.

    Examples
    --------
    >>> summary_word("Average:"), summary_word("Max 7i"), summary_word("Driver")
    ('always', 'often', None)
    """
    whole = squeezed(text) or text.strip()
    parts = [part for part in plain(text).split() if not part.isdecimal()]
    tries = [whole, "".join(parts), *(parts[:1] if len(parts) <= 3 else [])]
    tries += parts[-1:] if len(parts) <= 3 else []
    for spelling in tries:
        if spelling in terms().always_summary:
            return "always"
    return "often" if any(spelling in terms().often_summary for spelling in tries) else None


@dataclass(slots=True, kw_only=True)
class _State:
    """What has been said of the rows to come, while reading down."""

    rows: Sequence[Sequence[Cell]]
    layout: Layout
    found: Sorted
    club_column: int | None
    n_named: int
    label: str | None = None
    label_row: int | None = None
    """The row of a label under which no shot stands yet."""
    club: str | None = None
    top: tuple[int, str] | None = None
    """Row and text of the last title above the header, which may be a label as well."""
    has_labelled_headers: bool = False

    def read_top(self) -> None:
        """Read what stands above the header: titles, a club for all, numbers out of place."""
        for place in range(self.layout.first_row):
            texts = [text_of(cell) for cell in self.rows[place]]
            self._set(place, self._top_kind(place, texts))

    def _top_kind(self, place: int, texts: list[str]) -> RowKind:
        if place in self.layout.header_rows:
            return "header"
        if place == self.layout.units_row:
            return "units"
        if not any(texts):
            return "blank"
        if is_rule(texts):
            return "rule"
        if is_mostly_numbers(texts):
            self._problem(place, "This row of numbers stands above the header; move it below.")
            return "problem"
        self._said(texts)
        self.top = (place, next(text for text in texts if text))
        return "title"

    def name_first(self) -> None:
        """Let the title above the first header be a label, where later headers have theirs."""
        if self.top is None:
            return
        place, text = self.top
        label = _without_block_word(text.strip(_DECORATION))
        if not self.has_labelled_headers and not _is_block_label(label):
            return
        for index, above in enumerate(self.found.sections):
            if above is not None:
                break
            self.found.sections[index] = label
        self._set(place, "section")

    def read_row(self, place: int) -> None:
        """Tell the kind of one row that needs a look."""
        texts = [text_of(cell) for cell in self.rows[place]]
        kind = self._kind(place, texts)
        if kind == "shot":
            self.take_shot(place)
        else:
            self._set(place, kind)

    def take_shot(self, place: int) -> None:
        """Take a row for a shot, under the label and the club named above it."""
        self.found.shots.append(place)
        self.found.sections.append(self.label)
        self.found.clubs.append(self.club)
        self.label_row = None

    def _set(self, place: int, kind: RowKind) -> None:
        self.found.kinds[place] = kind

    def _problem(self, place: int, reason: str) -> None:
        self.found.problems.append(
            Problem(row=place + 1, column=None, text=row_text(self.rows[place]), reason=reason)
        )

    def _kind(self, place: int, texts: list[str]) -> RowKind:
        if not any(texts):
            return "blank"
        if is_rule(texts):
            return "rule"
        if is_header_row(texts, self.layout):
            self.has_labelled_headers |= self.label_row is not None
            return "header"
        if is_units_row(texts) and self.found.kinds[place - 1] == "header":
            return "units"
        if self._is_summary(place, texts):
            return "summary"
        return self._kind_of_text(place, texts)

    def _kind_of_text(self, place: int, texts: list[str]) -> RowKind:
        """Tell the kind of a row that may be a label, a remark, or a poor shot."""
        if any(map(is_number, texts[self.n_named :])):
            self._problem(place, _SLIPPED)
            return "problem"
        named = [text for text in texts if text and not is_missing(text)]
        distinct = list(dict.fromkeys(named))
        if len(texts) > 1 and self._said(distinct):
            return "title"
        if len(distinct) != 1 or not _LETTER.search(distinct[0]) or not self._is_label(texts):
            return "shot"
        if self._is_bare_club(texts) or self._repeats(place, texts.index(named[0]), named[0]):
            return "shot"
        return self._take_label(place, distinct[0])

    def _is_label(self, texts: list[str]) -> bool:
        """Tell whether a row's only text is a label rather than the one value of a poor shot."""
        return len(self.layout.headers) > 1 or not _DIGIT.search("".join(texts))

    def _is_bare_club(self, texts: list[str]) -> bool:
        """Tell whether a row names its club, where others do too, and nothing else."""
        index = self.club_column
        if index is None or index >= len(texts) or not texts[index]:
            return False
        return club_class(texts[index]) is not None or club_name(texts[index]) == "putter"

    def _take_label(self, place: int, text: str) -> RowKind:
        label = text.strip(_DECORATION)
        first = squeezed(plain(label).split(" ")[0]) if plain(label) else ""
        if len(label) > _LONGEST_LABEL or first in terms().remarks or not label:
            self._problem(place, _REMARK)
            return "problem"
        if club_class(label) is not None:
            self.club = club_name(label)
            return "section"
        self.close_section()
        self.label, self.label_row = _without_block_word(label), place
        return "section"

    def close_section(self) -> None:
        """Report a label under which no shot stands."""
        if self.label_row is not None:
            self._problem(self.label_row, _REMARK)
            self._set(self.label_row, "problem")
            self.label_row = None

    def _said(self, texts: list[str]) -> bool:
        """Read a line such as ``Club: 7 iron``; tell whether it was one."""
        named = [text for text in texts if text]
        if len(named) == 1 and ":" in named[0]:
            named = [part.strip() for part in named[0].split(":", 1)]
        if len(named) != 2 or _DIGIT.match(named[0]):
            return False
        role = terms().roles.get(squeezed(named[0]))
        if role == "club" and club_class(named[1]) is not None:
            self.club = club_name(named[1])
            return True
        return False

    def _is_summary(self, place: int, texts: list[str]) -> bool:
        has_digits = bool(_DIGIT.search("".join(text[:60] for text in texts)))
        for index, text in enumerate(texts):
            word = summary_word(text) if text and _is_telling(text) else None
            if word == "often" and not has_digits:
                continue  # a label: max, best
            if word == "always" or (word == "often" and not self._repeats(place, index, text)):
                return True
        return False

    def _repeats(self, place: int, index: int, text: str) -> bool:
        """Tell whether the row above or below has the same text: a label of shots, not a sum."""
        for near in (place - 1, place + 1):
            row = self.rows[near] if 0 <= near < len(self.rows) else []
            if index < len(row) and text_of(row[index]) == text:
                return True
        return False


def _is_block_label(label: str) -> bool:
    """Tell whether a title by its words alone is the label of a block: before, Block 1."""
    words = plain(label).split()
    return squeezed(label) in terms().block_values or (
        0 < len(words) <= 3 and words[0] in terms().block_words
    )


def _without_block_word(label: str) -> str:
    """Take ``Block:`` from before a label; a number after it stays with it."""
    first, mark, rest = label.partition(":")
    if mark and rest.strip() and squeezed(first) in terms().block_words:
        return rest.strip()
    return label


def is_header_row(texts: Sequence[str], layout: Layout) -> bool:
    """Tell whether a row repeats the header, or is a header of its own."""
    named = [text for text in texts if text]
    if not named:
        return False
    headers = {header_key_part(header) for header in layout.headers}
    if any(is_number(text) and header_key_part(text) not in headers for text in named):
        return False
    same = sum(1 for text in named if header_key_part(text) in headers)
    if layout.header_rows and same >= 2 and 2 * same >= len(named):
        return True
    if layout.header_rows and same == len(named) == len(layout.headers):
        return True
    known = [text for text in named if _names_quantity(text)]
    return len(known) >= 2 and 2 * len(known) >= len(named)


def _names_quantity(text: str) -> bool:
    meaning = understand(text) if len(text) <= 60 else None
    return meaning is not None and meaning.role == "quantity" and meaning.strength > LOOSE
