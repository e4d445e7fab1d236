"""An invented student who hits without a monitor: a chosen fault, a chosen change, a seed.

Every ball is computed: a delivery drawn at random, impact, flight, and what an instrument reads of
it, errors and gaps included. All sizes are invented; nobody hit these balls.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

import numpy as np

from leadfoot.desk.demo_studio.balls import CLUB_KEYS, hit_balls, read_balls
from leadfoot.desk.demo_studio.plan import Effect, Spread, Swing, Units, levels
from leadfoot.desk.live_shots import LiveShot
from leadfoot.desk.records import Hand, Role
from leadfoot.errors import InputError
from leadfoot.shots.shot import Reading

FAULTS: Final[Mapping[str, Effect]] = MappingProxyType(
    {
        "none": Effect(),
        "slice": Effect(path_deg=-5.0, face_deg=0.5),
        "hook": Effect(path_deg=4.5, face_deg=-0.5),
        "push": Effect(path_deg=3.0, face_deg=3.0),
        "mishits": Effect(mishits=0.2, strike_spread=1.5),
        "scattered": Effect(face_spread=1.7, path_spread=1.4),
        "slow": Effect(speed_mph=-10.0),
    }
)
"""What a fault does to a sound swing, in the terms of the student's hand. Invented."""

CHANGES: Final[Mapping[str, Effect]] = MappingProxyType(
    {
        "nothing": Effect(),
        "faster": Effect(speed_mph=4.0),
        "squarer": Effect(path_deg=3.0, face_deg=-0.5),
        "steadier": Effect(face_spread=0.65, path_spread=0.75),
        "cleaner": Effect(mishits=-0.15, strike_spread=0.7),
        "wilder": Effect(speed_mph=3.0, face_spread=1.6, path_spread=1.4),
        "hurts": Effect(speed_mph=-4.0),
    }
)
"""What a change does to the swing. Invented; ``squarer`` takes from a slice, not from a hook."""

_SOUND: Mapping[str, Swing] = MappingProxyType(
    {
        "driver": Swing(speed_mph=92.0, attack_deg=-0.5, loft_deg=13.5, path_deg=0.0, face_deg=0.0),
        "hybrid": Swing(speed_mph=86.0, attack_deg=-2.0, loft_deg=18.0, path_deg=0.0, face_deg=0.0),
        "5 iron": Swing(speed_mph=82.0, attack_deg=-3.0, loft_deg=20.0, path_deg=0.0, face_deg=0.0),
        "7 iron": Swing(speed_mph=78.0, attack_deg=-3.5, loft_deg=26.0, path_deg=0.0, face_deg=0.0),
    }
)
"""A sound swing by club. Invented."""

MOST_BALLS: Final = 500
"""Balls of one run (our own choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class InventedStudent:
    """Who hits, with what fault, and what the change does.

    Examples
    --------
    >>> student = InventedStudent(fault="slice", change="squarer", seed=1)
    >>> balls = student.hit(2)
    >>> shot = balls.shot(0, "before", run="a")
    >>> shot.key, shot.club, "carry" in shot.values
    ('a-0001', 'driver', True)
    """

    fault: str = "slice"
    change: str = "squarer"
    seed: int = 1
    club: str = "driver"
    hand: Hand = "right"
    level: str = "middle"
    units: Units = "yards"

    def __post_init__(self) -> None:
        _one_of("fault", self.fault, FAULTS)
        _one_of("change", self.change, CHANGES)
        _one_of("club", self.club, CLUB_KEYS)
        _one_of("level", self.level, levels())

    def hit(self, n_balls: int) -> "InventedBalls":
        """Compute all balls of a run, each as usual and with the change.

        A ball is the same swing either way, with the change or without: only the change differs.

        Raises
        ------
        InputError
            If the number of balls is out of range.
        """
        if not 1 <= n_balls <= MOST_BALLS:
            raise InputError(
                f"{n_balls} balls can't be hit.", fix=f"Ask for 1 to {MOST_BALLS} balls."
            )
        usual = FAULTS[self.fault].on(_SOUND[self.club], levels()[self.level])
        changed = CHANGES[self.change].on(*usual)
        return InventedBalls(
            club=self.club,
            usual=self._read(usual, n_balls),
            changed=self._read(changed, n_balls),
        )

    def _read(self, swing: tuple[Swing, Spread], n_balls: int) -> tuple[Mapping[str, Reading], ...]:
        hitting, reading = np.random.default_rng(self.seed).spawn(2)
        # A little warm already: the first balls of the run are no cold start.
        balls = hit_balls(
            [swing] * n_balls,
            club_name=self.club,
            hand=self.hand,
            already_hit=15,
            rng=hitting,
        )
        return tuple(read_balls(balls, units=self.units, rng=reading))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class InventedBalls:
    """The balls of a run, as an instrument read them."""

    club: str
    usual: tuple[Mapping[str, Reading], ...]
    changed: tuple[Mapping[str, Reading], ...]

    def shot(self, number: int, role: Role, *, run: str) -> LiveShot:
        """One ball, as it is hit in a block of this kind.

        Parameters
        ----------
        number
            From 0.
        role
            What the running block is: with the change, or not.
        run
            What the keys of this run begin with.
        """
        values = (self.changed if role == "with_change" else self.usual)[number]
        return LiveShot(key=f"{run}-{number + 1:04d}", club=self.club, values=values)


def _one_of(name: str, given: str, known: Mapping[str, object]) -> None:
    if given not in known:
        raise InputError(f"There is no {name} {given!r}.", fix=f"Use one of: {', '.join(known)}.")
