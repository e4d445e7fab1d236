"""The equations of motion of many balls at once, and the steps that carry them to the ground.

A state is an array of shape (7, n): x, y, z [m], their rates [m/s], and the spin rate [rad/s].
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leadfoot.physics.air import STANDARD_AIR, Air
from leadfoot.physics.ball import REGRESSION, SPIN_DECAY, STANDARD_BALL, AirModel, Ball

Series = NDArray[np.float64]

GRAVITY_MPS2 = 9.80665
"""Standard gravity, 3rd General Conference on Weights and Measures, 1901. True gravity differs from
it by up to 0.3 %, which is under a yard of carry."""

WIND_HEIGHT_M = 10.0
"""Height at which wind is stated: World Meteorological Organization, guide WMO-No. 8."""

ROUGHNESS_M = 0.03
"""Roughness length of open, level grass: WMO-No. 8, classification of terrain by Davenport. [m]"""

STEP_SHARE = 0.20
"""A step lasts this share of the time in which the ball's speed would change by itself: |v| / |a|.
Chosen so that the landing point is within 5 mm of a 1e-10 reference over the whole box of launches
in the tests. [-]"""

LONGEST_STEP_S = 0.06
"""No step is longer. Chosen with `STEP_SHARE`. [s]"""

WIND_STEP_SHARE = 0.4
"""In wind no step moves the ball by more than this share of its height above `WIND_STEP_FLOOR_M`
below the ground: the wind changes with the logarithm of the height. [-]"""

WIND_STEP_FLOOR_M = 0.2
"""See `WIND_STEP_SHARE`. [m]"""

_SLOWEST_MPS = 1e-9  # keeps rω/V finite where the ball stands still in the air


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Setting:
    """Everything about the flights of a batch that does not change while they fly.

    Attributes
    ----------
    drag_per_m
        ``½ρA/m``: deceleration by drag is this times C_D V². [1/m]
    reynolds_per_mps
        Reynolds number of one metre a second. [s/m]
    axis
        Shape (3, n): direction of the spin, fixed in space.
    wind_along_mps, wind_across_mps
        Shape (n,): wind at `WIND_HEIGHT_M`, toward the target and to the right. [m/s]
    landing_height_m
        Shape (n,): height of the landing above the tee; the wind is measured above the lower of
        the two. [m]
    """

    drag_per_m: float
    reynolds_per_mps: float
    ball: Ball
    model: AirModel
    axis: Series
    wind_along_mps: Series
    wind_across_mps: Series
    landing_height_m: Series
    windy: bool

    @property
    def finer(self) -> float:
        """How many times finer the steps are than for a smooth model."""
        return self.model.finer

    def at(self, which: NDArray[np.bool_]) -> "Setting":
        """The setting of some of the balls, by a mask of shape (n,)."""
        return replace(
            self,
            axis=self.axis[:, which],
            wind_along_mps=self.wind_along_mps[which],
            wind_across_mps=self.wind_across_mps[which],
            landing_height_m=self.landing_height_m[which],
        )


def setting_for(
    *,
    air: Air,
    ball: Ball,
    model: AirModel,
    axis: Series,
    along_mps: Series,
    across_mps: Series,
    landing_height_m: Series,
) -> Setting:
    """Gather what stays the same during a batch of flights.

    Parameters
    ----------
    air, ball, model
        The same for the whole batch.
    axis
        Direction of the spin, shape (3, n), from `spin_axis_vector`. [-]
    along_mps, across_mps
        Wind at `WIND_HEIGHT_M`, shape (n,). [m/s]
    landing_height_m
        Height of the landing above the tee, shape (n,). [m]

    Examples
    --------
    >>> setting = _example_setting()
    >>> setting.windy, round(setting.drag_per_m, 5)
    (False, 0.01867)
    """
    density = air.density_kgm3
    return Setting(
        drag_per_m=0.5 * density * ball.area_m2 / ball.mass_kg,
        reynolds_per_mps=density * ball.diameter_m / air.viscosity_pas,
        ball=ball,
        model=model,
        axis=axis,
        wind_along_mps=along_mps,
        wind_across_mps=across_mps,
        landing_height_m=landing_height_m,
        windy=bool(np.any(along_mps) or np.any(across_mps)),
    )


def spin_axis_vector(launch_direction_rad: Series, spin_axis_rad: Series) -> Series:
    """Direction of the spin in the ball frame, shape (3, n).

    Pure backspin turns about the axis that points right of the launch direction; a positive tilt
    lowers that axis on the right, so that the lift leans right.

    Parameters
    ----------
    launch_direction_rad, spin_axis_rad
        Shape (n,); positive right of the target, positive curves right. [rad]

    Examples
    --------
    >>> spin_axis_vector(np.array([0.0]), np.array([0.0])).round(9).ravel() + 0.0
    array([0., 0., 1.])
    """
    flat = np.cos(spin_axis_rad)
    return np.stack(
        [
            -np.sin(launch_direction_rad) * flat,
            -np.sin(spin_axis_rad),
            np.cos(launch_direction_rad) * flat,
        ]
    )


def _through_air(state: Series, setting: Setting) -> tuple[Series, Series, Series, Series]:
    """Velocity relative to the air, by component, and its size; the wind grows with ln(height)."""
    if setting.windy:
        height = np.maximum(state[1] - np.minimum(setting.landing_height_m, 0.0), 0.0)
        share = np.log1p(height / ROUGHNESS_M) / np.log1p(WIND_HEIGHT_M / ROUGHNESS_M)
        ux = state[3] - setting.wind_along_mps * share
        uz = state[5] - setting.wind_across_mps * share
    else:
        ux, uz = state[3], state[5]
    uy = state[4]
    speed = np.sqrt(ux * ux + uy * uy + uz * uz)
    return ux, uy, uz, np.maximum(speed, _SLOWEST_MPS)


def regime(state: Series, setting: Setting) -> tuple[Series, Series]:
    """Spin parameter and Reynolds number of each ball.

    Parameters
    ----------
    state
        Shape (7, n).
    setting
        What stays the same.

    Examples
    --------
    >>> spin_parameter, reynolds = regime(_example_state(), _example_setting())
    >>> round(float(spin_parameter[0]), 3), round(float(reynolds[0]) / 1e5, 2)
    (0.112, 1.69)
    """
    speed = _through_air(state, setting)[3]
    return setting.ball.radius_m * state[6] / speed, setting.reynolds_per_mps * speed


def rates(state: Series, setting: Setting) -> Series:
    """Rate of change of every state: gravity, drag against and lift across the relative wind.

    Lift acts along spin axis x relative velocity; the part of the spin that lies along the flight
    (rifle spin) lifts nothing.

    Parameters
    ----------
    state
        Shape (7, n).
    setting
        What stays the same.

    Returns
    -------
    array
        Shape (7, n): velocity, acceleration, loss of spin. [m/s], [m/s²], [rad/s²]

    Examples
    --------
    >>> rates(_example_state(), _example_setting())[3:6, 0].round(2)
    array([-18.33,  -1.86,   0.  ])
    """
    ux, uy, uz, speed = _through_air(state, setting)
    ball = setting.ball
    drag_c, lift_c = setting.model.coefficients(
        ball.radius_m * state[6] / speed, setting.reynolds_per_mps * speed
    )
    drag = (setting.drag_per_m * ball.drag_factor) * drag_c * speed
    lift = (setting.drag_per_m * ball.lift_factor) * lift_c * speed
    ax, ay, az = setting.axis
    out = np.empty_like(state)
    out[:3] = state[3:6]
    out[3] = lift * (ay * uz - az * uy) - drag * ux
    out[4] = lift * (az * ux - ax * uz) - drag * uy - GRAVITY_MPS2
    out[5] = lift * (ax * uy - ay * ux) - drag * uz
    out[6] = (-SPIN_DECAY / ball.radius_m) * state[6] * speed
    return out


def step(state: Series, first: Series, length_s: Series, setting: Setting) -> Series:
    """One classical fourth-order Runge-Kutta step.

    Parameters
    ----------
    state, first
        The start and the rates there, shape (7, n) each.
    length_s
        Length of each ball's step, shape (n,). [s]
    setting
        What stays the same.

    Returns
    -------
    array
        The state at the end, shape (7, n).

    Examples
    --------
    >>> start, setting = _example_state(), _example_setting()
    >>> end = step(start, rates(start, setting), np.array([0.05]), setting)
    >>> end[:2, 0].round(3)
    array([2.912, 0.621])
    """
    half = 0.5 * length_s
    second = rates(state + half * first, setting)
    third = rates(state + half * second, setting)
    fourth = rates(state + length_s * third, setting)
    total: Series = state + (length_s / 6.0) * (first + 2.0 * (second + third) + fourth)
    return total


def next_step_s(state: Series, first: Series, setting: Setting) -> tuple[Series, NDArray[np.bool_]]:
    """Length of each ball's next step, and which of them it should bring to the ground.

    Parameters
    ----------
    state, first
        The start and the rates there, shape (7, n) each.
    setting
        What stays the same.

    Returns
    -------
    tuple of arrays
        Lengths and a mask, shape (n,) each. [s]

    Examples
    --------
    >>> start, setting = _example_state(), _example_setting()
    >>> length, lands = next_step_s(start, rates(start, setting), setting)
    >>> float(length[0]), bool(lands[0])
    (0.06, False)
    """
    height, climb, pull = state[1] - setting.landing_height_m, state[4], first[4]
    speed = np.sqrt(state[3] ** 2 + climb**2 + state[5] ** 2)
    force = np.sqrt(first[3] ** 2 + pull**2 + first[5] ** 2)
    longest = np.minimum(LONGEST_STEP_S, STEP_SHARE * speed / np.maximum(force, 1e-12))
    longest = longest / setting.finer
    longest = np.maximum(longest, 1e-3)  # a ball that hovers in a gale still moves on
    if setting.windy:
        above = state[1] - np.minimum(setting.landing_height_m, 0.0)
        room = WIND_STEP_SHARE * (above + WIND_STEP_FLOOR_M)
        longest = np.minimum(longest, room / np.maximum(np.abs(climb), 1e-3))
    to_ground = _ballistic_time_s(height, climb, pull)
    falling = climb <= 0.0
    lands = falling & (to_ground <= longest)
    rising = ~falling & (pull < 0.0)
    longest = np.where(rising, np.minimum(longest, 0.5 * to_ground), longest)
    return np.where(lands, to_ground, longest), lands


def _ballistic_time_s(height: Series, climb: Series, pull: Series) -> Series:
    """Time to the ground under the present acceleration; infinite where it never comes down."""
    root = np.sqrt(np.maximum(climb * climb - 2.0 * pull * height, 0.0))
    never = (climb * climb < 2.0 * pull * height) | ((climb > 0.0) & (pull >= 0.0))
    coming_down = 2.0 * height / np.maximum(root - climb, 1e-300)
    going_up = (climb + root) / np.where(pull < 0.0, -pull, 1.0)
    time = np.where(climb > 0.0, going_up, coming_down)
    return np.where(never, np.inf, time)


def land(state: Series, first: Series, guess_s: Series, setting: Setting) -> tuple[Series, Series]:
    """Find the moment of landing within the last step, by Newton's method on the step itself.

    Each trial is a whole Runge-Kutta step from the same start, so the landing is as exact as the
    steps are.

    Parameters
    ----------
    state, first
        The start of the last step and the rates there, shape (7, n) each.
    guess_s
        Length of that step, about, shape (n,). [s]
    setting
        What stays the same.

    Returns
    -------
    tuple of arrays
        Length of the step, shape (n,), and the state at landing, shape (7, n). [s]

    Examples
    --------
    >>> low, setting = _example_state(), _example_setting()
    >>> low[1], low[4] = 0.5, -10.0
    >>> length, end = land(low, rates(low, setting), np.array([0.04]), setting)
    >>> round(float(length[0]), 4), float(end[1, 0])
    (0.0505, 0.0)
    """
    length = guess_s
    for _ in range(3):
        end = step(state, first, length, setting)
        change = (end[1] - setting.landing_height_m) / np.minimum(end[4], -1e-6)
        length = np.clip(length - change, -0.1, 4.0 * np.abs(guess_s) + 1e-9)
    end = step(state, first, length, setting)
    end[1] = setting.landing_height_m
    return length, end


def _example_setting() -> Setting:
    """The setting of one ball with pure backspin in still standard air, for the examples."""
    zero = np.zeros(1)
    return setting_for(
        air=STANDARD_AIR,
        ball=STANDARD_BALL,
        model=REGRESSION,
        axis=spin_axis_vector(zero, zero),
        along_mps=zero,
        across_mps=zero,
        landing_height_m=zero,
    )


def _example_state() -> Series:
    """One ball just launched at 60 m/s, 12 degrees and 3,000 rpm, for the examples."""
    angle = np.radians(12.0)
    level, up = 60.0 * np.cos(angle), 60.0 * np.sin(angle)
    return np.array([[0.0], [0.0], [0.0], [level], [up], [0.0], [100.0 * np.pi]])
