"""The body of the swing model: arms, club in the hands, and the torques that drive them."""

import math
from dataclasses import dataclass

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.physics.clubs import club
from leadfoot.physics.within import check_within

HANDS_M = 0.09
"""Top of the grip to the middle of both hands (common practice, no source). [m]"""
SHAFT_MASS_KG = 0.070
"""Shaft, spread evenly from the hands to the head (invented mid-range). [kg]"""
GRIP_MASS_KG = 0.050
"""Grip, in the hands (invented mid-range). [kg]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Arms:
    """Both arms and hands as one straight rod that turns about the hub.

    Attributes
    ----------
    mass_kg
        1 to 20. [kg]
    centre_m
        Hub to their centre of mass. [m]
    length_m
        Hub to the wrists. [m]
    inertia_kgm2
        About the hub; at least mass times the square of `centre_m`. [kg·m²]

    Examples
    --------
    >>> Arms(mass_kg=7.3, centre_m=0.31, length_m=0.62, inertia_kgm2=1.15).length_m
    0.62
    """

    mass_kg: float
    centre_m: float
    length_m: float
    inertia_kgm2: float

    def __post_init__(self) -> None:
        _check_body(self, of="the rod of the arms", heaviest_kg=20.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldClub:
    """The club as a rigid rod that turns about the wrists.

    Attributes
    ----------
    mass_kg
        0.05 to 2. [kg]
    centre_m
        Wrists to its centre of mass. [m]
    length_m
        Wrists to the head. [m]
    inertia_kgm2
        About the wrists, not about the centre of mass; at least mass times the square of
        `centre_m`. [kg·m²]

    Raises
    ------
    OutOfRangeError
        If a number is outside its range, or the inertia can't be one about the wrists.

    Examples
    --------
    >>> HeldClub(mass_kg=0.4, centre_m=0.825, length_m=1.1, inertia_kgm2=0.352).length_m
    1.1
    """

    mass_kg: float
    centre_m: float
    length_m: float
    inertia_kgm2: float

    def __post_init__(self) -> None:
        _check_body(self, of="the club", heaviest_kg=2.0)


def _check_body(body: Arms | HeldClub, *, of: str, heaviest_kg: float) -> None:
    inertia_kgm2 = body.inertia_kgm2
    check_within("mass_kg", body.mass_kg, 0.05, heaviest_kg, of=of)
    check_within("length_m", body.length_m, 0.2, 2.0, of=of)
    check_within("centre_m", body.centre_m, 0.0, body.length_m, of=of)
    check_within("inertia_kgm2", inertia_kgm2, 1e-4, 10.0, of=of)
    least_kgm2 = body.mass_kg * body.centre_m**2
    if inertia_kgm2 < least_kgm2 * (1.0 - 1e-12):
        raise OutOfRangeError(
            f"Inertia of {of} is {inertia_kgm2:g} kg·m²; about the joint it is at least "
            f"mass times distance squared, {least_kgm2:.3f} kg·m².",
            fix="Give it about the joint: add mass times distance squared to one about the "
            "centre of mass.",
        )


TEXTBOOK_ARMS = Arms(mass_kg=7.3, centre_m=0.31, length_m=0.62, inertia_kgm2=1.15)
"""Arms after D. M. Bourg and B. Bywalec, Physics for Game Developers (2013), which adapts
T. P. Jorgensen's double pendulum (American Journal of Physics 38, 644, 1970); read second-hand."""

TEXTBOOK_CLUB = HeldClub(mass_kg=0.4, centre_m=0.825, length_m=1.10, inertia_kgm2=0.352)
"""The club of the same book. Its 0.08 kg·m² can't be about the wrists, where 0.272 is the least: it
is taken as about the centre of mass, 0.08 + 0.4 x 0.825² = 0.352."""


def held_club(key: str) -> HeldClub:
    """A generic club of the catalogue in the hands: head, even shaft, grip at the wrists.

    Parameters
    ----------
    key
        Its key in the catalogue of clubs: ``driver``, ``iron7``.

    Raises
    ------
    InputError
        If there is no such club, or its length is not known.

    Examples
    --------
    >>> round(held_club("driver").inertia_kgm2, 3)
    0.248
    """
    found = club(key)
    if found.length_m is None:
        raise InputError(
            f"Club {found.name!r} has no length.", fix="Give its length in the file of clubs."
        )
    length_m = found.length_m - HANDS_M
    head_kg = found.head_mass_kg
    mass_kg = head_kg + SHAFT_MASS_KG + GRIP_MASS_KG
    return HeldClub(
        mass_kg=mass_kg,
        centre_m=(head_kg + SHAFT_MASS_KG / 2.0) * length_m / mass_kg,
        length_m=length_m,
        inertia_kgm2=(head_kg + SHAFT_MASS_KG / 3.0) * length_m**2,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Drive:
    """The torques of the downswing.

    Attributes
    ----------
    shoulder_nm
        On the arms about the hub, as long as they are not faster than the trunk; 0 to 1,000. [N·m]
    wrist_nm
        On the club about the wrists; positive uncocks; -100 to 100. [N·m]
    wrist_from_s
        When it begins. [s]
    fades_at_radps
        How much faster than the trunk the arms turn when the shoulders have no torque left; it
        falls on a straight line. Infinity: it never fades. [rad/s]
    trunk_radps
        How fast the trunk turns, 0 to 20; counts only where the torque fades. [rad/s]
    trunk_rise_s
        How long the trunk takes to turn so fast. [s]

    Notes
    -----
    Muscles pull weaker the faster they shorten (A. V. Hill, Proceedings of the Royal Society B 126,
    136, 1938); the straight line stands for that curve.

    Examples
    --------
    >>> drive = Drive(shoulder_nm=100.0, fades_at_radps=30.0, trunk_radps=8.0)
    >>> drive.shoulder_nm_at(0.3, 23.0)
    50.0
    """

    shoulder_nm: float
    wrist_nm: float = 0.0
    wrist_from_s: float = 0.0
    fades_at_radps: float = math.inf
    trunk_radps: float = 0.0
    trunk_rise_s: float = 0.15

    def __post_init__(self) -> None:
        check_within("shoulder_torque_nm", self.shoulder_nm, 0.0, 1_000.0, of="the swing")
        check_within("wrist_torque_nm", self.wrist_nm, -100.0, 100.0, of="the swing")
        check_within("wrist_start_s", self.wrist_from_s, -1.0, 2.0, of="the swing")
        check_within("fading_speed_radps", self.fades_at_radps, 5.0, math.inf, of="the swing")
        check_within("trunk_speed_radps", self.trunk_radps, 0.0, 20.0, of="the swing")
        check_within("trunk_rise_s", self.trunk_rise_s, 0.01, 1.0, of="the swing")

    def shoulder_nm_at(self, time_s: float, arms_radps: float) -> float:
        """Torque of the shoulders.

        Parameters
        ----------
        time_s
            Since the start of the downswing. [s]
        arms_radps
            How fast the arms turn. [rad/s]

        Examples
        --------
        >>> Drive(shoulder_nm=100.0).shoulder_nm_at(0.3, 23.0)
        100.0
        """
        if math.isinf(self.fades_at_radps):
            return self.shoulder_nm
        share = 1.0 - (arms_radps - self.trunk_radps_at(time_s)) / self.fades_at_radps
        return self.shoulder_nm * min(max(share, 0.0), 1.0)

    def trunk_radps_at(self, time_s: float) -> float:
        """How fast the trunk turns: evenly faster from rest, then at its speed.

        Parameters
        ----------
        time_s
            Since the start of the downswing. [s]

        Examples
        --------
        >>> Drive(shoulder_nm=100.0, trunk_radps=8.0, trunk_rise_s=0.16).trunk_radps_at(0.08)
        4.0
        """
        return self.trunk_radps * min(max(time_s / self.trunk_rise_s, 0.0), 1.0)

    def wrist_nm_at(self, time_s: float) -> float:
        """Torque of the wrists.

        Parameters
        ----------
        time_s
            Since the start of the downswing. [s]

        Examples
        --------
        >>> Drive(shoulder_nm=100.0, wrist_nm=8.0, wrist_from_s=0.1).wrist_nm_at(0.0)
        0.0
        """
        return self.wrist_nm if time_s >= self.wrist_from_s else 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Golfer:
    """Everything but the hub's way that makes a downswing in the model.

    Attributes
    ----------
    arms, club, drive
        Bodies and torques.
    top_rad
        How far the arms turn from the top of the backswing until they hang straight down the plane,
        0.5 to 4. [rad]
    cock_rad
        Greatest angle by which the club lags the line of the arms: the wrists' stop, 0.1 to 2.8.
        [rad]
    plane_rad
        Tilt of the plane against the ground; a right angle is upright. [rad]

    Examples
    --------
    >>> textbook_golfer().cock_rad
    2.094395
    """

    arms: Arms
    club: HeldClub
    drive: Drive
    top_rad: float
    cock_rad: float
    plane_rad: float

    def __post_init__(self) -> None:
        check_within("top_of_the_backswing_rad", self.top_rad, 0.5, 4.0, of="the swing")
        check_within("wrist_cock_rad", self.cock_rad, 0.1, 2.8, of="the swing")
        check_within("plane_rad", self.plane_rad, 0.0, math.pi / 2.0, of="the swing")


def textbook_golfer() -> Golfer:
    """The textbook's double pendulum: 100 N·m, upright plane, 135° top, 120° cock.

    Examples
    --------
    >>> textbook_golfer().drive.shoulder_nm
    100.0
    """
    return Golfer(
        arms=TEXTBOOK_ARMS,
        club=TEXTBOOK_CLUB,
        drive=Drive(shoulder_nm=100.0),
        top_rad=math.radians(135.0),
        cock_rad=math.radians(120.0),
        plane_rad=math.pi / 2.0,
    )


def generic_golfer(club_key: str = "iron7", *, shoulder_nm: float = 100.0) -> Golfer:
    """An invented grown-up with a generic club, whose arms and club come into line near the ball.

    Parameters
    ----------
    club_key
        Key of a generic club.
    shoulder_nm
        Shoulder torque; `leadfoot.physics.swing.with_speed` finds the one for a club speed. [N·m]

    Notes
    -----
    Top, cock and wrist torque are set so that arms and club are in line with the arms near straight
    down (common practice, no source). The trunk turns at 8 rad/s through most of the downswing and
    the shoulders have no torque left 30 rad/s faster than that: both from memory, so see how the
    answer moves with them.

    Raises
    ------
    InputError
        If there is no such club.

    Examples
    --------
    >>> round(generic_golfer("driver").club.length_m, 3)
    1.053
    """
    return Golfer(
        arms=TEXTBOOK_ARMS,
        club=held_club(club_key),
        drive=Drive(shoulder_nm=shoulder_nm, wrist_nm=8.0, fades_at_radps=30.0, trunk_radps=8.0),
        top_rad=math.radians(165.0),
        cock_rad=math.radians(95.0),
        plane_rad=math.radians(50.0 if club(club_key).club_class == "driver" else 58.0),
    )
