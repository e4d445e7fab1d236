"""Carry a batch of balls to the ground, step by step, dropping each from the batch as it lands."""

from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from leadfoot.physics.curve import between, top_of
from leadfoot.physics.motion import (
    Series,
    Setting,
    land,
    next_step_s,
    rates,
    regime,
    step,
)

AT_A_TIME = 8192
"""Balls flown together: enough that the cost of each call of numpy is shared by many, few enough
that their states stay in the processor's cache."""

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
    too_low: NDArray[np.bool_]


@dataclass(slots=True, eq=False)
class Trace:
    """The steps of the first ball of a batch: times, and place and velocity at each."""

    times_s: list[float] = field(default_factory=list)
    states: list[Series] = field(default_factory=list)

    def note(self, time_s: Series, state: Series) -> None:
        """Keep one step."""
        self.times_s.append(float(time_s[0]))
        self.states.append(state[:6, 0].copy())

    def sampled(self, n_points: int) -> tuple[Series, Series, Series, Series]:
        """Time and place, evenly spaced in time."""
        steps, states = np.array(self.times_s), np.array(self.states)
        longer = np.diff(steps, prepend=-np.inf) > 0.0  # a step may end where it began
        steps, states = steps[longer], states[longer]
        times = np.linspace(steps[0], steps[-1], n_points)
        if len(steps) == 1:
            x, y, z = (np.full(n_points, states[0, k]) for k in range(3))
            return times, x, y, z
        x, y, z = between(times, steps, states[:, :3], states[:, 3:]).T
        return times, x, y, z


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

    Examples
    --------
    >>> from leadfoot.physics.motion import _example_setting, _example_state
    >>> landed = fly_to_ground(_example_state(), _example_setting())
    >>> landed.time_s.round(2), landed.state[0].round(1)
    (array([5.6]), array([189.1]))
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
        at_once=(start[4] <= 0.0) & (setting.landing_height_m == 0.0),
        too_low=np.zeros(n, dtype=np.bool_),
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
    """Fly some balls of the batch and write how they came down into ``out``.

    Each ball leaves the batch at its last step; the landings are found for all of them together.
    """
    time = np.zeros(len(which))
    first = rates(state, setting)
    waiting: list[_LastStep] = []
    while len(which):
        length, lands = next_step_s(state, first, setting)
        end = step(state, first, length, setting)
        under = end[1] <= setting.landing_height_m
        lands |= under & ((end[4] <= 0.0) | (state[1] >= setting.landing_height_m))
        on = ~lands
        if lands.any():
            ready = which[lands], time[lands], state[:, lands], first[:, lands], length[lands]
            waiting.append(_LastStep(*ready, setting=setting.at(lands)))
            which, time, state, first = which[on], time[on], state[:, on], first[:, on]
            end, length, setting = end[:, on], length[on], setting.at(on)
        last = rates(end, setting)
        _note_extremes(out, which, (state, first, end, last), length, setting)
        time = time + length
        if trace is not None and len(which):
            trace.note(time, end)
        state, first = end, last
        lost = time > LONGEST_FLIGHT_S
        if lost.any():
            _lose(out, which[lost])
            on = ~lost
            which, time, state, first = which[on], time[on], state[:, on], first[:, on]
            setting = setting.at(on)
    if waiting:
        _bring_down(_gathered(waiting), out, trace)


@dataclass(frozen=True, slots=True, eq=False)
class _LastStep:
    """Balls at the start of the step that brings them to the ground, and a guess of its length."""

    which: NDArray[np.int64]
    time_s: Series
    state: Series
    first: Series
    guess_s: Series
    setting: Setting


def _gathered(waiting: list[_LastStep]) -> _LastStep:
    """All balls that wait for their last step, as one batch."""
    return _LastStep(
        which=np.concatenate([one.which for one in waiting]),
        time_s=np.concatenate([one.time_s for one in waiting]),
        state=np.concatenate([one.state for one in waiting], axis=1),
        first=np.concatenate([one.first for one in waiting], axis=1),
        guess_s=np.concatenate([one.guess_s for one in waiting]),
        setting=replace(
            waiting[0].setting,
            axis=np.concatenate([one.setting.axis for one in waiting], axis=1),
            wind_along_mps=np.concatenate([one.setting.wind_along_mps for one in waiting]),
            wind_across_mps=np.concatenate([one.setting.wind_across_mps for one in waiting]),
            landing_height_m=np.concatenate([one.setting.landing_height_m for one in waiting]),
        ),
    )


def _bring_down(ready: _LastStep, out: Landed, trace: Trace | None) -> None:
    """Take the last step of every ball and write how it came down."""
    length, end = land(ready.state, ready.first, ready.guess_s, ready.setting)
    last = rates(end, ready.setting)
    steps = ready.state, ready.first, end, last
    _note_extremes(out, ready.which, steps, length, ready.setting)
    time = ready.time_s + length
    if trace is not None:
        trace.note(time, end)
    out.state[:, ready.which] = end
    out.time_s[ready.which] = time
    short = out.apex_m[ready.which] < ready.setting.landing_height_m
    out.too_low[ready.which] = short
    _lose(out, ready.which[short])


def _note_extremes(
    out: Landed,
    which: NDArray[np.int64],
    steps: tuple[Series, Series, Series, Series],
    length_s: Series,
    setting: Setting,
) -> None:
    """Keep the greatest height and the extremes of spin parameter and Reynolds number."""
    state, first, end, last = steps
    spin_parameter, reynolds = regime(end, setting)
    out.least_spin_parameter[which] = np.minimum(out.least_spin_parameter[which], spin_parameter)
    out.most_spin_parameter[which] = np.maximum(out.most_spin_parameter[which], spin_parameter)
    out.least_reynolds[which] = np.minimum(out.least_reynolds[which], reynolds)
    over = (state[4] > 0.0) & (end[4] <= 0.0)
    if over.any():
        top = top_of(state[:, over], first[:, over], end[:, over], last[:, over], length_s[over])
        out.apex_m[which[over]] = np.maximum(out.apex_m[which[over]], top)


def _lose(out: Landed, which: NDArray[np.int64]) -> None:
    """Write the balls that never came down, or never reached the landing, as NaN."""
    out.state[:, which] = np.nan
    out.time_s[which] = np.nan
    out.apex_m[which] = np.nan
