"""``leadfoot spread``: the pattern of each club and block, its JSON and its exit codes."""

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.cli.conftest import Run

EXAMPLE = Path(__file__).parents[2] / "examples" / "lesson.csv"


def spread(run: Run, *words: str | Path) -> dict[str, Any]:
    done = run("spread", *words, "--json")
    assert done.code in {0, 4}, done.err
    form = json.loads(done.out)
    assert isinstance(form, dict)
    return form


def table(
    tmp_path: Path, rows: list[str], header: str = "block,club,carry (yd),offline (yd)"
) -> Path:
    path = tmp_path / "lesson.csv"
    path.write_text("\n".join([header, *rows]) + "\n", encoding="utf-8")
    return path


def test_the_json_is_the_published_form(run: Run) -> None:
    form = spread(run, EXAMPLE, "--corridor", "30yd")
    assert list(form) == ["schema", "unit", "corridor", "patterns", "problems"]
    assert (form["schema"], form["unit"]) == ("leadfoot.spread/1", "yd")
    assert form["corridor"] == pytest.approx(30.0)
    assert [one["block"] for one in form["patterns"]] == ["before", "block under lead foot"]
    for one in form["patterns"]:
        assert list(one) == [
            "club",
            "block",
            "n_shots",
            "n_unknown",
            "basis",
            "carry",
            "offline",
            "angle_deg",
            "spread_offline",
            "spread_carry",
            "spread_angle_deg",
            "spread_distance_share",
            "missing",
            "ellipses",
            "mishits",
            "in_corridor",
        ]
        assert [ellipse["holds"] for ellipse in one["ellipses"]] == [0.5, 0.9]
        for key in ("spread_offline", "spread_carry", "spread_angle_deg"):
            assert one[key]["low"] < one[key]["sd"] < one[key]["high"]
        for key in ("mishits", "in_corridor"):
            assert 0.0 <= one[key]["low"] <= one[key]["share"] <= one[key]["high"] <= 1.0
        # The degrees are the yards at this distance, within what a pattern allows.
        yards = one["carry"] * np.tan(np.radians(one["spread_angle_deg"]["sd"]))
        assert yards == pytest.approx(one["spread_offline"]["sd"], rel=0.15)


def test_the_person_reads_each_block(run: Run) -> None:
    done = run("spread", EXAMPLE, "--corridor", "30yd")
    assert done.code == 0
    assert "before with driver: 12 balls" in done.out
    assert "within 30 yd" in done.out
    assert "clear mishits" in done.out
    assert "ellipse for 90 in 100" in done.out
    assert "Ranges hold in 90 of 100 cases." in done.out


def test_clubs_and_blocks_stand_apart_in_the_unit_of_the_table(run: Run, tmp_path: Path) -> None:
    rng = np.random.default_rng(2)
    rows = [
        f"{block},{club},{level + 6 * rng.standard_normal():.0f},{8 * rng.standard_normal():.0f}"
        for block in ("before", "push")
        for club, level in (("Driver", 200), ("7-iron", 140))
        for _ in range(6)
    ]
    path = table(tmp_path, rows, "block,club,carry (m),offline (m)")
    form = spread(run, path)
    assert form["unit"] == "m"
    assert form["corridor"] is None
    assert [(one["block"], one["club"]) for one in form["patterns"]] == [
        ("before", "Driver"),
        ("before", "7-iron"),
        ("push", "Driver"),
        ("push", "7-iron"),
    ]
    assert [round(one["carry"], -1) for one in form["patterns"]] == [200, 140, 200, 140]
    assert form["patterns"][0]["in_corridor"] is None


def test_few_balls_are_told_as_such(run: Run, tmp_path: Path) -> None:
    path = table(tmp_path, ["a,Driver,200,3", "a,Driver,205,-2"])
    done = run("spread", path)
    assert "cannot tell: fewer than three balls" in done.out
    one = spread(run, path)["patterns"][0]
    assert (one["missing"], one["ellipses"], one["spread_offline"]) == ("too_few", [], None)


def test_a_line_and_a_ball_that_went_nowhere_are_told(run: Run, tmp_path: Path) -> None:
    rows = [f"a,Driver,{carry},{carry / 50:.1f}" for carry in (200, 205, 210, 190)]
    assert "the balls lie on a line" in run("spread", table(tmp_path, rows)).out
    rows = ["a,Driver,200,3", "a,Driver,205,-8", "a,Driver,196,5", "a,Driver,201,1"]
    done = run("spread", table(tmp_path, [*rows, "a,Driver,0,0"]))
    assert "a ball went nowhere" in done.out


def test_without_offline_it_says_what_to_give(run: Run, tmp_path: Path) -> None:
    path = table(tmp_path, ["a,92", "a,93"], "block,club speed (mph)")
    done = run("spread", path)
    assert done.code == 3
    assert done.err == (
        "leadfoot: No ball has both a carry and an offline, and neither can be computed. "
        "Give both, or ball speed, launch angle, direction, spin rate and spin axis.\n"
    )


def test_carry_and_offline_are_computed_where_they_are_missing(run: Run, tmp_path: Path) -> None:
    named = "ball speed (mph)", "launch angle (deg)", "launch direction (deg)", "spin (rpm)"
    header = ",".join(["block", *named, "spin axis (deg)"])
    rows = [f"a,{140 + i},12,{i - 2},2600,{2 * i - 4}" for i in range(5)]
    path = table(tmp_path, rows, header)
    form = spread(run, path)
    assert form["patterns"][0]["basis"] == {"carry": "modelled", "offline": "modelled"}
    assert run("spread", path).out.count("(computed)") == 2


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--corridor", "0yd"], "a corridor has a width above 0"),
        (["--corridor", "30mph"], "--corridor"),
        (["--corridor", "wide"], "--corridor"),
    ],
)
def test_words_that_are_off_end_with_2(run: Run, words: list[str], says: str) -> None:
    done = run("spread", EXAMPLE, *words)
    assert done.code == 2
    assert says in " ".join(done.err.replace("│", " ").split())


def test_a_row_that_cannot_be_read_is_listed_and_ends_with_4(run: Run, tmp_path: Path) -> None:
    rows = [f"a,Driver,{200 + 3 * (i % 4)},{i - 3}" for i in range(8)]
    path = table(tmp_path, [*rows, "a,Driver,far,2"])
    done = run("spread", path)
    assert done.code == 4
    assert "problem: row 10" in done.out
