"""``leadfoot find``: the findings for a person, the published form, the picture, the exit codes."""

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.desk.test_finding import off, table_of


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "baseline.csv"
    path.write_bytes(table_of(off(6.0)))
    return path


def test_the_findings_for_a_person(run: Run, file: Path) -> None:
    done = run("find", file)
    assert done.code == 0, done.err
    assert "Face open or closed on average" in done.out
    assert "Refutes it:" in done.out
    assert "Look at the net" in done.out
    assert "medical licence" in done.out


def test_outdoors_the_net_is_not_spoken_of(run: Run, file: Path) -> None:
    assert "Look at the net" not in run("find", file, "--outdoors").out


def test_the_json_is_the_published_form(run: Run, file: Path) -> None:
    form = json.loads(run("find", file, "--json", "--goal", "120mph").out)
    assert form["schema"] == "leadfoot.find/1"
    assert {"speed_short", "face_off"} <= {one["finding"] for one in form["findings"]}


def test_rows_say_which_balls_were_hit_as_usual(run: Run, file: Path) -> None:
    assert json.loads(run("find", file, "--json", "--rows", "2-11").out)["n_balls"] == 10


def test_the_picture_is_drawn(run: Run, file: Path, tmp_path: Path) -> None:
    svg, png = tmp_path / "find.svg", tmp_path / "find.png"
    assert run("find", file, "--plot", svg).code == 0
    assert b"Face open or closed on average" in svg.read_bytes()
    assert run("find", file, "--plot", png).code == 0
    assert png.read_bytes().startswith(b"\x89PNG")
    done = run("find", file, "--plot", tmp_path / "nowhere" / "find.svg")
    assert done.code == 3
    assert "can't be written" in done.err


def test_own_drills_are_checked_field_by_field(run: Run, file: Path, tmp_path: Path) -> None:
    own = tmp_path / "own.toml"
    own.write_text('[mine]\nname = "My post"\n', encoding="utf-8")
    done = run("find", file, "--drills", own)
    assert done.code == 3
    assert "The drill 'mine' has no kind." in done.err


def test_too_few_balls_are_refused(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "few.csv"
    file.write_bytes(table_of(off(0.0), 4))
    done = run("find", file)
    assert done.code == 3
    assert "There are 4 balls" in done.err
    assert "12 to 20" in done.err
