"""Open recordings of force plates, fetched once, found by what they hold."""

import hashlib
import os
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[1]
KEPT = ROOT / ".leadfoot" / "recordings"
LIST = ROOT / "tests" / "outside" / "recordings.toml"


@cache
def recording(name: str) -> bytes:
    """Give the bytes of a recording of ``tests/outside/recordings.toml``."""
    wanted = str(tomllib.loads(LIST.read_text(encoding="utf-8"))[name]["sha256"])
    unpacked = KEPT / wanted
    if not unpacked.exists():
        unpack()
    data = unpacked.read_bytes()
    assert hashlib.sha256(data).hexdigest() == wanted
    return data


def unpack() -> None:
    """Fetch the packages where they are not there, and keep the recordings that are listed."""
    subprocess.run(
        ["sh", str(ROOT / "tools" / "fetch-recordings.sh"), sys.executable], check=True, timeout=300
    )
    wanted = {row["sha256"] for row in tomllib.loads(LIST.read_text(encoding="utf-8")).values()}
    for data in members():
        name = hashlib.sha256(data).hexdigest()
        if name in wanted:
            new = KEPT / f"{name}.{os.getpid()}"
            new.write_bytes(data)
            new.replace(KEPT / name)


def members() -> Iterator[bytes]:
    """Give every file of the fetched packages that may be a recording."""
    for wheel in KEPT.glob("*.whl"):
        with zipfile.ZipFile(wheel) as archive:
            names = [name for name in archive.namelist() if name.endswith((".c3d", ".txt", ".csv"))]
            for name in names:
                yield archive.read(name)
    for source in KEPT.glob("*.tar.gz"):
        with tarfile.open(source) as archive:
            for member in archive:
                found = archive.extractfile(member) if member.name.endswith(".txt") else None
                if found is not None:
                    yield found.read()
