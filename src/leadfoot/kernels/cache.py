"""Where compiled code is kept, and which of it is there; known without loading the compiler.

Compiled code lies in the user's cache folder, in a folder of its own for every state of the source
of this package: the compiler's own check looks only at the file that a loop stands in, not at those
that it calls. A mark beside it says which loops are there. Folders of older states are thrown away
when a new one fills.
"""

import hashlib
import os
import re
import shutil
import tempfile
from functools import lru_cache
from importlib import metadata, resources

import platformdirs

KEPT_FOLDERS = 3
"""So many folders stay, those used last: a laptop may hold more than one version of the package."""

IN_USE_S = 86_400.0
"""A folder used within a day of the newest stays in any case: a running program may still write to
it. [s]"""


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
        os.utime(wanted)
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
        prune(os.path.dirname(place))  # noqa: PTH120


def prune(place: str) -> None:
    """Throw away the folders of older states; what cannot be removed stays, other files too.

    Parameters
    ----------
    place
        Where the folders of all states lie.
    """
    with os.scandir(place) as entries:
        folders = [
            (entry.stat().st_mtime, entry.path)
            for entry in entries
            if re.fullmatch("[0-9a-f]{16}", entry.name) and entry.is_dir(follow_symlinks=False)
        ]
    folders.sort(reverse=True)
    for used, path in folders[KEPT_FOLDERS:]:
        if used < folders[0][0] - IN_USE_S:
            shutil.rmtree(path, ignore_errors=True)
