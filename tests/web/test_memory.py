"""Memory that is free goes back to the machine, and where that cannot be done nothing happens."""

import ctypes
import sys
from collections.abc import Iterator

import pytest

from leadfoot.web import memory


@pytest.fixture(autouse=True)
def _looked_for_anew() -> Iterator[None]:
    memory._glibc.cache_clear()
    yield
    memory._glibc.cache_clear()


def _is_glibc() -> bool:
    return sys.platform.startswith("linux") and hasattr(ctypes.CDLL(None), "gnu_get_libc_version")


def test_memory_goes_back_where_the_c_library_can() -> None:
    assert memory.few_stocks() is _is_glibc()
    blocks = [bytearray(100_000) for _ in range(300)]
    del blocks[::2]
    assert memory.give_back() in {True, False}


def test_elsewhere_nothing_is_done(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "darwin")
    assert memory.few_stocks() is False
    assert memory.give_back() is False
