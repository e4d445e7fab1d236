"""What was read of chosen balls, by the names that the models know."""

import numpy as np
from numpy.typing import NDArray

from leadfoot.physics.delivery import DELIVERY_RANGES
from leadfoot.physics.launch import LAUNCH_RANGES
from leadfoot.quantities import glossary
from leadfoot.shots.shot import ShotTable

_READ = (*DELIVERY_RANGES, *LAUNCH_RANGES, "carry_m", "offline_m")


def swing_readings(table: ShotTable, chosen: NDArray[np.bool_]) -> dict[str, NDArray[np.float64]]:
    r"""The readings of some balls of a table, in SI, by name with unit.

    Parameters
    ----------
    table
        The shots.
    chosen
        Shape (n,): which of them.

    Examples
    --------
    >>> from leadfoot.shots.read import read_table
    >>> table = read_table(b"carry (m),club speed (m/s)\n150,40\n160,41\n").shots
    >>> swing_readings(table, np.array([False, True]))
    {'club_speed_mps': array([41.]), 'carry_m': array([160.])}
    """
    return {
        found.suffixed: table.si(key)[chosen]
        for key, found in glossary().items()
        if found.suffixed in _READ and key in table.readings
    }
