"""The rules by which a fault is found: conditions, thresholds and words, read from a catalogue."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal, cast, get_args

from leadfoot.coaching.form import Entry, entries, shipped
from leadfoot.errors import InputError
from leadfoot.quantities import ClubClass, glossary
from leadfoot.units import si_from

Depth = Literal["explained", "delivered", "ball", "speed"]
Side = Literal["either", "more", "less"]
Statistic = Literal["mean", "spread", "share", "two"]
Costs = Literal["length", "straightness", "both"]
Wants = Literal["more", "less", "back"]

_UNITS = ("deg", "mm", "in", "%")
_FIELDS = (
    "name", "statistic", "measure", "side", "unit", "costs", "depths", "classes", "fault_from",
    "usual", "usual_sd", "setup_doubt", "target", "repair", "covers", "needs", "unless",
    "quantity", "wants", "said_more", "said_less", "why", "confirm", "refute", "axis", "low_word",
    "high_word", "source",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One kind of finding. Numbers are in SI; those by class fall back on ``other``.

    Attributes
    ----------
    key, name
        In records, and on pages.
    statistic
        What is taken of the balls: their middle, their spread, a share of them, or whether they
        are two groups.
    measure
        Which number of each ball (`leadfoot.coaching.measures`).
    side
        On which side of the usual a fault lies.
    unit
        In which people speak of it.
    costs
        What it takes away.
    depths, classes
        Readings and clubs to which it applies.
    fault_from
        From here on a coach would call it a fault; for a middle the distance from `usual`.
    usual, usual_sd
        Middle and standard deviation over students; for a spread `usual_sd` is that of its
        logarithm.
    setup_doubt
        What more balls do not average out: aim of the monitor, a club unlike the generic one.
    target
        What the repair leads to: the student's plausible better value.
    repair
        How it is repaired in the model (`leadfoot.coaching.repairs`).
    covers
        Findings that this one explains; they step back where it stands.
    needs, unless
        Names of readings without which, or with which, it says nothing.
    quantity, wants
        The quantity of the glossary whose level answers it, and which way it is to go (back:
        against the side on which the finding lies); None where no level of one quantity does.
    said_more, said_less
        The finding in words, on either side; ``{size}`` and ``{way}`` are filled in.
    why, confirm, refute
        Why it costs; what would confirm and what refute it.
    axis, low_word, high_word
        What the picture is of, and what its ends mean.
    source
        Where the thresholds come from.
    """

    key: str
    name: str
    statistic: Statistic
    measure: str
    side: Side
    unit: str
    costs: Costs
    depths: tuple[str, ...]
    classes: tuple[str, ...]
    fault_from: Mapping[str, float]
    usual: Mapping[str, float]
    usual_sd: float
    setup_doubt: float
    target: Mapping[str, float]
    repair: str
    covers: tuple[str, ...]
    needs: tuple[str, ...]
    unless: tuple[str, ...]
    quantity: str | None
    wants: Wants
    said_more: str
    said_less: str
    why: str
    confirm: str
    refute: str
    axis: str
    low_word: str
    high_word: str
    source: str

    def of(self, numbers: Mapping[str, float], club_class: ClubClass) -> float:
        """A number of this rule for one class of club."""
        return numbers.get(club_class, numbers["other"])


def rules_from(text: str) -> Mapping[str, Rule]:
    """Read the rules of a catalogue.

    Parameters
    ----------
    text
        TOML, one table a finding; the fields are explained at the top of ``findings.toml``.

    Raises
    ------
    InputError
        With the finding and the field that is not as it must be.

    Examples
    --------
    >>> rules_from('[mine]')
    Traceback (most recent call last):
    ...
    leadfoot.errors.InputError: The finding 'mine' has no name. Add name = "..." to it.
    """
    found = {entry.key: _rule(entry) for entry in entries(text, "finding")}
    for rule in found.values():
        for other in rule.covers:
            if other not in found:
                raise InputError(
                    f"covers of the finding {rule.key!r} names {other!r}, which is not there.",
                    fix=f"Use: {' '.join(found)}.",
                )
    return MappingProxyType(found)


@cache
def rules() -> Mapping[str, Rule]:
    """The rules of the program, by key.

    Examples
    --------
    >>> rules()["face_off"].name
    'Face open or closed on average'
    """
    return rules_from(shipped("findings.toml"))


def _rule(entry: Entry) -> Rule:
    entry.only(_FIELDS)
    name = entry.text("name")
    unit = entry.one_of("unit", _UNITS)
    statistic = cast("Statistic", entry.one_of("statistic", get_args(Statistic)))

    def by_class(field: str, default: float | None = None) -> Mapping[str, float]:
        if default is not None and field not in entry.fields:
            return MappingProxyType({"other": default})
        numbers = entry.by_class(field)
        if "other" not in numbers:
            raise InputError(
                f"{field} of the finding {entry.key!r} has no number for other clubs.",
                fix="Add other = ... to its table.",
            )
        return MappingProxyType({key: si_from(value, unit) for key, value in numbers.items()})

    usual = by_class("usual", 0.0)
    spoken = entry.number("usual_sd", 1.0)
    return Rule(
        key=entry.key,
        name=name,
        statistic=statistic,
        measure=entry.text("measure"),
        side=cast("Side", entry.one_of("side", get_args(Side), "more")),
        unit=unit,
        costs=cast("Costs", entry.one_of("costs", get_args(Costs))),
        depths=entry.texts("depths", get_args(Depth)) or get_args(Depth),
        classes=entry.texts("classes", get_args(ClubClass)) or get_args(ClubClass),
        fault_from=by_class("fault_from"),
        usual=usual,
        usual_sd=spoken if statistic == "spread" else si_from(spoken, unit),
        setup_doubt=si_from(entry.number("setup_doubt", 0.0), unit),
        target=by_class("target") if "target" in entry.fields else usual,
        repair=entry.text("repair"),
        covers=entry.texts("covers"),
        needs=entry.texts("needs"),
        unless=entry.texts("unless"),
        quantity=entry.one_of("quantity", tuple(glossary()))
        if "quantity" in entry.fields
        else None,
        wants=cast("Wants", entry.one_of("wants", get_args(Wants), "back")),
        said_more=entry.text("said_more"),
        said_less=entry.text("said_less", entry.text("said_more")),
        why=entry.text("why"),
        confirm=entry.text("confirm"),
        refute=entry.text("refute"),
        axis=entry.text("axis"),
        low_word=entry.text("low_word"),
        high_word=entry.text("high_word"),
        source=entry.text("source"),
    )
