"""Reads the tables of outside checks: rows of numbers, each with its source and its tolerance.

A table is a CSV file. Lines that start with ``#`` say, for the rows under them, where the numbers
stand (``place:``) and why the tolerance is what it is (``tolerance:``). The first column of every
row is ``source``, a key of ``sources.toml``. Numbers such as "check 26" are those of the list of
checks that was drawn up before the code.
"""

import csv
import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, TypeVar

import pytest

HERE = Path(__file__).parent

Model = Literal[
    "air", "ball", "flight", "bounce", "impact forward", "impact backward", "arc", "swing"
]
Test = TypeVar("Test", bound=Callable[..., None])


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row of a table of checks."""

    source: str
    numbers: dict[str, float]
    words: dict[str, str]
    place: str
    tolerance_reason: str

    def __getitem__(self, column: str) -> float:
        return self.numbers[column]


def sources() -> dict[str, dict[str, str]]:
    """All sources by key."""
    return tomllib.loads((HERE / "sources.toml").read_text(encoding="utf-8"))


def rows(table: str) -> list[Row]:
    """All rows of one table."""
    said = {"place": "", "tolerance": ""}
    header: list[str] = []
    found: list[Row] = []
    for line in (HERE / "data" / f"{table}.csv").read_text(encoding="utf-8").splitlines():
        if line.startswith("#"):
            key, _, text = line[1:].partition(":")
            if key.strip() in said:
                said[key.strip()] = text.strip()
        elif line.strip():
            cells = next(csv.reader([line]))
            if not header:
                header = cells
                continue
            found.append(_row(dict(zip(header, cells, strict=True)), said))
    return found


def _row(cells: dict[str, str], said: dict[str, str]) -> Row:
    numbers, words = {}, {}
    for column, cell in cells.items():
        try:
            numbers[column] = float(cell)
        except ValueError:
            words[column] = cell
    return Row(
        source=words.pop("source"),
        numbers=numbers,
        words=words,
        place=said["place"],
        tolerance_reason=said["tolerance"],
    )


def each(table: str) -> pytest.MarkDecorator:
    """Run a test once for every row of a table, named by source and number of the row."""
    found = rows(table)
    names = [f"{row.source}-{k}" for k, row in enumerate(found, start=1)]
    return pytest.mark.parametrize("row", found, ids=names)


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """What a test says it checks: a model, against these sources, for these rows of the list."""

    model: Model
    sources: tuple[str, ...]
    rows: tuple[int, ...]
    test: Callable[..., None]

    @property
    def cases(self) -> int:
        """How many checks the test makes: one for every set of parameters."""
        number = 1
        for mark in getattr(self.test, "pytestmark", []):
            if mark.name == "parametrize":
                number *= len(mark.args[1])
        return number


CLAIMS: dict[str, Claim] = {}
"""Every claim by ``module.test``, in the order of the files."""


def against(
    *named: str, model: Model, table: str | None = None, check: int | tuple[int, ...] = ()
) -> Callable[[Test], Test]:
    """Say what a test is checked against: sources by name, or those of the rows of a table."""
    from_table = () if table is None else tuple(dict.fromkeys(row.source for row in rows(table)))
    numbers = (check,) if isinstance(check, int) else check

    def claim(test: Test) -> Test:
        name = f"{test.__module__.rpartition('.')[2]}.{test.__name__}"
        CLAIMS[name] = Claim(model=model, sources=named + from_table, rows=numbers, test=test)
        return test

    return claim
