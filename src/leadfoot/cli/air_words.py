"""Air and wind as people write them: the options that ``leadfoot fly`` and ``best`` share."""

from dataclasses import dataclass

import typer

from leadfoot.cli.delivery_words import si_option
from leadfoot.physics.air import STANDARD_AIR
from leadfoot.physics.conditions import Conditions


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenAir:
    """The options as typed; None where nothing was said."""

    temperature: str | None
    altitude: str | None
    pressure: str | None
    humidity: str | None
    wind: str
    crosswind: str


def conditions_of(written: WrittenAir) -> Conditions:
    """Standard air and calm but for what was said; pressure follows from altitude, not from both.

    Examples
    --------
    >>> words = WrittenAir(
    ...     temperature="30degC",
    ...     altitude=None,
    ...     pressure=None,
    ...     humidity=None,
    ...     wind="-5m/s",
    ...     crosswind="0mph",
    ... )
    >>> conditions_of(words).wind_along_mps
    -5.0
    """
    if written.altitude is not None and written.pressure is not None:
        raise typer.BadParameter("give --altitude or --pressure, not both")
    return Conditions(
        temperature_k=STANDARD_AIR.temperature_k
        if written.temperature is None
        else si_option("--temperature", written.temperature, "temperature"),
        altitude_m=None
        if written.altitude is None
        else si_option("--altitude", written.altitude, "length"),
        pressure_pa=None
        if written.pressure is None
        else si_option("--pressure", written.pressure, "pressure"),
        humidity_frac=STANDARD_AIR.humidity_frac
        if written.humidity is None
        else si_option("--humidity", written.humidity, "share"),
        wind_along_mps=si_option("--wind", written.wind, "speed"),
        wind_across_mps=si_option("--crosswind", written.crosswind, "speed"),
    )
