"""The studio's own clubs: written by their numbers, read as the catalogue of the program is."""

import json
import re
import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Final

from leadfoot.desk.desk import Desk
from leadfoot.desk.studio import same_name
from leadfoot.errors import InputError, LeadfootError
from leadfoot.physics.club_file import NUMBERS, TRIPLES
from leadfoot.physics.clubs import Club, clubs, clubs_from

CLUB_KEY: Final = "club/"
"""What the keys of own clubs in the book begin with."""
FIELDS: Final = ("name", "class", "like", *NUMBERS, *TRIPLES)
"""What a club may have, as in the program's own catalogue."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnClub:
    """One of the studio's own as it stands in the book.

    Attributes
    ----------
    key
        Its key.
    fields
        What was written, by the names and in the units of the catalogue.
    by
        Who wrote it.
    trouble
        What is wrong with it by today's rules; empty where nothing is.
    """

    key: str
    fields: Mapping[str, Any]
    by: str
    trouble: str


def own_clubs(desk: Desk) -> tuple[OwnClub, ...]:
    """The studio's own clubs, by key."""
    stored = {key: one for key, one in desk.book.settings().items() if key.startswith(CLUB_KEY)}
    bad = clubs_read({key: one.value_json for key, one in stored.items()})[1]
    return tuple(
        OwnClub(
            key=key.removeprefix(CLUB_KEY),
            fields=MappingProxyType(_fields(one.value_json)),
            by=one.saved_by,
            trouble=bad.get(key, ""),
        )
        for key, one in sorted(stored.items())
    )


def save_club(
    desk: Desk, fields: Mapping[str, Any], key: str | None = None, *, by: str, all_clubs: bool
) -> str:
    """Write a club of the studio.

    Parameters
    ----------
    desk
        Whose book.
    fields
        Its name, class and numbers, as in the program's catalogue; ``like`` takes the rest from a
        club of the program.
    key
        Which one to write anew; None: a new one.
    by
        Who does it.
    all_clubs
        Whether they may write a club anew that somebody else wrote.

    Returns
    -------
    str
        Its key.

    Raises
    ------
    InputError
        If a field is unknown, missing or out of its range; the name is in use; or the club is
        somebody else's.
    """
    mine = {one.key: one for one in own_clubs(desk)}
    if key is not None:
        _refuse_others(mine, key, by, all_clubs=all_clubs)
    written = {name: value for name, value in fields.items() if value not in ("", None)}
    new_key = key or _free_key(str(written.get("name", "club")))
    club = _club(new_key, written)
    taken = [*clubs().values(), *(_known(one) for one in mine.values() if one.key != key)]
    if any(one is not None and same_name(one.name, club.name) for one in taken):
        raise InputError(
            f"There is a club called {club.name!r} already.", fix="Give this one another name."
        )
    desk.book.save_setting(
        f"{CLUB_KEY}{new_key}", json.dumps(written, sort_keys=True), by=by, at=desk.clock()
    )
    return new_key


def remove_club(desk: Desk, key: str, *, by: str, all_clubs: bool) -> None:
    """Take one of the studio's own clubs away; lessons that were hit with it stay as they are.

    Raises
    ------
    InputError
        If it is not there, or is somebody else's.
    """
    mine = {one.key: one for one in own_clubs(desk)}
    _refuse_others(mine, key, by, all_clubs=all_clubs)
    desk.book.save_setting(f"{CLUB_KEY}{key}", None, by=by, at=desk.clock())


def clubs_read(stored: Mapping[str, str]) -> tuple[Mapping[str, Club], Mapping[str, str]]:
    """Own clubs by key from what stands in the book, and what is wrong with others of them."""
    found: dict[str, Club] = {}
    bad: dict[str, str] = {}
    for stored_key, text in stored.items():
        key = stored_key.removeprefix(CLUB_KEY)
        try:
            found[key] = _club(key, _fields(text))
        except LeadfootError as error:
            bad[stored_key] = error.what
    return MappingProxyType(found), MappingProxyType(bad)


def _fields(text: str) -> dict[str, Any]:
    try:
        found = json.loads(text)
    except ValueError:
        return {}
    return found if isinstance(found, dict) else {}


def _club(key: str, fields: Mapping[str, Any]) -> Club:
    """The club by the reader of the catalogue, which says what is wrong."""
    lines = [f"{name} = {_toml(value)}" for name, value in fields.items()]
    return clubs_from("\n".join([f"[{key}]", *lines]))[key]


def _toml(value: object) -> str:
    """A text, a number or three numbers as TOML: what JSON writes of them is TOML too."""
    return json.dumps(value, ensure_ascii=False)


def _known(one: OwnClub) -> Club | None:
    return None if one.trouble else _club(one.key, one.fields)


def _refuse_others(mine: Mapping[str, OwnClub], key: str, by: str, *, all_clubs: bool) -> None:
    if key not in mine:
        raise InputError(
            f"There is no club of your own called {key!r}.", fix="Choose one from the list."
        )
    if not all_clubs and mine[key].by != by:
        raise InputError(
            f"This club was written by {mine[key].by}.",
            fix="Ask them or an owner to change it, or write one of your own.",
        )


def _free_key(name: str) -> str:
    """A key that no other has ever had, on any copy of the book."""
    words = re.sub(r"[^a-z0-9]+", "_", name.casefold()).strip("_")
    return f"own_{words[:30]}_{secrets.token_hex(4)}"
