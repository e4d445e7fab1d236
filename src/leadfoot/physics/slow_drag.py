"""The sharp rise of drag of a slow ball, which the models leave out, and what it could cost.

Under some 25 m/s the flow round a dimpled ball changes and its drag more than doubles. That was
measured for balls that do not spin; how much of it a spinning ball meets is not known. So no model
has it, flights that pass there are flagged, and this file bounds what is missing.
"""

from dataclasses import replace

import numpy as np

from leadfoot.physics.ball import AirModel, Series

MEASURED_RE = (5.0e4, 2.0e5)
"""Reynolds numbers between which the drag was measured; held at both ends. [-]"""

_BOTH_HOLD_RE = (7.5e4, 1.0e5)


def still_drag_coefficient(reynolds: Series) -> Series:
    """Drag coefficient of one ball in still air, spin hardly counting.

    Parameters
    ----------
    reynolds
        Reynolds number on the diameter, any shape. [-]

    Returns
    -------
    array
        Drag coefficient. [-]

    Notes
    -----
    Two published pieces, ``1.29e-10 Re² - 2.59e-5 Re + 1.50`` from 50,000 to 100,000 and ``1.91e-11
    Re² - 5.40e-6 Re + 0.56`` from 75,000 to 200,000, blended smoothly where both hold.

    References
    ----------
    .. [1] B. Lyu, J. Kensrud, L. Smith and T. Tosaya, "Aerodynamics of golf balls in still air,"
       Proceedings, vol. 2(6), no. 238, 2018 (curves of one ball, read second-hand).

    Examples
    --------
    >>> still_drag_coefficient(np.array([5e4, 1e5, 1.5e5])).round(3)
    array([0.528, 0.211, 0.18 ])
    """
    re = np.clip(reynolds, *MEASURED_RE)
    slow = (1.29e-10 * re - 2.59e-5) * re + 1.50
    fast = (1.91e-11 * re - 5.40e-6) * re + 0.56
    low, high = _BOTH_HOLD_RE
    share = np.clip((re - low) / (high - low), 0.0, 1.0)
    share = share * share * (3.0 - 2.0 * share)
    blended: Series = slow + share * (fast - slow)
    return blended


def with_the_rise(model: AirModel) -> AirModel:
    """A model with the whole rise of a ball that does not spin added to its drag.

    Parameters
    ----------
    model
        Any model that leaves the rise out.

    Returns
    -------
    AirModel
        Flown in NumPy. Its carry less that of `model` is a bound, not a better answer: wind tunnels
        found the rise weaker where a ball spins (Bearman and Harvey, 1976).

    Examples
    --------
    >>> from leadfoot.physics.ball import REGRESSION
    >>> drag, _ = with_the_rise(REGRESSION).coefficients(np.array([0.3, 0.1]), np.array([5e4, 2e5]))
    >>> plain, _ = REGRESSION.coefficients(np.array([0.3, 0.1]), np.array([5e4, 2e5]))
    >>> (drag - plain).round(3)
    array([0.316, 0.   ])
    """

    def coefficients(spin_parameter: Series, reynolds: Series) -> tuple[Series, Series]:
        drag, lift = model.coefficients(spin_parameter, reynolds)
        floor = still_drag_coefficient(np.full_like(reynolds, _BOTH_HOLD_RE[1]))
        held = np.minimum(reynolds, _BOTH_HOLD_RE[1])
        return drag + np.maximum(still_drag_coefficient(held) - floor, 0.0), lift

    return replace(
        model,
        name=f"{model.name}, with the rise of drag at low speed",
        coefficients=coefficients,
        loop=None,
        finer=2.0,
    )
