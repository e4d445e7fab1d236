"""The equations of the swing: a double pendulum on a hub that is moved."""

import math
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from leadfoot.physics.golfer import Golfer
from leadfoot.physics.hub import Hub, HubState

Values = NDArray[np.float64]

State = tuple[float, float, float, float]
"""Angle of arms and club, and how fast they turn."""


class Forces(NamedTuple):
    """Torques at one moment, and the hub then. [N·m]."""

    shoulder_nm: float
    wrist_nm: float
    on_arms_nm: float
    """All on the arms about the hub: torques, weight, the hub's pull, the club's spin."""
    on_club_nm: float
    """All on the club about the wrists."""
    hub: HubState


@dataclass(frozen=True, kw_only=True)
class Pendulum:
    """The equations: two rods, a hub that is moved, weight down the plane.

    Attributes
    ----------
    golfer
        Bodies and torques.
    hub
        How the hub moves.
    weight_mps2
        Gravity's part down the plane. [m/s²]

    Notes
    -----
    With θ and φ the angles of arms and club, L the arms' length, S the club's mass times the
    distance of its centre, J the arms' inertia with the club at the wrists, I the club's, and
    the hub's acceleration h added to the weight::

        J θ'' + S L cos(φ-θ) φ'' = T - W + S L sin(φ-θ) φ'² - A (h_x cos θ + h_y sin θ)
        I φ'' + S L cos(φ-θ) θ'' = W     - S L sin(φ-θ) θ'² - S (h_x cos φ + h_y sin φ)

    T is the shoulder torque, W the wrist torque, A the arms' mass times distance with the club at
    the wrists. While the stop holds, θ'' = φ''.

    Examples
    --------
    >>> from leadfoot.physics.golfer import textbook_golfer
    >>> from leadfoot.physics.hub import STILL
    >>> pendulum = Pendulum(golfer=textbook_golfer(), hub=STILL, weight_mps2=9.81)
    >>> round(pendulum.kinetic_j(0.0, (0.0, 0.0, 1.0, 1.0)), 4)
    1.0325
    """

    golfer: Golfer
    hub: Hub
    weight_mps2: float

    @cached_property
    def reach_kgm(self) -> float:
        """Mass times distance from the hub, of all that turns with the arms."""
        arms, club = self.golfer.arms, self.golfer.club
        return arms.mass_kg * arms.centre_m + club.mass_kg * arms.length_m

    @cached_property
    def swing_kgm(self) -> float:
        """Mass times distance from the wrists, of the club."""
        return self.golfer.club.mass_kg * self.golfer.club.centre_m

    @cached_property
    def arms_kgm2(self) -> float:
        """Inertia about the hub, of the arms with the club's mass at the wrists."""
        arms = self.golfer.arms
        return arms.inertia_kgm2 + self.golfer.club.mass_kg * arms.length_m**2

    @cached_property
    def mass_kg(self) -> float:
        """Mass of arms and club."""
        return self.golfer.arms.mass_kg + self.golfer.club.mass_kg

    def common_kgm2(self, lag_rad: float) -> float:
        """Inertia that arms and club have in common, at an angle between them."""
        return self.swing_kgm * self.golfer.arms.length_m * math.cos(lag_rad)

    def forces(self, time_s: float, state: State) -> Forces:
        """All that turns arms and club, but for the stop."""
        arms, club, arms_radps, club_radps = state
        drive = self.golfer.drive
        shoulder_nm = drive.shoulder_nm_at(time_s, arms_radps)
        wrist_nm = drive.wrist_nm_at(time_s)
        hub = self.hub.at(time_s)
        along, up = hub.along_mps2, hub.up_mps2 + self.weight_mps2
        slope = self.swing_kgm * self.golfer.arms.length_m * math.sin(club - arms)
        on_arms = self.reach_kgm * (along * math.cos(arms) + up * math.sin(arms))
        on_club = self.swing_kgm * (along * math.cos(club) + up * math.sin(club))
        return Forces(
            shoulder_nm,
            wrist_nm,
            shoulder_nm - wrist_nm - on_arms + slope * club_radps**2,
            wrist_nm - on_club - slope * arms_radps**2,
            hub,
        )

    def turns(self, forces: Forces, lag_rad: float, *, held: bool) -> tuple[float, float]:
        """Angular acceleration of arms and club."""
        common = self.common_kgm2(lag_rad)
        first, last = self.arms_kgm2, self.golfer.club.inertia_kgm2
        if held:
            together = (forces.on_arms_nm + forces.on_club_nm) / (first + 2.0 * common + last)
            return together, together
        whole = first * last - common**2
        return (
            (last * forces.on_arms_nm - common * forces.on_club_nm) / whole,
            (first * forces.on_club_nm - common * forces.on_arms_nm) / whole,
        )

    def stop_nm(self, time_s: float, state: State) -> float:
        """Torque that the stop must put on the club to carry it along; it can't pull it back."""
        lag_rad = state[1] - state[0]
        forces = self.forces(time_s, state)
        together, _ = self.turns(forces, lag_rad, held=True)
        inertia = self.common_kgm2(lag_rad) + self.golfer.club.inertia_kgm2
        return inertia * together - forces.on_club_nm

    def rates(self, time_s: float, values: Values, *, held: bool) -> list[float]:
        """Rates of the state, and of the work of shoulders, wrists and hub."""
        state = state_of(values)
        arms, club, arms_radps, club_radps = state
        forces = self.forces(time_s, state)
        turn_arms, turn_club = self.turns(forces, club - arms, held=held)
        return [
            arms_radps,
            club_radps,
            turn_arms,
            turn_club,
            forces.shoulder_nm * arms_radps,
            forces.wrist_nm * (club_radps - arms_radps),
            self._hub_power(forces.hub, state, turn_arms, turn_club),
        ]

    def _hub_power(self, hub: HubState, state: State, turn_arms: float, turn_club: float) -> float:
        """Power of the force that moves the hub: all momentum's rate, less the weight."""
        if hub.along_mps == 0.0 and hub.up_mps == 0.0:
            return 0.0
        arms, club, arms_radps, club_radps = state
        along_n = self.mass_kg * hub.along_mps2
        up_n = self.mass_kg * (hub.up_mps2 + self.weight_mps2)
        for reach, angle, speed, turn in (
            (self.reach_kgm, arms, arms_radps, turn_arms),
            (self.swing_kgm, club, club_radps, turn_club),
        ):
            along_n += reach * (turn * math.cos(angle) - speed**2 * math.sin(angle))
            up_n += reach * (turn * math.sin(angle) + speed**2 * math.cos(angle))
        return along_n * hub.along_mps + up_n * hub.up_mps

    def kinetic_j(self, time_s: float, state: State) -> float:
        """Energy of motion over the ground."""
        arms, club, arms_radps, club_radps = state
        _, _, along, up, _, _ = self.hub.at(time_s)
        common = self.common_kgm2(club - arms)
        momentum_along = self.reach_kgm * arms_radps * math.cos(arms)
        momentum_along += self.swing_kgm * club_radps * math.cos(club)
        momentum_up = self.reach_kgm * arms_radps * math.sin(arms)
        momentum_up += self.swing_kgm * club_radps * math.sin(club)
        return (
            0.5 * self.arms_kgm2 * arms_radps**2
            + 0.5 * self.golfer.club.inertia_kgm2 * club_radps**2
            + common * arms_radps * club_radps
            + 0.5 * self.mass_kg * (along**2 + up**2)
            + along * momentum_along
            + up * momentum_up
        )

    def club_j(self, time_s: float, state: State) -> float:
        """The club's part of the energy of motion over the ground; the rest is the arms'."""
        arms, club, arms_radps, club_radps = state
        hub = self.hub.at(time_s)
        hands = self.golfer.arms.length_m * arms_radps
        along_mps = hub.along_mps + hands * math.cos(arms)
        up_mps = hub.up_mps + hands * math.sin(arms)
        turning = along_mps * math.cos(club) + up_mps * math.sin(club)
        return (
            0.5 * self.golfer.club.mass_kg * (along_mps**2 + up_mps**2)
            + self.swing_kgm * club_radps * turning
            + 0.5 * self.golfer.club.inertia_kgm2 * club_radps**2
        )

    def height_j(self, time_s: float, state: State) -> float:
        """Energy of place."""
        return self.weight_mps2 * (
            self.mass_kg * self.hub.at(time_s).up_m
            - self.reach_kgm * math.cos(state[0])
            - self.swing_kgm * math.cos(state[1])
        )

    def speed_mps(self, time_s: float, state: State, *, of_head: bool = True) -> float:
        """Speed of the head, or of the wrists, over the ground."""
        arms, club, arms_radps, club_radps = state
        _, _, along, up, _, _ = self.hub.at(time_s)
        hands = self.golfer.arms.length_m * arms_radps
        head = self.golfer.club.length_m * club_radps if of_head else 0.0
        return math.hypot(
            along + hands * math.cos(arms) + head * math.cos(club),
            up + hands * math.sin(arms) + head * math.sin(club),
        )

    def caught(self, state: State) -> tuple[State, float]:
        """The state after the club fell against the stop, and the energy lost: it does not bounce.

        The stop acts between the two, so what both have together of angular momentum stays.
        """
        arms, club, arms_radps, club_radps = state
        common = self.common_kgm2(club - arms)
        first, last = self.arms_kgm2, self.golfer.club.inertia_kgm2
        whole = first + 2.0 * common + last
        speed = ((first + common) * arms_radps + (last + common) * club_radps) / whole
        lost = 0.5 * (first * last - common**2) / whole * (club_radps - arms_radps) ** 2
        return (arms, club, speed, speed), lost


def state_of(values: Values) -> State:
    """The first four values of an integration, as plain numbers.

    Parameters
    ----------
    values
        Angles and speeds, and the works after them; shape (7,).

    Examples
    --------
    >>> state_of(np.arange(7.0))
    (0.0, 1.0, 2.0, 3.0)
    """
    return float(values[0]), float(values[1]), float(values[2]), float(values[3])
