"""What the air of a place does to carries and totals that were read in the air of the studio."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.desk.bench_start import generic_club
from leadfoot.desk.flight_bench import Weather, bench_flight, usual_bench
from leadfoot.errors import InputError
from leadfoot.physics.air import STANDARD_AIR, Air
from leadfoot.physics.flight import fly_many
from leadfoot.shots.shot import ShotTable

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ratios:
    """Factors from the air of the studio to that of a place, shape (n,).

    NaN where nothing tells them; ``flown`` says which were found by the flight of the ball itself.
    """

    carry: Floats
    total: Floats
    flown: NDArray[np.bool_]


def flown_ratios(table: ShotTable, weather: Weather, studio_air: Air = STANDARD_AIR) -> Ratios:
    r"""Fly every ball that has speed, launch and spin in both airs.

    Parameters
    ----------
    table
        The shots.
    weather
        Of the place; its wind plays no part.
    studio_air
        In which the balls were hit.

    Examples
    --------
    >>> from leadfoot.shots.read import read_table
    >>> text = b"ball speed (m/s),launch angle (deg),spin rate (rpm)\n65,12,2700\n"
    >>> found = flown_ratios(read_table(text).shots, Weather(altitude_m=1500.0))
    >>> found.carry.round(2), found.flown
    (array([1.04]), array([ True]))
    """
    ball = (table.si("ball_speed"), table.si("launch_angle"), table.si("spin_rate"))
    here, there = (fly_many(*ball, air=air) for air in (studio_air, weather.air))
    with np.errstate(divide="ignore", invalid="ignore"):
        carry, total = there.carry_m / here.carry_m, there.total_m / here.total_m
    flown = np.isfinite(carry) & np.isfinite(total)
    return Ratios(
        carry=np.where(flown, carry, np.nan), total=np.where(flown, total, np.nan), flown=flown
    )


def usual_ratio(
    club: str, weather: Weather, studio: Weather | None = None
) -> tuple[float, float] | None:
    """Factors of carry and total by the usual swing of the generic club; None where none stands.

    Examples
    --------
    >>> carry, total = usual_ratio("7 iron", Weather(altitude_m=1500.0))
    >>> 1.0 < carry < 1.1, usual_ratio("the long one", Weather())
    (True, None)
    """
    key = generic_club(club)
    if key is None:
        return None
    swing = usual_bench(key, weather=studio)
    place = {
        "temperature_k": weather.temperature_k,
        "altitude_m": weather.altitude_m,
        "humidity_frac": weather.humidity_frac,
    }
    try:
        here, there = (bench_flight(each).flight for each in (swing, swing.having(**place)))
    except InputError:
        return None
    return there.carry_m / here.carry_m, there.total_m / here.total_m
