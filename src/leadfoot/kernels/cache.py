"""Where compiled code is kept, and which of it is there; known without loading the compiler.

Compiled code lies in the user's cache folder, in a folder of its own for every state of the source
of this package: the compiler's own check looks only at the file that a loop stands in, not at those
that it calls. A mark beside it says which loops are there.
"""

import hashlib
import os
import tempfile
from functools import lru_cache
from importlib import metadata, resources

import platformdirs


def source_key() -> str:
    """A short key of the source of this package and of the compiler; a new key, a new folder.

    Examples
    --------
    >>> len(source_key())
    16
    """
    digest = hashlib.sha256(f"{metadata.version('numba')} {metadata.version('llvmlite')}".encode())
    files = resources.files("leadfoot.kernels").iterdir()
    for file in sorted(files, key=lambda file: file.name):
        if file.name.endswith(".py"):
            digest.update(file.name.encode() + file.read_bytes())
    return digest.hexdigest()[:16]


@lru_cache(maxsize=1)
def folder() -> str | None:
    """Where compiled code is kept; None where nothing can be written, and nothing is kept then.

    `NUMBA_CACHE_DIR` chooses another place.
    """
    place = os.environ.get("NUMBA_CACHE_DIR")
    place = place or f"{platformdirs.user_cache_dir('leadfoot', appauthor=False)}/kernels"
    wanted = f"{place}/{source_key()}"
    try:
        os.makedirs(wanted, exist_ok=True)  # noqa: PTH103  # no pathlib on this floor
        with tempfile.TemporaryFile(dir=wanted):
            pass
    except OSError:
        return None
    return wanted


def is_kept(loop: str) -> bool:
    """Whether a loop was compiled before and its code lies in the folder."""
    place = folder()
    return place is not None and os.path.exists(f"{place}/{loop}.kept")  # noqa: PTH110


def note_kept(loop: str) -> None:
    """Mark a loop as compiled and kept."""
    place = folder()
    if place is not None:
        with open(f"{place}/{loop}.kept", "w", encoding="ascii"):  # noqa: PTH123
            pass
