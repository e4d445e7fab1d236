"""The conditions of a flight in one record: what the air is like, and how it moves."""

from dataclasses import dataclass

from leadfoot.errors import InputError
from leadfoot.physics.air import STANDARD_AIR, Air, pressure_pa_at
from leadfoot.physics.launch import Wind


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """Temperature, pressure or altitude, humidity, and wind.

    Attributes
    ----------
    temperature_k, humidity_frac
        As in `Air`. [K], [-]
    pressure_pa
        Pressure at the place of play; if neither it nor the altitude is given, that of standard
        air. [Pa]
    altitude_m
        Altitude in the standard atmosphere, in place of the pressure. [m]
    wind_along_mps, wind_across_mps
        Wind at 10 m, as in `Wind`; under it the wind falls with the logarithm of the height. [m/s],
        [m/s]

    Raises
    ------
    InputError
        If both pressure and altitude are given, or a value is out of range.

    Examples
    --------
    >>> STUDIO.air == STANDARD_AIR, STUDIO.wind
    (True, Wind(along_mps=0.0, across_mps=0.0))
    >>> round(Conditions(altitude_m=1609.344).air.pressure_pa)
    83432
    """

    temperature_k: float = STANDARD_AIR.temperature_k
    pressure_pa: float | None = None
    altitude_m: float | None = None
    humidity_frac: float = STANDARD_AIR.humidity_frac
    wind_along_mps: float = 0.0
    wind_across_mps: float = 0.0

    def __post_init__(self) -> None:
        if self.pressure_pa is not None and self.altitude_m is not None:
            raise InputError(
                f"Conditions have a pressure ({self.pressure_pa:g} Pa) and an altitude "
                f"({self.altitude_m:g} m); one follows from the other.",
                fix="Give the pressure alone where a barometer shows it, else the altitude.",
            )
        _ = self.air, self.wind  # their own checks

    @property
    def air(self) -> Air:
        """The air of these conditions."""
        pressure_pa = STANDARD_AIR.pressure_pa if self.pressure_pa is None else self.pressure_pa
        if self.altitude_m is not None:
            pressure_pa = pressure_pa_at(self.altitude_m)
        return Air(
            temperature_k=self.temperature_k,
            pressure_pa=pressure_pa,
            humidity_frac=self.humidity_frac,
        )

    @property
    def wind(self) -> Wind:
        """The wind of these conditions."""
        return Wind(along_mps=self.wind_along_mps, across_mps=self.wind_across_mps)


STUDIO = Conditions()
"""The studio's standard conditions: standard air, no wind. See `STANDARD_AIR`."""
