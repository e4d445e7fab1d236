"""``leadfoot read``: what is understood of a table, in the published form."""

import json
from pathlib import Path

from tests.cli.conftest import Run

SMALL = """Lesson of a student that never was

block,club,club speed [mph],carry (yd),offline,note
before,Driver,92.1,205,4 R,
before,Driver,92.8,x17,2 L,
with,Driver,95.9,219,1 R,good
average,,93.6,212,,
"""


def read(run: Run, path: Path, *words: str | Path, code: int) -> dict[str, object]:
    done = run("read", path, "--json", *words)
    assert done.code == code, done.err
    form = json.loads(done.out)
    assert isinstance(form, dict)
    return form


def test_the_json_is_the_published_form(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "small.csv"
    path.write_text(SMALL, encoding="utf-8")
    form = read(run, path, code=4)
    assert list(form) == ["schema", "columns", "blocks", "shots", "problems"]
    assert form["schema"] == "leadfoot.read/1"
    columns = form["columns"]
    assert isinstance(columns, list)
    assert [set(column) for column in columns] == [
        {"header", "quantity", "unit", "reason", "sure"}
    ] * 6
    assert [column["quantity"] for column in columns][2:5] == ["club_speed", "carry", "offline"]
    assert form["blocks"] == [
        {"label": "before", "first_row": 4, "last_row": 5, "n_shots": 2},
        {"label": "with", "first_row": 6, "last_row": 6, "n_shots": 1},
    ]
    shots = form["shots"]
    assert isinstance(shots, list)
    assert shots[1] == {
        "row": 5,
        "block": "before",
        "club": "Driver",
        "values": {
            "club_speed": {"value": 92.8, "unit": "mph"},
            "offline": {"value": -2.0, "unit": "yd"},
        },
    }
    problems = form["problems"]
    assert isinstance(problems, list)
    assert [(p["row"], p["text"]) for p in problems if p["row"] is not None] == [(5, "x17")]


def test_a_mapping_is_taken_instead_of_the_guess(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "small.csv"
    path.write_text(SMALL.replace("x17", "209"), encoding="utf-8")
    from leadfoot.shots.read import read_table

    understood = read_table(path.read_bytes(), name="small.csv").mapping().to_json()
    mapping = tmp_path / "mapping.json"
    mapping.write_text(understood.replace('"mph"', '"km/h"'), encoding="utf-8")
    form = read(run, path, "--mapping", mapping, code=0)
    shots = form["shots"]
    assert isinstance(shots, list)
    assert shots[0]["values"]["club_speed"] == {"value": 92.1, "unit": "km/h"}


def test_a_mapping_that_is_none_is_refused(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "small.csv"
    path.write_text(SMALL, encoding="utf-8")
    mapping = tmp_path / "mapping.json"
    mapping.write_text("[not json", encoding="utf-8")
    done = run("read", path, "--mapping", mapping)
    assert (done.code, done.out) == (3, "")
    assert done.err.count("\n") == 1


def test_a_person_reads_columns_blocks_and_problems(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "small.csv"
    path.write_text(SMALL, encoding="utf-8")
    done = run("read", path)
    assert done.code == 4
    assert "club_speed" in done.out
    assert "3 shots" in done.out
    assert "row 5" in done.out
