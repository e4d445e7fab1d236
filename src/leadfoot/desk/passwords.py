"""Passwords: what may be one, and how one is kept and compared.

Argon2id with the costs that argon2-cffi has by default, the low-memory profile of RFC 9106,
section 4 (3 passes, 64 MiB, 4 lanes; as its documentation names it, from memory). A hash kept
under other costs is made anew at the next sign-in.
"""

import threading
import unicodedata
from functools import cache
from typing import Final

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from leadfoot.errors import InputError

FEWEST_LETTERS: Final = 12
MOST_LETTERS: Final = 200
FEWEST_KINDS: Final = 5
"""Different letters that a password needs. Like the two lengths our own choice; length counts, and
no rule asks for signs or digits (NIST SP 800-63B advises against such rules; from memory)."""

_AT_ONCE: Final = 2  # each comparison fills 64 MiB: many at once could fill the memory
_HASHER = PasswordHasher()
_TURN = threading.BoundedSemaphore(_AT_ONCE)


def hashed(password: str, *, name: str = "") -> str:
    """What the book keeps of a new password.

    Parameters
    ----------
    password
        The password as it was typed.
    name
        Whose it is: the name itself can't be the password.

    Raises
    ------
    InputError
        If it can't be a password.

    Examples
    --------
    >>> hashed("lantern over the quiet pond").startswith("$argon2id$")
    True
    >>> hashed("short")
    Traceback (most recent call last):
    leadfoot.errors.InputError: The password has 5 letters. Take 12 to 200: a few words will do.
    """
    plain = _plain(password)
    if not FEWEST_LETTERS <= len(plain) <= MOST_LETTERS:
        raise InputError(
            f"The password has {len(plain)} letters.",
            fix=f"Take {FEWEST_LETTERS} to {MOST_LETTERS}: a few words will do.",
        )
    if len(set(plain.casefold())) < FEWEST_KINDS or _is_name(plain, name):
        raise InputError(
            "The password is too easy to guess.", fix="Take a few words that nobody else would."
        )
    with _TURN:
        return _HASHER.hash(plain)


def is_right(password: str, password_hash: str | None) -> bool:
    """Tell whether a password is the one of a hash; without a hash it takes as long, and is not."""
    plain = _plain(password)[: MOST_LETTERS + 1]
    with _TURN:
        try:
            _HASHER.verify(password_hash or _nobodys_hash(), plain)
        except (VerificationError, InvalidHashError):
            return False
    return password_hash is not None


def is_dated(password_hash: str) -> bool:
    """Tell whether a hash was made under other costs than those in force."""
    return _HASHER.check_needs_rehash(password_hash)


def rehashed(password: str) -> str:
    """The hash of a password that is known to be right, under the costs in force."""
    with _TURN:
        return _HASHER.hash(_plain(password))


def make_ready() -> None:
    """Make the hash that stands in for unknown names, so that the first one takes no longer."""
    with _TURN:
        _nobodys_hash()


@cache
def _nobodys_hash() -> str:
    return _HASHER.hash("nobody has this password")


def _plain(password: str) -> str:
    """One way of writing, whatever keyboard it was typed on."""
    return unicodedata.normalize("NFKC", password)


def _is_name(plain: str, name: str) -> bool:
    return bool(name) and plain.casefold().strip() == name.casefold().strip()
