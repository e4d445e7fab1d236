"""The parameters of a C3D file, by group and name, each read with its limits checked."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError
from leadfoot.ground.c3d_words import CUT_SHORT, PROCESSORS, Words

BLOCK_BYTES = 512
_KEY = 80
_BYTES = {-1: 1, 1: 1, 2: 2, 4: 4}
_MOST_RECORDS = 20_000
"""More parameters than any file has; a damaged file may lead in circles. Our own choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Parameter:
    """One parameter: numbers, or words.

    Attributes
    ----------
    shape
        Its dimensions in the file, the first runs fastest; words have theirs without the length.
    numbers
        Shape (n,), in the order of the file; empty for words.
    words
        The texts, without the blanks at their ends; empty for numbers.
    floats_at
        Byte of the file at which the numbers stand, where they have fractions; else None.
    """

    shape: tuple[int, ...]
    numbers: NDArray[np.float64]
    words: tuple[str, ...] = ()
    floats_at: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameters:
    """All parameters, by ``GROUP`` and ``NAME``.

    Examples
    --------
    >>> rate = Parameter(shape=(), numbers=np.array([1000.0]))
    >>> Parameters(by_name={("ANALOG", "RATE"): rate}, words=None).number("ANALOG", "RATE", 0.0)
    1000.0
    """

    by_name: Mapping[tuple[str, str], Parameter]
    words: Words | None
    ends_at: int = 0
    """Byte of the file at which the last parameter ends; 0 where not known."""
    counted_to: int = 0
    """Byte up to which the file counts blocks of parameters; 0 where it counts none."""

    def number(self, group: str, name: str, otherwise: float) -> float:
        """Give the first number of a parameter; what is given where there is none."""
        found = self.by_name.get((group, name))
        return float(found.numbers[0]) if found is not None and found.numbers.size else otherwise

    def count(self, group: str, name: str, otherwise: int = 0) -> int:
        """Give a whole number that counts: the file may hold it as negative when above 32767."""
        value = self.number(group, name, otherwise)
        if not math.isfinite(value):
            return otherwise
        return int(value) + (65_536 if -32_768 <= value < 0 else 0)

    def numbers(self, group: str, name: str) -> NDArray[np.float64]:
        """Give all numbers of a parameter, shape (n,); empty where there is none."""
        found = self.by_name.get((group, name))
        return np.zeros(0) if found is None else found.numbers

    def texts(self, group: str, name: str) -> tuple[str, ...]:
        """Give all words of a parameter; those of NAME2, NAME3 follow, as long lists need them."""
        found: list[str] = []
        for number in range(1, 100):
            more = self.by_name.get((group, name if number == 1 else f"{name}{number}"))
            if more is None:
                break
            found += more.words
        return tuple(found)

    def text(self, group: str, name: str) -> str:
        """Give the first word of a parameter, or nothing."""
        return next(iter(self.texts(group, name)), "")


def read_parameters(data: bytes) -> Parameters:
    """Read the parameters of a C3D file.

    Raises
    ------
    InputError
        If it is no C3D file, or its parameters lead out of the file.
    """
    if len(data) < 2 * BLOCK_BYTES or data[1] != _KEY:
        raise InputError(
            "The file is no C3D file: it does not begin as one.",
            fix="Export the recording as C3D, or as a table in CSV or XLSX.",
        )
    start = (data[0] - 1) * BLOCK_BYTES
    if not BLOCK_BYTES <= start <= len(data) - 4:
        raise InputError(
            f"The C3D file says that its parameters begin in block {data[0]}; it has "
            f"{len(data) // BLOCK_BYTES} blocks.",
            fix=CUT_SHORT,
        )
    processor = PROCESSORS.get(data[start + 3])
    if processor is None:
        raise InputError(
            f"The C3D file was written by a processor with the number {data[start + 3]}; 84, 85 "
            "and 86 are known.",
            fix=CUT_SHORT,
        )
    words = Words(data=data, processor=processor)
    found, end = _records(words, start + 4)
    n_blocks = data[start + 2]
    return Parameters(
        by_name=MappingProxyType(found),
        words=words,
        ends_at=end,
        counted_to=start + n_blocks * BLOCK_BYTES if n_blocks else 0,
    )


def _records(words: Words, at: int) -> tuple[dict[tuple[str, str], Parameter], int]:
    """Go from record to record: a group gives a number its name, a parameter names its group."""
    groups: dict[int, str] = {}
    found: list[tuple[int, str, Parameter]] = []
    for _ in range(_MOST_RECORDS):
        n_letters, group = np.frombuffer(words.slice(at, 2), dtype=np.int8).astype(int)
        if n_letters == 0 or group == 0:
            break
        n_letters = abs(n_letters)
        name = _text(words.slice(at + 2, n_letters)).upper()
        step = int(words.integers(at + 2 + n_letters, 1, unsigned=True)[0])
        if group < 0:
            groups.setdefault(-group, name)
        else:
            found.append((group, name, _parameter(words, at + 4 + n_letters)))
        if step == 0:
            break
        at += 2 + n_letters + step
    else:
        raise InputError("The parameters of the C3D file have no end.", fix=CUT_SHORT)
    return {(groups.get(group, ""), name): parameter for group, name, parameter in found}, at


def _parameter(words: Words, at: int) -> Parameter:
    kind = int(np.frombuffer(words.slice(at, 1), dtype=np.int8)[0])
    n_dimensions = words.slice(at + 1, 1)[0]
    shape = tuple(words.slice(at + 2, n_dimensions))
    if kind not in _BYTES or n_dimensions > 7:
        raise InputError(
            f"A parameter of the C3D file has the type {kind} and {n_dimensions} dimensions; the "
            "standard knows -1, 1, 2, 4 and up to 7.",
            fix=CUT_SHORT,
        )
    n = math.prod(shape)
    at += 2 + n_dimensions
    raw = words.slice(at, n * _BYTES[kind])
    if kind == -1:
        return Parameter(shape=shape[1:], numbers=np.zeros(0), words=_texts(raw, shape))
    if kind == 1:
        return Parameter(shape=shape, numbers=np.frombuffer(raw, dtype=np.int8).astype(np.float64))
    if kind == 2:
        return Parameter(shape=shape, numbers=words.integers(at, n).astype(np.float64))
    return Parameter(shape=shape, numbers=words.floats(at, n), floats_at=at)


def _texts(raw: bytes, shape: tuple[int, ...]) -> tuple[str, ...]:
    length = shape[0] if shape else 1
    if length == 0:
        return ()
    return tuple(_text(raw[at : at + length]) for at in range(0, len(raw), length))


def _text(raw: bytes) -> str:
    return raw.decode("utf-8", errors="replace").strip("\x00 ")
