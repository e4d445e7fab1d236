"""From the channels of a plate to force and moment at the middle of its surface.

Plate frame as in the C3D standard (c3d.org, FORCE_PLATFORM): corner 1 at +x +y, corner 2 at -x +y,
z normally down into the plate. The moment is always about the middle of the working surface.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError

Values = NDArray[np.float64]

ROLES: Mapping[int, tuple[str, ...]] = MappingProxyType(
    {
        1: ("fx", "fy", "fz", "px", "py", "mz"),
        2: ("fx", "fy", "fz", "mx", "my", "mz"),
        3: ("fx12", "fx34", "fy14", "fy23", "fz1", "fz2", "fz3", "fz4"),
        4: ("fx", "fy", "fz", "mx", "my", "mz"),
    }
)
"""What the channels of each type of plate hold, in order (c3d.org, FORCE_PLATFORM:TYPE)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Push:
    """Force and moment at the middle of a surface.

    Attributes
    ----------
    force_n
        Shape (3, n). [N]
    moment_nm
        About the middle of the surface, shape (3, n). [N m]
    """

    force_n: Values
    moment_nm: Values


def push_of_six(force_n: Values, moment_nm: Values, origin_m: Values) -> Push:
    """Move the moment of a plate with six channels (types 2 and 4) to its surface.

    Parameters
    ----------
    force_n, moment_nm
        Force, and moment about the origin of the sensors, shape (3, n). [N], [N m]
    origin_m
        From the origin of the sensors to the middle of the surface, shape (3,); z is negative in a
        plate frame with z down. [m]

    Notes
    -----
    ``M' = M + F x o``: exact.

    Examples
    --------
    >>> down = np.array([[0.0], [0.0], [900.0]])
    >>> sideways = np.array([[40.0], [0.0], [900.0]])
    >>> push_of_six(sideways, np.zeros((3, 1)), np.array([0.0, 0.0, -0.05])).moment_nm[:, 0]
    array([0., 2., 0.])
    >>> push_of_six(down, np.zeros((3, 1)), np.array([0.0, 0.0, -0.05])).moment_nm[:, 0]
    array([0., 0., 0.])
    """
    arm = np.broadcast_to(origin_m[:, None], force_n.shape)
    return Push(force_n=force_n, moment_nm=moment_nm + np.cross(force_n, arm, axis=0))


def push_of_eight(channels_n: Values, origin_m: Values) -> Push:
    """Force and moment of a plate with eight sensors (type 3).

    Parameters
    ----------
    channels_n
        Fx12, Fx34, Fy14, Fy23, Fz1, Fz2, Fz3, Fz4, shape (8, n). [N]
    origin_m
        Half the distances of the sensors along x and y, and the sensors' place under the surface
        as a negative number: (a, b, az0). [m]

    Notes
    -----
    ``Fx = Fx12 + Fx34``, ``Fy = Fy14 + Fy23``, ``Fz`` the sum of four,
    ``M'x = b (Fz1 + Fz2 - Fz3 - Fz4) + Fy az0``, ``M'y = a (-Fz1 + Fz2 + Fz3 - Fz4) - Fx az0``,
    ``M'z = b (Fx34 - Fx12) + a (Fy14 - Fy23)``. These agree with the centre of pressure that one
    maker's program exports to 0.0008 mm (recordings in ``tests/outside/test_plates.py``).

    Examples
    --------
    >>> channels = np.array([[0.0, 0.0, 0.0, 0.0, 100.0, 100.0, 50.0, 50.0]]).T
    >>> push_of_eight(channels, np.array([0.2, 0.3, -0.05])).moment_nm[:, 0]
    array([30., 0., 0.])
    """
    fx12, fx34, fy14, fy23, fz1, fz2, fz3, fz4 = channels_n
    a, b, depth = (float(value) for value in origin_m)
    fx, fy = fx12 + fx34, fy14 + fy23
    return Push(
        force_n=np.stack([fx, fy, fz1 + fz2 + fz3 + fz4]),
        moment_nm=np.stack(
            [
                b * (fz1 + fz2 - fz3 - fz4) + fy * depth,
                a * (-fz1 + fz2 + fz3 - fz4) - fx * depth,
                b * (fx34 - fx12) + a * (fy14 - fy23),
            ]
        ),
    )


def push_of_placed(force_n: Values, place_m: Values, free_moment_nm: Values) -> Push:
    """Force and moment of a plate that gives its centre of pressure itself (type 1).

    Parameters
    ----------
    force_n
        Shape (3, n). [N]
    place_m
        Centre of pressure from the middle of the surface, x and y, shape (2, n). [m]
    free_moment_nm
        Moment about z at the centre of pressure, shape (n,). [N m]

    Examples
    --------
    >>> push = push_of_placed(
    ...     np.array([[0.0], [0.0], [800.0]]), np.array([[0.1], [0.2]]), np.array([5.0])
    ... )
    >>> push.moment_nm[:, 0]
    array([160., -80., 5.])
    """
    x, y = place_m
    fx, fy, fz = force_n
    return Push(
        force_n=force_n,
        moment_nm=np.stack([y * fz, -x * fz, free_moment_nm + x * fy - y * fx]),
    )


def calibrated(channels: Values, matrix: Values) -> Values:
    """Multiply the six channels of a type-4 plate by its matrix, which the file has by columns.

    Parameters
    ----------
    channels
        Shape (6, n).
    matrix
        The 36 numbers of CAL_MATRIX as they stand in the file.

    Raises
    ------
    InputError
        If there are not 36 numbers, or they are not all finite, or the matrix has no inverse.

    Examples
    --------
    >>> matrix = np.eye(6)
    >>> matrix[0, 1] = 0.5  # the second channel leaks into the first
    >>> calibrated(np.ones((6, 1)), matrix.ravel(order="F"))[:2, 0]
    array([1.5, 1. ])
    """
    if matrix.size != 36 or not np.isfinite(matrix).all():
        raise InputError(
            f"The calibration matrix of a plate of type 4 has {matrix.size} numbers, or one that "
            "is none; it takes 36.",
            fix="Export the recording with the plate's calibration, or as type 2.",
        )
    whole = matrix.reshape(6, 6, order="F")
    if np.linalg.matrix_rank(whole) < 6:
        raise InputError(
            "The calibration matrix of a plate of type 4 mixes its channels beyond telling.",
            fix="Export the recording with the plate's calibration, or as type 2.",
        )
    return np.asarray(whole @ channels)


def centre_and_twist(push: Push, loaded: NDArray[np.bool_]) -> tuple[Values, Values]:
    """Centre of pressure and free moment, where the plate is loaded.

    Parameters
    ----------
    push
        Force and moment at the middle of the surface.
    loaded
        Where the vertical force is large enough, shape (n,).

    Returns
    -------
    tuple of ndarray
        Centre of pressure from the middle of the surface, x and y, shape (2, n), and free moment
        about z, shape (n,); NaN where unloaded. [m], [N m]

    Notes
    -----
    ``x = -M'y / Fz``, ``y = M'x / Fz``, ``Tz = M'z - x Fy + y Fx``: exact.

    Examples
    --------
    >>> push = push_of_placed(
    ...     np.array([[30.0], [0.0], [800.0]]), np.array([[0.1], [0.2]]), np.array([5.0])
    ... )
    >>> place_m, twist_nm = centre_and_twist(push, np.array([True]))
    >>> place_m[:, 0], float(twist_nm[0])
    (array([0.1, 0.2]), 5.0)
    """
    fx, fy, fz = push.force_n
    mx, my, mz = push.moment_nm
    safe = np.where(loaded, fz, np.nan)
    x, y = -my / safe, mx / safe
    return np.stack([x, y]), mz - x * fy + y * fx
