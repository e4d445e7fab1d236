"""From the laboratory's frame into the golfer's: one turn, and a mirror for the left hand."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError
from leadfoot.ground.choices import Axis
from leadfoot.ground.recording import Hand

Values = NDArray[np.float64]

AXES: tuple[Axis, ...] = ("+x", "-x", "+y", "-y", "+z", "-z")
_LEAST_UPRIGHT = 0.9
"""Least cosine between a plate's normal and an axis of the laboratory (own choice: 25 degrees)."""


def direction(axis: Axis) -> Values:
    """Give a direction of the laboratory as a vector, shape (3,).

    Examples
    --------
    >>> direction("-y")
    array([ 0., -1.,  0.])
    """
    vector = np.zeros(3)
    vector["xyz".index(axis[1])] = -1.0 if axis[0] == "-" else 1.0
    return vector


def nearest_axis(vector: Values) -> Axis:
    """Name the direction of the laboratory that is nearest to a vector.

    Examples
    --------
    >>> nearest_axis(np.array([0.1, -0.9, 0.0]))
    '-y'
    """
    return max(AXES, key=lambda axis: float(direction(axis) @ vector))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Frame:
    """How a vector of the laboratory is written in the golfer's frame.

    Attributes
    ----------
    turn
        Rows are the golfer's axes in the laboratory, right-handed before the mirror, shape (3, 3).
    is_mirrored
        True for the left hand: then y of vectors, and x and z of moments, change sign.
    words
        The same in words.
    """

    turn: Values
    is_mirrored: bool
    words: str

    def vector(self, values: Values) -> Values:
        """Turn forces or places, shape (3, n)."""
        return self._mirror(self.turn @ values, np.array([1.0, -1.0, 1.0]))

    def moment(self, values: Values) -> Values:
        """Turn moments, shape (3, n): a mirror turns them the other way."""
        return self._mirror(self.turn @ values, np.array([-1.0, 1.0, -1.0]))

    def _mirror(self, values: Values, signs: Values) -> Values:
        return np.asarray(values * signs[:, None] if self.is_mirrored else values)


def frame_of(target: Axis, up: Axis, hand: Hand) -> Frame:
    """Frame of a golfer: x toward the ball, y toward the target, z up.

    Parameters
    ----------
    target, up
        Where the target lies, and where up is, in the laboratory.
    hand
        The golfer's hand: the ball of a left-hander lies on the other side.

    Raises
    ------
    InputError
        If the target is said to lie up or down.

    Examples
    --------
    >>> frame_of("+y", "+z", "right").turn
    array([[1., 0., 0.], [0., 1., 0.], [0., 0., 1.]])
    >>> lefty = frame_of("+y", "+z", "left")
    >>> lefty.vector(np.array([[-1.0], [1.0], [0.0]]))[:, 0]  # the ball lies at -x
    array([1., 1., 0.])
    """
    if target[1] == up[1]:
        raise InputError(
            f"The target can't lie in the direction {target}: that is up or down here.",
            fix=f"Use one of: {' '.join(axis for axis in AXES if axis[1] != up[1])}.",
        )
    z, y = direction(up), direction(target)
    x = np.cross(y, z)
    words = f"target at {target}, up at {up} of the laboratory"
    if hand == "left":
        # facing the ball a left-hander has the target on the right: turn half about z, then mirror
        return Frame(
            turn=np.stack([-x, -y, z]), is_mirrored=True, words=f"{words}; mirrored for the left"
        )
    return Frame(turn=np.stack([x, y, z]), is_mirrored=False, words=words)


def up_of(normals: Values) -> Axis:
    """Find where up is: the axis of the laboratory that the plates' normals lie along.

    Parameters
    ----------
    normals
        Unit vectors across the surfaces, either way, shape (plates, 3).

    Raises
    ------
    InputError
        If the plates do not lie flat in any plane of the laboratory.

    Examples
    --------
    >>> up_of(np.array([[0.0, 0.0, -1.0], [0.0, 0.02, -1.0]]))
    '+z'
    """
    along = np.abs(normals).min(axis=0)
    place = int(np.argmax(along))
    if along[place] < _LEAST_UPRIGHT:
        raise InputError(
            "The plates of the file do not lie flat in one plane of the laboratory.",
            fix="Export the recording in a frame with one axis up.",
        )
    return AXES[2 * place]
