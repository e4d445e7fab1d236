"""Whether the four sensors under a plate share its load: a wrong factor of one shows there."""

import numpy as np
from numpy.typing import NDArray

from leadfoot.ground.recording import Remark

Values = NDArray[np.float64]

_BENDING = (0.0, 1.5)
"""What real plates put on crossed sensors, as a share of x y / (a b): 0 is a plate on soft sensors,
1 one without stiffness (own choice)."""
_APART = 0.06
"""Share of the load beyond it that is told; four plates in open recordings have 0 to 0.039 (own
choice)."""
_LOADED = 0.3
"""Samples above this share of the largest force are looked at (own choice)."""


def crossed_share(sensors_n: Values) -> float:
    """Share of the load that crossed sensors bear beyond what a bending plate puts on them.

    Four sensors hold three numbers (force and place) and one to spare: the first and third together
    less the second and fourth. It is about x y / (a b) of the load, or less.

    Parameters
    ----------
    sensors_n
        Fz1 to Fz4 in the order of the standard, shape (4, n). [N]

    Returns
    -------
    float
        Median over the loaded samples, as a share of the load; 0 where the plate is not loaded.

    Examples
    --------
    >>> still = np.tile([[260.0], [200.0], [150.0], [190.0]], (1, 5))
    >>> round(crossed_share(still), 3)
    0.001
    >>> round(crossed_share(still * [[1.4], [1.0], [1.0], [1.0]]), 3)
    0.053
    """
    total = np.nan_to_num(sensors_n.sum(axis=0))
    loaded = np.abs(total) > _LOADED * float(np.abs(total).max(initial=0.0))
    if not loaded.any():
        return 0.0
    share = sensors_n[:, loaded] / total[loaded]
    one, two, three, four = share
    crossed = one - two + three - four
    bent = (one + four - two - three) * (one + two - three - four)
    least = np.minimum(_BENDING[0] * bent, _BENDING[1] * bent)
    most = np.maximum(_BENDING[0] * bent, _BENDING[1] * bent)
    return float(np.nanmedian(np.maximum(0.0, np.maximum(crossed - most, least - crossed))))


def about_sharing(sensors_n: Values, name: str) -> list[Remark]:
    """Tell a plate whose sensors do not share the load.

    Parameters
    ----------
    sensors_n
        Fz1 to Fz4, shape (4, n). [N]
    name
        Of the plate.
    """
    apart = crossed_share(sensors_n)
    if apart <= _APART:
        return []
    return [
        Remark(
            kind="sensors",
            weight="doubt",
            plate=name,
            text=f"The four sensors under {name} do not share its load as those of a stiff plate "
            f"do: {100.0 * apart:.0f} % of it lies crosswise.",
            fix="Compare the weight with a scale: the factor of one sensor may be wrong, or the "
            "plate rocks on three feet.",
        )
    ]
