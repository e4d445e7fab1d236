"""The table that the instrument of the demo studio hands over: plain, and said to be invented."""

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from leadfoot.desk.records import NewShot, Role
from leadfoot.quantities import quantity

LABELS: Mapping[Role, str] = MappingProxyType(
    {"before": "before", "with_change": "with the change", "other": "warm-up"}
)
"""Labels of the blocks by role."""


def lesson_csv(
    blocks: Sequence[tuple[Role, Sequence[NewShot]]],
) -> tuple[str, list[tuple[Role, list[NewShot]]]]:
    """Write the balls of a lesson as a table, and number them by its rows.

    Parameters
    ----------
    blocks
        Role and balls of each block, in hitting order.

    Returns
    -------
    tuple of str and list
        The text of the table, and the blocks again with the row of every ball.

    Examples
    --------
    >>> from leadfoot.shots.shot import Reading
    >>> ball = NewShot(club="driver", values={"carry": Reading(value=180.5, unit="yd")})
    >>> text, blocks = lesson_csv([("before", [ball])])
    >>> text.splitlines()[1:]
    ['ball,block,club,carry [yd]', '1,before,driver,180.5']
    >>> blocks[0][1][0].row
    3
    """
    shots = [shot for _, run in blocks for shot in run]
    units = {key: reading.unit for shot in shots for key, reading in shot.values.items()}
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["Invented balls of the demo studio: no real student, no real instrument"])
    heads = [f"{quantity(key).name} [{unit}]" for key, unit in units.items()]
    writer.writerow(["ball", "block", "club", *heads])
    row = 2
    numbered: list[tuple[Role, list[NewShot]]] = []
    for role, run in blocks:
        numbered.append((role, []))
        for shot in run:
            row += 1
            cells = [_cell(shot, key) for key in units]
            writer.writerow([row - 2, LABELS[role], shot.club, *cells])
            numbered[-1][1].append(replace(shot, row=row))
    return out.getvalue(), numbered


def _cell(shot: NewShot, key: str) -> str:
    reading = shot.values.get(key)
    return "" if reading is None else f"{reading.value:g}"
