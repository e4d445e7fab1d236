"""A reading as JSON, in the form that scripts may rely on."""

from typing import Any

from leadfoot.shots.columns import Column
from leadfoot.shots.reading import TableReading
from leadfoot.shots.shot import Shot
from leadfoot.tables.problem import Problem

SCHEMA = "leadfoot.read/1"
"""Name and version of the form."""


def read_json(reading: TableReading) -> dict[str, Any]:
    r"""Give a reading as plain dictionaries and lists.

    Examples
    --------
    >>> from leadfoot.shots.read import read_table
    >>> read_json(read_table(b"Carry [m]\n200\n"))["shots"]
    [{'row': 2, 'block': None, 'club': None, 'values': {'carry': {'value': 200.0, 'unit': 'm'}}}]
    """
    doubts = [
        {
            "row": None,
            "column": question.column,
            "text": _in_unit(question.unit),
            "reason": question.text,
        }
        for question in reading.questions
    ]
    return {
        "schema": SCHEMA,
        "columns": [_column(column) for column in reading.columns],
        "blocks": [
            {
                "label": block.label,
                "first_row": block.first_row,
                "last_row": block.last_row,
                "n_shots": block.n_shots,
            }
            for block in reading.blocks
        ],
        "shots": [_shot(shot) for shot in reading.shots],
        "problems": [*doubts, *(problem_json(problem) for problem in reading.problems)],
    }


def _in_unit(unit: str | None) -> str:
    return f"read in {unit}" if unit else "read as it stands"


def _column(column: Column) -> dict[str, Any]:
    return {
        "header": column.header,
        "quantity": column.quantity,
        "unit": column.unit,
        "reason": column.reason,
        "sure": column.sure,
    }


def _shot(shot: Shot) -> dict[str, Any]:
    return {
        "row": shot.row,
        "block": shot.block,
        "club": shot.club,
        "values": {
            key: {"value": reading.value, "unit": reading.unit}
            for key, reading in shot.values.items()
        },
    }


def problem_json(problem: Problem) -> dict[str, Any]:
    """One problem in the published form."""
    return {
        "row": problem.row,
        "column": problem.column,
        "text": problem.text,
        "reason": problem.reason,
    }
