"""The picture of the pressure over the feet: everything lies inside it, for both hands."""

import re
from dataclasses import replace

import numpy as np
import pytest

from leadfoot.desk import recordings
from leadfoot.desk.desk import Desk
from leadfoot.desk.force_words import said_from
from leadfoot.ground.made_swing import random_swing, usual_swing
from leadfoot.ground.recording import Hand
from leadfoot.web.pressure_path import pressure_path
from tests.desk.plates import on_plates
from tests.ground.synthetic import swing_c3d

_LETTER = 7.0
"""A generous width of a letter, in pixels of the picture."""


@pytest.mark.parametrize("hand", ["right", "left"])
def test_feet_names_and_ways_lie_inside(desk: Desk, hand: Hand) -> None:
    given = on_plates(desk, n_each=0)
    rng = np.random.default_rng(8)
    for number, swing in enumerate((usual_swing(), random_swing(rng), random_swing(rng))):
        data = swing_c3d(swing, 500.0, hand=hand)
        stored = recordings.receive(desk, given.lesson_id, name=f"{number}.c3d", data=data)
        said = said_from(stored.choices_json, hand="right")
        choices = replace(said.choices, hand=hand, target="+y", feet=("lead", "trail"))
        found = recordings.understand(desk, stored.id, replace(said, choices=choices))
        drawn = str(pressure_path([found], label="way"))
        check_inside(drawn)
        assert drawn.count('class="foot"') == 2


def check_inside(drawn: str) -> None:
    box = re.search(r'viewBox="0 0 (\d+) (\d+)"', drawn)
    assert box is not None
    width, height = float(box[1]), float(box[2])
    for cx, cy, rx, ry in re.findall(
        r'<ellipse[^>]* cx="([\d.-]+)" cy="([\d.-]+)" rx="([\d.]+)" ry="([\d.]+)"', drawn
    ):
        assert float(rx) <= float(cx) <= width - float(rx)
        assert float(ry) <= float(cy) <= height - float(ry)
    for path in re.findall(r'd="M([^"]+)"', drawn):
        for x, y in re.findall(r"([\d.-]+) ([\d.-]+)", path):
            assert 0.0 <= float(x) <= width
            assert 0.0 <= float(y) <= height
    for attributes, words in re.findall(r"<text([^>]*)>([^<]+)</text>", drawn):
        x, y = (float(re.search(rf' {name}="([\d.-]+)"', attributes)[1]) for name in "xy")  # type: ignore[index]
        anchor = re.search(r'text-anchor="(\w+)"', attributes)
        assert anchor is not None
        long = _LETTER * len(words)
        left = x - {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor[1]] * long
        assert 0.0 <= left <= width - long, words
        assert 12.0 <= y <= height - 4.0, words
