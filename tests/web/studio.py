"""A served desk and a watched browser for the tests that drive a real Chromium."""

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from playwright.sync_api import Browser, BrowserContext, BrowserType, ConsoleMessage, Page, Request

from leadfoot.desk.desk import Desk

CHROMIUM_WORDS = [
    "--no-sandbox",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def launch(kind: BrowserType, *more: str) -> Browser:
    """Start the Chromium of this machine."""
    found = (
        os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    )
    if found is None:
        raise FileNotFoundError("No Chromium is installed; `make test` says how to get one.")
    return kind.launch(executable_path=found, args=[*CHROMIUM_WORDS, *more])


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


def _own_places() -> list[str]:
    """Where this process was told to look for modules, so that the served desk is the same."""
    return [place for place in os.environ.get("PYTHONPATH", "").split(os.pathsep) if place]


@dataclass
class Studio:
    """A desk that is served by a process of its own; `desk` reaches the same book from here."""

    path: Path | str
    port: int
    desk: Desk
    process: subprocess.Popen[bytes] | None = None

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self, clock: datetime | None = None) -> None:
        """Serve the book; with `clock`, the desk's clock stands there."""
        script = Path(__file__).with_name("serve.py")
        root = str(script.parents[2])
        self.process = subprocess.Popen(
            [
                sys.executable,
                str(script),
                str(self.path),
                str(self.port),
                *([clock.isoformat()] if clock else []),
            ],
            env={**os.environ, "PYTHONPATH": os.pathsep.join([root, *_own_places()])},
        )
        deadline = time.monotonic() + 60.0
        while time.monotonic() < deadline:
            try:
                with urllib.request.urlopen(f"{self.address}/method", timeout=5):
                    return
            except (urllib.error.URLError, ConnectionError):
                time.sleep(0.1)
        raise TimeoutError("The desk did not begin to answer.")

    def kill(self) -> None:
        """End the process as a cut of the power would: it can finish nothing."""
        if self.process is not None:
            self.process.kill()
            self.process.wait(timeout=15)
            self.process = None

    def stop(self) -> None:
        if self.process is not None:
            self.process.terminate()
            self.process.wait(timeout=15)
            self.process = None


@dataclass
class Watch:
    """Writes down what no page may do: ask another host, raise an error, complain."""

    own: str
    faults: list[str] = field(default_factory=list)
    expected: list[str] = field(default_factory=list)

    def over(self, context: BrowserContext) -> None:
        context.on("page", self._page)

    def _page(self, page: Page) -> None:
        page.on("pageerror", lambda error: self.faults.append(f"error: {error}"))
        page.on("console", self._console)
        page.on("request", self._request)

    def _console(self, message: ConsoleMessage) -> None:
        if message.type in {"error", "warning"}:
            self.faults.append(f"console: {message.text}")

    def _request(self, request: Request) -> None:
        if not request.url.startswith((self.own, "data:", "blob:")):
            self.faults.append(f"request: {request.url}")

    def found(self) -> list[str]:
        """Every fault that the test did not expect."""
        return [one for one in self.faults if not any(text in one for text in self.expected)]
