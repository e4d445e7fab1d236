"""The corners of a plate: whether they go round it, and which two were exchanged."""

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError
from leadfoot.ground.recording import Remark

Values = NDArray[np.float64]

_SLACK = 0.02
"""How far sides and diagonals may differ from a rectangle's, as a share (own choice)."""
_SHORTEST_M, _LONGEST_M = 0.05, 5.0
_EXCHANGED = (((0, 1, 3, 2), "3 and 4"), ((0, 2, 1, 3), "2 and 3"))
"""Orders tried where the corners cross, and the corners exchanged."""


def is_rectangle(corners_m: Values) -> bool:
    """Tell whether four corners go round a rectangle.

    Parameters
    ----------
    corners_m
        Shape (4, 3). [m]

    Examples
    --------
    >>> corners_m = np.array([[0, 0, 0], [0.6, 0, 0], [0.6, 0.9, 0], [0, 0.9, 0]])
    >>> is_rectangle(corners_m), is_rectangle(corners_m[[0, 1, 3, 2]])
    (True, False)
    """
    c1, c2, c3, c4 = corners_m
    pairs = ((c1, c2), (c3, c4), (c2, c3), (c4, c1), (c1, c3), (c2, c4))
    a, a2, b, b2, d, d2 = (float(np.linalg.norm(one - other)) for one, other in pairs)
    slack = _SLACK * max(d, d2)
    opposite = abs(a - a2) <= slack and abs(b - b2) <= slack and abs(d - d2) <= slack
    return opposite and abs(d - float(np.hypot(a, b))) <= slack and min(a, b) > slack


def set_right(corners_m: Values, name: str) -> tuple[Values, list[Remark]]:
    """Give the corners in an order that goes round, and say what was exchanged.

    Parameters
    ----------
    corners_m
        As they stand in the file, shape (4, 3). [m]
    name
        Name of the plate, for the remark.

    Raises
    ------
    InputError
        If no order of them makes a plate.

    Examples
    --------
    >>> corners_m = np.array([[0, 0, 0], [0.6, 0, 0], [0, 0.9, 0], [0.6, 0.9, 0]])
    >>> right, remarks = set_right(corners_m, "plate 1")
    >>> right[2:, 0], remarks[0].text
    (array([0.6, 0. ]), 'Corners 3 and 4 of plate 1 are exchanged: its sides cross.')
    """
    sides = np.linalg.norm(corners_m - np.roll(corners_m, 1, axis=0), axis=1)
    if not (np.isfinite(sides).all() and sides.min() >= _SHORTEST_M and sides.max() <= _LONGEST_M):
        raise InputError(
            f"Its corners are {sides.min():g} to {sides.max():g} m apart; a plate's are "
            f"{_SHORTEST_M:g} to {_LONGEST_M:g} m.",
            fix="Check the unit of length, or export the recording with the plates' corners.",
        )
    if is_rectangle(corners_m):
        return corners_m, []
    for order, which in _EXCHANGED:
        if is_rectangle(corners_m[list(order)]):
            remark = Remark(
                kind="corners",
                weight="doubt",
                plate=name,
                text=f"Corners {which} of {name} are exchanged: its sides cross.",
                fix="Nothing, if the centre of pressure lies under the feet; correct the corners "
                "in the laboratory's settings.",
            )
            return corners_m[list(order)], [remark]
    raise InputError(
        "Its four corners make no rectangle in any order.",
        fix="Export the recording with the plates' corners.",
    )
