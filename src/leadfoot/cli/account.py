"""``leadfoot account``: accounts added, listed, changed and removed on the machine of the desk."""

import getpass
import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager

import typer

from leadfoot.bootstrap import open_desk
from leadfoot.desk.access_records import DEED_WORDS, LogFilter, NewLine, Role
from leadfoot.desk.accounts import (
    account_of,
    add_account,
    change_password,
    change_role,
    remove_account,
)
from leadfoot.desk.desk import Desk
from leadfoot.desk.signing_in import is_good
from leadfoot.errors import InputError

WHO = "command line"
"""Who it was, as the log says it: whoever may read the file of the book."""


@contextmanager
def opened(book: str | None) -> Iterator[Desk]:
    """A desk on the book, closed at the end."""
    desk = open_desk(book)
    try:
        yield desk
    finally:
        desk.book.close()


def add(name: str, *, role: Role, book: str | None) -> None:
    """Add an account."""
    with opened(book) as desk:
        account = add_account(desk, name, _password(), role=role)
        note(desk, "account add")
    typer.echo(f"{account.name} may sign in as {account.role}.")


def list_all(*, book: str | None, as_json: bool) -> None:
    """List the accounts."""
    with opened(book) as desk:
        now = desk.clock()
        accounts = desk.book.access.accounts()
        good = [one.account for one in desk.book.access.sign_ins() if is_good(one, now)]
    if as_json:
        listed = [
            {"name": one.name, "role": one.role, "signed_in": good.count(one)} for one in accounts
        ]
        typer.echo(json.dumps({"accounts": listed}))
        return
    if not accounts:
        typer.echo(
            "Nobody has to sign in. Add an owner with: leadfoot account add NAME --role owner"
        )
    for one in accounts:
        typer.echo(f"{one.name}: {one.role}, signed in {good.count(one)} times")


def set_password(name: str, *, book: str | None) -> None:
    """Set a new password."""
    with opened(book) as desk:
        account = account_of(desk, name)
        change_password(desk, account, _password())
        note(desk, "account password")
    typer.echo(f"{account.name} has a new password, and is signed out everywhere.")


def set_role(name: str, role: Role, *, book: str | None) -> None:
    """Give an account another role."""
    with opened(book) as desk:
        account = change_role(desk, account_of(desk, name), role)
        note(desk, "account role")
    typer.echo(f"{account.name} is {account.role} now.")


def remove(name: str, *, book: str | None) -> None:
    """Remove an account."""
    with opened(book) as desk:
        account = account_of(desk, name)
        remove_account(desk, account)
        note(desk, "account remove")
    typer.echo(f"{account.name} may not come in any more.")


def show_log(*, who: str | None, lines: int, book: str | None) -> None:
    """Show the newest lines of the log."""
    with opened(book) as desk:
        found = desk.book.access.log(LogFilter(who=who), most=lines)
        zone = desk.clock().tzinfo
    for one in found:
        about = f", student {one.student_id}" if one.student_id is not None else ""
        at = one.at.astimezone(zone).isoformat(sep=" ", timespec="seconds")
        typer.echo(f"{at}  {one.who} ({one.role}) {DEED_WORDS[one.deed]} {one.what}{about}")


def note(desk: Desk, what: str, *, student_id: int | None = None) -> None:
    """Write into the log that something was changed from the command line."""
    line = NewLine(
        at=desk.clock(),
        who=WHO,
        role="owner",
        deed="changed",
        what=what,
        student_id=student_id,
    )
    desk.book.access.note([line])


def _password() -> str:
    """The new password: asked for twice, or the first line of standard input."""
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    first = getpass.getpass("New password: ")
    if getpass.getpass("Once more: ") != first:
        raise InputError("The two passwords differ.", fix="Type the same one twice.")
    return first
