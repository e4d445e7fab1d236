"""How a command gives what it found: as JSON or for a person, and with which exit code."""

import json
from collections.abc import Callable, Sequence
from typing import Any, NoReturn, Protocol, TypeVar

import typer
from rich.console import Console

from leadfoot.cli.files import exit_code
from leadfoot.tables.problem import Problem


class Told(Protocol):
    """What a command found in a table of shots."""

    @property
    def problems(self) -> Sequence[Problem]:
        """What could not be read or used."""

    def as_json(self) -> dict[str, Any]:
        """In its published form."""


Found = TypeVar("Found", bound=Told)


def give(
    found: Found, show: Callable[[Found, Console], None], *, as_json: bool, said: str = ""
) -> NoReturn:
    """Print what was found, and leave; ``said`` stands under it for a person."""
    if as_json:
        typer.echo(json.dumps(found.as_json(), ensure_ascii=False, allow_nan=False))
    else:
        show(found, Console())
        if said:
            typer.echo(said)
    raise typer.Exit(exit_code(found.problems))
