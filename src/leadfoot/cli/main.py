"""The command line: JSON alone on stdout, one line on stderr for bad news."""

import sys
from typing import NoReturn

import typer

from leadfoot.cli.account_commands import app
from leadfoot.errors import LeadfootError

CANNOT_USE = 3
"""Exit code where the input can't be used."""


def main() -> NoReturn:
    """Run ``leadfoot`` and turn errors raised on purpose into one line and an exit code."""
    try:
        app()
    except LeadfootError as error:
        typer.echo(f"leadfoot: {' '.join(str(error).split())}", err=True)
        sys.exit(CANNOT_USE)
    sys.exit(0)
