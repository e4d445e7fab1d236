"""``leadfoot best``: the published form, the parts that add up, the exit codes."""

import json
from typing import Any

import pytest

from tests.cli.conftest import Run

DRIVER = ("--club", "driver", "--club-speed", "100mph")
FAULTS = (
    *("--attack-angle", "-2deg", "--dynamic-loft", "11deg", "--face-angle", "3deg"),
    *("--club-path", "-2deg", "--strike-toe", "-12mm"),
)


def found(run: Run, *words: str) -> dict[str, Any]:
    done = run("best", *words, "--json")
    assert done.code == 0, done.err
    form = json.loads(done.out)
    assert isinstance(form, dict)
    return form


def test_the_json_is_the_published_form(run: Run) -> None:
    form = found(run, *DRIVER)
    assert list(form) == [
        "schema",
        "goal",
        "dynamic_loft",
        "within_a_yard_from",
        "within_a_yard_to",
        "ball_speed",
        "launch_angle",
        "spin_rate",
        "carry",
        "total",
        "left_on_the_table",
        "club",
        "model",
        "flags",
    ]
    assert (form["schema"], form["goal"], form["club"]) == ("leadfoot.best/1", "carry", "driver")
    assert form["left_on_the_table"] is None
    assert form["flags"] == ["attack angle assumed: 0 deg"]
    lofts = [form[key]["value"] for key in ("within_a_yard_from", "dynamic_loft")]
    assert lofts[0] < lofts[1] < form["within_a_yard_to"]["value"]


def test_what_is_left_on_the_table_adds_up(run: Run) -> None:
    form = found(run, *DRIVER, *FAULTS)
    left = form["left_on_the_table"]
    parts = [left[f"by_{part}"]["value"] for part in ("loft", "strike", "face_and_path")]
    assert sum(parts) == pytest.approx(left["whole"]["value"], abs=0.001)
    assert left["whole"]["value"] == pytest.approx(
        form["carry"]["value"] - left["carry"]["value"], abs=0.001
    )
    assert all(part > 0.0 for part in parts)
    assert form["flags"] == []


def test_total_is_another_goal(run: Run) -> None:
    carry, total = found(run, *DRIVER), found(run, *DRIVER, "--for", "total")
    assert total["goal"] == "total"
    assert total["dynamic_loft"]["value"] < carry["dynamic_loft"]["value"]
    assert total["total"]["value"] > carry["total"]["value"]


def test_air_and_wind_count_and_are_said(run: Run) -> None:
    calm = found(run, *DRIVER)
    assert "flown in standard air, square" in calm["model"]
    high = found(run, *DRIVER, "--altitude", "5280ft")
    assert high["carry"]["value"] > calm["carry"]["value"] * 1.03
    assert "air of 0.987 kg/m³," in high["model"]
    windy = found(run, *DRIVER, "--wind", "-10mph", "--crosswind", "5mph")
    assert windy["carry"]["value"] < calm["carry"]["value"] - 8.0
    assert "wind of 10 mph from ahead and 5 mph to the right," in windy["model"]
    for words in (("--temperature", "5degC"), ("--humidity", "100%"), ("--pressure", "900hPa")):
        assert found(run, *DRIVER, *words)["carry"]["value"] != calm["carry"]["value"]


def test_air_counts_for_what_is_left_on_the_table_too(run: Run) -> None:
    here, high = found(run, *DRIVER, *FAULTS), found(run, *DRIVER, *FAULTS, "--altitude", "3000m")
    for form in (here, high):
        left = form["left_on_the_table"]
        assert left["whole"]["value"] == pytest.approx(
            form["carry"]["value"] - left["carry"]["value"], abs=0.001
        )
    assert high["left_on_the_table"]["carry"]["value"] > here["left_on_the_table"]["carry"]["value"]


def test_where_hands_end_it_is_said(run: Run) -> None:
    form = found(run, "--club", "driver", "--club-speed", "14m/s")
    assert "the best loft is the last that hands can bring" in form["flags"]
    assert form["carry"]["unit"] == "m"


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("--club", "driver"), 2, "--club-speed"),
        ((*DRIVER, "--face-angle", "2deg"), 2, "--dynamic-loft"),
        ((*DRIVER, "--for", "fun"), 2, "fun"),
        ((*DRIVER, "--wind", "10"), 2, "'10' has no unit."),
        ((*DRIVER, "--altitude", "1m", "--pressure", "900hPa"), 2, "not both"),
        ((*DRIVER, "--crosswind", "200mph"), 3, "Wind across is"),
        (("--club", "driver", "--club-speed", "900mph"), 3, "Club speed is"),
        (("--club", "spoon", "--club-speed", "90mph"), 3, "Club 'spoon' is not in the catalogue."),
    ],
)
def test_bad_words_and_bad_numbers(run: Run, words: tuple[str, ...], code: int, says: str) -> None:
    done = run("best", *words)
    assert (done.code, done.out) == (code, "")
    assert says in " ".join(done.err.replace("│", " ").split())


def test_a_person_reads_a_table(run: Run) -> None:
    done = run("best", *DRIVER, *FAULTS)
    assert done.code == 0
    assert "left on the table, carry:" in done.out
    assert "by face and path" in done.out
