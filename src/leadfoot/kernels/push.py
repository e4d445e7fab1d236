"""What the air does to a ball at one moment: coefficients, wind at a height, rates of change.

Two things are chosen by the type of a record, so that a loop is compiled once for each: the model
of drag and lift, and whether there is wind. The formulas and their sources stand in
`leadfoot.physics.ball`; tests hold the two to each other.
"""

from collections.abc import Callable, Mapping
from math import sqrt
from typing import Any, NamedTuple, TypeAlias

from leadfoot.kernels._jit import chosen_by_type, inlined
from leadfoot.kernels.elementary import HALF_PI, cosine, ln, more_to_0_43, power
from leadfoot.kernels.knots import DRAG, LIFT, SPEEDS_MPS

GRAVITY_MPS2 = 9.80665

FAR_M = 1e9
"""Farther than any step goes. [m]"""


class Regression(NamedTuple):
    """The regression form; its numbers are fixed in `regression`."""

    unused: float = 0.0


class PowerLaw(NamedTuple):
    """The power law; its numbers are fixed in `power_law`."""

    unused: float = 0.0


class Grid(NamedTuple):
    """The table over speed and spin of a standard ball in standard air of 15 °C."""

    mps_per_re5: float
    """Speed at which the table has a Reynolds number of 100,000. [m/s]"""
    krpm_per_mps: float
    """Spin at which the table has spin parameter 1, for each metre a second. [1000 rpm s/m]"""


Choices: TypeAlias = Mapping[type, Callable[..., Any]]
Model: TypeAlias = Regression | PowerLaw | Grid


@inlined
def ramp(u: float, half_width: float) -> float:
    """Zero below, ``u`` above; the corner is rounded within ``half_width`` of zero.

    Smooth to the second derivative, and with the area under the corner kept.
    """
    inside = min(max(u, -half_width), half_width)
    q = inside * inside / half_width
    r = q / half_width
    bend = 5.0 / 64.0 * half_width + q * (45.0 / 64.0 + r * (-25.0 / 64.0 + r * (7.0 / 64.0)))
    return bend + 0.5 * inside + (max(u, half_width) - half_width)


def regression(_model: Regression, s: float, re5: float) -> tuple[float, float]:
    """Drag and lift coefficient by the regression form."""
    over = ramp(s - 0.22, 0.03)
    low = s - over
    past = ramp(s - 0.04, 0.02)
    sigma = 0.04 + past - over
    held = 0.8 + ramp(re5 - 0.8, 0.2) - ramp(re5 - 2.1, 0.4)
    drag = 0.202 + (2.81 * low - 0.204) * low + 0.0165 * held + 0.40 * over
    lift = 0.0845 + (1.373 * sigma + 0.667) * sigma - 0.0108 / (held * held)
    return drag, lift * more_to_0_43(over * (1.0 / 0.22)) * ((s - past) * 25.0)


def power_law(_model: PowerLaw, s: float, re5: float) -> tuple[float, float]:
    """Drag and lift coefficient by the power law."""
    held = 0.4 + ramp(re5 - 0.4, 0.1) - ramp(re5 - 2.5, 0.1)
    drag = 0.24 + 0.18 * s + 0.06 * cosine(HALF_PI * (held - 1.9))
    return drag, 0.54 * power(s, 0.4)


def grid(model: Grid, s: float, re5: float) -> tuple[float, float]:
    """Drag and lift coefficient from the table, bilinear, held at its edges."""
    speed = min(max(re5 * model.mps_per_re5, 13.7), 88.1)
    row = min(max(s * re5 * model.mps_per_re5 * model.krpm_per_mps - 2.0, 0.0), 4.0)
    j = min(int(row), 3)
    i = 0
    for k in range(1, 9):
        i += 1 if speed >= SPEEDS_MPS[k] else 0
    a = (speed - SPEEDS_MPS[i]) / (SPEEDS_MPS[i + 1] - SPEEDS_MPS[i])
    b = row - j
    ll, lr, ul, ur = (1.0 - a) * (1.0 - b), a * (1.0 - b), (1.0 - a) * b, a * b
    drag = ll * DRAG[j, i] + lr * DRAG[j, i + 1]
    drag += ul * DRAG[j + 1, i] + ur * DRAG[j + 1, i + 1]
    lift = ll * LIFT[j, i] + lr * LIFT[j, i + 1]
    lift += ul * LIFT[j + 1, i] + ur * LIFT[j + 1, i + 1]
    return drag, lift


_COEFFICIENTS: Choices = {Regression: regression, PowerLaw: power_law, Grid: grid}


def coefficients(model: Model, s: float, re5: float) -> tuple[float, float]:
    """Drag and lift coefficient; Reynolds number in units of 100,000."""
    found: tuple[float, float] = _COEFFICIENTS[type(model)](model, s, re5)
    return found


chosen_by_type(coefficients, _COEFFICIENTS)


class Calm(NamedTuple):
    """No wind at any height."""

    unused: float = 0.0


class LogWind(NamedTuple):
    """Wind that grows with the logarithm of the height, and how steps go near the ground.

    ln(1 + y / roughness) has a scale of centimetres near the ground that a step in time cannot
    see. The first step and the last one are taken in another variable ``s``, ``dt = g ds`` with
    ``1 / g = 1 + slow / sqrt(y + near)``: it is as long as a step in time high up and much shorter
    near the ground.
    """

    per_roughness: float
    """One over the roughness length. [1/m]"""
    per_log: float
    """One over ln(1 + y / roughness) at the height where the wind is stated. [-]"""
    near_m: float
    slow: float
    """[√m]"""
    first_m: float
    """The first step rises no higher. [m]"""
    first_s: float
    """The first step is no longer. [s]"""
    growth: float
    """A later step rises no more than this many times the height where it starts. [-]"""
    last_m: float
    """The last step falls no farther. [m]"""


Wind: TypeAlias = Calm | LogWind


def _calm_share(_wind: Calm, _y: float) -> float:
    return 0.0


def _log_share(wind: LogWind, y: float) -> float:
    return ln(1.0 + max(y, 0.0) * wind.per_roughness) * wind.per_log


def _calm_pace(_wind: Calm, _y: float) -> float:
    return 1.0


def _log_pace(wind: LogWind, y: float) -> float:
    root = sqrt(max(y, 0.0) + wind.near_m)
    return root / (root + wind.slow)


def _calm_depth(_wind: Calm, y: float) -> float:
    return y


def _log_depth(wind: LogWind, y: float) -> float:
    y = max(y, 0.0)
    return y + 2.0 * wind.slow * sqrt(y + wind.near_m)


def _calm_headroom(_wind: Calm, _y: float) -> float:
    return FAR_M


def _log_headroom(wind: LogWind, y: float) -> float:
    return wind.growth * y


def _calm_last_fall(_wind: Calm) -> float:
    return FAR_M


def _log_last_fall(wind: LogWind) -> float:
    return wind.last_m


def _calm_first(_wind: Calm, _vy: float) -> float:
    return 0.0


def _log_first(wind: LogWind, vy: float) -> float:
    return min(wind.first_s, wind.first_m / max(vy, 1e-9))


def _calm_blows(_wind: Calm) -> bool:
    return False


def _log_blows(_wind: LogWind) -> bool:
    return True


_SHARE: Choices = {Calm: _calm_share, LogWind: _log_share}
_PACE: Choices = {Calm: _calm_pace, LogWind: _log_pace}
_DEPTH: Choices = {Calm: _calm_depth, LogWind: _log_depth}
_HEADROOM: Choices = {Calm: _calm_headroom, LogWind: _log_headroom}
_LAST_FALL: Choices = {Calm: _calm_last_fall, LogWind: _log_last_fall}
_FIRST: Choices = {Calm: _calm_first, LogWind: _log_first}
_BLOWS: Choices = {Calm: _calm_blows, LogWind: _log_blows}


def share(wind: Wind, y: float) -> float:
    """Wind at a height over the wind that is stated."""
    found: float = _SHARE[type(wind)](wind, y)
    return found


def pace(wind: Wind, y: float) -> float:
    """Time that passes with one unit of ``s``: g."""
    found: float = _PACE[type(wind)](wind, y)
    return found


def depth(wind: Wind, y: float) -> float:
    """The integral of ``dy / g``, from anywhere: what the last step is taken in."""
    found: float = _DEPTH[type(wind)](wind, y)
    return found


def headroom(wind: Wind, y: float) -> float:
    """How far a ball at a height may rise in one step in time."""
    found: float = _HEADROOM[type(wind)](wind, y)
    return found


def last_fall(wind: Wind) -> float:
    """How far a ball may fall in its last step."""
    found: float = _LAST_FALL[type(wind)](wind)
    return found


def first_step_s(wind: Wind, vy: float) -> float:
    """How long the first step of a ball in wind may be at most."""
    found: float = _FIRST[type(wind)](wind, vy)
    return found


def blows(wind: Wind) -> bool:
    """Whether there is wind."""
    found: bool = _BLOWS[type(wind)](wind)
    return found


chosen_by_type(share, _SHARE)
chosen_by_type(pace, _PACE)
chosen_by_type(depth, _DEPTH)
chosen_by_type(headroom, _HEADROOM)
chosen_by_type(last_fall, _LAST_FALL)
chosen_by_type(first_step_s, _FIRST)
chosen_by_type(blows, _BLOWS)


class Body(NamedTuple):
    """The ball in its air: what turns coefficients into accelerations."""

    drag_per_m: float
    """``k_D ρA/2m``: deceleration by drag is this times C_D V². [1/m]"""
    lift_per_m: float
    """``k_L ρA/2m``. [1/m]"""
    re5_per_mps: float
    """Reynolds number of one metre a second, in units of 100,000. [s/m]"""
    radius_m: float
    decay_per_m: float
    """Spin lost on each metre of way through the air, as a share. [1/m]"""


@inlined
def rates(
    model: Model,
    wind: Wind,
    body: Body,
    moving: tuple[float, float, float, float, float],
    fixed: tuple[float, float, float, float, float],
) -> tuple[float, float, float, float]:
    """Acceleration along x, y and z, and loss of spin.

    ``moving`` is vx, vy, vz, spin and height; ``fixed`` is the spin axis and the wind along and
    across at the height where it is stated. Lift acts along axis x relative velocity.
    """
    vx, vy, vz, spin, y = moving
    ax, ay, az, along, across = fixed
    part = share(wind, y)
    ux = vx - along * part
    uz = vz - across * part
    v = max(sqrt(ux * ux + vy * vy + uz * uz), 1e-9)
    drag_c, lift_c = coefficients(model, spin * body.radius_m / v, v * body.re5_per_mps)
    drag = body.drag_per_m * drag_c * v
    lift = body.lift_per_m * lift_c * v
    return (
        lift * (ay * uz - az * vy) - drag * ux,
        lift * (az * ux - ax * uz) - drag * vy - GRAVITY_MPS2,
        lift * (ax * vy - ay * ux) - drag * uz,
        -body.decay_per_m * spin * v,
    )
