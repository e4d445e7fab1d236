"""Straighter in degrees: the judged balls as bearings, beside the yards they land off the line."""

import math

import numpy as np
import pytest

from leadfoot.desk.answer import Answer
from leadfoot.desk.file_answer import answer_for_file


def answer(gain: float, *, sides: tuple[float, float] = (3.0, 3.0), n: int = 30) -> Answer:
    """Balls at angles of these spreads, in degrees, that carry 160 yd and then so much more."""
    rng = np.random.default_rng(8)
    rows = ["block,carry (yd),offline (yd)"]
    turned = rng.normal(size=n)
    for label, carry, spread in (("before", 160.0, sides[0]), ("with", 160.0 * gain, sides[1])):
        for angle in spread * turned:
            far = carry + 2.0 * rng.standard_normal()
            rows.append(f"{label},{far:.2f},{far * math.tan(math.radians(angle)):.2f}")
    return answer_for_file("\n".join(rows).encode())


def test_the_same_angles_and_farther_is_wider_in_yards_only() -> None:
    found = answer(1.15, n=300)
    assert found.degrees is not None
    assert found.spread is not None
    assert found.spread.after > 1.1 * found.spread.before
    before, after = found.degrees.spread_before_deg, found.degrees.spread_after_deg
    assert after == pytest.approx(before, rel=0.03)
    assert found.degrees.odds_narrower == pytest.approx(0.5, abs=0.1)
    assert found.spread.odds_better < 0.1
    assert found.degrees.note == found.notes[0]
    assert found.notes[0].endswith(
        "In yards that looks different, as they carry 15 % farther: farther at the same angle "
        "lands wider."
    )
    assert found.notes[0].startswith("In degrees from the tee the balls spread by ")


def test_shorter_says_the_other_way_round() -> None:
    found = answer(0.85)
    assert found.degrees is not None
    assert "carry 15 % shorter: shorter at the same angle lands narrower." in found.notes[0]


def test_at_the_same_length_degrees_say_what_yards_say() -> None:
    found = answer(1.0, sides=(4.0, 2.0))
    assert found.degrees is not None
    assert found.degrees.note == ""
    assert not any("In degrees" in note for note in found.notes)
    assert found.spread is not None
    yards = found.spread.after / found.spread.before
    degrees = found.degrees.spread_after_deg / found.degrees.spread_before_deg
    assert degrees == pytest.approx(yards, abs=0.01)
    assert found.degrees.odds_narrower == pytest.approx(found.spread.odds_better, abs=0.01)


def test_the_published_form() -> None:
    form = answer(1.15).as_json()["straighter"]["degrees"]
    assert set(form) == {
        "bias",
        "spread",
        "odds_nearer",
        "odds_narrower",
        "n_before",
        "n_after",
        "basis",
    }
    assert (form["n_before"], form["n_after"], form["basis"]) == (30, 30, "measured")
    assert form["spread"]["before"] == pytest.approx(3.0, abs=0.8)


@pytest.mark.parametrize(
    "header", ["block,carry (yd),launch direction (deg)", "block,total (yd),offline (yd)"]
)
def test_without_carry_and_offline_there_are_no_bearings(header: str) -> None:
    rows = [f"{label},{160 + k},{k - 4}" for label in ("before", "with") for k in range(9)]
    assert answer_for_file("\n".join([header, *rows]).encode()).degrees is None


def test_a_side_of_two_balls_has_no_spread() -> None:
    rows = [f"before,{160 + k},{k - 4}" for k in range(9)] + ["with,161,3", "with,165,-2"]
    found = answer_for_file("\n".join(["block,carry (yd),offline (yd)", *rows]).encode())
    assert found.degrees is None
    assert found.as_json()["straighter"]["degrees"] is None
