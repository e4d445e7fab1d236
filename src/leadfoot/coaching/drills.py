"""Cues, aids and drills: what each changes, how it is set up, and which finding it answers.

The program's own stand in ``catalogue/drills.toml``. A coach adds theirs in the same form; what is
wrong in it is said with the entry and the field.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal, cast, get_args

from leadfoot.coaching.form import Entry, entries, shipped
from leadfoot.coaching.rules import rules
from leadfoot.errors import InputError
from leadfoot.language.say import say
from leadfoot.quantities import glossary

Kind = Literal["cue", "aid", "drill"]
Focus = Literal["external", "internal"]
ClubNeed = Literal["club", "no club", "either"]
Place = Literal["anywhere", "hitting area", "turf", "open range"]
NO_SOURCE = "common practice, no source"
GROUND = ("ground_push", "balance", "tempo")
"""What a drill may change besides the quantities of the glossary."""

_FIELDS = (
    "name", "kind", "changes", "answers", "setup", "feel", "focus", "easier", "harder", "cautions",
    "club", "place", "things", "maximal", "source",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Drill:
    """A cue, an aid or a drill.

    Attributes
    ----------
    key, name, kind
        In records, on pages; a cue is said, an aid is a thing, a drill is a task.
    changes
        Quantities of the glossary that it is meant to change, or one of `GROUND`.
    answers
        Findings that it answers.
    setup
        How to set it up.
    feel
        What to attend to.
    focus
        External: on something outside the body, which is tried first; internal: on the body.
    easier, harder
        How to scale it.
    cautions
        What to watch; never empty where the effort is maximal.
    club, place, things
        What it needs.
    maximal
        Whether it asks for a maximal effort: then the screening comes first
        (`leadfoot.ground.screening`).
    source
        Where it comes from.
    own
        Whether the coach added it.
    """

    key: str
    name: str
    kind: Kind
    changes: tuple[str, ...]
    answers: tuple[str, ...]
    setup: str
    feel: str
    focus: Focus
    easier: str
    harder: str
    cautions: tuple[str, ...]
    club: ClubNeed
    place: Place
    things: tuple[str, ...]
    maximal: bool
    source: str
    own: bool = False


def drills_from(text: str, *, own: bool = True) -> Mapping[str, Drill]:
    r"""Read a catalogue of cues, aids and drills: the program's own, or a coach's.

    Parameters
    ----------
    text
        TOML, one table a drill; the fields stand at the top of ``drills.toml``.
    own
        Whether they are marked as the coach's.

    Raises
    ------
    InputError
        With the drill and the field that is not as it must be.

    Examples
    --------
    >>> drills_from('[mine]\nname = "stick"\nkind = "trick"\n')
    Traceback (most recent call last):
    ...
    leadfoot.errors.InputError: kind of the drill 'mine' is 'trick'; it must be one of: cue aid
    drill. Write it as in the program's own catalogue.
    """
    found = entries(text, "drill")
    return MappingProxyType({entry.key: _drill(entry, own=own) for entry in found})


@cache
def drills() -> Mapping[str, Drill]:
    """The cues, aids and drills of the program, by key.

    Examples
    --------
    >>> drills()["push_block"].focus
    'external'
    """
    return drills_from(shipped("drills.toml"), own=False)


def drill_named(name: str) -> Drill | None:
    """The program's drill of a name, as a plan for home names its cue; None where there is none.

    Examples
    --------
    >>> found = drill_named("press the soft block flat ")
    >>> found.key if found else None
    'push_block'
    """
    wanted = name.strip().casefold()
    return next((one for one in drills().values() if one.name.casefold() == wanted), None)


def in_practice(drill: Drill) -> tuple[tuple[str, str], ...]:
    """What a student reads of a drill: a heading and its text, in the language that is spoken.

    Examples
    --------
    >>> dict(in_practice(drills()["push_block"]))["Attend to"]
    'The block going flat, early.'
    """
    return (
        (say("How"), say(drill.setup)),
        (say("Attend to"), say(drill.feel)),
        (say("Easier"), say(drill.easier)),
        (say("Harder"), say(drill.harder)),
    )


def drill_of(key: str, fields: Mapping[str, object]) -> Drill:
    """One of a coach's own from its fields, by the rules of the catalogue.

    Parameters
    ----------
    key
        Its name in records.
    fields
        As a table of ``drills.toml`` has them.

    Raises
    ------
    InputError
        With the drill and the field that is not as it must be.

    Examples
    --------
    >>> drill_of("rope", {"name": "A rope on the ground"})
    Traceback (most recent call last):
    ...
    leadfoot.errors.InputError: The drill 'rope' has no kind. Add kind = "cue" to it.
    """
    return _drill(Entry(what="drill", key=key, fields=fields), own=True)


def with_own(text: str) -> Mapping[str, Drill]:
    """The program's drills and the coach's; one of the coach's with a known key replaces it.

    Parameters
    ----------
    text
        The coach's catalogue, TOML; may be empty.

    Examples
    --------
    >>> len(with_own("")) == len(drills())
    True
    """
    return MappingProxyType({**drills(), **drills_from(text)})


def drills_for(
    finding: str, catalogue: Mapping[str, Drill] | None = None, *, maximal: bool = True
) -> Sequence[Drill]:
    """What answers a finding: external focus first, then what needs the least.

    Parameters
    ----------
    finding
        Key of the finding.
    catalogue
        Where to look; the program's own if not given.
    maximal
        Whether drills of maximal effort may be among them.

    Examples
    --------
    >>> [drill.focus for drill in drills_for("low_point_back")][0]
    'external'
    """
    known = drills() if catalogue is None else catalogue
    fitting = [one for one in known.values() if finding in one.answers]
    if not maximal:
        fitting = [one for one in fitting if not one.maximal]
    return sorted(fitting, key=lambda one: (one.focus != "external", one.maximal, len(one.things)))


def _drill(entry: Entry, *, own: bool) -> Drill:
    entry.only(_FIELDS)
    maximal = entry.yes_or_no("maximal", default=False)
    cautions = entry.texts("cautions")
    if maximal and not cautions:
        raise InputError(
            f"The drill {entry.key!r} asks for a maximal effort and has no cautions.",
            fix='Add cautions = ["Warm up first."] or the like to it.',
        )
    return Drill(
        key=entry.key,
        name=entry.text("name"),
        kind=cast("Kind", entry.one_of("kind", get_args(Kind))),
        changes=_some(entry, "changes", (*glossary(), *GROUND)),
        answers=_some(entry, "answers", tuple(rules())),
        setup=entry.text("setup"),
        feel=entry.text("feel"),
        focus=cast("Focus", entry.one_of("focus", get_args(Focus))),
        easier=entry.text("easier"),
        harder=entry.text("harder"),
        cautions=cautions,
        club=cast("ClubNeed", entry.one_of("club", get_args(ClubNeed), "club")),
        place=cast("Place", entry.one_of("place", get_args(Place), "hitting area")),
        things=entry.texts("things"),
        maximal=maximal,
        source=entry.text("source", NO_SOURCE),
        own=own,
    )


def _some(entry: Entry, field: str, choices: tuple[str, ...]) -> tuple[str, ...]:
    """A list with at least one of some words."""
    found = entry.texts(field, choices)
    if not found:
        raise InputError(
            f"The drill {entry.key!r} has no {field}.",
            fix=f"Add {field} with one or more of: {' '.join(choices)}.",
        )
    return found
