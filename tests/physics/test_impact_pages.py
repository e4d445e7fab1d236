"""The pages on impact and on the best of a swing: their figures are made by the code."""

import math
import re
import runpy
from pathlib import Path
from typing import Any

import pytest

from leadfoot.physics.best import best_loft
from leadfoot.physics.clubs import club
from leadfoot.physics.impact import Delivery, strike
from leadfoot.physics.inverse import NOTHING_KNOWN, Known, explain
from leadfoot.units import si_from, si_into

EXPLAIN = Path(__file__).parents[2] / "docs" / "explain"
SCRIPT = EXPLAIN / "impact_pictures.py"
NAMES = ("impact_grip.svg", "impact_gear.svg", "impact_not_told.svg", "best_window.svg")


@pytest.fixture(scope="module")
def drawn() -> dict[str, Any]:
    return runpy.run_path(str(SCRIPT))


def test_every_figure_stands_on_a_page_and_in_the_folder(drawn: dict[str, Any]) -> None:
    pages = "".join((EXPLAIN / page).read_text("utf-8") for page in ("impact.md", "best.md"))
    assert tuple(drawn["FIGURES"]) == NAMES
    for name in NAMES:
        assert f"]({name})" in pages
        assert (EXPLAIN / name).stat().st_size > 5_000


@pytest.mark.parametrize("name", NAMES)
def test_the_script_draws_the_figure_with_its_words(drawn: dict[str, Any], name: str) -> None:
    picture = drawn["picture"](name)
    svg = picture.svg()
    assert picture.alt.split(":")[0].encode() in svg
    stored = (EXPLAIN / name).read_bytes()
    assert picture.alt.encode() in stored
    assert abs(len(stored) - len(svg)) < 0.05 * len(svg)


def table(page: str, first: str) -> list[list[str]]:
    """The rows of the table on a page whose header begins with these words."""
    lines = (EXPLAIN / page).read_text("utf-8").splitlines()
    start = next(k for k, line in enumerate(lines) if line.startswith(f"| {first}"))
    rows = []
    for line in lines[start + 2 :]:
        if not line.startswith("|"):
            break
        rows.append([cell.strip() for cell in line.strip("|").split("|")])
    return rows


def numbers(text: str) -> list[float]:
    return [float(found) for found in re.findall(r"\d+(?:\.\d+)?", text.replace(",", ""))]


@pytest.mark.parametrize("row", table("best.md", "generic driver"), ids=lambda row: str(row[0]))
def test_the_page_on_the_best_says_what_the_code_does(row: list[str]) -> None:
    speed_mph, attack_deg = (*numbers(row[0]), 0.0)[:2]
    best = best_loft(
        si_from(speed_mph, "mph"),
        math.radians(attack_deg),
        club("driver"),
        goal="total" if "total" in row[0] else "carry",
    )
    loft, low, high = numbers(row[1])
    assert math.degrees(best.delivery.dynamic_loft_rad) == pytest.approx(loft, abs=0.15)
    assert math.degrees(best.least_loft_rad) == pytest.approx(low, abs=0.15)
    assert math.degrees(best.most_loft_rad) == pytest.approx(high, abs=0.15)
    assert math.degrees(best.launch.launch_angle_rad) == pytest.approx(numbers(row[2])[0], abs=0.15)
    assert si_into(best.launch.spin_rate_radps, "rpm") == pytest.approx(
        numbers(row[3])[0], abs=40.0
    )
    assert si_into(best.carry_m, "yd") == pytest.approx(numbers(row[4])[0], abs=0.7)
    assert si_into(best.total_m, "yd") == pytest.approx(numbers(row[5])[0], abs=0.7)


@pytest.mark.parametrize("row", table("impact.md", "club, monitor"), ids=lambda row: str(row[0]))
def test_the_page_on_the_impact_says_how_sure_an_explanation_is(row: list[str]) -> None:
    driver = row[0].startswith("driver")
    struck = club("driver" if driver else "iron7")
    swing = Delivery(
        club_speed_mps=si_from(100.0 if driver else 85.0, "mph"),
        dynamic_loft_rad=0.25 if driver else 0.45,
        attack_angle_rad=0.0 if driver else -0.07,
    )
    known = NOTHING_KNOWN
    if "speed" in row[0] and "attack" not in row[0]:
        known = Known(club_speed_mps=swing.club_speed_mps)
    if "attack" in row[0]:
        known = Known(
            club_speed_mps=swing.club_speed_mps,
            attack_angle_rad=swing.attack_angle_rad,
            club_path_rad=0.0,
        )
    sd = explain(strike(swing, struck), struck, known=known).sd
    angles = (sd.face_angle_rad, sd.dynamic_loft_rad, sd.club_path_rad, sd.attack_angle_rad)
    for angle, cell in zip(angles, row[1:5], strict=True):
        assert math.degrees(angle) == pytest.approx(numbers(cell)[0], abs=0.06)
    for place, cell in zip((sd.strike_heel_toe_m, sd.strike_high_low_m), row[5:], strict=True):
        assert place * 1e3 == pytest.approx(numbers(cell)[0], abs=0.6)
