"""The air of a place in words."""

from leadfoot.desk.flight_bench import Weather
from leadfoot.desk.studio import UnitChoice
from leadfoot.language.numbers import number
from leadfoot.language.say import say
from leadfoot.units import si_into


def place_words(weather: Weather, length_unit: str, chosen: UnitChoice | None = None) -> str:
    """Temperature and altitude as this coach says them.

    Parameters
    ----------
    weather
        The air.
    length_unit
        ``yd`` for a coach who speaks in yards, with °F and feet; ``m`` for °C and metres.
    chosen
        Units that the studio chose instead.

    Examples
    --------
    >>> place_words(Weather(temperature_k=303.15, altitude_m=1500.0), "m")
    '30 °C, 1500 m up'
    >>> place_words(Weather(temperature_k=303.15, altitude_m=1500.0), "yd")
    '86 °F, 4921 ft up'
    """
    heat, height = ("degF", "ft") if length_unit == "yd" else ("degC", "m")
    if chosen is not None:
        heat, height = chosen.temperature or heat, chosen.altitude or height
    warm = si_into(weather.temperature_k, heat)
    up = si_into(weather.altitude_m, height)
    return say(
        "{warm} °{scale}, {up} {unit} up",
        warm=number(warm),
        scale=heat[-1],
        up=number(up),
        unit=height,
    )
