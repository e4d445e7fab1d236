"""Invented swings whose truth is known exactly: for tests, pictures and demonstrations.

The plates feel what the body does. The path of the centre of mass and the angular momentum about it
are sums of smooth steps, so that their derivatives are exact. Newton's and Euler's laws then give
the whole force and moment; they are shared over two feet so that both laws hold at every instant.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from leadfoot.ground.method import GRAVITY_MPS2
from leadfoot.ground.recording import KnownWeight, Plate, Recording

Values = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A smooth step of a given size: ``size · (35u⁴ - 84u⁵ + 70u⁶ - 20u⁷)``, u from 0 to 1.

    Attributes
    ----------
    start_s, length_s
        When it starts and how long it takes. [s]
    size
        What it adds, in the unit of what it steps.

    Examples
    --------
    >>> step = Step(start_s=1.0, length_s=2.0, size=4.0)
    >>> [float(step.at(np.array([t]))[0]) for t in (0.5, 2.0, 3.5)]
    [0.0, 2.0, 4.0]
    """

    start_s: float
    length_s: float
    size: float

    def at(self, time_s: Values, *, derivative: int = 0) -> Values:
        """The step, or its first or second derivative by time, at some times."""
        u = np.clip((time_s - self.start_s) / self.length_s, 0.0, 1.0)
        shape = (
            u**4 * (35.0 + u * (-84.0 + u * (70.0 - 20.0 * u))),
            140.0 * u**3 * (1.0 - u) ** 3,
            420.0 * u**2 * (1.0 - u) ** 2 * (1.0 - 2.0 * u),
        )[derivative]
        return np.asarray(self.size / self.length_s**derivative * shape)


Path = tuple[Step, ...]


def _sum(path: Path, time_s: Values, derivative: int = 0) -> Values:
    total = np.zeros_like(time_s)
    for step in path:
        total += step.at(time_s, derivative=derivative)
    return total


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Felt:
    """What plates and body do at some times; n of them.

    Attributes
    ----------
    time_s
        Shape (n,).
    centre_m
        Centre of mass, shape (n, 3).
    velocity_mps
        Its velocity, shape (n, 3).
    force_n
        Whole force, shape (n, 3).
    moment_nm
        Whole moment about the centre of mass, shape (n, 3).
    feet
        Lead and trail foot: force (n, 3), centre of pressure (n, 2), free moment (n,).
    """

    time_s: Values
    centre_m: Values
    velocity_mps: Values
    force_n: Values
    moment_nm: Values
    feet: tuple[tuple[Values, Values, Values], tuple[Values, Values, Values]]

    @property
    def cop_m(self) -> Values:
        """Centre of pressure under both feet, shape (n, 2)."""
        loads = [foot[0][:, 2:] for foot in self.feet]
        moments = [load * foot[1] for load, foot in zip(loads, self.feet, strict=True)]
        return np.asarray((moments[0] + moments[1]) / (loads[0] + loads[1]))

    @property
    def lead_share(self) -> Values:
        """Share of the vertical force on the lead foot, shape (n,)."""
        return np.asarray(self.feet[0][0][:, 2] / self.force_n[:, 2])


@dataclass(frozen=True, kw_only=True)
class MadeSwing:
    """An invented swing of a right-hander; a left-hander's is its mirror image.

    Attributes
    ----------
    mass_kg
        Golfer and club. [kg]
    height_m
        Of the centre of mass at address. [m]
    lead_m, trail_m
        Middles of the feet, x and y. [m]
    impact_s, lasts_s
        Time of the strike, and length of the recording. [s]
    along_x, along_y, along_z
        Steps of the centre of mass, from its place at address. [m]
    turn_x, turn_y, turn_z
        Steps of the angular momentum about it. [kg m²/s]
    toes_m
        How far the lead foot's pressure lies toward the toes of the common one, as a path. [m]
    free_nm
        Free moment under lead and trail foot, as paths. [N m]
    outward_n
        Each foot pushes outward by this, as a path. [N]
    """

    mass_kg: float
    height_m: float
    lead_m: tuple[float, float]
    trail_m: tuple[float, float]
    impact_s: float
    lasts_s: float
    along_x: Path
    along_y: Path
    along_z: Path
    turn_x: Path
    turn_y: Path
    turn_z: Path
    toes_m: Path
    free_nm: tuple[Path, Path]
    outward_n: float

    @property
    def start_s(self) -> float:
        """First movement, in s."""
        paths = (self.along_x, self.along_y, self.along_z, self.turn_x, self.turn_z)
        return min(step.start_s for path in paths for step in path)

    @property
    def weight_n(self) -> float:
        """Weight of golfer and club, in N."""
        return self.mass_kg * GRAVITY_MPS2

    @cached_property
    def address_m(self) -> Values:
        """Centre of mass at address, shape (3,): 52 % of the load is on the lead foot."""
        lead, trail = np.array(self.lead_m), np.array(self.trail_m)
        return np.append(0.52 * lead + 0.48 * trail, self.height_m)

    def felt(self, time_s: Values) -> Felt:
        """What body and plates do at some times, exact.

        Notes
        -----
        With both plates at height 0 and h the height of the centre of mass, Euler's law about it
        fixes the common centre of pressure, ``y = y_m + (M_x - h F_y) / F_z`` and
        ``x = x_m - (M_y + h F_x) / F_z``. The share of the load follows from the feet's places, and
        the couple of their forces toward the ball from ``M_z``.

        Examples
        --------
        >>> felt = usual_swing().felt(np.array([0.0]))
        >>> felt.cop_m.round(4), felt.lead_share.round(3)
        (array([[0.    , 0.0114]]), array([0.52]))
        """
        paths = (self.along_x, self.along_y, self.along_z)
        place, velocity, acceleration = (
            np.stack([_sum(path, time_s, order) for path in paths], axis=1) for order in range(3)
        )
        centre = place + self.address_m
        force = self.mass_kg * (acceleration + np.array([0.0, 0.0, GRAVITY_MPS2]))
        turns = (self.turn_x, self.turn_y, self.turn_z)
        moment = np.stack([_sum(path, time_s, 1) for path in turns], axis=1)
        return Felt(
            time_s=time_s,
            centre_m=centre,
            velocity_mps=velocity,
            force_n=force,
            moment_nm=moment,
            feet=self._feet(time_s, centre, force, moment),
        )

    def _feet(
        self, time_s: Values, centre: Values, force: Values, moment: Values
    ) -> tuple[tuple[Values, Values, Values], tuple[Values, Values, Values]]:
        x_m, y_m, up_m = centre.T
        f_x, f_y, f_z = force.T
        x_c = x_m - (moment[:, 1] + up_m * f_x) / f_z
        y_c = y_m + (moment[:, 0] - up_m * f_y) / f_z
        (_, y_lead), (_, y_trail) = self.lead_m, self.trail_m
        wide = y_lead - y_trail
        lead = (y_c - y_trail) / wide
        toes = _sum(self.toes_m, time_s)
        free_lead, free_trail = (_sum(path, time_s) for path in self.free_nm)
        of_force = (x_c - x_m) * f_y - (y_c - y_m) * f_x
        pivoting = moment[:, 2] - of_force - free_lead - free_trail
        # the feet's pressures lie `toes` apart toward the ball, and `wide` apart toward the target
        couple_n = (toes * self.outward_n - pivoting) / wide
        ones = np.ones_like(time_s)
        return (
            (
                np.stack((lead * f_x + couple_n, lead * f_y + self.outward_n, lead * f_z), axis=1),
                np.stack((x_c + (1.0 - lead) * toes, y_lead * ones), axis=1),
                free_lead,
            ),
            (
                np.stack(
                    (
                        (1.0 - lead) * f_x - couple_n,
                        (1.0 - lead) * f_y - self.outward_n,
                        (1.0 - lead) * f_z,
                    ),
                    axis=1,
                ),
                np.stack((x_c - lead * toes, y_trail * ones), axis=1),
                free_trail,
            ),
        )

    def recording(
        self,
        rate_hz: float,
        *,
        rng: np.random.Generator | None = None,
        noise_n: float = 0.0,
        offset_n: float = 0.0,
    ) -> Recording:
        """What two plates record of it, in the golfer's frame.

        Noise and offsets are those of the sensors: they act on forces and on the moments about each
        plate's centre, and reach centre of pressure and free moment from there.

        Parameters
        ----------
        rate_hz
            Samples a second. [Hz]
        rng
            For the noise, the offsets and where the first sample falls.
        noise_n
            Standard deviation of each sample of the vertical force; a quarter of it sideways. [N]
        offset_n
            Standard deviation of each plate's zero, vertical; a quarter of it sideways. [N]

        Examples
        --------
        >>> recording = usual_swing().recording(1000.0)
        >>> len(recording), [plate.foot for plate in recording.plates]
        (4823, ['lead', 'trail'])
        """
        first_s = 0.0 if rng is None else float(rng.uniform(0.0, 1.0)) / rate_hz
        time_s = first_s + np.arange(round(self.lasts_s * rate_hz)) / rate_hz
        felt = self.felt(time_s)
        plates = []
        for name, foot, middle in zip(
            ("lead", "trail"), felt.feet, (self.lead_m, self.trail_m), strict=True
        ):
            force, cop, free = foot
            if rng is not None:
                force, cop, free = _measured(
                    foot, np.array(middle), rng, noise_n=noise_n, offset_n=offset_n
                )
            plates.append(
                Plate(
                    name=f"plate under the {name} foot",
                    foot="lead" if name == "lead" else "trail",
                    force_n=force,
                    cop_m=cop,
                    free_moment_nm=free,
                    corners_m=_corners_m(np.array(middle)),
                )
            )
        return Recording(
            rate_hz=rate_hz,
            plates=tuple(plates),
            start_s=first_s,
            known_weight=KnownWeight(scale_n=self.weight_n),
        )


def _corners_m(middle: Values) -> Values:
    half = np.array([[0.3, 0.2], [0.3, -0.2], [-0.3, -0.2], [-0.3, 0.2]])
    return np.column_stack((half + middle, np.zeros(4)))


def _measured(
    foot: tuple[Values, Values, Values],
    middle: Values,
    rng: np.random.Generator,
    *,
    noise_n: float,
    offset_n: float,
) -> tuple[Values, Values, Values]:
    """Force, centre of pressure and free moment by six noisy channels with wrong zeros."""
    force, cop, free = foot
    n = len(free)
    arm = cop - middle
    moment = np.stack(
        (
            arm[:, 1] * force[:, 2],
            -arm[:, 0] * force[:, 2],
            free + arm[:, 0] * force[:, 1] - arm[:, 1] * force[:, 0],
        ),
        axis=1,
    )
    reach_m = 0.1  # moments of a plate are as exact as its forces at about this arm
    scales = np.array([0.25, 0.25, 1.0])
    force = force + scales * (
        noise_n * rng.standard_normal((n, 3)) + offset_n * rng.standard_normal(3)
    )
    moment = moment + reach_m * (
        noise_n * rng.standard_normal((n, 3)) + offset_n * rng.standard_normal(3)
    )
    arm = np.stack((-moment[:, 1], moment[:, 0]), axis=1) / force[:, 2:]
    free = moment[:, 2] - arm[:, 0] * force[:, 1] + arm[:, 1] * force[:, 0]
    loaded = force[:, 2] >= 20.0
    cop = np.where(loaded[:, None], arm + middle, np.nan)
    return force, cop, np.where(loaded, free, np.nan)


def usual_swing() -> MadeSwing:
    """One invented swing, the same every time.

    Examples
    --------
    >>> round(usual_swing().weight_n)
    680
    """
    return random_swing(np.random.default_rng(7))


def random_swing(rng: np.random.Generator) -> MadeSwing:
    """An invented swing: any body, tempo, push and style of travel, both feet on the ground.

    Examples
    --------
    >>> 50.0 <= random_swing(np.random.default_rng(1)).mass_kg <= 120.0
    True
    """
    while True:
        swing = _swing(rng.uniform(0.0, 1.0, 27))
        felt = swing.felt(np.linspace(0.0, swing.lasts_s, 400))
        share, total = felt.lead_share, felt.force_n[:, 2]
        if share.min() > 0.05 and share.max() < 0.97 and total.min() > 0.25 * swing.weight_n:
            return swing


def _swing(draw: Values) -> MadeSwing:
    """A swing from 27 numbers of 0 to 1, each placed between two ends."""
    numbers = iter(draw)

    def pick(low: float, high: float) -> float:
        return low + (high - low) * float(next(numbers))

    mass, height = pick(50.0, 110.0), pick(0.85, 1.05)
    size = mass / 80.0
    half = pick(0.22, 0.3)
    start, back, down = pick(1.5, 2.5), pick(0.7, 0.95), pick(0.24, 0.34)
    top = start + back
    impact = top + down
    shift_back, shift_on, shift_late = pick(-0.035, -0.015), pick(0.03, 0.055), pick(0.02, 0.06)
    dip, lift = pick(-0.025, -0.01), pick(0.03, 0.055)
    turn_back, turn_on = size * pick(3.0, 6.0), size * pick(7.0, 13.0)
    side_on, side_late = size * pick(4.0, 9.0), pick(-1.1, -0.7)
    late_s, early_s = pick(0.05, 0.15), pick(0.08, 0.15)
    free_lead, free_trail = size * pick(8.0, 16.0), size * pick(3.0, 7.0)
    toes = pick(-0.04, 0.04)
    return MadeSwing(
        mass_kg=mass,
        height_m=height,
        lead_m=(0.0, half),
        trail_m=(0.0, -half),
        impact_s=impact,
        lasts_s=impact + 1.7,
        along_x=(
            Step(start_s=start, length_s=back, size=pick(-0.02, 0.02)),
            Step(start_s=top - 0.05, length_s=down + 0.25, size=pick(-0.03, 0.03)),
        ),
        along_y=(
            Step(start_s=start, length_s=back, size=shift_back),
            Step(start_s=top - 0.2, length_s=0.6, size=shift_on - shift_back),
            Step(start_s=impact + 0.05, length_s=0.9, size=shift_late),
        ),
        along_z=(
            Step(start_s=top - 0.2, length_s=0.30, size=dip),
            Step(start_s=top - 0.03, length_s=0.36, size=lift - dip),
            Step(start_s=impact + 0.1, length_s=0.8, size=-lift),
        ),
        turn_x=(
            Step(start_s=start, length_s=back, size=size * pick(-3.0, 0.0)),
            Step(start_s=top - early_s, length_s=down, size=side_on),
            Step(start_s=impact - late_s, length_s=0.45, size=side_late * side_on),
        ),
        turn_y=(Step(start_s=top, length_s=down + 0.2, size=size * pick(-2.0, 2.0)),),
        turn_z=(
            Step(start_s=start, length_s=0.6 * back, size=-turn_back),
            Step(start_s=start + 0.6 * back, length_s=0.4 * back, size=turn_back),
            Step(start_s=top - 0.08, length_s=down + 0.1, size=turn_on),
            Step(start_s=impact, length_s=0.7, size=-turn_on),
        ),
        toes_m=(
            Step(start_s=start, length_s=back, size=toes),
            Step(start_s=top, length_s=0.5, size=-toes),
        ),
        free_nm=(
            (
                Step(start_s=start, length_s=0.5 * back, size=-0.5 * free_lead),
                Step(start_s=top - 0.1, length_s=0.2, size=1.5 * free_lead),
                Step(start_s=impact, length_s=0.5, size=-free_lead),
            ),
            (
                Step(start_s=top - 0.15, length_s=0.2, size=free_trail),
                Step(start_s=impact - 0.05, length_s=0.4, size=-free_trail),
            ),
        ),
        outward_n=0.04 * mass * GRAVITY_MPS2,
    )
