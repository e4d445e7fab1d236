"""Runs the command line as a person would, without starting a process each time."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from leadfoot.cli.main import main


@dataclass(frozen=True)
class Done:
    code: int
    out: str
    err: str


Run = Callable[..., Done]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Callable[..., Done]:
    def _run(*words: str | Path) -> Done:
        monkeypatch.setattr("sys.argv", ["leadfoot", *map(str, words)])
        with pytest.raises(SystemExit) as stop:
            main()
        shown = capsys.readouterr()
        code = stop.value.code
        return Done(code if isinstance(code, int) else 0, shown.out, shown.err)

    return _run
