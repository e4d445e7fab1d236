"""Files that the command line reads, and what their problems mean for the exit code."""

import sys
from collections.abc import Sequence
from pathlib import Path

from leadfoot.errors import InputError
from leadfoot.shots.columns import ColumnMapping
from leadfoot.tables.problem import Problem

LEFT_OUT = 4
"""Exit code where a part of the input was left out and the rest was done."""


def bytes_of(file: Path) -> bytes:
    """Read a file, or standard input for ``-``.

    Raises
    ------
    InputError
        If it can't be opened.
    """
    try:
        return sys.stdin.buffer.read() if str(file) == "-" else file.read_bytes()
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
