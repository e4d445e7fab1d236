"""Carry a batch of balls to the ground, step by step, dropping each from the batch as it lands."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from leadfoot.physics.motion import (
    Series,
    Setting,
    between,
    land,
    next_step_s,
    rates,
    regime,
    step,
    top_of,
)

AT_A_TIME = 4096
"""Balls flown together: few enough that their states stay in the processor's cache."""

LONGEST_FLIGHT_S = 60.0
"""A ball still up after a minute is not a golf shot. The longest drives fly some 10 s. [s]"""


@dataclass(slots=True, kw_only=True, eq=False)
class Landed:
    """How a batch came down; every array has shape (n,), ``state`` (7, n)."""

    state: Series
    time_s: Series
    apex_m: Series
    least_spin_parameter: Series
    most_spin_parameter: Series
    least_reynolds: Series
    at_once: NDArray[np.bool_]


@dataclass(slots=True, eq=False)
class Trace:
    """The steps of the first ball of a batch."""

    times_s: list[float] = field(default_factory=list)
    states: list[Series] = field(default_factory=list)

    def note(self, time_s: Series, state: Series) -> None:
        """Keep one step."""
        self.times_s.append(float(time_s[0]))
        self.states.append(state[:6, 0].copy())

    def sampled(self, n_points: int) -> tuple[Series, Series, Series, Series]:
        """Time and place, evenly spaced in time."""
        steps, states = np.array(self.times_s), np.array(self.states)
        times = np.linspace(steps[0], steps[-1], n_points)
        if len(steps) == 1:
            x, y, z = (np.full(n_points, states[0, k]) for k in range(3))
            return times, x, y, z
        x, y, z = (between(times, steps, states[:, k], states[:, k + 3]) for k in range(3))
        return times, x, np.maximum(y, 0.0), z


def fly_to_ground(start: Series, setting: Setting, trace: Trace | None = None) -> Landed:
    """Fly every ball of a batch until it lands.

    Parameters
    ----------
    start
        States at launch, shape (7, n), all on the ground.
    setting
        What stays the same while they fly.
    trace
        Collects the steps of the first ball.

    Returns
    -------
    Landed
        State and time at landing and the extremes on the way; NaN for a ball that never landed.
    """
    n = start.shape[1]
    spin_parameter, reynolds = regime(start, setting)
    out = Landed(
        state=start.copy(),
        time_s=np.zeros(n),
        apex_m=np.zeros(n),
        least_spin_parameter=spin_parameter,
        most_spin_parameter=spin_parameter.copy(),
        least_reynolds=reynolds,
        at_once=start[4] <= 0.0,
    )
    if trace is not None and n:
        trace.note(np.zeros(1), start)
    flying = np.flatnonzero(~out.at_once)
    for low in range(0, len(flying), AT_A_TIME):
        which = flying[low : low + AT_A_TIME]
        chosen = np.zeros(n, dtype=np.bool_)
        chosen[which] = True
        _fly_some(which, start[:, which], setting.at(chosen), out, trace)
    return out


def _fly_some(
    which: NDArray[np.int64], state: Series, setting: Setting, out: Landed, trace: Trace | None
) -> None:
    """Fly some balls of the batch and write how they came down into ``out``."""
    time = np.zeros(len(which))
    first = rates(state, setting)
    while len(which):
        length, lands = next_step_s(state, first, setting)
        end = step(state, first, length, setting)
        lands |= end[1] <= 0.0
        if lands.any():
            some = setting.at(lands)
            found = land(state[:, lands], first[:, lands], length[lands], some)
            length[lands], end[:, lands] = found
        last = rates(end, setting)
        _note_regime(out, which, regime(end, setting))
        over = (state[4] > 0.0) & (end[4] <= 0.0)
        if over.any():
            top = top_of(state[:, over], first[:, over], end[:, over], last[:, over], length[over])
            out.apex_m[which[over]] = np.maximum(out.apex_m[which[over]], top)
        time = time + length
        if trace is not None:
            trace.note(time, end)
        lost = ~lands & (time > LONGEST_FLIGHT_S)
        _write(out, which[lands], end[:, lands], time[lands])
        _lose(out, which[lost])
        on = ~(lands | lost)
        which, time, state, first = which[on], time[on], end[:, on], last[:, on]
        setting = setting if on.all() else setting.at(on)


def _note_regime(out: Landed, which: NDArray[np.int64], now: tuple[Series, Series]) -> None:
    """Keep the extremes of spin parameter and Reynolds number."""
    spin_parameter, reynolds = now
    out.least_spin_parameter[which] = np.minimum(out.least_spin_parameter[which], spin_parameter)
    out.most_spin_parameter[which] = np.maximum(out.most_spin_parameter[which], spin_parameter)
    out.least_reynolds[which] = np.minimum(out.least_reynolds[which], reynolds)


def _write(out: Landed, which: NDArray[np.int64], end: Series, time: Series) -> None:
    """Write the balls that are down."""
    out.state[:, which] = end
    out.time_s[which] = time


def _lose(out: Landed, which: NDArray[np.int64]) -> None:
    """Write the balls that never came down as NaN."""
    out.state[:, which] = np.nan
    out.time_s[which] = np.nan
    out.apex_m[which] = np.nan
