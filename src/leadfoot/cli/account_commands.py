"""The commands for who may come in, registered beside the others: ``leadfoot account ...``."""

from typing import Annotated, Literal

import typer

from leadfoot.cli.book_commands import app
from leadfoot.cli.options import BookOption, JsonOption

__all__ = ["app"]

account = typer.Typer(no_args_is_help=True, help="Who may sign in to the desk.")
app.add_typer(account, name="account")

NameArgument = Annotated[str, typer.Argument(help="Name of the account.")]
RoleOption = Annotated[
    Literal["owner", "coach"], typer.Option(help="What the account may do; the first is an owner.")
]


@account.command()
def add(name: NameArgument, *, role: RoleOption = "owner", book: BookOption = None) -> None:
    """Add an account; its password is asked for, or read from standard input."""
    from leadfoot.cli.account import add as run

    run(name, role=role, book=book)


@account.command("list")
def list_accounts(*, book: BookOption = None, as_json: JsonOption = False) -> None:
    """List the accounts, and how often each is signed in."""
    from leadfoot.cli.account import list_all as run

    run(book=book, as_json=as_json)


@account.command()
def password(name: NameArgument, *, book: BookOption = None) -> None:
    """Set a new password; the account is signed out everywhere."""
    from leadfoot.cli.account import set_password as run

    run(name, book=book)


@account.command()
def role(
    name: NameArgument,
    role: Annotated[Literal["owner", "coach"], typer.Argument(help="The new role.")],
    *,
    book: BookOption = None,
) -> None:
    """Make a coach an owner, or the other way."""
    from leadfoot.cli.account import set_role as run

    run(name, role, book=book)


@account.command()
def remove(name: NameArgument, *, book: BookOption = None) -> None:
    """Remove an account; it is signed out everywhere."""
    from leadfoot.cli.account import remove as run

    run(name, book=book)


@account.command()
def log(
    *,
    who: Annotated[str | None, typer.Option(help="Only of this one.")] = None,
    lines: Annotated[
        int, typer.Option(min=1, max=100_000, help="How many, the newest first.")
    ] = 50,
    book: BookOption = None,
) -> None:
    """Show who saw and changed what."""
    from leadfoot.cli.account import show_log as run

    run(who=who, lines=lines, book=book)
