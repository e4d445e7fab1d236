"""What was said of a force recording beside its file, as the book keeps it."""

import json
from dataclasses import asdict, dataclass, field, fields, replace

from leadfoot.desk.records import Hand
from leadfoot.errors import InputError
from leadfoot.ground.choices import Choices


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What the coach said of a recording.

    Attributes
    ----------
    choices
        Hand, target, feet, sign, rate, units, mat, weight.
    stature_m
        Height of the golfer, for moments about the centre of mass. [m]
    turn_s
        Start of the downswing as set by hand, on the clock of the recording. [s]

    Examples
    --------
    >>> said = Said(choices=Choices(hand="left", feet=("lead", None)), stature_m=1.8)
    >>> said_from(said.to_json(), hand="right") == said
    True
    """

    choices: Choices = field(default_factory=Choices)
    stature_m: float | None = None
    turn_s: float | None = None

    def to_json(self) -> str:
        """Write it as JSON text; what was not said is not in it."""
        usual = asdict(Choices())
        said = {
            key: value
            for key, value in asdict(self.choices).items()
            if value != usual[key] or key == "hand"
        }
        more = {"stature_m": self.stature_m, "turn_s": self.turn_s}
        said |= {key: value for key, value in more.items() if value is not None}
        return json.dumps(said, sort_keys=True, allow_nan=False)

    def with_confirmed(self, weight_n: float) -> "Said":
        """The same with a weight in N that the coach said is about right."""
        return replace(self, choices=replace(self.choices, confirmed_n=weight_n))

    def for_next(self) -> "Said":
        """What holds for the next recording too: all but the instants of this one."""
        return replace(self, turn_s=None)


def said_from(text: str, *, hand: Hand) -> Said:
    """Read what was said; where no hand stands in it, that of the student holds.

    Raises
    ------
    InputError
        If the text was written by a newer program.
    """
    found = dict(json.loads(text))
    stature_m, turn_s = found.pop("stature_m", None), found.pop("turn_s", None)
    unknown = sorted(set(found) - {one.name for one in fields(Choices)})
    if unknown:
        raise InputError(
            f"The recording has a choice {unknown[0]!r} that this program does not know.",
            fix="Open the book with the program that wrote it, or choose anew.",
        )
    feet = found.pop("feet", None)
    return Said(
        choices=Choices(**{"hand": hand, **found}, feet=None if feet is None else tuple(feet)),
        stature_m=stature_m,
        turn_s=turn_s,
    )
