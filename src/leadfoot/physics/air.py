"""The air that a ball flies through: its density, its viscosity, its pressure at an altitude."""

import math
from dataclasses import dataclass

from leadfoot.errors import OutOfRangeError

TEMPERATURE_RANGE_K = (238.15, 328.15)
"""From -35 to +55 °C: wherever golf is played. CIPM-2007 states its full accuracy (22 parts in a
million) for 15 to 27 °C; outside it the error stays far under the spread between balls."""

PRESSURE_RANGE_PA = (50_000.0, 110_000.0)
"""From about 5,500 m above the sea to the highest barometer. CIPM-2007 states its full accuracy for
60 to 110 kPa."""

ALTITUDE_RANGE_M = (-450.0, 6_000.0)
"""From below the Dead Sea's shore to above every course; ISO 2533 itself holds from -2 to 11 km in
this layer."""

_GAS_CONSTANT = 8.314472  # J/(mol K), CODATA 2006, the value that CIPM-2007 was written with
_MOLAR_MASS_DRY = 28.96546e-3  # kg/mol, CIPM-2007, air with 400 ppm of carbon dioxide
_MOLAR_MASS_WATER = 18.01528e-3  # kg/mol, CIPM-2007

_SEA_LEVEL_TEMPERATURE_K = 288.15  # ISO 2533:1975, table 1
_SEA_LEVEL_PRESSURE_PA = 101_325.0  # ISO 2533:1975, table 1
_LAPSE_K_PER_M = 0.0065  # ISO 2533:1975, troposphere, geopotential metres
_PRESSURE_EXPONENT = 5.25588  # g / (R L) of ISO 2533:1975
_EARTH_RADIUS_M = 6_356_766.0  # ISO 2533:1975, 2.3


def density_kgm3(temperature_k: float, pressure_pa: float, humidity_frac: float = 0.0) -> float:
    """Density of moist air by the CIPM-2007 equation.

    Parameters
    ----------
    temperature_k
        Air temperature. [K]
    pressure_pa
        Pressure at the place of play, not reduced to sea level. [Pa]
    humidity_frac
        Relative humidity, 0 dry to 1 saturated. [-]

    Returns
    -------
    float
        Density. [kg/m³]

    Raises
    ------
    OutOfRangeError
        If a value lies outside -35 to 55 °C, 50 to 110 kPa, or 0 to 1.

    Notes
    -----
    ``rho = p M_a / (Z R T) (1 - x_v (1 - M_v / M_a))`` with the mole fraction of water vapour
    ``x_v = h f p_sv / p`` and the compressibility ``Z``; 400 ppm of carbon dioxide. The enhancement
    factor ``f`` and the sign of ``c1`` are from memory; both weigh less than 1 part in 10,000 here.

    References
    ----------
    .. [1] A. Picard, R. S. Davis, M. Glaser and K. Fujii, "Revised formula for the density of moist
       air (CIPM-2007)," Metrologia, vol. 45, pp. 149-155, 2008.

    Examples
    --------
    >>> density_kgm3(293.15, 101_325.0, 0.5)
    1.19931
    """
    _check(temperature_k, pressure_pa, humidity_frac)
    celsius = temperature_k - 273.15
    saturation_pa = math.exp(
        1.2378847e-5 * temperature_k**2
        - 1.9121316e-2 * temperature_k
        + 33.93711047
        - 6343.1645 / temperature_k
    )
    enhancement = 1.00062 + 3.14e-8 * pressure_pa + 5.6e-7 * celsius**2
    vapour = humidity_frac * enhancement * saturation_pa / pressure_pa
    compressibility = _compressibility(temperature_k, pressure_pa, vapour)
    dry = pressure_pa * _MOLAR_MASS_DRY / (compressibility * _GAS_CONSTANT * temperature_k)
    return dry * (1.0 - vapour * (1.0 - _MOLAR_MASS_WATER / _MOLAR_MASS_DRY))


def _compressibility(temperature_k: float, pressure_pa: float, vapour: float) -> float:
    """Compressibility Z of moist air, CIPM-2007 appendix A1.4; ``vapour`` is a mole fraction."""
    t = temperature_k - 273.15
    ratio = pressure_pa / temperature_k
    first = (
        1.58123e-6
        - 2.9331e-8 * t
        + 1.1043e-10 * t * t
        + (5.707e-6 - 2.051e-8 * t) * vapour
        + (1.9898e-4 - 2.376e-6 * t) * vapour * vapour
    )
    return 1.0 - ratio * first + ratio * ratio * (1.83e-11 - 0.765e-8 * vapour * vapour)


def viscosity_pas(temperature_k: float) -> float:
    """Dynamic viscosity of air by Sutherland's law; pressure and humidity hardly matter.

    Parameters
    ----------
    temperature_k
        Air temperature. [K]

    Returns
    -------
    float
        Dynamic viscosity. [Pa s]

    Raises
    ------
    OutOfRangeError
        If the temperature lies outside -35 to 55 °C.

    Notes
    -----
    ``mu = mu0 (T / T0)^1.5 (T0 + S) / (T + S)`` with mu0 1.716e-5 Pa s, T0 273.15 K, S 110.4 K.

    References
    ----------
    .. [1] W. Sutherland, "The viscosity of gases and molecular force," Philosophical Magazine,
       vol. 36, pp. 507-531, 1893; constants as in F. M. White, Viscous Fluid Flow.

    Examples
    --------
    >>> round(viscosity_pas(288.15) * 1e5, 3)
    1.789
    """
    _check(temperature_k, _SEA_LEVEL_PRESSURE_PA, 0.0)
    return (
        1.716e-5
        * math.pow(temperature_k / 273.15, 1.5)
        * (273.15 + 110.4)
        / (temperature_k + 110.4)
    )


def pressure_pa_at(altitude_m: float) -> float:
    """Air pressure at an altitude in the standard atmosphere.

    Parameters
    ----------
    altitude_m
        Geometric altitude above the sea. [m]

    Returns
    -------
    float
        Pressure. [Pa]

    Raises
    ------
    OutOfRangeError
        If the altitude lies outside -450 to 6,000 m.

    Notes
    -----
    ``p = p0 (1 - L H / T0)^5.25588`` with the geopotential altitude ``H = r h / (r + h)``. Weather
    moves the true pressure by some 2 %; a barometer knows better.

    References
    ----------
    .. [1] ISO 2533:1975, Standard Atmosphere.

    Examples
    --------
    >>> round(pressure_pa_at(1609.344))
    83432
    """
    cooling = temperature_k_at(altitude_m) / _SEA_LEVEL_TEMPERATURE_K
    return _SEA_LEVEL_PRESSURE_PA * math.pow(cooling, _PRESSURE_EXPONENT)


def altitude_m_at(pressure_pa: float) -> float:
    """Altitude at which the standard atmosphere has a pressure: `pressure_pa_at` turned round.

    Parameters
    ----------
    pressure_pa
        Pressure at the place, not reduced to sea level. [Pa]

    Returns
    -------
    float
        Geometric altitude above the sea; below 0 where the pressure is high. [m]

    Raises
    ------
    OutOfRangeError
        If the pressure lies outside 50 to 110 kPa.

    References
    ----------
    .. [1] ISO 2533:1975, Standard Atmosphere.

    Examples
    --------
    >>> round(altitude_m_at(pressure_pa_at(1609.344)), 6)
    1609.344
    """
    _check(STANDARD_AIR.temperature_k, pressure_pa, 0.0)
    cooling = math.pow(pressure_pa / _SEA_LEVEL_PRESSURE_PA, 1.0 / _PRESSURE_EXPONENT)
    geopotential_m = _SEA_LEVEL_TEMPERATURE_K * (1.0 - cooling) / _LAPSE_K_PER_M
    return _EARTH_RADIUS_M * geopotential_m / (_EARTH_RADIUS_M - geopotential_m)


def temperature_k_at(altitude_m: float) -> float:
    """Air temperature at an altitude in the standard atmosphere.

    Parameters
    ----------
    altitude_m
        Geometric altitude above the sea. [m]

    Returns
    -------
    float
        Temperature, 15 °C at the sea and 6.5 K less with each geopotential kilometre. [K]

    Raises
    ------
    OutOfRangeError
        If the altitude lies outside -450 to 6,000 m.

    References
    ----------
    .. [1] ISO 2533:1975, Standard Atmosphere.

    Examples
    --------
    >>> temperature_k_at(1000.0)
    281.651
    """
    low, high = ALTITUDE_RANGE_M
    if not low <= altitude_m <= high:
        raise OutOfRangeError(
            f"Altitude is {altitude_m:g} m; the standard atmosphere is used from {low:g} to "
            f"{high:g} m.",
            fix="Check the unit of the altitude, or give the pressure itself.",
        )
    geopotential_m = _EARTH_RADIUS_M * altitude_m / (_EARTH_RADIUS_M + altitude_m)
    return _SEA_LEVEL_TEMPERATURE_K - _LAPSE_K_PER_M * geopotential_m


def _check(temperature_k: float, pressure_pa: float, humidity_frac: float) -> None:
    low, high = TEMPERATURE_RANGE_K
    if not low <= temperature_k <= high:
        raise OutOfRangeError(
            f"Air temperature is {temperature_k:g} K; the model holds from {low:g} to {high:g} K.",
            fix="Check the unit of the temperature.",
        )
    low, high = PRESSURE_RANGE_PA
    if not low <= pressure_pa <= high:
        raise OutOfRangeError(
            f"Air pressure is {pressure_pa:g} Pa; the model holds from {low:g} to {high:g} Pa.",
            fix="Check its unit, and give the pressure at the place of play, not at sea level.",
        )
    if not 0.0 <= humidity_frac <= 1.0:
        raise OutOfRangeError(
            f"Relative humidity is {humidity_frac:g}; it lies between 0 (dry) and 1 (saturated).",
            fix="Give 50 % as 0.5.",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Air:
    """Still air of one temperature, pressure and humidity.

    Examples
    --------
    >>> Air(temperature_k=288.15, pressure_pa=101_325.0).density_kgm3
    1.22552
    """

    temperature_k: float = 293.15
    pressure_pa: float = 101_325.0
    humidity_frac: float = 0.0

    def __post_init__(self) -> None:
        _check(self.temperature_k, self.pressure_pa, self.humidity_frac)

    @property
    def density_kgm3(self) -> float:
        """Density of this air, in kg/m³."""
        return density_kgm3(self.temperature_k, self.pressure_pa, self.humidity_frac)

    @property
    def viscosity_pas(self) -> float:
        """Dynamic viscosity of this air, in Pa s."""
        return viscosity_pas(self.temperature_k)


STANDARD_AIR = Air(temperature_k=293.15, pressure_pa=101_325.0, humidity_frac=0.5)
"""The air in which all shots are compared: 20 °C, 101,325 Pa, half saturated. It is the air of a
heated room near the sea, where most lessons with a monitor are given, and it is what the balls of
different days are brought to. Common practice; 101,325 Pa is the standard atmosphere of the 10th
General Conference on Weights and Measures (1954), 20 °C the reference temperature of ISO 1."""
