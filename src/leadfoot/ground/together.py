"""Two plates as one: the centre of pressure and the free moment under both feet."""

import numpy as np
from numpy.typing import NDArray

from leadfoot.ground.recording import Plate, Recording

Values = NDArray[np.float64]


def cop_together(recording: Recording) -> Values:
    """Centre of pressure under all plates together in m, shape (n, 2).

    ``r = sum(Fz_i r_i) / sum(Fz_i)`` over the plates that are loaded; NaN where none is, or where a
    loaded plate does not know its own. Exact: moments about the horizontal axes add up.

    Examples
    --------
    >>> from leadfoot.ground.recording import Plate, Recording
    >>> def plate(y_m, force_n):
    ...     return Plate(name="p", foot=None, force_n=np.array([[0.0, 0.0, force_n]]),
    ...                  cop_m=np.array([[0.0, y_m]]), free_moment_nm=np.zeros(1))
    >>> cop_together(Recording(rate_hz=1000.0, plates=(plate(0.2, 600.0), plate(-0.2, 200.0))))
    array([[0. , 0.1]])
    """
    weights = [_load(recording, plate) for plate in recording.plates]
    total = np.sum(weights, axis=0)
    moment = np.sum(
        [
            np.where(weight[:, None] > 0.0, weight[:, None] * plate.cop_m, 0.0)
            for weight, plate in zip(weights, recording.plates, strict=True)
        ],
        axis=0,
    )
    safe = np.where(total > 0.0, total, np.nan)
    return np.asarray(moment / safe[:, None])


def free_moment_together(recording: Recording) -> Values:
    """Moment about the vertical at the common centre of pressure in N m, shape (n,).

    ``Tz = sum(Tz_i) + sum[(x_i - x) Fy_i - (y_i - y) Fx_i]``: the free moments under the feet, and
    the pivoting moment of their shears about the common centre of pressure. NaN where a loaded
    plate sees no shear. Exact.

    Examples
    --------
    >>> from leadfoot.ground.recording import Plate, Recording
    >>> def plate(y_m, shear_n):
    ...     return Plate(name="p", foot=None, force_n=np.array([[shear_n, 0.0, 400.0]]),
    ...                  cop_m=np.array([[0.0, y_m]]), free_moment_nm=np.zeros(1))
    >>> plates = (plate(0.25, -50.0), plate(-0.25, 50.0))
    >>> free_moment_together(Recording(rate_hz=1000.0, plates=plates))
    array([25.])
    """
    common = cop_together(recording)
    parts = []
    for plate in recording.plates:
        arm = plate.cop_m - common
        part = (
            plate.free_moment_nm + arm[:, 0] * plate.force_n[:, 1] - arm[:, 1] * plate.force_n[:, 0]
        )
        parts.append(np.where(_load(recording, plate) > 0.0, part, 0.0))
    return np.where(np.isnan(common[:, 0]), np.nan, np.sum(parts, axis=0))


def _load(recording: Recording, plate: Plate) -> Values:
    """Vertical force where the plate is loaded, else 0."""
    vertical_n = plate.vertical_n
    return np.where(vertical_n >= recording.source.threshold_n, vertical_n, 0.0)
