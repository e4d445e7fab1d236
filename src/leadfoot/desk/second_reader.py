"""A second opinion on a C3D file: an independent program, in a process of its own, compared.

The program reads files and nothing else, and damaged ones may stop or hang it: so it gets a copy in
a folder of its own, a limit of time and of memory, and may fail without harm. It mirrors plates of
type 3 whose ORIGIN has a positive z; in its copy that sign is as the standard has it.
"""

import subprocess
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import LeadfootError
from leadfoot.ground.c3d import read_c3d, with_origins_as_the_standard_has_them
from leadfoot.ground.choices import FORCE_UNITS, LENGTH_UNITS, MOMENT_UNITS, Choices
from leadfoot.ground.recording import Plate, Recording, Remark

Values = NDArray[np.float64]

LONGEST_S = 20.0
"""How long the other program may take. [s]"""
_MEMORY_BYTES = 4 * 1024**3
_PLACE_M, _TWIST_NM, _FORCE_N = 1e-3, 0.1, 0.5
"""Differences that are told. [m], [N m], [N]"""
_BEARING_N = 100.0
_AGREES = (
    "An independent program agrees on {name}: place within {mm:.3f} mm, free moment within "
    "{nm:.4f} N m, vertical force within {n:.3f} N."
)
_DIFFERS = (
    "An independent program differs on {name}: place by {mm:.1f} mm, free moment by {nm:.1f} N m, "
    "vertical force by {n:.1f} N."
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Theirs:
    place: Values
    twist: Values
    force: Values


def second_opinion(data: bytes, recording: Recording) -> tuple[Remark, ...]:
    """Compare the plates of a C3D file with what an independent program makes of it.

    Parameters
    ----------
    data
        The whole file.
    recording
        What this program made of it.

    Returns
    -------
    tuple of Remark
        For each plate, how far both agree; or why they could not be compared.
    """
    try:
        theirs = _read_apart(with_origins_as_the_standard_has_them(data))
        ours = read_c3d(data, Choices(target="+y"))
    except _OtherFailedError as error:
        return (_not_compared(str(error)),)
    except LeadfootError:
        return (_not_compared("the target can't lie at +y of this laboratory"),)
    if "up at +z" not in ours.source.turned or len(theirs) != len(ours.plates):
        return (_not_compared("it has other plates, or another axis up"),)
    to_m = LENGTH_UNITS[recording.source.length_unit]
    to_nm = MOMENT_UNITS[recording.source.moment_unit] * ours.source.sign
    to_n = FORCE_UNITS[recording.source.force_unit] * ours.source.sign
    return tuple(
        _compared(
            plate,
            _Theirs(place=to_m * one.place, twist=to_nm * one.twist, force=to_n * one.force),
        )
        for plate, one in zip(ours.plates, theirs, strict=True)
    )


class _OtherFailedError(Exception):
    """The other program gave nothing."""


def _read_apart(data: bytes) -> list[_Theirs]:
    """Let the other program read a copy in a process of its own."""
    with tempfile.TemporaryDirectory(prefix="leadfoot-") as folder:
        file, answer = Path(folder) / "recording.c3d", Path(folder) / "answer.npz"
        file.write_bytes(data)
        words = [sys.executable, "-m", "leadfoot.desk.second_reader", str(file), str(answer)]
        try:
            done = subprocess.run(  # noqa: S603 - our own module and paths of our own
                words, capture_output=True, text=True, timeout=LONGEST_S, check=False
            )
        except subprocess.TimeoutExpired:
            raise _OtherFailedError(f"it did not answer in {LONGEST_S:g} s") from None
        if done.returncode != 0 or not answer.exists():
            said = done.stderr.strip().splitlines()
            raise _OtherFailedError(said[-1][:200] if said else "it stopped without a word")
        with np.load(answer) as arrays:
            names = ("place", "twist", "force")
            return [
                _Theirs(**{name: arrays[f"{name}{k}"] for name in names})
                for k in range(len(arrays.files) // len(names))
            ]


def _not_compared(why: str) -> Remark:
    return Remark(
        kind="second_reader",
        weight="note",
        text=f"The file was not compared with an independent program: {why}.",
        fix="Nothing, if the weight and the centre of pressure are right.",
    )


def _compared(plate: Plate, theirs: _Theirs) -> Remark:
    n = min(len(plate.cop_m), theirs.place.shape[1])
    known = (plate.vertical_n[:n] > _BEARING_N) & np.isfinite(plate.cop_m[:n, 0])
    if not known.any():
        return replace(_not_compared(f"nobody stood on {plate.name}"), plate=plate.name)
    place = np.abs(plate.cop_m[:n].T - theirs.place[:2, :n])[:, known]
    twist = np.abs(plate.free_moment_nm[:n] - theirs.twist[2, :n])[known]
    force = np.abs(plate.vertical_n[:n] - theirs.force[2, :n])[known]
    off_m, off_nm, off_n = (float(np.nanmax(values)) for values in (place, twist, force))
    agrees = off_m <= _PLACE_M and off_nm <= _TWIST_NM and off_n <= _FORCE_N
    said = _AGREES if agrees else _DIFFERS
    text = said.format(name=plate.name, mm=1000.0 * off_m, nm=off_nm, n=off_n)
    return Remark(
        kind="second_reader",
        weight="note" if agrees else "doubt",
        plate=plate.name,
        text=text,
        fix="Nothing." if agrees else "Compare the centre of pressure with where the feet stood.",
    )


def _answer(words: Sequence[str]) -> None:
    """Do the other program's part: read a file, write places and moments."""
    _limit_memory()
    import ezc3d  # noqa: PLC0415 - it belongs to this process alone

    read = ezc3d.c3d(words[0], extract_forceplat_data=True)
    platforms = read["data"]["platform"]
    arrays = {f"place{k}": one["center_of_pressure"] for k, one in enumerate(platforms)}
    arrays |= {f"twist{k}": one["Tz"] for k, one in enumerate(platforms)}
    arrays |= {f"force{k}": one["force"] for k, one in enumerate(platforms)}
    np.savez(words[1], **arrays)


def _limit_memory() -> None:
    """Bound the memory where the system can."""
    try:
        import resource  # noqa: PLC0415 - not on every system
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_AS, (_MEMORY_BYTES, _MEMORY_BYTES))


if __name__ == "__main__":
    _answer(sys.argv[1:])
