"""Pictures of the ground: only what the device sees, readable by day and by night."""

import xml.etree.ElementTree as ET

import numpy as np
import pytest

from leadfoot.figures.ground import jump_picture, swing_picture
from leadfoot.figures.look import DAY, NIGHT, PRINT, Look
from leadfoot.figures.picture import Picture
from leadfoot.ground.jump import jump_of
from leadfoot.ground.made_jump import MadeJump
from leadfoot.ground.made_swing import usual_swing
from leadfoot.ground.phases import Impact
from leadfoot.ground.swing import swing_of
from tests.ground.test_swing import seen_by

STRIKE = Impact(time_s=usual_swing().impact_s, source="trigger channel")


def said(picture: Picture) -> str:
    tree = ET.fromstring(picture.svg())  # noqa: S314 - our own bytes
    texts = tree.iter("{http://www.w3.org/2000/svg}text")
    return " | ".join("".join(element.itertext()) for element in texts)


@pytest.mark.parametrize("look", [DAY, NIGHT, PRINT])
def test_a_swing_shows_its_panels_its_strike_and_its_method(look: Look) -> None:
    picture = swing_picture(swing_of(usual_swing().recording(500.0), STRIKE), look=look)
    words = said(picture)
    for part in ("vertical force", "lead foot", "trail foot", "centre of pressure", "moments"):
        assert part in words
    assert "strike: trigger channel; 500 Hz; filter 50 Hz low-pass; threshold 20 N" in words
    assert "with its standard uncertainty" in words
    assert picture.svg() == picture.svg()
    assert "ms before the strike" in picture.alt


@pytest.mark.parametrize("sees", ["vertical_and_cop", "vertical"])
def test_a_mat_has_no_panel_for_what_it_cannot_see(sees: str) -> None:
    words = said(swing_picture(swing_of(seen_by(usual_swing().recording(200.0), sees), STRIKE)))
    assert "moments, N" not in words
    assert "a pressure device sees vertical force alone" in words
    assert ("centre of pressure" in words) == (sees == "vertical_and_cop")


def test_a_swing_without_a_strike_says_so() -> None:
    picture = swing_picture(swing_of(usual_swing().recording(200.0), None))
    assert "the strike is not known" in said(picture)
    assert "before the strike" not in picture.alt


def test_a_jump_shows_its_parts_and_both_heights() -> None:
    force_n = MadeJump().force_n(1000.0, rng=np.random.default_rng(1), noise_n=1.0)
    words = said(jump_picture(force_n, jump_of(force_n, 1000.0)))
    for part in ("unweighting", "braking", "push", "flight", "by impulse", "by flight", "20 N"):
        assert part in words
