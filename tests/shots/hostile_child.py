"""Reads a file with little memory to spare, and says what came of it: ``hostile_child.py FILE``.

The limit is set on the address space (RLIMIT_AS) once everything is loaded, so that whoever wants
more than the bound fails here and not on the machine of a coach.
"""

import json
import resource
import sys
from pathlib import Path

from leadfoot.errors import InputError
from leadfoot.shots.read import read_table

SPARE_BYTES = 900 * 2**20
"""What a table may take beside the program and the file itself."""


def peak_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0


def main() -> None:
    read_table(b"Carry (yd),Spin (rpm)\n200,2500\n")
    data = Path(sys.argv[1]).read_bytes()
    before = peak_mb()
    taken = int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
    resource.setrlimit(resource.RLIMIT_AS, (taken + SPARE_BYTES,) * 2)
    try:
        read_table(data)
        told = "read"
    except InputError as error:
        told = str(error)
    sys.stdout.write(json.dumps({"told": told, "mb": peak_mb() - before}))


if __name__ == "__main__":
    main()
