"""What may be wrong with a jump's recording, said before its numbers are used."""

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError
from leadfoot.ground.body_weight import WINDOW_S, Weighing, weigh_in
from leadfoot.ground.jump_events import Flight
from leadfoot.ground.recording import Remark
from leadfoot.ground.smoothing import looks_smoothed

Values = NDArray[np.float64]

HEIGHTS_APART_M = 0.05
"""Heights by impulse and by flight that are further apart are flagged (own choice; usual is about
2 cm, Baumgart and others, Asian Journal of Sports Medicine 8, e12921, 2017). [m]"""
WEIGHT_APART = 0.01
"""A weight further than this from the scale's, or from the mean force between two rests, is flagged
(own choice). [-]"""
SLOW_HZ = 500.0
"""Below it heights are low: at 200 Hz by 0.5 to 1.3 cm (ISBS 2010 abstract; computed). [Hz]"""
STILL_SD_N = 15.0
"""A weighing with a larger standard deviation was not still (own choice). [N]"""


def refuse_smoothed(filtered: str | None) -> None:
    """Refuse a force that the file says was smoothed.

    Raises
    ------
    InputError
        Unless nothing was done to it.

    Examples
    --------
    >>> refuse_smoothed(None)
    """
    if filtered:
        raise InputError(
            f"The force was filtered before ({filtered}). That moves the take-off: 26.6 Hz cost "
            "one open recording 3 cm of height.",
            fix="Export the raw force.",
        )


def doubts_of(
    vertical_n: Values,
    rate_hz: float,
    *,
    flight: Flight,
    weighing: Weighing,
    onset: int,
    heights_m: tuple[float, float],
    entered_n: float | None,
    without_offset: bool,
) -> tuple[Remark, ...]:
    """All that is doubtful in a jump's recording.

    Parameters
    ----------
    vertical_n
        As measured, shape (n,). [N]
    rate_hz
        Samples a second. [Hz]
    flight, weighing, onset
        What was found.
    heights_m
        By impulse and by flight. [m]
    entered_n
        The weight by a scale. [N]
    without_offset
        Whether the offset was taken off.
    """
    found = [
        _smoothed(vertical_n, rate_hz),
        _offset(flight, without_offset=without_offset),
        _noise(flight),
        _heights(*heights_m),
        _slow(rate_hz),
        _restless(weighing),
        _scale(weighing, entered_n),
        _rose_first(vertical_n, rate_hz, weighing, onset),
        _weight_missing(vertical_n, rate_hz, weighing, flight),
    ]
    return tuple(one for one in found if one is not None)


def _smoothed(vertical_n: Values, rate_hz: float) -> Remark | None:
    if not looks_smoothed(vertical_n, rate_hz):
        return None
    return Remark(
        kind="smoothed",
        weight="fault",
        text="The force has no noise above 100 Hz: it was smoothed before. Take-off and landing "
        "move, and heights can be 3 cm low.",
        fix="Export the raw force.",
    )


def _offset(flight: Flight, *, without_offset: bool) -> Remark | None:
    if not flight.offset:
        return None
    done = "It was taken off." if without_offset else "It makes weight and height wrong."
    return Remark(
        kind="offset",
        weight="note" if without_offset else "fault",
        text=f"The empty plate reads {flight.offset_n:.1f} N in flight. {done}",
        fix="Zero the plate before the next jump."
        if without_offset
        else "Take the offset off, and zero the plate before the next jump.",
    )


def _noise(flight: Flight) -> Remark | None:
    if flight.threshold_n <= 20.0:
        return None
    return Remark(
        kind="noise",
        weight="doubt",
        text=f"The empty plate is noisy (standard deviation {flight.sd_n:.1f} N), so take-off and "
        f"landing are those of {flight.threshold_n:.0f} N instead of 20 N.",
        fix="Do not compare this height with others to the millimetre.",
    )


def _heights(by_impulse_m: float, by_flight_m: float) -> Remark | None:
    apart = by_flight_m - by_impulse_m
    if abs(apart) <= HEIGHTS_APART_M:
        return None
    way = "longer: legs bent at landing, or a wrong weight" if apart > 0 else "shorter"
    return Remark(
        kind="heights_apart",
        weight="doubt",
        text=f"Height by flight is {by_flight_m * 100:.1f} cm and by impulse "
        f"{by_impulse_m * 100:.1f} cm; the flight is {way}.",
        fix="Jump again: stand still first, land on straight legs.",
    )


def _slow(rate_hz: float) -> Remark | None:
    if rate_hz >= SLOW_HZ:
        return None
    return Remark(
        kind="slow",
        weight="doubt",
        text=f"{rate_hz:g} Hz is slow for a jump; heights come out some 0.5 to 2.5 cm low.",
        fix="Record at 1000 Hz.",
    )


def _restless(weighing: Weighing) -> Remark | None:
    if weighing.sd_n <= STILL_SD_N:
        return None
    return Remark(
        kind="restless",
        weight="doubt",
        text=f"The quietest second still moves by {weighing.sd_n:.0f} N.",
        fix="Stand still for two seconds before the jump.",
    )


def _scale(weighing: Weighing, entered_n: float | None) -> Remark | None:
    if entered_n is None or abs(weighing.weight_n / entered_n - 1.0) <= WEIGHT_APART:
        return None
    return Remark(
        kind="weight",
        weight="doubt",
        text=f"The plates weigh {weighing.weight_n:.0f} N, the scale {entered_n:.0f} N.",
        fix="Check that both feet were on the plates, and the scale.",
    )


def _rose_first(
    vertical_n: Values, rate_hz: float, weighing: Weighing, onset: int
) -> Remark | None:
    still = vertical_n[round(weighing.end_s * rate_hz) : onset]
    high_n = weighing.weight_n + 0.05 * weighing.weight_n
    if not len(still) or float(still.max()) <= high_n:
        return None
    return Remark(
        kind="rose_first",
        weight="doubt",
        text="The force rose by more than 5 % of the weight before it fell: the body was moving "
        "when the jump started.",
        fix="Jump again from standing still.",
    )


def _weight_missing(
    vertical_n: Values, rate_hz: float, weighing: Weighing, flight: Flight
) -> Remark | None:
    """Between two rests the mean force is the weight; else weight went beside the plate."""
    count = round(WINDOW_S * rate_hz)
    last = len(vertical_n) - count
    if last < flight.landing + count:
        return None
    rest = weigh_in(vertical_n, rate_hz, start_s=last / rate_hz)
    if rest.sd_n > STILL_SD_N or abs(rest.weight_n / weighing.weight_n - 1.0) > 0.2:
        return None
    middle = slice(round((weighing.start_s + 0.5) * rate_hz), last + count // 2)
    mean_n = float(vertical_n[middle].mean())
    if abs(mean_n / weighing.weight_n - 1.0) <= WEIGHT_APART:
        return None
    return Remark(
        kind="weight_missing",
        weight="doubt",
        text=f"Between two rests the mean force is {mean_n:.1f} N, but the weight is "
        f"{weighing.weight_n:.1f} N.",
        fix="Check that nobody and nothing else touched the plates, and their zero.",
    )
