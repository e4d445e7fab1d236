"""What the flight bench says in words: what moved the ball, why, and where a model has no data."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from leadfoot.desk.bench_parts import Part, changed
from leadfoot.desk.flight_bench import BESIDE_THE_FACE, SLID, Bench, BenchFlight
from leadfoot.desk.wording import amount
from leadfoot.units import si_into
from leadfoot.web.bench_fields import FIELDS, Units
from leadfoot.web.words import level

NEARLY_M = 0.5
"""A carry or a side that differs by less is called the same (our own choice: under a yard). [m]"""

FLAG_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "lands at once": "this ball does not get up, and lands at once",
        "spin under the model's data": (
            "it spins less than the balls that the flight model was made from, so its carry is "
            "rough"
        ),
        "spin over the model's data": (
            "it spins more, for its speed, than the balls that the flight model was made from, so "
            "its carry is rough"
        ),
        "speed under the model's data": (
            "on part of its way it flies slower than the balls that the flight model was made from"
        ),
        "never landed": "it did not come down",
        "never came up to the landing": "it did not come up to where it should land",
        "cannot be flown": "no ball can fly like this",
        "run is a guess": (
            "it lands faster or flatter than any bounce that was filmed, so its total is a guess"
        ),
        SLID: "it slid on the face without gripping it, which makes its spin uncertain",
        BESIDE_THE_FACE: "this strike lies beside the face of the club; the model takes it as if "
        "the face went on",
    }
)
"""Every flag of a flight, in words for a coach."""

BECAUSE: Mapping[str, str] = MappingProxyType(
    {
        "club": "Another head, with the usual swing of that club.",
        "club_speed_mps": "More club speed is more ball speed, and more spin with it.",
        "attack_angle_rad": (
            "With the loft left as it is, the steeper the head comes down, the lower the ball "
            "starts and the more it spins."
        ),
        "club_path_rad": (
            "The ball starts mostly where the face points, and curves away from the path: the "
            "farther face and path are apart, the more."
        ),
        "face_angle_rad": (
            "The ball starts mostly where the face points, and curves the more, the farther face "
            "and path are apart."
        ),
        "dynamic_loft_rad": "More loft starts the ball higher, with more spin and less ball speed.",
        "strike_heel_toe_m": (
            "Met off the middle, the head turns: ball speed is lost, and where the ball starts and "
            "how it curves change."
        ),
        "strike_high_low_m": (
            "Met off the middle, the head turns: ball speed is lost, and launch and spin change."
        ),
        "air": "Thinner air (warmer, higher, damper) holds the ball back less, and lifts it less.",
        "wind_along_mps": "A head wind holds the ball back and up; a tail wind carries it on.",
        "wind_across_mps": "Wind from the side carries the ball along, the longer it flies.",
    }
)
"""Why each change moves the ball, as the models have it."""

START = "Keep this as before, then move a slider: both flights stand here side by side."
SAME = "Nothing differs from the flight before yet. Move a slider."


def sentence(now: BenchFlight, before: BenchFlight | None, units: Units) -> str:
    """What the ball does now, or what became of it."""
    if before is None:
        carry = _length(now.flight.carry_m, units)
        return f"This ball carries {carry} and comes down {_side(now.flight.offline_m, units)}."
    longer = now.flight.carry_m - before.flight.carry_m
    aside = now.flight.offline_m - before.flight.offline_m
    carry = f"carries {_way(longer, ('farther', 'less far'), units, same='as far as before')}"
    side = _way(aside, ("farther right", "farther left"), units, same="on the same line")
    return f"The ball {carry}, and comes down {side}."


def why(before: Bench, now: Bench, found: Sequence[Part], units: Units) -> str:
    """What moved the ball, in one or two sentences.

    Parameters
    ----------
    before, now
        The two tries.
    found
        What each change does by itself, the strongest first.
    units
        The coach's units.
    """
    names = changed(before, now)
    if not names or not found:
        return SAME
    if len(names) == 1:
        return f"Only {_name(names[0])} differs. {BECAUSE[names[0]]}"
    longest = max(found, key=lambda part: abs(part.carry_m))
    widest = max(found, key=lambda part: abs(part.offline_m))
    said = [
        f"{part_name} by itself {words}"
        for part_name, words in (
            (_name(longest.name), _carry_words(longest, units)),
            (_name(widest.name), _side_words(widest, units)),
        )
        if words
    ]
    if not said:
        return f"None of the {len(names)} changes moves the ball by much."
    moved = " and ".join(said)
    return f"{moved[0].upper()}{moved[1:]}. {BECAUSE[found[0].name]}"


def flag_words(flags: Sequence[str]) -> list[str]:
    """The flags of a flight for a coach."""
    return [FLAG_WORDS[flag] for flag in flags]


def number_words(value: float, unit: str, *, sided: bool) -> str:
    """A number as it stands under the unit of its row; a side instead of a sign.

    Examples
    --------
    >>> number_words(204.26, "yd", sided=False), number_words(-3.04, "deg", sided=True)
    ('204.3', '3.0 left')
    """
    size = _size(abs(value) if sided else value, unit)
    if not sided or not size.strip("0."):
        return size
    return f"{size} {'right' if value > 0.0 else 'left'}"


def moved(value: float, unit: str, *, sided: bool) -> str:
    """A difference, now less before, with its sign or its side.

    Examples
    --------
    >>> moved(-3.04, "yd", sided=False), moved(2.0, "deg", sided=True), moved(0.0, "yd", sided=True)
    ('−3.0', '2.0 to the right', '0')
    """
    size = _size(abs(value), unit)
    if not size.strip("0."):
        return "0"
    if sided:
        return f"{size} to the {'right' if value > 0.0 else 'left'}"
    return f"{'+' if value > 0.0 else '−'}{size}"


def _size(value: float, unit: str) -> str:
    return amount(value, None, decimals=0 if unit == "rpm" else 1)


def _name(name: str) -> str:
    if name in {"club", "air"}:
        return f"the {name}"
    label = FIELDS[name.rpartition("_")[0]].label
    return f"the {label[0].lower()}{label[1:]}"


def _carry_words(part: Part, units: Units) -> str:
    if abs(part.carry_m) < NEARLY_M:
        return ""
    return f"makes {_way(part.carry_m, ('of carry more', 'of carry less'), units, same='')}"


def _side_words(part: Part, units: Units) -> str:
    if abs(part.offline_m) < NEARLY_M:
        return ""
    return f"moves it {_way(part.offline_m, ('right', 'left'), units, same='')}"


def _way(value_m: float, ways: tuple[str, str], units: Units, *, same: str) -> str:
    if abs(value_m) < NEARLY_M:
        return same
    return f"{_length(abs(value_m), units)} {ways[0] if value_m > 0.0 else ways[1]}"


def _length(value_m: float, units: Units) -> str:
    value = si_into(value_m, units.length)
    return amount(value, units.length, decimals=0 if abs(value) >= 10.0 else 1)


def _side(value_m: float, units: Units) -> str:
    return level(si_into(value_m, units.length), "bias", units.length)
