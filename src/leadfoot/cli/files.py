"""Files that the command line reads, and what their problems mean for the exit code."""

import sys
from collections.abc import Sequence
from contextlib import nullcontext
from pathlib import Path

from leadfoot.errors import InputError
from leadfoot.shots.columns import ColumnMapping
from leadfoot.tables.decode import LARGEST_BYTES, refuse_size
from leadfoot.tables.problem import Problem

LEFT_OUT = 4
"""Exit code where a part of the input was left out and the rest was done."""


def bytes_of(file: Path) -> bytes:
    """Read a file, or standard input for ``-``.

    Raises
    ------
    InputError
        If it can't be opened, or is larger than any table that is read.
    """
    try:
        with nullcontext(sys.stdin.buffer) if str(file) == "-" else file.open("rb") as source:
            data = source.read(LARGEST_BYTES + 1)
            refuse_size(max(len(data), 0 if str(file) == "-" else file.stat().st_size))
            return data
    except OSError as error:
        raise InputError(
            f"File {str(file)!r} can't be opened: {error.strerror}.", fix="Check the path."
        ) from error


def mapping_of(file: Path | None) -> ColumnMapping | None:
    """Read a saved column mapping.

    Raises
    ------
    MappingError
        If it is not one.
    """
    if file is None:
        return None
    return ColumnMapping.from_json(bytes_of(file).decode("utf-8", errors="replace"))


def exit_code(problems: Sequence[Problem]) -> int:
    """0, or 4 where a row, a cell or a club was left out."""
    left_out = any(problem.row is not None or problem.column == "club" for problem in problems)
    return LEFT_OUT if left_out else 0
