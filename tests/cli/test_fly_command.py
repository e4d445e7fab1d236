"""``leadfoot fly``: quantities as people write them, the published form, the exit codes."""

import json
from typing import Any

import pytest

from tests.cli.conftest import Run

DRIVE = ("--ball-speed", "160mph", "--launch-angle", "11deg", "--spin-rate", "2600rpm")


def flown(run: Run, *words: str) -> dict[str, Any]:
    done = run("fly", *words, "--json")
    assert done.code == 0, done.err
    form = json.loads(done.out)
    assert isinstance(form, dict)
    return form


def test_the_json_is_the_published_form(run: Run) -> None:
    form = flown(run, *DRIVE)
    assert list(form) == [
        "schema",
        "carry",
        "total",
        "offline",
        "apex",
        "hang_time",
        "landing_angle",
        "landing_speed",
        "landing_spin",
        "model",
        "flags",
    ]
    assert form["carry"]["unit"] == "yd"
    assert 240 < form["carry"]["value"] < 275
    assert form["total"]["value"] > form["carry"]["value"]
    assert form["offline"]["value"] == pytest.approx(0.0, abs=1e-6)


def test_metric_and_imperial_say_the_same(run: Run) -> None:
    yards = flown(run, *DRIVE)["carry"]["value"]
    metric = ("--ball-speed", "71.5264m/s", "--launch-angle", "11°", "--spin-rate", "2600rpm")
    metres = flown(run, *metric)
    assert metres["carry"]["unit"] == "m"
    assert metres["carry"]["value"] == pytest.approx(yards * 0.9144, abs=0.001)


def test_right_is_positive(run: Run) -> None:
    assert flown(run, *DRIVE, "--launch-direction", "2deg")["offline"]["value"] > 5
    assert flown(run, *DRIVE, "--spin-axis", "-8deg")["offline"]["value"] < -5
    assert flown(run, *DRIVE, "--crosswind", "10mph")["offline"]["value"] > 5


def test_air_and_wind_count(run: Run) -> None:
    carry = flown(run, *DRIVE)["carry"]["value"]
    assert flown(run, *DRIVE, "--altitude", "5280ft")["carry"]["value"] > carry * 1.03
    assert flown(run, *DRIVE, "--wind", "-10mph")["carry"]["value"] < carry - 10
    assert flown(run, *DRIVE, "--temperature", "5degC")["carry"]["value"] < carry
    assert flown(run, *DRIVE, "--humidity", "100%")["carry"]["value"] != carry
    assert flown(run, *DRIVE, "--pressure", "900hPa")["carry"]["value"] > carry


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["--ball-speed", "160"], 2, "'160' has no unit."),
        (["--ball-speed", "160yd"], 2, "'yd' in '160yd' is not a unit of speed."),
        (["--altitude", "1m", "--pressure", "900hPa"], 2, "not both"),
        (["--temperature", "900degC"], 3, "emperature"),
        (["--humidity", "300%"], 3, "umidity"),
        (["--ball-speed", "-5mph"], 3, "speed"),
    ],
)
def test_bad_words_and_bad_numbers(run: Run, words: list[str], code: int, says: str) -> None:
    done = run("fly", *DRIVE, *words)
    assert (done.code, done.out) == (code, "")
    assert says in " ".join(done.err.replace("│", " ").split())


def test_a_missing_option_is_named(run: Run) -> None:
    done = run("fly", "--ball-speed", "160mph")
    assert done.code == 2
    assert "--launch-angle" in done.err


def test_a_person_reads_a_table(run: Run) -> None:
    done = run("fly", *DRIVE)
    assert done.code == 0
    assert "carry" in done.out
    assert "computed" in done.out
