"""Tables that a stranger made to exhaust the machine: refused with a clear word, in bounded memory.

Each is read in a process of its own under a limit on its memory (`hostile_child.py`); what it took
is measured there.
"""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from leadfoot.cli.files import bytes_of
from leadfoot.errors import InputError
from leadfoot.shots.read import read_table
from tests.shots import bombs

CHILD = Path(__file__).with_name("hostile_child.py")
WIDE = (
    "The workbook spans too many cells. "
    "Delete what stands far from the table, or save the table as CSV."
)
LARGE = (
    "The workbook unpacks to more than 192 MB. "
    "Save the one sheet with the table as a file of its own, or as CSV."
)
DAMAGED = (
    "The workbook can't be opened: it is damaged or of an unknown kind. "
    "Save it again as XLSX or CSV and give that file."
)
MB = 2**20


def many(n_there: int, what: str, most: int) -> str:
    return (
        f"The table has {n_there} {what} or more; the program reads up to {most}. "
        "Split the table and read the parts."
    )


CASES: dict[str, tuple[Callable[[], bytes], str, float]] = {
    # file, what is told, most memory beside the file itself [MB]
    "a sheet of blanks": (lambda: bombs.packed_to_nothing(400 * MB), LARGE, 400),
    "a size that is a lie": (lambda: bombs.lying_size(400 * MB), "", 100),
    "cells without a place": (lambda: bombs.many_cells(8_000_000), WIDE, 400),
    "a far corner": (lambda: bombs.far_corner(b"'"), WIDE, 50),
    "a far corner in other quotes": (lambda: bombs.far_corner(b'"'), WIDE, 50),
    "one text a thousand times": (
        lambda: bombs.long_text_often(200_000, 20_000),
        "The workbook repeats long texts too often. "
        "Delete what is no part of the table, or save the table as CSV.",
        100,
    ),
    "a cell said to be everywhere": (lambda: bombs.repeated(1_000_000, 16_384), WIDE, 50),
    "one line of commas": (
        lambda: b"Carry,Spin\n" + b"," * (19 * MB),
        many(19 * MB + 3, "cells", 5_000_000),
        300,
    ),
    "a line of twenty thousand columns": (
        lambda: b"Carry,Spin\n" + b"1," * 20_000,
        many(20_000, "columns", 16_384),
        50,
    ),
    "millions of lines": (
        lambda: b"Carry,Spin\n" + b"1,2\n" * (4 * MB),
        many(4 * MB + 1, "rows", 500_000),
        300,
    ),
    "a quote that never ends": (
        lambda: b'Carry,Spin\n"' + b"a\n" * (9 * MB),
        many(9 * MB + 1, "rows", 500_000),
        300,
    ),
}


@pytest.mark.parametrize("name", list(CASES))
def test_it_is_refused_in_bounded_memory(name: str, tmp_path: Path) -> None:
    make, expected, most_mb = CASES[name]
    file = tmp_path / "hostile"
    file.write_bytes(make())
    done = subprocess.run(
        [sys.executable, str(CHILD), str(file)],
        capture_output=True,
        text=True,
        check=True,
        timeout=300,
        env={**os.environ, "OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"},
    )
    told = json.loads(done.stdout)
    assert told["told"] in ({expected} if expected else {DAMAGED, LARGE, NO_CELLS})
    assert told["mb"] < most_mb, told


NO_CELLS = "The workbook has no cells. Save the table again."


def test_one_long_line_is_no_harm(tmp_path: Path) -> None:
    """As long as a file may be, and nothing but one cell."""
    with pytest.raises(InputError, match="header"):
        read_table(b"Carry" + b"1" * (60 * MB))


def test_a_file_of_a_gigabyte_is_refused_before_it_is_read(tmp_path: Path) -> None:
    file = tmp_path / "line.csv"
    with file.open("wb") as out:
        out.truncate(2**30)  # one line of a gigabyte, which takes no place on the disk
    with pytest.raises(InputError) as caught:
        bytes_of(file)
    assert str(caught.value) == (
        "The file has 1024.0 MB; the program reads up to 64 MB. Split the table and read the parts."
    )


def test_a_large_honest_table_is_read() -> None:
    """A hundred thousand balls: many years of a studio in one file."""
    names = b"Club Speed (mph),Carry (yd),Offline (yd),Launch Angle (deg),Spin Rate (rpm)"
    reading = read_table(names + b"\n" + b"95,210,-4.5,12.5,2600\n" * 100_000)
    assert len(reading.shots) == 100_000
