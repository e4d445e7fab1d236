"""``leadfoot swing``: the published form, force tables, cautions, the exit codes."""

import json
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from leadfoot.cli.ground import recording_of
from leadfoot.physics.lift import Lift
from leadfoot.physics.push import CAUTIONS
from leadfoot.physics.swing import GRAVITY_MPS2
from tests.cli.conftest import Run

PLAIN = ("--club-speed", "95mph", "--club", "driver", "--golfers", "8")


def worked_out(run: Run, *words: str | Path) -> dict[str, Any]:
    done = run("swing", *words, "--json")
    assert done.code == 0, done.err
    form = json.loads(done.out)
    assert isinstance(form, dict)
    return form


@pytest.fixture
def force(tmp_path: Path) -> Path:
    """The force of a lift of 6 cm before a strike at 1.9 s, at 80 kg."""
    hub = Lift(height_m=0.06).hub(1.9, math.pi / 2.0)
    rows = [
        f"{time_s:.3f},{80.0 * (GRAVITY_MPS2 + hub.at(float(time_s)).up_mps2):.3f}"
        for time_s in np.arange(0.0, 2.3, 0.002)
    ]
    file = tmp_path / "force.csv"
    file.write_text("\n".join(["time s,vertical force N", *rows]), encoding="utf-8")
    return file


def test_the_json_is_the_published_form(run: Run) -> None:
    form = worked_out(run, *PLAIN)
    assert list(form) == [
        "schema",
        "compared",
        "club_speed_with",
        "club_speed_without",
        "gain",
        "gain_low",
        "gain_high",
        "lift",
        "lift_time",
        "lift_lead",
        "greatest_force",
        "downswing",
        "shoulder_torque",
        "work_of_shoulders",
        "work_of_wrists",
        "work_of_hub",
        "work_of_weight",
        "energy_of_arms_and_club",
        "golfers",
        "sensitivity",
        "where_the_energy_goes",
        "model",
        "estimate",
        "flags",
        "cautions",
    ]
    assert form["schema"] == "leadfoot.swing/1"
    assert form["club_speed_without"] == {"value": 95.0, "unit": "mph"}
    assert form["gain_low"]["value"] < form["gain"]["value"] < form["gain_high"]["value"]
    assert form["estimate"] == ("A model's estimate, not a promise: measure it with this student.")
    assert form["cautions"] == list(CAUTIONS)
    assert form["flags"] == ["lift assumed: 6 cm"]
    assert len(form["sensitivity"]) == 20
    assert set(form["sensitivity"][0]) == {"lift", "greatest_force", "lead", "gain"}


def test_the_energy_of_the_form_adds_up(run: Run) -> None:
    form = worked_out(run, *PLAIN, "--lift", "2in")
    work = sum(
        form[f"work_of_{what}"]["value"] for what in ("shoulders", "wrists", "hub", "weight")
    )
    assert work == pytest.approx(form["energy_of_arms_and_club"]["value"], abs=0.01)
    assert form["lift"] == {"value": 5.08, "unit": "cm"}


def test_the_form_says_where_the_energy_of_the_whole_body_goes(run: Run) -> None:
    energy = worked_out(run, *PLAIN)["where_the_energy_goes"]
    value = {name: number["value"] for name, number in energy.items()}
    worked = sum(
        value[f"work_{where}"]
        for where in ("below_the_shoulders", "of_the_shoulders", "of_the_wrists")
    )
    there = sum(number for name, number in value.items() if name.startswith("in_"))
    assert worked == pytest.approx(value["work_of_all_muscles"], abs=0.03)
    assert there + value["braked"] - value["work_of_falling_arms_and_club"] == pytest.approx(
        worked, abs=0.05
    )
    assert value["share_in_the_club"] == pytest.approx(
        100.0 * value["in_the_club"] / value["work_of_all_muscles"], abs=0.02
    )
    assert all(one["low"] <= one["value"] <= one["high"] for one in energy.values())
    assert {one["unit"] for one in energy.values()} == {"J", "%"}


def test_metric_says_the_same_and_the_seed_decides(run: Run) -> None:
    miles = worked_out(run, *PLAIN)
    metric = worked_out(run, "--club-speed", "42.4688m/s", *PLAIN[2:])
    assert metric["gain"]["unit"] == "m/s"
    assert metric["gain"]["value"] == pytest.approx(miles["gain"]["value"] * 0.44704, abs=1e-3)
    assert worked_out(run, *PLAIN) == miles
    assert worked_out(run, *PLAIN, "--seed", "2")["gain_low"] != miles["gain_low"]


def test_a_force_gives_what_its_lift_gives(run: Run, force: Path) -> None:
    words = (*PLAIN, "--force", force, "--strike-at", "1.9s")
    form = worked_out(run, *words)
    assert form["club_speed_with"]["value"] == pytest.approx(95.0, abs=0.01)
    assert form["gain"]["value"] == pytest.approx(
        worked_out(run, *PLAIN)["gain"]["value"], abs=0.15
    )
    assert form["weight"]["value"] == pytest.approx(784.5, abs=0.1)
    assert form["greatest_force"]["value"] == pytest.approx(161.3, abs=0.5)
    assert form["rise_at_end"]["value"] == pytest.approx(5.9, abs=0.2)
    assert "sideways shift left out" in form["flags"][-1]
    height = form["where_the_energy_goes"]["in_height"]["value"]
    lifted = worked_out(run, *PLAIN, "--lift", "6cm")["where_the_energy_goes"]["in_height"]["value"]
    assert height == pytest.approx(lifted, abs=2.0)


@pytest.mark.parametrize("mark", [";", "\t"])
def test_a_force_with_other_marks_and_decimal_commas(force: Path, mark: str) -> None:
    text = force.read_text(encoding="utf-8")
    other = force.with_name("other.csv")
    other.write_text(text.replace(",", mark).replace(".", ","), encoding="utf-8-sig")
    ours, theirs = recording_of(force), recording_of(other)
    assert len(ours) == 1_150
    assert (ours.time_s == theirs.time_s).all()
    assert (ours.vertical_n == theirs.vertical_n).all()


def test_the_body_is_worth_more_than_the_lift(run: Run) -> None:
    body, lift = worked_out(run, *PLAIN, "--body"), worked_out(run, *PLAIN)
    assert body["gain"]["value"] > 3.0 * lift["gain"]["value"]
    assert body["flags"][-1] == "turn of the trunk and fading of torque from memory"


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["--club-speed", "95"], 2, "'95' has no unit."),
        (["--club-speed", "95kg"], 2, "is not a unit of speed."),
        (["--club-speed", "400mph"], 3, "Club speed is 178.816 m/s"),
        (["--club", "spoon"], 3, "is not in the catalogue."),
        (["--lift", "3m"], 3, "Height is 3 m; a lift takes -0.1 to 0.3 m."),
        (["--golfers", "1"], 3, "1 golfers can't be tried"),
    ],
)
def test_bad_words_and_bad_numbers(run: Run, words: list[str], code: int, says: str) -> None:
    done = run("swing", *PLAIN, *words)
    assert (done.code, done.out) == (code, "")
    assert says in " ".join(done.err.replace("│", " ").split())


def test_bad_forces(run: Run, force: Path, tmp_path: Path) -> None:
    def says(*words: str | Path) -> tuple[int, str]:
        done = run("swing", *PLAIN, *words)
        assert done.out == ""
        return done.code, " ".join(done.err.replace("│", " ").split())

    assert says("--force", force)[0] == 2
    code, text = says("--force", force, "--strike-at", "1.9s", "--lift", "6cm")
    assert (code, "not both" in text) == (2, True)
    code, text = says("--force", tmp_path / "none.csv", "--strike-at", "1.9s")
    assert code == 3
    assert "can't be opened" in text
    broken = tmp_path / "broken.csv"
    rows = [f"{0.01 * k:.2f},{'eight' if k == 1 else 800}" for k in range(20)]
    broken.write_text("\n".join(rows), encoding="utf-8")
    code, text = says("--force", broken, "--strike-at", "1.9s")
    assert code == 3
    assert text == (
        "leadfoot: Row 2 of 'broken.csv' has 'eight' in 'column 2', which is no number. "
        "Write the number, or leave out the rows around it."
    )


def test_a_person_reads_the_range_and_the_cautions(run: Run) -> None:
    done = run("swing", *PLAIN)
    assert done.code == 0
    text = " ".join(done.out.split())
    assert "hub lifted, against hub still: about +2.2 mph" in text
    assert "not a promise" in text
    assert all(caution in text for caution in CAUTIONS)
    assert "where the energy of the whole body goes" in text
    assert "share in the club" in text
