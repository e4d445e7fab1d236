"""Numbers in a C3D file: three kinds of processor write them, and no read goes past the end."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError

Processor = Literal["intel", "dec", "mips"]
PROCESSORS: Mapping[int, Processor] = MappingProxyType({84: "intel", 85: "dec", 86: "mips"})
"""The standard's numbers for the processors that write C3D files."""

CUT_SHORT = "Copy or export the file again; this one is cut short or damaged."


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Words:
    """The bytes of a file, read in the order of its processor.

    Examples
    --------
    >>> words = Words(data=bytes([1, 0, 2, 0]), processor="intel")
    >>> words.integers(0, 2)
    array([1, 2])
    """

    data: bytes
    processor: Processor

    def slice(self, at: int, n_bytes: int) -> bytes:
        """Give some bytes.

        Raises
        ------
        InputError
            If they do not lie in the file.
        """
        if at < 0 or n_bytes < 0 or at + n_bytes > len(self.data):
            raise InputError(
                f"The C3D file ends at byte {len(self.data)}; it says that bytes {at} to "
                f"{at + n_bytes} hold more.",
                fix=CUT_SHORT,
            )
        return self.data[at : at + n_bytes]

    def integers(self, at: int, n: int, *, unsigned: bool = False) -> NDArray[np.int64]:
        """Read whole numbers of two bytes, shape (n,)."""
        order = ">" if self.processor == "mips" else "<"
        raw = np.frombuffer(self.slice(at, 2 * n), dtype=f"{order}{'u' if unsigned else 'i'}2")
        return raw.astype(np.int64)

    def floats(self, at: int, n: int) -> NDArray[np.float64]:
        """Read numbers of four bytes with a fraction, shape (n,)."""
        raw = self.slice(at, 4 * n)
        if self.processor == "dec":
            return _from_dec(np.frombuffer(raw, dtype="<u2"))
        with np.errstate(invalid="ignore"):  # a signalling NaN is a NaN like any other
            return np.frombuffer(raw, dtype="<f4" if self.processor == "intel" else ">f4").astype(
                np.float64
            )


def _from_dec(halves: NDArray[np.uint16]) -> NDArray[np.float64]:
    """Turn floats of a DEC processor into ours: the halves change places, and a quarter of it.

    The exponent of such a float is counted from 128 and its fraction from a half, so the bits
    read as an IEEE float are four times too large (the C3D User Guide, "Floating-point formats").
    """
    pairs = halves.reshape(-1, 2).astype(np.uint32)
    bits = (pairs[:, 0] << np.uint32(16)) | pairs[:, 1]
    with np.errstate(invalid="ignore"):
        values = bits.view(np.float32).astype(np.float64) / 4.0
    return np.where((bits >> np.uint32(23)) & np.uint32(0xFF) == 0, 0.0, values)
