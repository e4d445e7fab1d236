"""Invented jumps whose truth is known exactly: for tests, pictures and demonstrations.

The acceleration of the centre of mass is a chain of cubics (monotone between its knots), so that
velocity and position follow in closed form. Flight is free fall.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

from leadfoot.ground.method import GRAVITY_MPS2

Values = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeJump:
    """An invented countermovement jump.

    Attributes
    ----------
    mass_kg
        Body mass. [kg]
    still_s
        Standing still before and after. [s]
    unweight_s, brake_s, push_s, fade_s
        Lengths of: force falling, rising to its peak, held there, falling to nothing. [s]
    dip_mps2, push_mps2
        Greatest acceleration down and up. [m/s²]
    bent_m
        How much lower the centre of mass lands than it left, by bent legs. [m]

    Examples
    --------
    >>> round(MadeJump().height_m, 3), round(MadeJump().flight_s, 3)
    (0.413, 0.58)
    """

    mass_kg: float = 80.0
    still_s: float = 2.0
    unweight_s: float = 0.38
    brake_s: float = 0.24
    push_s: float = 0.16
    fade_s: float = 0.05
    dip_mps2: float = 4.5
    push_mps2: float = 13.0
    bent_m: float = 0.0

    @property
    def _parts(self) -> PchipInterpolator:
        half = 0.5 * self.unweight_s
        lengths = (half, half, self.brake_s, self.push_s, self.fade_s)
        at = np.concatenate(([0.0], np.cumsum(lengths)))
        top = self.push_mps2
        return PchipInterpolator(at, [0.0, -self.dip_mps2, 0.0, top, 0.95 * top, -GRAVITY_MPS2])

    @property
    def start_s(self) -> float:
        """First movement. [s] after the first sample."""
        return self.still_s

    @property
    def take_off_s(self) -> float:
        """Where the force is nothing. [s] after the first sample."""
        return self.still_s + self.unweight_s + self.brake_s + self.push_s + self.fade_s

    @property
    def take_off_velocity_mps(self) -> float:
        """Upward speed at the take-off, exact, in m/s."""
        return float(self._parts.integrate(0.0, self.take_off_s - self.start_s))

    @property
    def rise_m(self) -> float:
        """How much higher than standing the centre of mass leaves the ground, in m."""
        return float(self._parts.antiderivative(2)(self.take_off_s - self.start_s))

    @property
    def height_m(self) -> float:
        """From the take-off to the top: ``v² / 2g``, in m."""
        return self.take_off_velocity_mps**2 / (2.0 * GRAVITY_MPS2)

    @property
    def flight_s(self) -> float:
        """Time in the air, in s."""
        fall_mps = np.sqrt(self.take_off_velocity_mps**2 + 2.0 * GRAVITY_MPS2 * self.bent_m)
        return float((self.take_off_velocity_mps + fall_mps) / GRAVITY_MPS2)

    @property
    def peak_force_n(self) -> float:
        """Greatest force before the take-off, in N."""
        return self.mass_kg * (GRAVITY_MPS2 + self.push_mps2)

    @property
    def depth_m(self) -> float:
        """How far the centre of mass sinks, in m."""
        at = np.linspace(0.0, self.take_off_s - self.start_s, 20_001)
        place: Values = self._parts.antiderivative(2)(at)
        return -float(place.min())

    @property
    def peak_power_w(self) -> float:
        """Greatest product of force and velocity before the take-off, in W."""
        at = np.linspace(0.0, self.take_off_s - self.start_s, 20_001)
        velocity: Values = self._parts.antiderivative()(at)
        force: Values = self.mass_kg * (GRAVITY_MPS2 + self._parts(at))
        return float((force * velocity).max())

    def force_n(
        self,
        rate_hz: float,
        *,
        rng: np.random.Generator | None = None,
        noise_n: float = 0.0,
        offset_n: float = 0.0,
    ) -> Values:
        """Vertical force as a plate records it, shape (n,), in N.

        Parameters
        ----------
        rate_hz
            Samples a second. [Hz]
        rng
            For the noise, and for where the first sample falls between two others.
        noise_n
            Standard deviation of each sample. [N]
        offset_n
            Zero of the plate. [N]

        Examples
        --------
        >>> force_n = MadeJump().force_n(1000.0)
        >>> round(float(force_n[0]), 3), float(force_n.min())
        (784.532, 0.0)
        """
        landing_s = self.take_off_s + self.flight_s
        first_s = 0.0 if rng is None else float(rng.uniform(0.0, 1.0)) / rate_hz
        time_s = first_s + np.arange(0.0, landing_s + self.still_s + 1.0, 1.0 / rate_hz)
        force_n = np.full(len(time_s), self.mass_kg * GRAVITY_MPS2)
        pushing = (time_s >= self.start_s) & (time_s < self.take_off_s)
        rise: Values = self._parts(time_s[pushing] - self.start_s)
        force_n[pushing] += self.mass_kg * rise
        force_n[(time_s >= self.take_off_s) & (time_s < landing_s)] = 0.0
        ground = time_s >= landing_s
        force_n[ground] = self._landing(time_s[ground] - landing_s)
        if rng is not None and noise_n > 0.0:
            force_n += rng.normal(0.0, noise_n, len(force_n))
        return force_n + offset_n

    def _landing(self, since_s: Values) -> Values:
        """Force after the landing; its impulse over the weight stops the fall."""
        fall_mps = self.flight_s * GRAVITY_MPS2 - self.take_off_velocity_mps
        shape = PchipInterpolator([0.0, 0.05, 0.15, 0.5], [0.0, 1.0, 0.4, 0.0])
        early = PchipInterpolator([0.0, 0.05, 0.5], [-1.0, 0.0, 0.0])
        weight_n = self.mass_kg * GRAVITY_MPS2
        lost_mps = GRAVITY_MPS2 * float(early.integrate(0.0, 0.5))
        blow_n = self.mass_kg * (fall_mps - lost_mps) / float(shape.integrate(0.0, 0.5))
        inside = np.minimum(since_s, 0.5)
        force_n: Values = weight_n * (1.0 + early(inside)) + blow_n * shape(inside)
        return force_n


def random_jump(rng: np.random.Generator) -> MadeJump:
    """An invented jump of 15 to 60 cm.

    Examples
    --------
    >>> 0.15 <= random_jump(np.random.default_rng(1)).height_m <= 0.60
    True
    """
    while True:
        jump = MadeJump(
            mass_kg=float(rng.uniform(50.0, 120.0)),
            still_s=float(rng.uniform(1.5, 3.0)),
            unweight_s=float(rng.uniform(0.25, 0.6)),
            brake_s=float(rng.uniform(0.1, 0.35)),
            push_s=float(rng.uniform(0.05, 0.3)),
            fade_s=float(rng.uniform(0.03, 0.08)),
            dip_mps2=float(rng.uniform(2.0, 7.0)),
            push_mps2=float(rng.uniform(7.0, 17.0)),
            bent_m=float(rng.uniform(0.0, 0.03)),
        )
        if jump.take_off_velocity_mps < 1.7 or not 0.15 <= jump.height_m <= 0.60:
            continue
        if 0.03 <= jump.rise_m <= 0.16:
            return jump
