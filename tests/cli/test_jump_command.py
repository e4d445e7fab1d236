"""``leadfoot jump`` and the swing in ``leadfoot ground``: forms, pictures, refusals."""

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from leadfoot.ground.made_jump import MadeJump
from leadfoot.ground.made_swing import usual_swing
from tests.cli.conftest import Run
from tests.ground.synthetic import jump_table, swing_c3d


@pytest.fixture
def jumped(tmp_path: Path) -> Path:
    force_n = MadeJump().force_n(1000.0, rng=np.random.default_rng(2), noise_n=1.5)
    file = tmp_path / "jump.csv"
    file.write_bytes(jump_table(force_n, 1000.0))
    return file


@pytest.fixture
def swung(tmp_path: Path) -> Path:
    file = tmp_path / "swing.c3d"
    file.write_bytes(swing_c3d(usual_swing(), 500.0))
    return file


FEET = ("--feet", "lead,trail", "--target", "+y", "--no-compare")


def found(run: Run, *words: str | Path) -> dict[str, Any]:
    done = run(*[str(word) for word in words], "--json")
    assert done.code == 0, done.err
    form = json.loads(done.out)
    assert isinstance(form, dict)
    return form


def test_the_jump_s_json_is_the_published_form(run: Run, jumped: Path) -> None:
    form = found(run, "jump", jumped)
    assert list(form) == [
        "schema", "method", "weight", "phases", "numbers", "feet", "remarks", "cautions",
        "stop_rules",
    ]  # fmt: skip
    assert form["schema"] == "leadfoot.jump/1"
    height = form["numbers"]["height"]
    assert height["value"] == pytest.approx(MadeJump().height_m, abs=0.009)
    assert height["kind"] == "measured"
    assert 0.0 < height["doubt"] < 0.01
    assert form["method"]["threshold_n"] == 20.0
    assert form["method"]["filter"] == "none: raw force"


def test_a_person_reads_the_height_its_method_and_the_questions(run: Run, jumped: Path) -> None:
    done = run("jump", str(jumped))
    assert done.code == 0
    assert "by impulse" in done.out
    assert "measured: countermovement jump" in done.out
    assert "Does anything hurt today" in done.out
    assert "Stop at any pain." in done.out


def test_the_scale_refuses_a_wrong_weight(run: Run, jumped: Path) -> None:
    done = run("jump", str(jumped), "--weight", "100kg")
    assert (done.code, done.out) == (3, "")
    assert "within 3 % of the entered 981 N" in done.err


def test_a_picture_of_the_jump(run: Run, jumped: Path, tmp_path: Path) -> None:
    assert run("jump", str(jumped), "--plot", str(tmp_path / "jump.svg")).code == 0
    drawn = (tmp_path / "jump.svg").read_text(encoding="utf-8")
    assert "unweighting" in drawn
    assert "Vertical force of a jump" in drawn


def test_ground_gives_the_swing_with_its_strike_by_the_trigger(run: Run, swung: Path) -> None:
    swing = found(run, "ground", swung, *FEET, "--stature", "1.75m", "--weight", "69.3kg")["swing"]
    assert swing["device"] == "force plates"
    assert swing["impact"]["source"] == "trigger channel"
    lead = swing["numbers"]["lead_peak_share"]
    assert lead["value"] == pytest.approx(74.1, abs=1.0)
    assert lead["unit"] == "%"
    assert swing["weight"]["rests_on"] == "scale"
    assert swing["methods"][lead["method"]]["filter"].startswith("50 Hz low-pass")
    assert swing["numbers"]["frontal_moment"]["doubt"] > 1.0
    assert swing["travel"]["said"].endswith("neither is a fault.")


def test_the_strike_can_be_set_by_hand(run: Run, swung: Path) -> None:
    swing = found(run, "ground", swung, *FEET, "--strike", "3.0")["swing"]
    assert swing["impact"] == {"time_s": 3.0, "source": "set by hand", "doubt_s": 0.01}
    done = run("ground", str(swung), *FEET, "--strike", "30")
    assert done.code == 3
    assert "does not lie in the recording" in done.err


def test_a_recording_without_a_swing_says_why(run: Run, jumped: Path) -> None:
    form = found(run, "ground", jumped)
    assert form["swing"] is None or form["no_swing"] is None
    done = run("ground", str(jumped))
    assert done.code == 0


def test_a_picture_of_the_swing(run: Run, swung: Path, tmp_path: Path) -> None:
    drawing = ("--plot", str(tmp_path / "swing.svg"))
    done = run("ground", str(swung), *FEET, *drawing, "--weight-about", "69.3kg")
    assert done.code == 0
    assert "both feet, peak" in done.out
    drawn = (tmp_path / "swing.svg").read_text(encoding="utf-8")
    assert "vertical force, % of weight" in drawn
    assert "lead foot reaches 74 %" in drawn
    blocked = run("ground", str(swung), *FEET, "--plot", str(tmp_path / "no" / "swing.svg"))
    assert "can't be written" in blocked.err
