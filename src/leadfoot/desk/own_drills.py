"""The coach's own cues, aids and drills: written, written anew, taken away; kept in the book."""

import json
import re
import secrets
from collections.abc import Mapping
from types import MappingProxyType

from leadfoot.coaching.drills import Drill, drill_of, drills
from leadfoot.desk.desk import Desk
from leadfoot.desk.works import same_cue
from leadfoot.errors import InputError

_OWN = "own_"
_KINDS = {"cue": "a cue", "aid": "an aid", "drill": "a drill"}
FILL_IN = "Fill it in on the form, or choose from what it offers."


def own_drills(desk: Desk) -> Mapping[str, Drill]:
    """The coach's own by key, the oldest first; see `not_understood` for what is not among them."""
    return MappingProxyType(
        {key: one for key, one in _read(desk).items() if isinstance(one, Drill)}
    )


def not_understood(desk: Desk) -> Mapping[str, str]:
    """What stands in the book and is no drill by today's rules, by key: what is wrong with it.

    An export of another version may bring such; it stays in the book.
    """
    return MappingProxyType({key: one for key, one in _read(desk).items() if isinstance(one, str)})


def all_drills(desk: Desk) -> Mapping[str, Drill]:
    """The program's and the coach's own, by key."""
    return MappingProxyType({**drills(), **own_drills(desk)})


def save_drill(desk: Desk, fields: Mapping[str, object], key: str | None = None) -> Drill:
    """Write a cue, an aid or a drill into the book.

    Parameters
    ----------
    desk
        Whose book.
    fields
        As a table of the program's catalogue has them; the same rules hold.
    key
        Which of the coach's own is written anew; None: a new one.

    Raises
    ------
    InputError
        If a field is not as it must be, another has this name, or the one to be written anew is
        not there.
    """
    written = own_drills(desk)
    if key is not None and key not in written:
        raise _not_there(key)
    name = str(fields.get("name", "")).strip()
    try:
        drill_of(name, fields)
    except InputError as error:
        raise InputError(error.what, fix=FILL_IN) from None
    for other in (*drills().values(), *written.values()):
        if same_cue(other.name) == same_cue(name) and other.key != key:
            raise InputError(
                f"There is {_KINDS[other.kind]} called {other.name!r} already.",
                fix="Give this one another name.",
            )
    key = key or _free_key(name)
    desk.book.save_own_drill(key, json.dumps(dict(fields)), at=desk.clock())
    return drill_of(key, fields)


def _read(desk: Desk) -> dict[str, Drill | str]:
    return {key: _drill_or_trouble(key, text) for key, text in desk.book.own_drills().items()}


def _drill_or_trouble(key: str, text: str) -> Drill | str:
    try:
        fields = json.loads(text)
    except ValueError:
        return "It is no JSON."
    if not isinstance(fields, dict):
        return "It is no table of fields."
    try:
        return drill_of(key, fields)
    except InputError as error:
        return error.what


def take_away(desk: Desk, key: str) -> None:
    """Take one of the coach's own out of the lists; what was given with it stays as it is.

    Raises
    ------
    InputError
        If it is not there.
    """
    if key not in desk.book.own_drills():
        raise _not_there(key)
    desk.book.save_own_drill(key, None, at=desk.clock())


def _free_key(name: str) -> str:
    """A key that no other has ever had, on any copy of the book."""
    words = re.sub(r"\W+", "_", name.casefold()).strip("_")
    return f"{_OWN}{words[:40]}_{secrets.token_hex(4)}"


def _not_there(key: str) -> InputError:
    return InputError(
        f"There is no drill of your own called {key!r}.", fix="Choose one from the list."
    )
