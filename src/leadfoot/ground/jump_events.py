"""When a jump starts, leaves the ground and lands, on raw force."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError
from leadfoot.ground.body_weight import Weighing
from leadfoot.ground.contacts import NOISY_SD_N, THRESHOLD_N, Run, contacts, runs

Values = NDArray[np.float64]

ONSET_SD = 5.0
"""The jump starts where the force falls so many standard deviations under the weight (Owen and
others, Journal of Strength and Conditioning Research 28, 1552, 2014), ..."""
ONSET_BACK_S = 0.030
"""... less this (the same). [s]"""
ONSET_LASTS_S = 0.005
"""... and stays there for so long, as noise of one sample is no start (own choice). [s]"""
LEAST_FLIGHT_S, GREATEST_FLIGHT_S = 0.1, 1.2
"""Heights of 1 cm and 1.8 m: no jump is outside (own choice). [s]"""
LEAST_OFFSET_N = 5.0
"""Mean force in flight from which a plate's zero is wrong (own choice; good plates showed up to
1.8 N). [N]"""
LOW_SHARE = 0.1
"""Share of the middle load below which a flight is looked for (own choice). [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flight:
    """The time in the air, and what the empty plate showed in it.

    Attributes
    ----------
    take_off, landing
        First sample under the threshold, and first at it or over it again.
    offset_n, sd_n
        Mean and standard deviation of the force in the middle 60 % of the flight. [N]
    threshold_n
        Below it the plate counts as empty: 20 N, or more on a noisy plate. [N]
    """

    take_off: int
    landing: int
    offset_n: float
    sd_n: float
    threshold_n: float

    @property
    def offset(self) -> bool:
        """Whether the plate's zero is wrong."""
        return abs(self.offset_n) >= LEAST_OFFSET_N


def flight_of(vertical_n: Values, rate_hz: float, *, threshold_n: float | None = None) -> Flight:
    """Find the longest flight of a recording.

    Parameters
    ----------
    vertical_n
        Vertical force of all plates, raw, shape (n,). [N]
    rate_hz
        Samples a second. [Hz]
    threshold_n
        Below it the plate is empty; None: 20 N, or on a plate with more than 4 N of noise the mean
        in flight and five standard deviations. [N]

    Raises
    ------
    InputError
        If there is no flight between two loads.

    Examples
    --------
    >>> force_n = np.concatenate((np.full(500, 800.0), np.zeros(400), np.full(500, 800.0)))
    >>> found = flight_of(force_n, 1000.0)
    >>> found.take_off, found.landing, found.threshold_n
    (500, 900, 20.0)
    """
    core = _core(vertical_n, rate_hz)
    length = core.end - core.first
    middle = vertical_n[core.first + length // 5 : core.end - length // 5]
    offset_n, sd_n = float(middle.mean()), float(middle.std(ddof=1))
    if threshold_n is None:
        noisy_n = offset_n + ONSET_SD * sd_n
        threshold_n = max(THRESHOLD_N, noisy_n) if sd_n > NOISY_SD_N else THRESHOLD_N
    at = (core.first + core.end) // 2
    loaded = contacts(vertical_n, rate_hz, threshold_n)
    before = [run for run in loaded if run.end <= at]
    after = [run for run in loaded if run.first > at]
    if not before or not after:
        raise InputError(
            f"The force in flight is {offset_n:.1f} N and does not pass the threshold of "
            f"{threshold_n:.0f} N.",
            fix="Zero the plate, or give a higher threshold.",
        )
    return Flight(
        take_off=before[-1].end,
        landing=after[0].first,
        offset_n=offset_n,
        sd_n=sd_n,
        threshold_n=threshold_n,
    )


def onset_of(vertical_n: Values, rate_hz: float, weighing: Weighing, *, before: int) -> int:
    """The sample at which a countermovement starts.

    Parameters
    ----------
    vertical_n
        Vertical force of all plates, raw, shape (n,). [N]
    rate_hz
        Samples a second. [Hz]
    weighing
        The weight; looked for is the first force more than 5 standard deviations under it.
    before
        Sample of the take-off.

    Raises
    ------
    InputError
        If the force never falls that far.

    Examples
    --------
    >>> noise = np.random.default_rng(1).normal(0.0, 1.0, 2000)
    >>> force_n = 800.0 + noise - 200.0 * (np.arange(2000) >= 1500)
    >>> still = Weighing(weight_n=800.0, sd_n=1.0, start_s=0.0, length_s=1.0)
    >>> onset_of(force_n, 1000.0, still, before=1900)
    1470
    """
    first = round(weighing.end_s * rate_hz)
    low_n = weighing.weight_n - ONSET_SD * weighing.sd_n
    least = max(2.0, ONSET_LASTS_S * rate_hz)
    found = runs(np.asarray(vertical_n[first:before] < low_n, dtype=np.bool_))
    below = [run.first for run in found if run.end - run.first >= least]
    if not below:
        raise InputError(
            "The force never falls under the weight before the take-off.",
            fix="Check that it is a countermovement jump from standing still.",
        )
    return int(max(first + below[0] - round(ONSET_BACK_S * rate_hz), 0))


def _core(vertical_n: Values, rate_hz: float) -> Run:
    """The longest run of hardly any force with the length of a flight and load on both sides."""
    loaded = vertical_n[vertical_n > THRESHOLD_N]
    low_n = max(THRESHOLD_N, LOW_SHARE * float(np.median(loaded))) if len(loaded) else THRESHOLD_N
    found = [
        run
        for run in runs(np.asarray(vertical_n < low_n, dtype=np.bool_))
        if LEAST_FLIGHT_S * rate_hz <= run.end - run.first <= GREATEST_FLIGHT_S * rate_hz
        and run.first > 0
        and run.end < len(vertical_n)
    ]
    if not found:
        raise InputError(
            f"No flight of {LEAST_FLIGHT_S:g} to {GREATEST_FLIGHT_S:g} s was found.",
            fix="Check that the recording holds take-off and landing on the same plates.",
        )
    return max(found, key=lambda run: run.end - run.first)
