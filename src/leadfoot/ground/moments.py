"""Moments about the body's centre of mass, split by what makes them; exact.

``M = Σ (r_i - r_m) × F_i + Σ (0, 0, T_i)`` is the sum of three parts: the whole force at the common
centre of pressure, ``(r_c - r_m) × F``; the pivoting moment, ``Σ (r_i - r_c) × F_i``, which is
vertical, as ``r_c`` is the mean weighted by vertical force; and the free moments under the feet.
The names are those of Han and others, Sports Biomechanics 18, 115, 2019 (abstract; the equations
are our own derivation).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pushed:
    """What one foot gets from the ground; n samples.

    Attributes
    ----------
    force_n
        Shape (n, 3). [N]
    cop_m
        Centre of pressure, x and y, shape (n, 2); NaN where unloaded. [m]
    free_nm
        Free moment, shape (n,); NaN where unloaded. [N m]
    """

    force_n: Values
    cop_m: Values
    free_nm: Values


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Moments:
    """The moment about the centre of mass and its parts; positive z turns toward the target.

    Attributes
    ----------
    of_force_nm
        Of the whole force at the common centre of pressure, shape (n, 3). [N m]
    pivoting_nm
        Of the feet's forces about the common centre of pressure, shape (n,), vertical. [N m]
    free_nm
        The feet's free moments together, shape (n,), vertical. [N m]
    cop_m
        The common centre of pressure, shape (n, 2). [m]
    """

    of_force_nm: Values
    pivoting_nm: Values
    free_nm: Values
    cop_m: Values

    @property
    def total_nm(self) -> Values:
        """The whole moment about the centre of mass, in N m, shape (n, 3)."""
        total = self.of_force_nm.copy()
        total[:, 2] += self.from_feet_nm
        return total

    @property
    def from_feet_nm(self) -> Values:
        """Pivoting and free moments together, in N m, shape (n,): no centre of mass is needed."""
        return self.pivoting_nm + self.free_nm


def moments_of(feet: Sequence[Pushed], centre_m: Values) -> Moments:
    """Split the moment about the centre of mass.

    Parameters
    ----------
    feet
        One or more; a foot without a centre of pressure counts as lifted.
    centre_m
        Centre of mass, height over the plates included, shape (n, 3). [m]

    Examples
    --------
    >>> def foot(force, cop, free):
    ...     return Pushed(force_n=np.array([force]), cop_m=np.array([cop]),
    ...                   free_nm=np.array([free]))
    >>> feet = (foot([60.0, -110.0, 1000.0], [0.0, 0.25], 12.0),
    ...         foot([-40.0, 70.0, 250.0], [0.03, -0.27], -5.0))
    >>> found = moments_of(feet, np.array([[0.05, -0.02, 0.95]]))
    >>> found.total_nm.round(9), found.pivoting_nm.round(9)
    (array([[169.5,  36. , -15.1]]), array([-20.54]))
    """
    loads = [np.where(np.isnan(foot.cop_m[:, :1]), 0.0, foot.force_n[:, 2:]) for foot in feet]
    places = [np.nan_to_num(foot.cop_m) for foot in feet]
    frees = [np.nan_to_num(foot.free_nm) for foot in feet]
    forces = [
        np.where(load == 0.0, 0.0, foot.force_n) for foot, load in zip(feet, loads, strict=True)
    ]
    weight = np.sum(loads, axis=0)
    cop = np.sum([load * place for load, place in zip(loads, places, strict=True)], axis=0)
    cop = np.asarray(cop / np.where(weight > 0.0, weight, np.nan))
    pivoting = np.sum(
        [
            (place[:, 0] - cop[:, 0]) * force[:, 1] - (place[:, 1] - cop[:, 1]) * force[:, 0]
            for place, force in zip(places, forces, strict=True)
        ],
        axis=0,
    )
    arm = np.column_stack((cop - centre_m[:, :2], -centre_m[:, 2]))
    return Moments(
        of_force_nm=np.cross(arm, np.sum(forces, axis=0)),
        pivoting_nm=np.asarray(pivoting),
        free_nm=np.asarray(np.sum(frees, axis=0)),
        cop_m=cop,
    )
