"""``leadfoot open``: the desk in the browser, on this machine alone unless an owner opens it."""

import socket
import threading
import webbrowser
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import typer
import uvicorn

from leadfoot.bootstrap import open_desk
from leadfoot.cli.daily import daily_backups
from leadfoot.desk.accounts import (
    ANYWHERE,
    LOOPBACK,
    opening_of,
    refuse_bad_host,
    refuse_without_owner,
)
from leadfoot.desk.desk import Desk
from leadfoot.desk.passwords import make_ready
from leadfoot.errors import InputError
from leadfoot.physics.many import is_warm, warm
from leadfoot.web.app import build_app
from leadfoot.web.doors import Doors, address_for_others, is_loopback
from leadfoot.web.warming import settle

FIRST_PORT = 8470
"""Where a free port is looked for first (our own choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """How the desk is to be opened; what is None is as it was set, or chosen.

    Attributes
    ----------
    host
        The address to listen at.
    port
        The port.
    names
        Further names of this machine.
    certificate, key
        Files for https.
    """

    host: str | None = None
    port: int | None = None
    names: tuple[str, ...] = ()
    certificate: Path | None = None
    key: Path | None = None


def run(book: str | None, *, way: Way, browser: bool) -> None:
    """Serve the desk until it is stopped with Ctrl-C.

    Raises
    ------
    InputError
        If the port is taken, a file of the certificate is missing, or the network would reach a
        desk that has no owner.
    """
    _check_files(way)
    desk = open_desk(book)
    try:
        host, doors = _doors(desk, way)
        _check_free(host, doors.port)
        _say_open(host, doors)
        progress = None if is_warm() else _say_progress
        threading.Thread(target=warm, args=(progress,), daemon=True).start()
        if browser:
            own = f"{doors.scheme}://{LOOPBACK if host == ANYWHERE else host}:{doors.port}/"
            threading.Timer(1.0, webbrowser.open, args=(own,)).start()
        app = build_app(desk, port=doors.port, doors=doors, again=partial(open_desk, book))
        settle()
        with daily_backups(desk.book.file):
            uvicorn.run(
                app,
                host=host,
                port=doors.port,
                log_level="warning",
                timeout_graceful_shutdown=2,
                # Who asks is who is connected: a header can say anything.
                proxy_headers=False,
                server_header=False,
                ws_max_size=2**12,  # pages only listen
                ssl_certfile=way.certificate,
                ssl_keyfile=way.key,
            )
    finally:
        desk.book.close()


def _doors(desk: Desk, way: Way) -> tuple[str, Doors]:
    """Where to listen, and what the pages need to know of it."""
    set_up = opening_of(desk)
    host = way.host or (ANYWHERE if set_up.to_network else LOOPBACK)
    beyond = not is_loopback(host) or bool(way.names)
    if beyond:
        refuse_without_owner(desk)
        make_ready()
    names = tuple(dict.fromkeys(name.lower() for name in (*way.names, *set_up.names)))
    for name in names:
        refuse_bad_host(name)
    port = way.port if way.port is not None else _free_port(host)
    doors = Doors(
        port=port,
        beyond=beyond,
        names=names,
        https=way.certificate is not None,
        address=address_for_others() if host in {ANYWHERE, "::"} else host,
    )
    return host, doors


def _say_open(host: str, doors: Doors) -> None:
    if not doors.beyond:
        address = f"{doors.scheme}://{host}:{doors.port}/"
        typer.echo(f"The desk is open at {address}  (Ctrl-C closes it)")
        return
    for name in (*doors.names, doors.address or LOOPBACK):
        typer.echo(f"The desk is open at {doors.scheme}://{name}:{doors.port}/  (Ctrl-C closes it)")
    typer.echo("Other machines reach it; everyone signs in.")
    if not doors.https:
        typer.echo(
            "Without https whoever listens on this network can read what is typed and shown. "
            "Use a network of your own, or --certificate and --certificate-key.",
            err=True,
        )


def _check_files(way: Way) -> None:
    if (way.certificate is None) != (way.key is None):
        raise InputError(
            "For https both the certificate and its key are needed.",
            fix="Give --certificate FILE and --certificate-key FILE.",
        )
    for file in (way.certificate, way.key):
        if file is not None and not file.is_file():
            raise InputError(f"There is no file {str(file)!r}.", fix="Check the path.")


def _say_progress(n_ready: int, n_loops: int) -> None:
    typer.echo(f"Making flights fast on this machine, once: {n_ready} of {n_loops} loops ready.")


def _free_port(host: str) -> int:
    ports = range(FIRST_PORT, FIRST_PORT + 50)
    return next((port for port in ports if _is_free(host, port)), FIRST_PORT)


def _is_free(host: str, port: int) -> bool:
    try:
        found = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)
    except OSError as error:
        raise InputError(
            f"{host!r} is no address of this machine.",
            fix="Give one of its addresses, or 0.0.0.0 for all of them.",
        ) from error
    family, kind, protocol, _, address = found[0]
    with socket.socket(family, kind, protocol) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind(address)
        except OSError:
            return False
    return True


def _check_free(host: str, port: int) -> None:
    if not _is_free(host, port):
        raise InputError(
            f"Port {port} is in use on this machine.", fix="Choose another one with --port."
        )
