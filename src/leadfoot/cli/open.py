"""``leadfoot open``: the desk in the browser, on this machine alone."""

import socket
import threading
import webbrowser

import typer
import uvicorn

from leadfoot.bootstrap import open_desk
from leadfoot.cli.daily import daily_backups
from leadfoot.errors import InputError
from leadfoot.physics.many import is_warm, warm
from leadfoot.web.app import build_app

LOOPBACK = "127.0.0.1"
FIRST_PORT = 8470
"""Where a free port is looked for first (our own choice)."""


def run(book: str | None, *, port: int | None, browser: bool) -> None:
    """Serve the desk until it is stopped with Ctrl-C."""
    chosen = port if port is not None else _free_port()
    _check_free(chosen)
    desk = open_desk(book)
    address = f"http://{LOOPBACK}:{chosen}/"
    typer.echo(f"The desk is open at {address}  (Ctrl-C closes it)")
    progress = None if is_warm() else _say_progress
    threading.Thread(target=warm, args=(progress,), daemon=True).start()
    if browser:
        threading.Timer(1.0, webbrowser.open, args=(address,)).start()
    try:
        with daily_backups(desk.book.file):
            uvicorn.run(
                build_app(desk, port=chosen),
                host=LOOPBACK,
                port=chosen,
                log_level="warning",
                timeout_graceful_shutdown=2,
            )
    finally:
        desk.book.close()


def _say_progress(n_ready: int, n_loops: int) -> None:
    typer.echo(f"Making flights fast on this machine, once: {n_ready} of {n_loops} loops ready.")


def _free_port() -> int:
    return next((port for port in range(FIRST_PORT, FIRST_PORT + 50) if _is_free(port)), FIRST_PORT)


def _is_free(port: int) -> bool:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((LOOPBACK, port))
        except OSError:
            return False
    return True


def _check_free(port: int) -> None:
    if not _is_free(port):
        raise InputError(
            f"Port {port} is in use on this machine.", fix="Choose another one with --port."
        )
