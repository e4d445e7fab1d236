"""Invented swings through files: every type of plate, both hands, tables; the same numbers."""

import pytest

from leadfoot.errors import InputError
from leadfoot.ground.choices import Choices
from leadfoot.ground.made_swing import usual_swing
from leadfoot.ground.phases import impact_of
from leadfoot.ground.read import read_recording
from leadfoot.ground.recording import Hand
from leadfoot.ground.swing import PlateSwing, swing_of
from leadfoot.ground.swing_numbers import numbers_of
from tests.ground.synthetic import swing_c3d, swing_table


def numbers(data: bytes, hand: Hand = "right") -> dict[str, float]:
    choices = Choices(hand=hand, target="+y", feet=("lead", "trail"), scale_n=WEIGHT_N)
    recording = read_recording(data, choices=choices).recording
    assert recording is not None
    strike = impact_of(recording, by_hand_s=None if recording.trigger is not None else STRIKE_S)
    if strike is None:
        raise InputError("No strike.", fix="Give one.")
    found = swing_of(recording, strike)
    assert isinstance(found, PlateSwing)
    return {number.key: number.value for number in numbers_of(found)}


STRIKE_S = usual_swing().impact_s
WEIGHT_N = usual_swing().weight_n


@pytest.fixture(scope="module")
def direct() -> dict[str, float]:
    swing = usual_swing()
    recording = swing.recording(1000.0)
    strike = impact_of(recording, by_hand_s=swing.impact_s)
    return {number.key: number.value for number in numbers_of(swing_of(recording, strike))}


@pytest.mark.parametrize("kind", [2, 3, 4])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_every_type_of_plate_and_both_hands_give_the_same(
    kind: int, hand: Hand, direct: dict[str, float]
) -> None:
    found = numbers(swing_c3d(usual_swing(), 1000.0, kind=kind, hand=hand), hand)
    assert found.keys() == direct.keys()
    for key, value in direct.items():
        assert found[key] == pytest.approx(value, rel=2e-3, abs=1.5), key


def test_a_table_gives_the_same(direct: dict[str, float]) -> None:
    found = numbers(swing_table(usual_swing(), 1000.0))
    for key, value in direct.items():
        assert found[key] == pytest.approx(value, rel=1e-3, abs=0.5), key
