"""``leadfoot plan``: the advised order, the others, and where the spread came from."""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import Run

LESSON = Path(__file__).parents[2] / "examples" / "lesson.csv"
SPEED = ("--club-speed", "95mph", "--change", "2mph")


def planned(run: Run, *words: str | Path) -> dict[str, Any]:
    done = run("plan", *words, "--json")
    assert done.code in {0, 4}, done.err
    form: dict[str, Any] = json.loads(done.out)
    assert form["schema"] == "leadfoot.plan/1"
    return form


def test_a_player_without_a_file(run: Run) -> None:
    form = planned(run, *SPEED)
    assert form["usual_spread"]["basis"] == "assumed"
    assert form["usual_spread"]["value"] == pytest.approx(95 * 0.02**0.5 * 0.1, abs=0.01)
    first = form["orders"][0]
    assert sum(block["balls"] for block in first["blocks"]) == 30
    assert 0.6 < first["chance"] < 0.9
    assert first["smallest_likely"] == pytest.approx(2.1, abs=0.4)
    assert {order["pattern"] for order in form["orders"]} == {
        "once",
        "and_back",
        "twice",
        "fives",
        "drawn",
    }


def test_more_balls_and_larger_gains_are_likelier(run: Run) -> None:
    def best(*words: str) -> float:
        return max(float(order["chance"]) for order in planned(run, *SPEED, *words)["orders"])

    assert best("--balls", "15") < best() < best("--balls", "50") < best("--change", "5mph")


def test_units_change_nothing_but_the_units(run: Run) -> None:
    miles = planned(run, *SPEED)
    metres = planned(run, "--club-speed", "42.4688m/s", "--change", "2mph")
    assert metres["unit"] == "m/s"
    assert metres["change"] == pytest.approx(0.89408)
    assert metres["orders"][0]["chance"] == pytest.approx(miles["orders"][0]["chance"], abs=0.002)


def test_the_lot_is_drawn_again_from_its_seed(run: Run) -> None:
    def lot(seed: str) -> list[Any]:
        orders = planned(run, *SPEED, "--seed", seed)["orders"]
        (blocks,) = (order["blocks"] for order in orders if order["pattern"] == "drawn")
        return list(blocks)

    assert lot("3") == lot("3")
    assert lot("3") != lot("4")


def test_a_lesson_is_planned_from_its_baseline(run: Run) -> None:
    form = planned(run, LESSON, "--change", "3mph")
    assert (form["quantity"], form["unit"]) == ("club_speed", "mph")
    assert form["usual_spread"]["balls"] == 12
    assert planned(run, LESSON)["quantity"] == "carry"
    assert planned(run, LESSON, "--change", "8yd")["orders"] == planned(run, LESSON)["orders"]


def test_a_beginner_strays_further(run: Run) -> None:
    spreads = [
        planned(run, *SPEED, "--level", level)["usual_spread"]["value"]
        for level in ("skilled", "middle", "beginner")
    ]
    assert spreads == sorted(spreads)


def test_a_person_reads_the_plan(run: Run) -> None:
    done = run("plan", *SPEED)
    assert done.code == 0
    text = " ".join(done.out.split())
    assert re.match(r"Hit (\d+ with(out)?,? )+and \d+ with(out)?: \d+ in 100 to show 2 mph", text)
    assert "to show 2 mph more club speed." in text
    assert "The usual spread is assumed from players in general." in text
    assert "drawn with the seed 1." in text


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("--change", "2mph"), 2, "give a file, or --change with one of"),
        (("--club-speed", "95mph"), 2, "give a file, or --change with one of"),
        ((*SPEED, "--carry", "200yd"), 2, "give a file, or --change with one of"),
        ((LESSON, "--club-speed", "95mph"), 2, "give a file or the player's own level, not both"),
        ((LESSON, "--change", "2 kg"), 2, "is not a unit of length"),
        (("--club-speed", "95mph", "--change", "2yd"), 2, "is not a unit of speed"),
        ((*SPEED, "--balls", "5"), 3, "5 balls can't be planned. Give 10 to 60 balls"),
        (("--club-speed", "95mph", "--change", "-2mph"), 3, "can't be planned with a usual"),
        (("--club-speed", "0mph", "--change", "2mph"), 3, "A typical club speed of 0 can't be."),
    ],
)
def test_bad_words_and_bad_numbers(
    run: Run, words: tuple[str | Path, ...], code: int, says: str
) -> None:
    done = run("plan", *words)
    assert (done.code, done.out) == (code, "")
    assert says in " ".join(done.err.replace("│", " ").split())


def test_a_table_without_a_length_or_a_speed_says_so(run: Run, tmp_path: Path) -> None:
    table = tmp_path / "faces.csv"
    table.write_text("face angle (deg)\n1.0\n-2.0\n0.5\n", encoding="utf-8")
    done = run("plan", table)
    assert done.code == 3
    assert "No ball before the change has a length or a speed." in done.err
