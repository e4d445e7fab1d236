"""``leadfoot strike``: forward, inverse, and back again; the published form; the exit codes."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Run

IRON = ("--club", "iron7", "--club-speed", "90mph", "--dynamic-loft", "25deg")
DRIVE = (
    *("--club", "driver", "--ball-speed", "148mph", "--launch-angle", "12deg"),
    *("--spin-rate", "2800rpm", "--launch-direction", "-1deg", "--spin-axis", "6deg"),
)


def answered(run: Run, *words: str | Path) -> dict[str, Any]:
    done = run("strike", *words, "--json")
    assert done.code == 0, done.err
    form = json.loads(done.out)
    assert isinstance(form, dict)
    return form


def test_the_json_of_a_strike_is_the_published_form(run: Run) -> None:
    form = answered(run, *IRON, "--attack-angle", "-4deg")
    assert list(form) == [
        "schema",
        "way",
        "ball_speed",
        "launch_angle",
        "launch_direction",
        "spin_rate",
        "spin_axis",
        "smash_factor",
        "spin_loft",
        "carry",
        "offline",
        "flags",
        "club",
        "model",
    ]
    assert (form["schema"], form["way"], form["club"]) == ("leadfoot.strike/1", "forward", "7 iron")
    assert form["spin_loft"] == {"value": 29.0, "unit": "deg"}
    assert form["ball_speed"]["unit"] == "mph"
    assert form["smash_factor"]["value"] == pytest.approx(form["ball_speed"]["value"] / 90, 1e-4)
    assert form["carry"]["unit"] == "yd"
    assert form["offline"]["value"] == 0.0


def test_the_json_of_an_explanation_is_the_published_form(run: Run) -> None:
    form = answered(run, *DRIVE, "--club-speed", "102mph")
    assert list(form) == [
        "schema",
        "way",
        "club_speed",
        "attack_angle",
        "club_path",
        "face_angle",
        "dynamic_loft",
        "strike_heel_toe",
        "strike_high_low",
        "spin_loft",
        "friction_needed",
        "same_ball",
        "flags",
        "club",
        "model",
    ]
    assert form["way"] == "inverse"
    assert form["club_speed"]["basis"] == "read and computed"
    assert form["face_angle"]["basis"] == "computed"
    assert form["club_speed"]["value"] == pytest.approx(102.0, abs=1.5)
    assert form["strike_heel_toe"]["unit"] == "mm"
    assert all(form[key]["sd"] > 0.0 for key in ("face_angle", "club_path", "strike_high_low"))
    assert "attack angle is assumed" in form["flags"]
    assert form["same_ball"]


@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_delivery_found_makes_the_ball_again(run: Run, hand: str) -> None:
    found = answered(run, *DRIVE, "--handed", hand)
    names = {
        "club_speed": "--club-speed",
        "attack_angle": "--attack-angle",
        "club_path": "--club-path",
        "face_angle": "--face-angle",
        "dynamic_loft": "--dynamic-loft",
        "strike_heel_toe": "--strike-toe",
        "strike_high_low": "--strike-high",
    }
    words = [
        word
        for key, option in names.items()
        for word in (option, f"{found[key]['value']:f}{found[key]['unit']}")
    ]
    ball = answered(run, "--club", "driver", "--handed", hand, *words)
    assert ball["ball_speed"]["value"] == pytest.approx(148.0, abs=0.001)
    assert ball["launch_angle"]["value"] == pytest.approx(12.0, abs=0.001)
    assert ball["launch_direction"]["value"] == pytest.approx(-1.0, abs=0.001)
    assert ball["spin_rate"]["value"] == pytest.approx(2800.0, abs=0.5)
    assert ball["spin_axis"]["value"] == pytest.approx(6.0, abs=0.005)


def test_a_ball_that_nothing_makes_is_an_answer(run: Run) -> None:
    form = answered(
        run,
        *("--club", "iron7", "--ball-speed", "60mph", "--launch-angle", "20deg"),
        *("--spin-rate", "19000rpm"),
    )
    assert form["face_angle"] is None
    assert form["flags"] == [
        "no delivery makes this ball: it spins more than the face can grip",
    ]
    assert form["friction_needed"]["value"] > 0.35


def test_metric_speeds_give_metres(run: Run) -> None:
    metric = answered(
        run, "--club", "iron7", "--club-speed", "40.2336m/s", "--dynamic-loft", "25deg"
    )
    yards = answered(run, *IRON)
    assert metric["carry"]["unit"] == "m"
    assert metric["carry"]["value"] == pytest.approx(yards["carry"]["value"] * 0.9144, abs=0.001)


def test_a_toe_strike_draws_for_both_hands(run: Run) -> None:
    words = ("--club", "driver", "--club-speed", "100mph", "--dynamic-loft", "14deg")
    right = answered(run, *words, "--strike-toe", "20mm")
    left = answered(run, *words, "--strike-toe", "20mm", "--handed", "left")
    assert right["spin_axis"]["value"] < -1.0 < 1.0 < left["spin_axis"]["value"]


def test_a_coach_brings_their_own_clubs(run: Run, tmp_path: Path) -> None:
    mine = tmp_path / "clubs.toml"
    mine.write_text(
        '[mine]\nname = "heavy iron"\nlike = "iron7"\nhead_mass_kg = 0.35\n', encoding="utf-8"
    )
    words = ("--club-speed", "90mph", "--dynamic-loft", "25deg")
    form = answered(run, "--club", "heavy iron", "--clubs", mine, *words)
    assert form["club"] == "heavy iron"
    assert form["ball_speed"]["value"] > answered(run, *IRON)["ball_speed"]["value"] + 1.0
    assert answered(run, "--club", "driver", "--clubs", mine, *words)["club"] == "driver"


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("--club", "iron7"), 2, "--club-speed"),
        (("--club", "iron7", "--club-speed", "90mph"), 2, "--dynamic-loft"),
        (("--club", "iron7", "--ball-speed", "90mph"), 2, "a ball needs speed, angle and spin"),
        (("--club", "iron7", "--club-speed", "90"), 2, "'90' has no unit."),
        (("--club", "spoon", *IRON[2:]), 3, "Club 'spoon' is not in the catalogue."),
        ((*IRON, "--strike-toe", "12m"), 3, "Strike heel toe is 12 m"),
        ((*IRON, "--attack-angle", "-80deg"), 3, "Attack angle is"),
        (("--clubs", "nowhere.toml", *IRON), 3, "can't be opened"),
        (("--club-speed", "90mph"), 2, "--club"),
    ],
)
def test_bad_words_and_bad_numbers(run: Run, words: tuple[str, ...], code: int, says: str) -> None:
    done = run("strike", *words)
    assert (done.code, done.out) == (code, "")
    assert says in " ".join(done.err.replace("│", " ").split())


def test_a_file_of_clubs_that_is_no_text_is_refused(run: Run, tmp_path: Path) -> None:
    broken = tmp_path / "clubs.toml"
    broken.write_bytes(b"\xff\xfe\x00")
    done = run("strike", *IRON, "--clubs", broken)
    assert done.code == 3
    assert "is not UTF-8 text. Save it as UTF-8." in done.err


def test_a_person_reads_what_else_makes_the_same_ball(run: Run) -> None:
    done = run("strike", *DRIVE)
    assert done.code == 0
    assert "face angle" in done.out
    assert "±" in done.out
    assert "makes the same ball: 1 mm nearer the toe" in done.out
    assert "computed, driver" in done.out
