"""The centre of mass from the plates alone: the force integrated twice from a quiet address."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.ground.integral import running

Values = NDArray[np.float64]

FORCE_DOUBT_N = 1.0
"""How far the quiet mean of a horizontal force may be from nothing (own choice: good plates drift
and bodies sway by about this). [N]"""
PLACE_DOUBT_M = 0.005
"""How far centre of mass and of pressure may be apart at a quiet address (own choice). [m]"""
HEIGHT_SHARE = 0.555
"""Height of the centre of mass over stature, standing: 0.543 (second-hand), 0.57 (from memory)."""
CROUCH_M = 0.05
"""How much lower it is at address (own choice). [m]"""
HEIGHT_DOUBT_M = 0.05
"""Doubt of its height where the stature is known (own choice). [m]"""
ANY_HEIGHT_M, ANY_HEIGHT_DOUBT_M = 0.92, 0.10
"""Height and doubt where no stature is known: adults of 1.55 to 1.95 m (own choice). [m]"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MassCentre:
    """Where the centre of mass is, and how far that may be off.

    Attributes
    ----------
    place_m
        Shape (n, 3), z over the plates. [m]
    doubt_m
        Standard uncertainties, shape (n, 3); they grow with the square of the time. [m]
    height_from
        What the height at address is taken from, in words.
    """

    place_m: Values
    doubt_m: Values
    height_from: str


def height_at_address_m(stature_m: float | None) -> tuple[float, float, str]:
    """Height of the centre of mass at address, its doubt in m, and what it is taken from.

    Examples
    --------
    >>> height, doubt, _ = height_at_address_m(1.80)
    >>> round(height, 3), doubt
    (0.949, 0.05)
    """
    if stature_m is None:
        return ANY_HEIGHT_M, ANY_HEIGHT_DOUBT_M, "assumed, as no stature was given"
    height_m = HEIGHT_SHARE * stature_m - CROUCH_M
    return height_m, HEIGHT_DOUBT_M, "estimated from the stature"


def mass_centre(
    force_n: Values,
    rate_hz: float,
    *,
    still_n: Values,
    start_m: Values,
    stature_m: float | None = None,
) -> MassCentre:
    """Follow the centre of mass from a quiet address.

    Parameters
    ----------
    force_n
        Whole force from the last quiet sample on, shape (n, 3). [N]
    rate_hz
        Samples a second. [Hz]
    still_n
        Mean force while quiet, shape (3,): its z is the weight, its x and y are taken off. [N]
    start_m
        Mean common centre of pressure while quiet, shape (2,). [m]
    stature_m
        Height of the golfer, for the height of the centre of mass. [m]

    Notes
    -----
    An error of the force grows to ``(dF / m) T² / 2`` in place: 1 N for 1.5 s is 14 mm for 80 kg.
    So keep it short.

    Examples
    --------
    >>> force_n = np.tile([8.0, 0.0, 784.532], (1001, 1))
    >>> found = mass_centre(force_n, 1000.0, still_n=np.array([0.0, 0.0, 784.532]),
    ...                     start_m=np.zeros(2))
    >>> found.place_m[-1].round(3), found.doubt_m[-1].round(4)
    (array([0.05, 0.  , 0.92]), array([0.008 , 0.008 , 0.1002]))
    """
    mass_kg = float(still_n[2]) / 9.80665
    velocity = running((force_n - still_n) / mass_kg, rate_hz)
    height_m, height_doubt_m, words = height_at_address_m(stature_m)
    since_s = np.arange(len(force_n)) / rate_hz
    drift_m = FORCE_DOUBT_N / mass_kg * since_s**2 / 2.0
    first = np.array([PLACE_DOUBT_M, PLACE_DOUBT_M, height_doubt_m])
    return MassCentre(
        place_m=running(velocity, rate_hz) + np.append(start_m, height_m),
        doubt_m=np.hypot(drift_m[:, None], first),
        height_from=words,
    )


def moment_doubt_nm(force_n: Values, centre: MassCentre) -> Values:
    """Standard uncertainty of the moment about the centre of mass by its place, shape (n, 3).

    About x ``√((F_z σ_y)² + (F_y σ_z)²)``, and so around.

    Examples
    --------
    >>> centre = MassCentre(place_m=np.zeros((1, 3)), doubt_m=np.array([[0.0, 0.014, 0.0]]),
    ...                     height_from="")
    >>> moment_doubt_nm(np.array([[0.0, 0.0, 800.0]]), centre)
    array([[11.2,  0. ,  0. ]])
    """
    f_x, f_y, f_z = force_n.T
    x, y, z = centre.doubt_m.T
    return np.stack(
        (np.hypot(f_z * y, f_y * z), np.hypot(f_z * x, f_x * z), np.hypot(f_y * x, f_x * y)), axis=1
    )
