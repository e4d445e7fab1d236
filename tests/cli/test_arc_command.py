"""``leadfoot arc``: each number from the others, the published form, the exit codes."""

import json
from typing import Any

import pytest

from tests.cli.conftest import Run

DOWN = ("--attack-angle", "-5deg", "--plane", "60deg", "--radius", "1.6m")


def worked_out(run: Run, *words: str) -> dict[str, Any]:
    done = run("arc", *words, "--json")
    assert done.code == 0, done.err
    form = json.loads(done.out)
    assert isinstance(form, dict)
    return form


def test_the_json_is_the_published_form(run: Run) -> None:
    form = worked_out(run, *DOWN, "--low-point-spread", "0.8in", "--depth-spread", "3mm")
    assert list(form) == [
        "schema",
        "attack_angle",
        "club_path",
        "club_path_by_rule_of_thumb",
        "swing_direction",
        "low_point",
        "drop_to_low_point",
        "depth",
        "plane",
        "radius",
        "dynamic_loft",
        "tee",
        "edge_height_at_strike",
        "strike_above_edge",
        "turf_from",
        "turf_to",
        "turf_before_ball",
        "chance_of_fat",
        "chance_of_thin",
        "chance_of_clean",
        "meets",
        "model",
        "flags",
    ]
    assert form["schema"] == "leadfoot.arc/1"
    assert form["club_path"] == {"value": 2.8953, "unit": "deg"}
    assert form["club_path_by_rule_of_thumb"] == {"value": 2.8868, "unit": "deg"}
    assert form["low_point"] == {"value": 6.3395, "unit": "in"}
    shares = [form[f"chance_of_{kind}"]["value"] for kind in ("fat", "thin", "clean")]
    assert sum(shares) == pytest.approx(100.0, abs=0.001)
    assert form["flags"] == [
        "depth assumed: the edge just reaches the ground at the ball",
        "dynamic loft assumed: 25 deg",
    ]


def test_low_point_and_attack_angle_give_each_other_and_the_radius(run: Run) -> None:
    low = worked_out(run, "--low-point", "161.02mm", "--plane", "60deg", "--radius", "1.6m")
    assert low["attack_angle"]["value"] == pytest.approx(-5.0, abs=0.001)
    assert low["low_point"] == {"value": 161.02, "unit": "mm"}
    both = worked_out(run, "--low-point", "161.02mm", "--attack-angle", "-5deg", "--plane", "60deg")
    assert both["radius"]["value"] == pytest.approx(1.6, abs=0.001)


def test_path_and_swing_direction_give_each_other_and_the_plane(run: Run) -> None:
    path = worked_out(run, *DOWN, "--club-path", "0deg")
    assert path["swing_direction"]["value"] == pytest.approx(-2.8953, abs=1e-4)
    both = worked_out(
        run, "--attack-angle", "-5deg", "--club-path", "0deg", "--swing-direction", "-2.8953deg"
    )
    assert both["plane"]["value"] == pytest.approx(60.0, abs=0.01)


def test_a_left_hander_moves_left_where_a_right_hander_moves_right(run: Run) -> None:
    form = worked_out(run, *DOWN, "--handed", "left")
    assert form["club_path"]["value"] == -2.8953


def test_what_was_not_said_is_flagged_or_left_out(run: Run) -> None:
    form = worked_out(run, "--attack-angle", "3deg", "--tee", "40mm", "--depth", "-0.5in")
    assert form["flags"] == [
        "plane assumed: 60 deg",
        "radius assumed: 1.6 m",
        "dynamic loft assumed: 25 deg",
    ]
    assert form["meets"] == "ball alone"
    assert form["turf_from"] is None
    assert form["chance_of_fat"] is None


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        ([], 2, "give --attack-angle or --low-point"),
        (["--attack-angle", "-5"], 2, "'-5' has no unit."),
        (["--low-point", "2deg"], 2, "is not a unit of length."),
        ([*DOWN, "--low-point", "2in"], 2, "leave out --radius"),
        ([*DOWN, "--club-path", "0deg", "--swing-direction", "0deg"], 2, "leave out --plane"),
        ([*DOWN, "--depth-spread", "3mm"], 2, "chances need both"),
        (["--attack-angle", "-70deg"], 3, "Attack angle is -70 deg"),
        (["--low-point", "9yd"], 3, "Low point is 8.2296 m"),
        ([*DOWN, "--tee", "2ft"], 3, "Tee is 0.6096 m"),
    ],
)
def test_bad_words_and_bad_numbers(run: Run, words: list[str], code: int, says: str) -> None:
    done = run("arc", *words)
    assert (done.code, done.out) == (code, "")
    assert says in " ".join(done.err.replace("│", " ").split())


def test_a_person_reads_a_table(run: Run) -> None:
    done = run("arc", *DOWN)
    assert done.code == 0
    assert "low point" in done.out
    assert "meets: ball, then turf" in done.out
    assert "computed: circle in a tilted plane" in done.out
