"""A nursery for programs that are killed, books of either kind, and the page of what came of it."""

import random
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.faults.page import Row, write
from tests.faults.studio import Nursery, Studio, studio_on

if TYPE_CHECKING:
    from tests.postgres import Server

_ROWS = pytest.StashKey[list[Row]]()


@pytest.fixture
def is_long(request: pytest.FixtureRequest) -> bool:
    """Whether the long version was asked for."""
    return bool(request.config.getoption("--faults"))


@pytest.fixture
def rng() -> random.Random:
    return random.Random(20260401)  # noqa: S311  (no secret)


@pytest.fixture
def told(request: pytest.FixtureRequest) -> Callable[[Row], None]:
    """Note a line for the page."""
    return request.config.stash.setdefault(_ROWS, []).append


@pytest.fixture(scope="session")
def nursery() -> Iterator[Nursery]:
    nursery = Nursery()
    yield nursery
    nursery.close()


@pytest.fixture
def file_studio(nursery: Nursery, tmp_path: Path) -> Callable[..., AbstractContextManager[Studio]]:
    """A studio on a book in a file."""
    return partial(studio_on, nursery, str(tmp_path / "lessons.book"), tmp_path)


@pytest.fixture
def server_studio(
    nursery: Nursery, tmp_path: Path, postgres: "Server"
) -> Callable[..., AbstractContextManager[Studio]]:
    """A studio on a book on a server."""
    return partial(studio_on, nursery, postgres.new_book(), tmp_path)


@pytest.fixture(params=["a file", "a server"])
def any_studio(
    request: pytest.FixtureRequest,
) -> tuple[str, Callable[..., AbstractContextManager[Studio]]]:
    """A studio on either kind of book, and how that is called."""
    name = "file_studio" if request.param == "a file" else "server_studio"
    return request.param, request.getfixturevalue(name)


def pytest_sessionfinish(session: pytest.Session, exitstatus: int) -> None:
    """After the long version, all of it passed, write the page."""
    rows = session.config.stash.get(_ROWS, [])
    if rows and exitstatus == 0 and session.config.getoption("--faults"):
        write(rows)
