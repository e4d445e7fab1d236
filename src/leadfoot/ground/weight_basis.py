"""What a body weight rests on: a scale, a coach's word, or the file alone.

A factor that is wrong in all channels of a file alike leaves no trace in it. So a weight that
nobody compared with anything is told apart, and nothing is given in % of it.
"""

from dataclasses import dataclass
from typing import Literal

from leadfoot.ground.method import GRAVITY_MPS2
from leadfoot.ground.recording import KnownWeight, Remark

RestsOn = Literal["scale", "confirmed", "file"]

NEAR_SCALE = 0.03
"""How far a weight may lie from the scale's and still rest on it (as in weighing). [-]"""
NEAR_CONFIRMED = 0.02
"""The same from the weight that was confirmed: one person on two plates differs by 0.3 %, a club
is half a percent (own choice). [-]"""
CONFIRM_IT = "Confirm that it is about right, or give the weight on a scale."


@dataclass(frozen=True, slots=True, kw_only=True)
class WeightBasis:
    """What a weight rests on.

    Attributes
    ----------
    weight_n
        The weight that the plates give. [N]
    rests_on
        ``scale``, ``confirmed`` by the coach, or the ``file`` alone.

    Examples
    --------
    >>> WeightBasis(weight_n=784.532, rests_on="file").said
    'The weight of 784.5 N (80.0 kg) rests on the file alone.'
    """

    weight_n: float
    rests_on: RestsOn

    @property
    def is_known(self) -> bool:
        """Whether somebody stands for it, so that numbers may be given in % of it."""
        return self.rests_on != "file"

    @property
    def words(self) -> str:
        """What it rests on, after "the weight ..."."""
        return {
            "scale": "agrees with a scale",
            "confirmed": "was confirmed as about right",
            "file": "rests on the file alone",
        }[self.rests_on]

    @property
    def said(self) -> str:
        """The same in a sentence."""
        kg = self.weight_n / GRAVITY_MPS2
        return f"The weight of {self.weight_n:.1f} N ({kg:.1f} kg) {self.words}."


def basis_of(weight_n: float, known: KnownWeight) -> WeightBasis:
    """Tell what a weight rests on.

    Parameters
    ----------
    weight_n
        As the plates give it. [N]
    known
        What a scale and the coach say.

    Examples
    --------
    >>> basis_of(705.0, KnownWeight(scale_n=700.0)).rests_on
    'scale'
    >>> basis_of(705.0, KnownWeight(confirmed_n=700.0)).rests_on
    'confirmed'
    >>> basis_of(735.0, KnownWeight(scale_n=700.0, confirmed_n=735.0)).rests_on
    'file'
    """
    rests_on: RestsOn = "file"
    if known.scale_n is not None:
        if abs(weight_n / known.scale_n - 1.0) <= NEAR_SCALE:
            rests_on = "scale"
    elif known.confirmed_n is not None and _is_near(weight_n, known.confirmed_n):
        rests_on = "confirmed"
    return WeightBasis(weight_n=weight_n, rests_on=rests_on)


def about_basis(weight_n: float, known: KnownWeight) -> list[Remark]:
    """Tell a weight that rests on the file alone, or is not the one that was confirmed.

    Parameters
    ----------
    weight_n
        As the plates give it. [N]
    known
        What a scale and the coach say.
    """
    basis = basis_of(weight_n, known)
    if known.scale_n is not None or basis.is_known:
        return []
    if known.confirmed_n is not None:
        return [
            Remark(
                kind="other_weight",
                weight="fault",
                text=f"The plates weigh {weight_n:.1f} N; {known.confirmed_n:.1f} N were "
                f"confirmed before: {100.0 * (weight_n / known.confirmed_n - 1.0):+.1f} %.",
                fix="Look for a foot or a club off the plates and for a damaged file; confirm the "
                "weight anew if it is right.",
            )
        ]
    return [
        Remark(
            kind="unconfirmed",
            weight="doubt",
            text=f"{basis.said} A factor that is wrong in all of its channels alike would not "
            "show, so nothing is given in % of it.",
            fix=CONFIRM_IT,
        )
    ]


def _is_near(weight_n: float, confirmed_n: float) -> bool:
    return abs(weight_n / confirmed_n - 1.0) <= NEAR_CONFIRMED
