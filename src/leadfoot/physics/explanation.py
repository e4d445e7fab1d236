"""The delivery that explains a ball: how sure it is, and what it can't be told from, in words."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.physics.delivery import DELIVERY_RANGES, Deliveries, Delivery

Series = NDArray[np.float64]

EXPLAINED_FLAGS = (
    "the ball is outside what can be struck",
    "no delivery makes this ball: it spins more than the face can grip",
    "no delivery makes this ball: it needs more than a swing can do",
    "at the limit of grip: the spin loft may be larger",
    "strike at the edge of the face",
    "readings do not fit together",
    "strike from heel to toe cannot be told from face and path",
    "strike from low to high cannot be told from loft and attack",
    "heel and toe explain it alike",
    "low and high explain it alike",
    "club speed is not known",
    "attack angle is assumed",
    "club path is assumed",
    "launch direction is assumed",
    "spin axis is assumed",
)
"""What an explanation can be flagged with, in the order of the bits of `Explained.flag_bits`."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Explained:
    """Deliveries that explain many balls; NaN where none does.

    Attributes
    ----------
    delivery
        The likeliest delivery that makes exactly the measured ball.
    sd
        Its uncertainty, as standard deviations in the same units, from the errors of the monitor
        and what had to be assumed.
    face_per_toe_radpm, path_per_toe_radpm
        What the data do not tell from heel to toe: a strike farther toward the toe with face and
        path turned right by this much makes the same ball. [rad/m]
    loft_per_high_radpm, attack_per_high_radpm
        The same from low to high. [rad/m]
    friction_needed
        Friction that the ball's spin takes. [-]
    misfit
        How far the readings and the usual swing lie from the explanation, as a sum of squares in
        standard deviations. [-]
    flag_bits
        Bit k stands for ``EXPLAINED_FLAGS[k]``.
    """

    delivery: Deliveries
    sd: Deliveries
    face_per_toe_radpm: Series
    path_per_toe_radpm: Series
    loft_per_high_radpm: Series
    attack_per_high_radpm: Series
    friction_needed: Series
    misfit: Series
    flag_bits: NDArray[np.uint16]

    def __len__(self) -> int:
        return len(self.flag_bits)

    def flags_of(self, index: int) -> tuple[str, ...]:
        """The flags of one shot in words.

        Examples
        --------
        >>> from leadfoot.physics.clubs import club
        >>> from leadfoot.physics.inverse import explain_many
        >>> explain_many(58.2, 0.32, [540.0, 9e3], club=club("iron7")).flags_of(1)
        ('the ball is outside what can be struck',)
        """
        bits = int(self.flag_bits[index])
        return tuple(flag for k, flag in enumerate(EXPLAINED_FLAGS) if bits >> k & 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Explanation:
    """The delivery that explains one ball; the attributes are those of `Explained`.

    Attributes
    ----------
    delivery
        None where no delivery makes the ball.
    flags
        Some of `EXPLAINED_FLAGS`.
    same_ball
        What else would make the same ball, in words; empty where the readings tell it.
    """

    delivery: Delivery | None
    sd: "Spread"
    face_per_toe_radpm: float
    path_per_toe_radpm: float
    loft_per_high_radpm: float
    attack_per_high_radpm: float
    friction_needed: float
    misfit: float
    flags: tuple[str, ...]
    same_ball: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """Standard deviations of one delivery, in the units of `Delivery`; NaN where there is none."""

    club_speed_mps: float
    attack_angle_rad: float
    club_path_rad: float
    face_angle_rad: float
    dynamic_loft_rad: float
    strike_heel_toe_m: float
    strike_high_low_m: float


def one_of(many: Explained, index: int) -> Explanation:
    """One shot of many as a record of its own.

    Parameters
    ----------
    many
        The explanations.
    index
        Which of them.

    Examples
    --------
    >>> from leadfoot.physics.clubs import club
    >>> from leadfoot.physics.inverse import explain_many
    >>> one_of(explain_many(40.0, 0.5, 1_800.0, club=club("iron7")), 0).delivery is None
    True
    """
    flags = many.flags_of(index)
    numbers = {name: float(getattr(many.delivery, name)[index]) for name in DELIVERY_RANGES}
    slopes = {
        name: float(getattr(many, name)[index])
        for name in (
            "face_per_toe_radpm",
            "path_per_toe_radpm",
            "loft_per_high_radpm",
            "attack_per_high_radpm",
        )
    }
    return Explanation(
        delivery=None if np.isnan(numbers["club_speed_mps"]) else Delivery(**numbers),
        sd=Spread(**{name: float(getattr(many.sd, name)[index]) for name in DELIVERY_RANGES}),
        **slopes,
        friction_needed=float(many.friction_needed[index]),
        misfit=float(many.misfit[index]),
        flags=flags,
        same_ball=_same_ball(flags, slopes),
    )


def _same_ball(flags: tuple[str, ...], slopes: dict[str, float]) -> tuple[str, ...]:
    """The directions that the data do not tell, said for one millimetre."""
    words = []
    if EXPLAINED_FLAGS[6] in flags:
        turns = {"face": slopes["face_per_toe_radpm"], "path": slopes["path_per_toe_radpm"]}
        words.append(f"1 mm nearer the toe{_turned(turns, 'right', 'left')}")
    if EXPLAINED_FLAGS[7] in flags:
        turns = {"loft": slopes["loft_per_high_radpm"], "attack": slopes["attack_per_high_radpm"]}
        words.append(f"1 mm higher{_turned(turns, 'up', 'down')}")
    return tuple(words)


def _turned(slopes_radpm: dict[str, float], plus: str, minus: str) -> str:
    """What turns with each millimetre; what turns by less than 0.005 degrees is left away."""
    degrees = {name: float(np.degrees(slope)) * 1e-3 for name, slope in slopes_radpm.items()}
    parts = [
        f"the {name} {abs(turn):.2f} deg farther {plus if turn > 0.0 else minus}"
        for name, turn in degrees.items()
        if abs(turn) >= 0.005
    ]
    return f" with {' and '.join(parts)}" if parts else " with all else the same"
