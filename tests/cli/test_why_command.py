"""``leadfoot why``: the shares for a person, the published form, the picture, the exit codes."""

import json
from pathlib import Path

from tests.cli.conftest import Run
from tests.desk.test_why import table


def test_the_shares_for_a_person(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "lesson.csv"
    file.write_bytes(table(2.5))
    done = run("why", file)
    assert done.code == 0, done.err
    assert "came from club speed" in done.out
    assert "the whole change in the model" in done.out


def test_the_json_is_the_published_form(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "lesson.csv"
    file.write_bytes(table(2.5))
    form = json.loads(run("why", file, "--json").out)
    assert form["schema"] == "leadfoot.why/1"
    assert form["depth"] == "explained"


def test_the_picture_is_drawn(run: Run, tmp_path: Path) -> None:
    file, svg, png = tmp_path / "lesson.csv", tmp_path / "why.svg", tmp_path / "miss.png"
    file.write_bytes(table(2.5))
    assert run("why", file, "--plot", svg).code == 0
    assert b"Carry, shared out: club speed +" in svg.read_bytes()
    assert run("why", file, "--plot", png, "--outcome", "miss").code == 0
    assert png.read_bytes().startswith(b"\x89PNG")


def test_a_picture_that_cannot_be_written_is_said(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "lesson.csv"
    file.write_bytes(table(2.5))
    done = run("why", file, "--plot", tmp_path / "nowhere" / "why.svg")
    assert done.code == 3
    assert "can't be written" in done.err


def test_too_little_is_refused(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "lesson.csv"
    file.write_bytes(table(2.5, ("carry_m",)))
    done = run("why", file)
    assert done.code == 3
    assert "Neither club speed nor the ball's speed" in done.err
