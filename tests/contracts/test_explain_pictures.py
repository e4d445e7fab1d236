"""The figures of the pages on the models are what the code draws, and the pages show them."""

import re
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from docs.explain import (
    arc_pictures,
    ball_pictures,
    flight_pictures,
    impact_pictures,
    swing_pictures,
)
from leadfoot.figures.picture import Picture
from leadfoot.physics.ball import AIR_MODELS
from leadfoot.physics.body_energy import whole_body
from leadfoot.physics.lift import Lift
from leadfoot.physics.many import warm
from leadfoot.physics.push import Worth, body_worth, push_worth

EXPLAIN = Path(__file__).parents[2] / "docs" / "explain"
ALL: dict[str, Picture] = {
    **arc_pictures.PICTURES,
    **ball_pictures.PICTURES,
    **flight_pictures.PICTURES,
    **{
        name.removesuffix(".svg"): impact_pictures.picture(name) for name in impact_pictures.FIGURES
    },
    **swing_pictures.PICTURES,
}
PAGES = ("air.md", "arc.md", "ball.md", "best.md", "flight.md", "impact.md", "run.md", "swing.md")
NUMBER = re.compile(r"-?\d+\.\d+")


@pytest.fixture(scope="module", autouse=True)
def _compiled() -> None:
    """A drawn way differs by some centimetres between the loops; the kept ones are compiled."""
    warm(models=tuple(AIR_MODELS))


@pytest.mark.parametrize("key", list(ALL))
def test_the_figure_is_what_the_code_draws(key: str) -> None:
    """Word for word; numbers to 0.02 points, as another machine rounds last digits otherwise."""
    picture = ALL[key]
    drawn = picture.svg().decode("utf-8")
    kept = (EXPLAIN / f"{key}.svg").read_text(encoding="utf-8")
    assert NUMBER.sub("", re.sub(r"[0-9a-f]{10,}", "", drawn)) == NUMBER.sub(
        "", re.sub(r"[0-9a-f]{10,}", "", kept)
    )
    ours, theirs = ([float(found) for found in NUMBER.findall(text)] for text in (drawn, kept))
    assert ours == pytest.approx(theirs, abs=0.02)
    assert picture.alt in " ".join(drawn.split())


@pytest.mark.parametrize("page", PAGES)
def test_the_page_shows_a_figure_and_only_figures_that_the_code_draws(page: str) -> None:
    shown = re.findall(r"\]\((\w+)\.svg\)", (EXPLAIN / page).read_text(encoding="utf-8"))
    assert shown
    assert set(shown) <= set(ALL)


def test_every_figure_stands_on_one_page() -> None:
    texts = [(EXPLAIN / page).read_text(encoding="utf-8") for page in PAGES]
    shown = [key for text in texts for key in re.findall(r"\]\((\w+)\.svg\)", text)]
    assert sorted(shown) == sorted(ALL)


@pytest.mark.parametrize(
    ("said", "club_key", "worth"),
    [
        (r"\*\*about ([\d.]+) mph \(([\d.]+) to ([\d.]+)\)\*\*", "driver", push_worth),
        (r"7-iron about ([\d.]+) \(([\d.]+) to ([\d.]+)\)", "iron7", push_worth),
        (r"about ([\d.]+) of\s+95 mph \(([\d.]+) to ([\d.]+)\)", "driver", body_worth),
        (r"about ([\d.]+) of\s+95 mph \(([\d.]+) to ([\d.]+)\)", "iron7", body_worth),
    ],
)
def test_the_page_says_what_the_model_says(
    said: str, club_key: str, worth: Callable[..., Worth]
) -> None:
    """The middle to its last digit; the ends to what another draw moves."""
    text = (EXPLAIN / "swing.md").read_text(encoding="utf-8")
    (numbers,) = re.findall(said, text)
    gain, low, high = (float(number) for number in numbers)
    found = worth(
        95.0 * 0.44704, Lift(height_m=0.06), rng=np.random.default_rng(1), club_key=club_key
    )
    digit, drawn = (0.5, 1.0) if worth is body_worth else (0.05, 0.2)
    assert found.gain_mps / 0.44704 == pytest.approx(gain, abs=digit)
    assert found.low_mps / 0.44704 == pytest.approx(low, abs=drawn)
    assert found.high_mps / 0.44704 == pytest.approx(high, abs=drawn)


@pytest.mark.parametrize(
    ("said", "name", "factor", "digit", "drawn"),
    [
        (r"give \*\*about (\d+) J \((\d+) to (\d+)\)\*\*", "muscles_j", 1.0, 3.0, 20.0),
        (r"give \*\*(\d+) % \((\d+) to (\d+)\)\*\*", "below_shoulders_share", 100.0, 0.7, 3.0),
        (r"and \*\*(\d+) % \((\d+) to (\d+)\)\*\* is in", "club_share", 100.0, 0.7, 2.0),
    ],
)
def test_the_page_says_where_the_energy_goes(
    said: str, name: str, factor: float, digit: float, drawn: float
) -> None:
    """The page's ends are of 1,000 golfers; of 100 their standard deviation is 6 J and 0.6 %."""
    text = (EXPLAIN / "swing.md").read_text(encoding="utf-8")
    (numbers,) = re.findall(said, text)
    middle, low, high = (float(number) for number in numbers)
    found = whole_body(95.0 * 0.44704, rng=np.random.default_rng(2), n=100)
    assert factor * getattr(found.middle, name) == pytest.approx(middle, abs=digit)
    ends = [factor * end for end in found.ranges[name]]
    assert ends == pytest.approx([low, high], abs=drawn)
