"""Damaged C3D files: thousands of them; none may crash, hang, or weigh wrong without a word."""

import random
import time
from collections import Counter
from dataclasses import dataclass, field
from functools import cache

import pytest

from leadfoot.errors import InputError
from leadfoot.ground.c3d import read_c3d
from leadfoot.ground.choices import Choices
from leadfoot.ground.quiet import quiet_stance
from leadfoot.ground.recording import Recording
from leadfoot.ground.weight_basis import basis_of
from tests.ground.c3d_files import MIPS, written
from tests.ground.damage import damaged
from tests.ground.people import swaying
from tests.recordings import recording

N_MUTATIONS = 3_000
N_PARTS = 6
FIRST_SEED = 4000
LONGEST_S = 2.0
"""Longest that one file may take, in processor time, so that a busy machine fails no test."""
WRONG = 0.02
"""Share of the weight by which it counts as wrong."""
TELLS = {
    *("no_stance", "not_still", "missing_weight", "weight", "scale", "other_weight"),
    *("cut_short", "samples_left", "unread_plate", "contradiction", "shared_channel"),
    *("gap", "spike", "leap", "offset", "tilt"),
    *("factor", "channel_offset", "general_scale", "matrix", "sensors"),
}
"""Remarks that say that the weight may be wrong, or that parts of the file are lost. The state
``unconfirmed``, which every file without a known weight has, is not among them."""


@cache
def originals() -> list[bytes]:
    made = [
        written([swaying(2)], n_points=2, per_frame=5),
        written([swaying(3)], is_float=False),
        written([swaying(1), swaying(4, seed=6)], processor=MIPS),
    ]
    return [*made, recording("jump_one_plate"), recording("drop_two_plates")]


def weight_n(read: Recording) -> float:
    quiet = quiet_stance(read.vertical_n, read.rate_hz)
    return 0.0 if quiet is None else quiet.weight_n


def told(read: Recording, before: Recording) -> set[str]:
    """What a reading says of the weight or of lost parts, and the undamaged file does not."""
    known = {(one.kind, one.plate) for one in before.remarks if one.weight != "note"}
    return {
        one.kind
        for one in read.remarks
        if one.kind in TELLS and one.weight != "note" and (one.kind, one.plate) not in known
    }


@dataclass
class Tally:
    """What became of the files."""

    n_read: int = 0
    n_wrong: int = 0
    flags: Counter[str] = field(default_factory=Counter)
    unflagged: list[str] = field(default_factory=list)


def tally(part: int, n: int, *, with_scale: bool) -> Tally:
    rng = random.Random(FIRST_SEED + part)  # noqa: S311
    whole = [(data, read_c3d(data)) for data in originals()]
    found = Tally()
    for _ in range(n):
        data, before = rng.choice(whole)
        hurt = damaged(data, rng)
        true_n = weight_n(before)
        started = time.process_time()
        try:
            read = read_c3d(hurt, Choices(scale_n=true_n if with_scale else None))
        except InputError:
            continue
        finally:
            assert time.process_time() - started < LONGEST_S
        found.n_read += 1
        if abs(weight_n(read) / true_n - 1.0) <= WRONG:
            continue
        found.n_wrong += 1
        flags = told(read, before)
        found.flags.update(flags)
        if not flags:
            assert not basis_of(weight_n(read), read.known_weight).is_known
            found.unflagged.append(f"{weight_n(read):.0f} N for {true_n:.0f} N")
    return found


@pytest.mark.parametrize("with_scale", [False, True])
@pytest.mark.parametrize("part", range(N_PARTS))
def test_damaged_files_never_crash_hang_or_weigh_wrong(part: int, with_scale: bool) -> None:
    found = tally(part, N_MUTATIONS // N_PARTS, with_scale=with_scale)
    assert found.n_read > 0.2 * N_MUTATIONS / N_PARTS
    assert found.n_wrong > 20
    assert found.unflagged == []


def test_the_files_themselves_have_none_of_these_flags() -> None:
    usual = {"offset", "noise"}
    for data in originals():
        kinds = {one.kind for one in read_c3d(data).remarks if one.weight != "note"}
        assert not kinds & (TELLS - usual)


if __name__ == "__main__":
    for scale in (False, True):
        sums = [tally(part, N_MUTATIONS // N_PARTS, with_scale=scale) for part in range(N_PARTS)]
        flags = sum((one.flags for one in sums), Counter[str]())
        print("with a scale" if scale else "without a scale")  # noqa: T201
        print("read", sum(one.n_read for one in sums), "wrong", sum(one.n_wrong for one in sums))  # noqa: T201
        print(flags.most_common())  # noqa: T201
        print("unconfirmed alone:", [line for one in sums for line in one.unflagged])  # noqa: T201
