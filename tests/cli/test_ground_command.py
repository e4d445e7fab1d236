"""``leadfoot ground``: the published form, options, mappings, the exit codes."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Run
from tests.ground.c3d_files import written
from tests.ground.force_tables import stance, table
from tests.ground.people import swaying


@pytest.fixture
def jump(tmp_path: Path) -> Path:
    file = tmp_path / "push.c3d"
    file.write_bytes(written([swaying(2)], events=[("HIT ", 1.5)]))
    return file


def found(run: Run, *words: str | Path, code: int = 0) -> dict[str, Any]:
    done = run("ground", *words, "--json")
    assert done.code == code, done.err
    form = json.loads(done.out)
    assert isinstance(form, dict)
    return form


def test_the_json_is_the_published_form(run: Run, jump: Path) -> None:
    form = found(run, jump, "--target", "+y", "--weight", "900N")
    assert list(form) == [
        "schema",
        "source",
        "recording",
        "columns",
        "questions",
        "remarks",
        "problems",
        "swing",
        "no_swing",
    ]
    recording = form["recording"]
    assert list(recording) == [
        "rate",
        "samples",
        "start",
        "duration",
        "hand",
        "sees",
        "units",
        "sign",
        "frame",
        "threshold",
        "quiet_stance",
        "weight",
        "trigger",
        "marks",
        "plates",
    ]
    assert recording["rate"] == {"value": 1000.0, "unit": "Hz", "reason": "ANALOG:RATE"}
    assert recording["quiet_stance"]["weight"]["value"] == pytest.approx(900.0, abs=0.2)
    assert recording["marks"] == [{"label": "HIT", "time": {"value": 1.5, "unit": "s"}}]
    assert [remark["kind"] for remark in form["remarks"]] == ["second_reader"]


def test_options_reach_the_reading(run: Run, jump: Path) -> None:
    form = found(
        run, jump, "--handed", "left", "--target", "-x", "--feet", "lead", "--rate", "500",
        "--mat", "30mm", "--depth", "41mm", "--weight", "78kg", "--no-compare",
    )  # fmt: skip
    assert form["recording"]["frame"].startswith("target at -x, up at +z")
    assert form["recording"]["plates"][0]["foot"] == "lead"
    assert form["recording"]["rate"]["value"] == 500.0
    scale = next(remark for remark in form["remarks"] if remark["kind"] == "scale")
    assert scale["weight"] == "fault"
    assert "the scale 764.9 N" in scale["text"]


def test_a_person_reads_what_was_found(run: Run, jump: Path) -> None:
    done = run("ground", jump)
    assert done.code == 0
    text = " ".join(done.out.split())
    assert "3000 samples, 1000 a second (ANALOG:RATE); N, mm, N·mm" in text
    assert "weight 900.0 N (91.8 kg) in quiet stance from 0.00 s" in text
    assert "it rests on the file alone Is this weight about right? Until you say so" in text
    assert "--weight-about 91.8kg" in text
    sure = run("ground", jump, "--weight-about", "91.8kg")
    assert "it was confirmed as about right" in " ".join(sure.out.split())
    assert "doubt: Nothing tells where the target lies" in text
    assert "An independent program agrees on plate 1" in text


def test_bare_columns_are_asked_then_mapped(run: Run, tmp_path: Path) -> None:
    one = stance()
    file, mapping = tmp_path / "bare.csv", tmp_path / "mapping.json"
    file.write_bytes(table({name: one[name] for name in ("fz", "cx", "cy")}, header=False))
    form = found(run, file, "--save-mapping", mapping, code=4)
    assert form["recording"] is None
    assert len(form["questions"]) == 2
    saved = json.loads(mapping.read_text(encoding="utf-8"))
    for column, name in zip(saved["columns"], ("fz", "cx", "cy"), strict=True):
        column |= {"quantity": name, "plate": 1}
    mapping.write_text(json.dumps(saved), encoding="utf-8")
    form = found(run, file, "--mapping", mapping, "--rate", "1000")
    assert form["recording"]["sees"] == "vertical_and_cop"
    assert [column["reason"] for column in form["columns"]] == ["as confirmed"] * 3
    done = run("ground", file, "--mapping", mapping, "--rate", "1000")
    assert "column 1" in done.out


def test_bad_words_and_bad_files(run: Run, jump: Path, tmp_path: Path) -> None:
    def says(*words: str | Path) -> tuple[int, str]:
        done = run("ground", *words)
        assert done.out == ""
        return done.code, " ".join(done.err.replace("│", " ").split())

    assert says(jump, "--target", "north")[0] == 2
    assert says(jump, "--feet", "left")[0] == 2
    assert says(jump, "--mat", "30")[0] == 2
    code, text = says(jump, "--force-unit", "dyn")
    assert (code, "'dyn' is no unit of force" in text) == (3, True)
    broken = tmp_path / "broken.c3d"
    broken.write_bytes(jump.read_bytes()[:800])
    code, text = says(broken)
    assert code == 3
    assert text.startswith("leadfoot: The file is no C3D file") or "cut short" in text
