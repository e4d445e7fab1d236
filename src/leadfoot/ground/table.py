"""Read a force recording from a plain table: bytes in, columns, questions and a recording out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import zip_longest

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError
from leadfoot.ground.assemble import About, assemble
from leadfoot.ground.choices import Choices
from leadfoot.ground.clock import Clock, clock_of
from leadfoot.ground.recording import Recording, Remark
from leadfoot.ground.table_columns import (
    ForceColumn,
    ForceMapping,
    ForceRule,
    columns_of,
    key_of,
)
from leadfoot.ground.table_layout import Layout, find_layout
from leadfoot.ground.table_plates import PlateColumns, lab_plates, units_of_columns
from leadfoot.ground.table_terms import is_force_term, names_force_column
from leadfoot.tables.grid import Cell, Grid, text_of
from leadfoot.tables.lines import PartedLines
from leadfoot.tables.marks import Mark, column_marks, table_mark
from leadfoot.tables.open import open_table
from leadfoot.tables.problem import Problem

Values = NDArray[np.float64]

_MOST_PROBLEMS = 100
"""Bad cells that are told one by one; the rest are counted. Our own choice."""
_LOOKED_AT = 2000
"""Rows by which the decimal mark is told."""
_MAY_BE_EMPTY = ("cx", "cy", "tz")
_MISSING = frozenset({"", "nan", "n/a", "na", "-", "--", "inf", "-inf", "#n/a", "#div/0!"})
"""Cells that say that nothing was measured."""
_SLOWEST_HZ = 5.0
"""Steps of time that would make a slower rate are in ms (own choice). [Hz]"""
_SAME_RATE = 0.01


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ForceReading:
    """All that was understood of a table of forces.

    Attributes
    ----------
    recording
        None while nobody knows which column is the vertical force, or the rate.
    columns
        What each column was taken for.
    questions
        What must be answered before there is a recording.
    problems
        Cells and rows that could not be used.
    header_key
        Key by which a saved mapping is found again.
    source
        How the cells were found: delimiter and encoding, or the sheet.
    """

    recording: Recording | None
    columns: tuple[ForceColumn, ...]
    questions: tuple[str, ...]
    problems: tuple[Problem, ...]
    header_key: str
    source: str

    def mapping(self) -> ForceMapping:
        """Give what the columns were taken for, to be changed, confirmed and saved."""
        return ForceMapping(
            columns=tuple(
                ForceRule(
                    header=column.header,
                    quantity=column.quantity,
                    plate=column.plate,
                    unit=column.unit if column.quantity is not None else None,
                )
                for column in self.columns
            )
        )


def read_force_table(
    data: bytes, *, choices: Choices | None = None, mapping: ForceMapping | None = None
) -> ForceReading:
    r"""Read the forces of a table, whatever its shape.

    Parameters
    ----------
    data
        The file as it came: CSV, TSV and their like in any encoding, or a workbook.
    choices
        What is known beside the file; it wins over what is found.
    mapping
        What the columns mean, as a person confirmed; other columns are guessed.

    Raises
    ------
    InputError
        If the file is empty, damaged, or has no rows of numbers.
    MappingError
        If the mapping fits no column.

    Examples
    --------
    >>> rows = "\n".join(f"{k / 500},{400 + k % 2},{380 - k % 2}" for k in range(600))
    >>> reading = read_force_table(f"time [s],Left Fz [N],Right Fz [N]\n{rows}".encode())
    >>> recording = reading.recording
    >>> recording.rate_hz, [plate.foot for plate in recording.plates], recording.sees
    (500.0, ['lead', 'trail'], 'vertical')
    """
    choices = choices or Choices()
    grid = open_table(data, names_column=names_force_column, is_term=is_force_term, lazily=True)
    layout = find_layout(grid.rows, mapping)
    columns = columns_of(layout.headers, layout.groups, layout.units, mapping)
    columns = columns if layout.header_row is not None or mapping else _bare(columns)
    table = _Numbers.of(grid, layout, columns)
    questions = [*_asks_columns(columns)]
    clock, rate_words, remarks = _clock(table, layout, columns, choices)
    if clock is None:
        questions.append(
            "The table has no column of time and says no rate; give the samples a second."
        )
    recording = None
    if clock is not None and not questions:
        remarks += _left_below(grid, layout)
        recording = _recording(
            table, columns, clock, rate_words=rate_words, remarks=remarks, choices=choices
        )
    return ForceReading(
        recording=recording,
        columns=columns,
        questions=tuple(questions),
        problems=(*grid.problems, *table.problems),
        header_key=key_of(columns),
        source=grid.source,
    )


def _bare(columns: tuple[ForceColumn, ...]) -> tuple[ForceColumn, ...]:
    """Take a bare table of two columns for time and vertical force; others must be said."""
    if len(columns) != 2:
        return columns
    said: tuple[ForceRule, ...] = (
        ForceRule(header=columns[0].header, quantity="time"),
        ForceRule(header=columns[1].header, quantity="fz", plate=1),
    )
    return tuple(
        ForceColumn(
            index=column.index,
            header=column.header,
            quantity=rule.quantity,
            plate=rule.plate,
            words="",
            unit=None,
            reason="two columns without a header: time and vertical force",
            sure=False,
        )
        for column, rule in zip(columns, said, strict=True)
    )


def _asks_columns(columns: Sequence[ForceColumn]) -> list[str]:
    if any(column.quantity == "fz" for column in columns):
        return []
    names = ", ".join(repr(column.header) for column in columns[:20])
    return [f"No column is known as a vertical force; say what these are: {names}."]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Numbers:
    """The columns that are read, as numbers, and the cells that are none."""

    by_index: dict[int, Values]
    rows: range
    problems: tuple[Problem, ...]

    @classmethod
    def of(cls, grid: Grid, layout: Layout, columns: Sequence[ForceColumn]) -> "_Numbers":
        body = grid.rows[layout.first_row : layout.last_row]
        head = list(zip_longest(*body[:_LOOKED_AT], fillvalue=""))
        used = [c for c in columns if c.quantity is not None and c.index < len(head)]
        decimal: Mark = table_mark([column_marks(head[c.index]) for c in used]) or "."
        at_once = None
        if used and isinstance(body, PartedLines):
            at_once = body.numbers(0, len(body), [c.index for c in used], decimal)
        if at_once is None:
            return cls._one_by_one(body, layout, columns, decimal)
        problems: list[Problem] = []
        for column, values in zip(used, at_once, strict=True):
            places = np.flatnonzero(~np.isfinite(values)).tolist()
            values[places] = np.nan
            bad = {place: body[place][column.index] for place in places}
            problems += _bad_cells(column, bad, layout.first_row)
        found = {column.index: values for column, values in zip(used, at_once, strict=True)}
        return cls(by_index=found, rows=_rows(layout), problems=tuple(problems))

    @classmethod
    def _one_by_one(
        cls,
        body: Sequence[Sequence[Cell]],
        layout: Layout,
        columns: Sequence[ForceColumn],
        decimal: Mark,
    ) -> "_Numbers":
        """Read the cells each for itself, so that one that is no number costs no other."""
        cells = list(zip_longest(*body, fillvalue=""))
        problems: list[Problem] = []
        found: dict[int, Values] = {}
        for column in columns:
            if column.quantity is None or column.index >= len(cells):
                continue
            found[column.index], places = _column_numbers(cells[column.index], decimal)
            bad = {place: cells[column.index][place] for place in places}
            problems += _bad_cells(column, bad, layout.first_row)
        return cls(by_index=found, rows=_rows(layout), problems=tuple(problems))


def _rows(layout: Layout) -> range:
    """Give the rows as a spreadsheet counts them."""
    return range(layout.first_row + 1, layout.last_row + 1)


def _column_numbers(cells: Sequence[Cell], decimal: Mark) -> tuple[Values, list[int]]:
    """Read one column at once, or cell by cell where one of them is no number."""
    texts = cells
    if decimal == ",":
        texts = [cell.replace(",", ".") if isinstance(cell, str) else cell for cell in cells]
    try:
        values = np.fromiter(map(float, texts), dtype=np.float64, count=len(texts))
    except ValueError:
        values = np.array([_number(cell) for cell in texts])
    bad = np.flatnonzero(~np.isfinite(values))
    values[bad] = np.nan
    return values, [int(place) for place in bad]


def _is_missing(cell: Cell) -> bool:
    return text_of(cell).casefold() in _MISSING if isinstance(cell, str) else True


def _number(cell: Cell) -> float:
    try:
        return float(cell)
    except ValueError:
        return float("nan")


def _bad_cells(column: ForceColumn, cells: Mapping[int, Cell], first_row: int) -> list[Problem]:
    """Tell the cells that are no numbers, by their place below the header."""
    bad = list(cells)
    if column.quantity in _MAY_BE_EMPTY:  # an empty plate has no place and no moment there
        bad = [place for place in bad if not _is_missing(cells[place])]
    told = [
        Problem(
            row=first_row + place + 1,
            column=column.header,
            text=text_of(cells[place])[:60],
            reason="This is no number; the sample is left empty.",
        )
        for place in bad[:_MOST_PROBLEMS]
    ]
    if len(bad) > _MOST_PROBLEMS:
        rest = len(bad) - _MOST_PROBLEMS
        told.append(
            Problem(
                row=None,
                column=column.header,
                text=f"{rest} cells",
                reason="They are no numbers either; the samples are left empty.",
            )
        )
    return told


def _clock(
    table: _Numbers, layout: Layout, columns: Sequence[ForceColumn], choices: Choices
) -> tuple[Clock | None, str, list[Remark]]:
    """Find the rate: as given, by the column of time, by a note above the header."""
    time = next((c for c in columns if c.quantity == "time" and c.index in table.by_index), None)
    if choices.rate_hz is not None:
        return Clock(rate_hz=choices.rate_hz, start_s=0.0), "as given", []
    if time is None:
        if layout.rate_hz is None:
            return None, "", []
        remarks = [] if layout.is_rate_sure else [_lone_rate(layout)]
        return Clock(rate_hz=layout.rate_hz, start_s=0.0), layout.rate_words, remarks
    times, words, remarks = _seconds(table.by_index[time.index], time)
    clock = clock_of(times, table.rows)
    remarks += clock.remarks
    told_hz = layout.rate_hz if layout.is_rate_sure else None
    if told_hz is not None and abs(clock.rate_hz / told_hz - 1.0) > _SAME_RATE:
        remarks.append(
            Remark(
                kind="rate",
                weight="doubt",
                text=f"The times make {clock.rate_hz:g} samples a second, {layout.rate_words} says "
                f"{told_hz:g}; the times are used.",
                fix="Give the rate that the plates were read with.",
            )
        )
    return clock, words, remarks


def _lone_rate(layout: Layout) -> Remark:
    return Remark(
        kind="rate",
        weight="doubt",
        text=f"The rate of {layout.rate_hz:g} samples a second is taken from {layout.rate_words}.",
        fix="Give the rate if this is wrong.",
    )


def _seconds(times: Values, column: ForceColumn) -> tuple[Values, str, list[Remark]]:
    """Turn a column of times into seconds; without a unit by the size of its steps."""
    words = f"column {column.header!r}"
    if column.unit == "ms":
        return times / 1000.0, words, []
    steps = np.diff(times[np.isfinite(times)])
    usual = float(np.median(steps)) if steps.size else 0.0
    if column.unit is None and usual > 1.0 / _SLOWEST_HZ:
        remark = Remark(
            kind="time_unit",
            weight="doubt",
            text=f"Steps of {usual:g} in {column.header!r} are taken as ms.",
            fix="Give the rate if this is wrong.",
        )
        return times / 1000.0, words, [remark]
    return times, words, []


def _left_below(grid: Grid, layout: Layout) -> list[Remark]:
    """Say that rows below a blank one were left aside."""
    rest = sum(1 for row in grid.rows[layout.last_row :] if any(map(text_of, row)))
    if not rest:
        return []
    return [
        Remark(
            kind="rows_below",
            weight="note",
            text=f"{rest} rows below the blank row {layout.last_row + 1} are left aside.",
            fix="Delete the blank row if they belong to the forces.",
        )
    ]


def _recording(
    table: _Numbers,
    columns: Sequence[ForceColumn],
    clock: Clock,
    *,
    rate_words: str,
    remarks: list[Remark],
    choices: Choices,
) -> Recording:
    by_plate: dict[int, PlateColumns] = {}
    trigger: Values | None = None
    trigger_name: str | None = None
    for column in columns:
        if column.quantity is None or column.index not in table.by_index:
            continue
        values = clock.put(table.by_index[column.index])
        if column.quantity == "trigger":
            trigger, trigger_name = values, column.header
        elif column.plate is not None:
            plate = by_plate.setdefault(column.plate, PlateColumns(words=column.words))
            plate.values[column.quantity] = values
            plate.units[column.quantity] = column.unit
    units, about_units = units_of_columns(by_plate.values(), choices)
    plates, about_plates = lab_plates(by_plate, units, choices)
    if not plates:
        raise InputError(
            "No plate of the table has a vertical force.", fix="Say which column it is."
        )
    about = About(
        form="table",
        rate_hz=clock.rate_hz,
        rate_reason=rate_words,
        force_unit=units.force,
        length_unit=units.length,
        moment_unit=units.moment,
        unit_reason=units.reason,
        start_s=clock.start_s,
        trigger=trigger,
        trigger_name=trigger_name,
        remarks=(*remarks, *about_units, *about_plates),
    )
    return assemble(plates, about, choices)
