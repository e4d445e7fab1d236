"""Accounts as deeds: added, changed, removed; and whether the network reaches the desk."""

import unicodedata
from dataclasses import dataclass
from typing import Final, get_args

from leadfoot.desk.access_records import Account, Role
from leadfoot.desk.desk import Desk
from leadfoot.desk.keeping import folded
from leadfoot.desk.passwords import hashed
from leadfoot.errors import InputError

LONGEST_NAME: Final = 60
LOOPBACK: Final = "127.0.0.1"
ANYWHERE: Final = "0.0.0.0"  # noqa: S104  (only where an owner says so)
_LISTENS, _NAMES = "listens", "names"


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """How the desk is opened when nothing else is said: on this machine alone, or to a network."""

    to_network: bool
    names: tuple[str, ...]
    """Further names under which it answers, such as ``studio.example``."""


def add_account(
    desk: Desk, name: str, password: str, *, role: Role, as_first: bool = False
) -> Account:
    """Add an account; the first one is an owner.

    Raises
    ------
    InputError
        If the name or the password can't be used, the name is taken, the first one would be no
        owner, or `as_first` is asked and it is not the first.
    """
    clean = clean_name(name)
    if role != "owner" and not desk.book.access.has_accounts():
        raise InputError(
            "The first account must be an owner's.", fix="Add an owner first, then coaches."
        )
    return desk.book.access.add_account(
        name=clean,
        folded_name=folded(clean),
        role=role,
        password_hash=hashed(password, name=clean),
        at=desk.clock(),
        as_first=as_first,
    )


def clean_name(name: str) -> str:
    """A name as it is kept.

    Raises
    ------
    InputError
        If it is empty, too long, or holds letters that can't be seen.

    Examples
    --------
    >>> clean_name("  Zoë   Coach ")
    'Zoë Coach'
    """
    clean = " ".join(unicodedata.normalize("NFC", name).split())
    hidden = any(unicodedata.category(letter) in {"Cc", "Cf", "Cs"} for letter in clean)
    if not folded(clean) or len(clean) > LONGEST_NAME or hidden:
        raise InputError(
            f"{clean[:LONGEST_NAME]!r} can't be the name of an account.",
            fix=f"Use 1 to {LONGEST_NAME} letters that can be seen.",
        )
    return clean


def account_of(desk: Desk, name: str) -> Account:
    """The account of a name, however it is written.

    Raises
    ------
    InputError
        If there is none.
    """
    account = desk.book.access.account_named(folded(" ".join(name.split())))
    if account is None:
        known = ", ".join(one.name for one in desk.book.access.accounts())
        raise InputError(
            f"There is no account {name!r}.",
            fix=f"Use one of: {known}." if known else "Add one with: leadfoot account add NAME.",
        )
    return account


def account_numbered(desk: Desk, number: int) -> Account:
    """The account with a number.

    Raises
    ------
    InputError
        If there is none.
    """
    for account in desk.book.access.accounts():
        if account.id == number:
            return account
    raise InputError("There is no such account any more.", fix="Look at the list again.")


def change_password(desk: Desk, account: Account, password: str) -> Account:
    """Give an account a new password; it is signed out everywhere."""
    new = hashed(password, name=account.name)
    return desk.book.access.change_password(account.id, new, at=desk.clock())


def change_role(desk: Desk, account: Account, role: str) -> Account:
    """Give an account another role.

    Raises
    ------
    InputError
        If there is no such role, or no owner would be left.
    """
    for one in get_args(Role):
        if one == role:
            return desk.book.access.change_role(account.id, one)
    raise InputError(f"There is no role {role!r}.", fix="Choose owner or coach.")


def remove_account(desk: Desk, account: Account, *, now_open: bool = False) -> None:
    """Remove an account; it is signed out everywhere.

    Parameters
    ----------
    desk, account
        Which.
    now_open
        Whether the desk listens beyond this machine at the moment.

    Raises
    ------
    InputError
        If others would be left without an owner, or nobody at all while the desk is open to the
        network.
    """
    to_network = now_open or opening_of(desk).to_network
    if to_network and len(desk.book.access.accounts()) == 1:
        raise InputError(
            "This is the last account, and the desk is open to the network: nobody could sign in.",
            fix="Open the desk on its own machine alone first.",
        )
    desk.book.access.remove_account(account.id)


def opening_of(desk: Desk) -> Opening:
    """How the desk is opened when nothing else is said."""
    settings = desk.book.access.settings()
    return Opening(
        to_network=settings.get(_LISTENS) == "network",
        names=tuple(settings.get(_NAMES, "").split()),
    )


def set_opening(desk: Desk, *, to_network: bool, names: str) -> Opening:
    """Say how the desk is opened from the next time on.

    Raises
    ------
    InputError
        If it would be open to the network without an owner, or a name can't be one.
    """
    if to_network:
        refuse_without_owner(desk)
    wanted = tuple(dict.fromkeys(names.replace(",", " ").lower().split()))
    for name in wanted:
        refuse_bad_host(name)
    desk.book.access.keep_setting(_LISTENS, "network" if to_network else "machine")
    desk.book.access.keep_setting(_NAMES, " ".join(wanted))
    return opening_of(desk)


def refuse_without_owner(desk: Desk) -> None:
    """Refuse to open the desk to a network while nobody has to sign in.

    Raises
    ------
    InputError
        If there is no owner.
    """
    if not any(account.role == "owner" for account in desk.book.access.accounts()):
        raise InputError(
            "The desk is not opened beyond this machine while there is no owner: anyone on the "
            "network could read every student.",
            fix="Add an owner first: leadfoot account add NAME --role owner.",
        )


def refuse_bad_host(name: str) -> None:
    """Refuse what can't be the name of a machine.

    Raises
    ------
    InputError
        If it can't.

    Examples
    --------
    >>> refuse_bad_host("studio.example")
    """
    parts = name.split(".")
    plain = all(
        part and part.isascii() and part.replace("-", "a").isalnum() and len(part) < 64
        for part in parts
    )
    if not plain or len(name) > 253:
        raise InputError(
            f"{name[:80]!r} can't be the name of a machine.",
            fix="Give names such as studio.example, without http:// and without a port.",
        )
