"""Where compiled code is kept: folders of older states go, everything else stays."""

import os
import time
from pathlib import Path

import pytest

from leadfoot.kernels import cache

DAY_S = 86_400.0


def filled(place: Path, name: str, days_old: float) -> Path:
    folder = place / name
    folder.mkdir()
    (folder / "loop.kept").touch()
    when = time.time() - days_old * DAY_S
    os.utime(folder, (when, when))
    return folder


def test_folders_of_older_states_are_thrown_away(tmp_path: Path) -> None:
    kept = [filled(tmp_path, f"{k:016x}", days_old=2.0 + k) for k in range(cache.KEPT_FOLDERS)]
    old = [filled(tmp_path, f"{k:016x}", days_old=2.0 + k) for k in range(8, 11)]
    cache.prune(str(tmp_path))
    assert all((folder / "loop.kept").exists() for folder in kept)
    assert not any(folder.exists() for folder in old)


def test_a_folder_used_within_a_day_of_the_newest_stays(tmp_path: Path) -> None:
    fresh = [filled(tmp_path, f"{k:016x}", days_old=0.1) for k in range(6)]
    cache.prune(str(tmp_path))
    assert all(folder.exists() for folder in fresh)


def test_what_is_not_ours_stays(tmp_path: Path) -> None:
    others = [filled(tmp_path, name, days_old=900.0) for name in ("notes", "0" * 15, "g" * 16)]
    for k in range(5):
        filled(tmp_path, f"{k:016x}", days_old=2.0)
    linked = tmp_path / ("f" * 16)
    linked.symlink_to(others[0])
    cache.prune(str(tmp_path))
    assert all(folder.exists() for folder in others)
    assert linked.is_symlink()


def test_a_new_loop_prunes_beside_its_own_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    mine = filled(tmp_path, "a" * 16, days_old=0.0)
    old = [filled(tmp_path, f"{k:016x}", days_old=40.0 + k) for k in range(4)]
    monkeypatch.setattr(cache, "folder", lambda: str(mine))
    cache.note_kept("regression-calm")
    assert (mine / "regression-calm.kept").exists()
    assert [folder.exists() for folder in old] == [True, True, False, False]
