"""The ball: what the Rules allow it to be, and how the air pushes and lifts it."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import OutOfRangeError
from leadfoot.kernels import knots

Series = NDArray[np.float64]

MASS_LIMIT_KG = 0.04593
"""No ball may be heavier: 1.620 oz = 45.93 g. Equipment Rules of golf, part 4, section 2."""

DIAMETER_LIMIT_M = 0.04267
"""No ball may be smaller: 1.680 in = 42.67 mm. Equipment Rules of golf, part 4, section 2."""

SPIN_DECAY = 2.0e-5
"""Spin loss in ``dω/dt = -c ω V / r``. A. J. Smits and D. R. Smith, "A new aerodynamic model of a
golf ball in flight," Science and Golf II, pp. 340-347, 1994 (read second-hand). [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ball:
    """One kind of ball. The factors say how it differs from the ball of the model.

    Attributes
    ----------
    mass_kg, diameter_m
        Mass and diameter. [kg], [m]
    drag_factor, lift_factor
        Multiply the coefficients of the model; real balls lie within some 5 % of 1. [-]

    Examples
    --------
    >>> round(STANDARD_BALL.inertia_kgm2 * 1e7, 2)
    83.63
    """

    mass_kg: float = MASS_LIMIT_KG
    diameter_m: float = DIAMETER_LIMIT_M
    drag_factor: float = 1.0
    lift_factor: float = 1.0

    def __post_init__(self) -> None:
        limits = (("mass_kg", 0.03, 0.07), ("diameter_m", 0.03, 0.06))
        factors = (("drag_factor", 0.0, 3.0), ("lift_factor", 0.0, 3.0))
        for name, low, high in limits + factors:
            value = getattr(self, name)
            if not low <= value <= high:
                raise OutOfRangeError(
                    f"Ball {name} is {value:g}; it lies between {low:g} and {high:g}.",
                    fix="Check the unit, or use the standard ball.",
                )

    @property
    def radius_m(self) -> float:
        """Half the diameter, in m."""
        return 0.5 * self.diameter_m

    @property
    def area_m2(self) -> float:
        """Cross-section, in m²."""
        return float(np.pi) * self.radius_m**2

    @property
    def inertia_kgm2(self) -> float:
        """Moment of inertia of a uniform sphere, in kg m²; real balls meet it within some 3 %."""
        return 0.4 * self.mass_kg * self.radius_m**2


STANDARD_BALL = Ball()
"""A ball at both limits of the Rules."""

Coefficients = Callable[[Series, Series], tuple[Series, Series]]
"""Drag and lift coefficient from spin parameter ``rω/V`` and Reynolds number, elementwise."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AirModel:
    """How the air acts on a spinning ball, and where there is data behind it.

    Attributes
    ----------
    name, source
        For people.
    coefficients
        The model itself, over arrays.
    spin_parameter_range, reynolds_range
        Where there is data. [-], [-]
    loop
        Name of its compiled twin in `leadfoot.physics.many`; a model without one is flown in NumPy.
    finer
        Steps are this many times finer than for a smooth model. [-]

    Examples
    --------
    >>> bare = AirModel(
    ...     name="drag alone",
    ...     coefficients=lambda s, reynolds: (0.0 * s + 0.25, 0.0 * s),
    ...     spin_parameter_range=(0.0, 1.0),
    ...     reynolds_range=(0.0, 1e6),
    ...     source="none",
    ... )
    >>> bare.loop is None
    True
    """

    name: str
    coefficients: Coefficients
    spin_parameter_range: tuple[float, float]
    reynolds_range: tuple[float, float]
    source: str
    loop: str | None = None
    finer: float = 1.0


def ramp(u: Series, half_width: float) -> Series:
    """Zero below zero, ``u`` above it, the corner rounded within ``half_width`` of zero.

    A model that is held where its data end has a corner there, and a solver of high order stumbles
    over each one. The rounded corner is smooth to the second derivative and keeps the area under
    it, so that a flight that passes it goes the same way.

    Parameters
    ----------
    u
        Way past the corner, any shape. [-]
    half_width
        Half of the width that is rounded. [-]

    Examples
    --------
    >>> ramp(np.array([-0.05, 0.0, 0.05]), 0.04).round(4) + 0.0
    array([0.    , 0.0031, 0.05  ])
    """
    t = np.clip(u / half_width, -1.0, 1.0)
    convex = 3.0 / 16.0 + 0.5 * t + (6.0 - t * t) * t * t / 16.0
    bend: Series = half_width * (convex - 7.0 / 64.0 * (1.0 - t * t) ** 3)
    return bend + np.maximum(u - half_width, 0.0)


def regression_coefficients(spin_parameter: Series, reynolds: Series) -> tuple[Series, Series]:
    """Drag and lift coefficient by the regression form of an indoor test range.

    Parameters
    ----------
    spin_parameter
        Surface speed of the spin over ball speed, ``rω/V``. [-]
    reynolds
        Reynolds number on the diameter. [-]

    Returns
    -------
    tuple of arrays
        Drag and lift coefficient. [-], [-]

    Notes
    -----
    With s = min(S, 0.22), R = Re / 1e5 held within 0.8 to 2.1 and σ = max(s, 0.04)::

        C_D = 0.202 - 0.204 s + 2.81 s² + 0.0165 R + 0.40 max(S - 0.22, 0)
        C_L = (0.0845 + 0.667 σ + 1.373 σ² - 0.0108 / R²) max(1, S / 0.22)^0.43 min(1, S / 0.04)

    Every corner is rounded by `ramp`: over ±0.02 and ±0.03 about S 0.04 and 0.22, over ±0.2 and
    ±0.4 about R 0.8 and 2.1. That moves the checked flights by less than 0.1 %.

    The form is that of [1]_; the numbers are our least-squares fit to the seven rows of its example
    ball (largest residual 0.0011 in drag, 0.0024 in lift), carried past S 0.22 with the slopes of
    [2]_. Least sure above S 0.3. Left out: the sharp rise of drag below Re 80,000.

    References
    ----------
    .. [1] L. Lieberman, A. J. Smits, S. Quintavalla, F. Thomas and D. Winfield, US patent
       6,186,002 B1, 2001 (table read second-hand).
    .. [2] P. W. Bearman and J. K. Harvey, "Golf ball aerodynamics," Aeronautical Quarterly, vol.
       27, pp. 112-122, 1976 (read second-hand).

    Examples
    --------
    >>> drag, lift = regression_coefficients(np.array([0.15]), np.array([1.5e5]))
    >>> round(float(drag[0]), 4), round(float(lift[0]), 4)
    (0.2594, 0.2106)
    """
    over = ramp(spin_parameter - 0.22, 0.03)
    past = ramp(spin_parameter - 0.04, 0.02)
    low, sigma = spin_parameter - over, 0.04 + past - over
    re5 = 0.8 + ramp(reynolds * 1e-5 - 0.8, 0.2) - ramp(reynolds * 1e-5 - 2.1, 0.4)
    drag = 0.202 + (2.81 * low - 0.204) * low + 0.0165 * re5 + 0.40 * over
    lift = 0.0845 + (1.373 * sigma + 0.667) * sigma - 0.0108 / (re5 * re5)
    lift = lift * (1.0 + over / 0.22) ** 0.43 * (spin_parameter - past) / 0.04
    return drag, lift


def power_law_coefficients(spin_parameter: Series, reynolds: Series) -> tuple[Series, Series]:
    """Drag and lift coefficient by a power law fitted to driver shots in a wind tunnel.

    Parameters
    ----------
    spin_parameter
        Surface speed of the spin over ball speed, ``rω/V``. [-]
    reynolds
        Reynolds number on the diameter. [-]

    Returns
    -------
    tuple of arrays
        Drag and lift coefficient. [-], [-]

    Notes
    -----
    ``C_D = 0.24 + 0.18 S + 0.06 sin(π (Re - 90,000) / 200,000)``, ``C_L = 0.54 S^0.4``, from driver
    shots (Re 70,000 to 210,000, S 0.08 to 0.2); the Reynolds number is held within 40,000 to
    250,000, the range of the tunnel, its corners rounded over ±10,000.

    References
    ----------
    .. [1] A. J. Smits and D. R. Smith, "A new aerodynamic model of a golf ball in flight," Science
       and Golf II, pp. 340-347, 1994 (read second-hand).

    Examples
    --------
    >>> drag, lift = power_law_coefficients(np.array([0.15]), np.array([1.5e5]))
    >>> round(float(drag[0]), 4), round(float(lift[0]), 4)
    (0.3155, 0.2528)
    """
    held = 0.4 + ramp(reynolds * 1e-5 - 0.4, 0.1) - ramp(reynolds * 1e-5 - 2.5, 0.1)
    drag = 0.24 + 0.18 * spin_parameter + 0.06 * np.sin(0.5 * np.pi * (held - 0.9))
    return drag, 0.54 * spin_parameter**0.4


TABLE_RE5_PER_MPS = 1.225 * DIAMETER_LIMIT_M / 1.78932e-5 * 1e-5
"""Reynolds number, in units of 100,000, for each metre a second of the table: a standard ball in
standard air of 15 °C (ISO 2533). The air of the tunnel is not stated. [s/m]"""


def table_coefficients(spin_parameter: Series, reynolds: Series) -> tuple[Series, Series]:
    """Drag and lift coefficient from measurements in a wind tunnel, ball with hexagonal dimples.

    Parameters
    ----------
    spin_parameter
        Surface speed of the spin over ball speed, ``rω/V``. [-]
    reynolds
        Reynolds number on the diameter. [-]

    Returns
    -------
    tuple of arrays
        Drag and lift coefficient. [-], [-]

    Notes
    -----
    `leadfoot.kernels.knots` over speed (13.7 to 88.1 m/s) and spin (2,000 to 6,000 rpm), bilinear,
    held at its edges; speed and spin are those that a standard ball in standard air of 15 °C has at
    the given Reynolds number and spin parameter. The corners at the knots stay; the solver takes
    finer steps for this model.

    References
    ----------
    .. [1] P. W. Bearman and J. K. Harvey, "Golf ball aerodynamics," Aeronautical Quarterly, vol.
       27, pp. 112-122, 1976 (read second-hand, see `leadfoot.kernels.knots`).

    Examples
    --------
    >>> drag, lift = table_coefficients(np.array([0.15]), np.array([1.5e5]))
    >>> round(float(drag[0]), 4), round(float(lift[0]), 4)
    (0.2688, 0.2091)
    """
    speed = reynolds * 1e-5 / TABLE_RE5_PER_MPS
    krpm = spin_parameter * speed * (30.0 / np.pi / 1000.0 / (0.5 * DIAMETER_LIMIT_M))
    speed = np.clip(speed, knots.SPEEDS_MPS[0], knots.SPEEDS_MPS[-1])
    row = np.clip(krpm - knots.SPINS_KRPM[0], 0.0, 4.0)
    j = np.minimum(row.astype(np.int64), 3)
    i = np.clip(np.searchsorted(knots.SPEEDS_MPS, speed, side="right") - 1, 0, 8)
    a = (speed - knots.SPEEDS_MPS[i]) / (knots.SPEEDS_MPS[i + 1] - knots.SPEEDS_MPS[i])
    b = row - j

    def between(table: Series) -> Series:
        below: Series = (1.0 - a) * table[j, i] + a * table[j, i + 1]
        above: Series = (1.0 - a) * table[j + 1, i] + a * table[j + 1, i + 1]
        found: Series = (1.0 - b) * below + b * above
        return found

    return between(knots.DRAG), between(knots.LIFT)


REGRESSION = AirModel(
    name="regression fit to an indoor test range, extended above spin parameter 0.22",
    coefficients=regression_coefficients,
    spin_parameter_range=(0.04, 0.6),
    reynolds_range=(6.0e4, 2.5e5),
    source="US patent 6,186,002 B1 (2001); Bearman and Harvey (1976)",
    loop="regression",
)
"""The default. Below S 0.04 the lift fades to nothing with the spin; below Re 60,000 the flow round
the dimples changes and no model here holds (Lyu et al., Proceedings, vol. 2, 238, 2018)."""

POWER_LAW = AirModel(
    name="power law fitted to driver shots in a wind tunnel",
    coefficients=power_law_coefficients,
    spin_parameter_range=(0.08, 0.2),
    reynolds_range=(7.0e4, 2.1e5),
    source="Smits and Smith (1994)",
    loop="power_law",
)
"""The second opinion: for high-spin irons it carries some 13 % farther than the default, and that
spread is the honest size of what is not known."""

TABLE = AirModel(
    name="table measured in a wind tunnel, ball with hexagonal dimples",
    coefficients=table_coefficients,
    spin_parameter_range=(0.04, 0.6),
    reynolds_range=(4.0e4, 2.5e5),
    source="Bearman and Harvey (1976)",
    loop="table",
    finer=4.0,
)
"""The third opinion, from another ball. Flagged by spin parameter as the default is; in truth the
table ends at 2,000 and 6,000 rpm."""

AIR_MODELS = {"regression": REGRESSION, "power_law": POWER_LAW, "table": TABLE}
"""All models by a short name."""
