"""Each flag of a damaged file: one damage, one named doubt with its figure and what to do."""

from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest

from leadfoot.ground.c3d import read_c3d
from leadfoot.ground.c3d_factors import odd_ones
from leadfoot.ground.choices import Choices
from leadfoot.ground.recording import Remark
from tests.ground.c3d_files import Made, written
from tests.ground.people import swaying

Said = Mapping[tuple[str, str], Any]
WHOLE = [0.02, 0.02, 0.04, 5.0, 5.0, 3.0]
"""Factors of a plate of type 2 in whole numbers."""


def flagged(made: Made | list[Made], **more: Any) -> dict[str, Remark]:
    plates = made if isinstance(made, list) else [made]
    return {one.kind: one for one in read_c3d(written(plates, **more)).remarks}


def with_scales(scales: list[float], plates: list[Made], **more: Any) -> dict[str, Remark]:
    return flagged(plates, parameters={("ANALOG", "SCALE"): scales}, **more)


def test_a_factor_unlike_those_of_all_channels() -> None:
    scales: Said = {("ANALOG", "SCALE"): [1.0, 1.0, 1.125, 1.0, 1.0, 1.0]}
    found = flagged(swaying(2), parameters=scales)["factor"]
    assert found.text == "ANALOG:SCALE of channel 3 (Fz1) is 1.125; its fellows have 1."
    assert found.fix.startswith("Compare the weight with a scale")


def test_a_factor_unlike_those_of_its_sister_sensors() -> None:
    good = [0.0401, 0.0405, 0.0399, 0.0403, 0.1555, 0.1563, 0.1563, 0.1571]
    assert "factor" not in with_scales(good, [swaying(3)])
    hurt = [*good[:6], 0.2202, good[7]]
    assert with_scales(hurt, [swaying(3)])["factor"].text == (
        "ANALOG:SCALE of channel 7 (F1z3) is 0.2202; its fellows have 0.1563."
    )


def test_a_factor_that_differs_from_plate_to_plate() -> None:
    plates = [swaying(2), swaying(2, seed=6)]
    other = [1.03 * one for one in WHOLE]
    assert "factor" not in with_scales([*WHOLE, *other], plates)
    other[2] *= 1.25
    assert with_scales([*WHOLE, *other], plates)["factor"].text == (
        "The factor of fz differs by 25 % from plate to plate, those of the other channels do not."
    )


def test_an_offset_unlike_those_of_the_other_channels() -> None:
    offsets: Said = {("ANALOG", "OFFSET"): [0, 0, 256, 0, 0, 0]}
    assert flagged(swaying(2), parameters=offsets)["channel_offset"].text == (
        "ANALOG:OFFSET of channel 3 (Fz1) is 256; its fellows have 0."
    )
    small: Said = {("ANALOG", "OFFSET"): [0, 0, 2, 0, 0, 0]}
    assert "channel_offset" not in flagged(swaying(2), parameters=small)


def test_a_general_factor_that_files_do_not_have() -> None:
    found = flagged(swaying(2), parameters={("ANALOG", "GEN_SCALE"): 1.125})["general_scale"]
    assert found.text.startswith("ANALOG:GEN_SCALE is 1.125, by which every channel is multiplied")


def test_a_matrix_with_one_odd_factor_or_much_crosstalk() -> None:
    made = swaying(4)
    odd = np.eye(6)
    odd[2, 2] = 0.5
    matrices: Said = {("FORCE_PLATFORM", "CAL_MATRIX"): np.array([odd.T])}
    assert flagged(made, parameters=matrices)["matrix"].text == (
        "CAL_MATRIX of plate 1 multiplies fz by 0.5, the other channels by 1."
    )
    lends = np.eye(6)
    lends[2, 3] = 0.01
    crossed: Said = {("FORCE_PLATFORM", "CAL_MATRIX"): np.array([lends.T])}
    assert "of the vertical force" in flagged(made, parameters=crossed)["matrix"].text


def test_sensors_that_do_not_share_the_load() -> None:
    scales: Said = {("ANALOG", "SCALE"): [*[1.0] * 7, 0.0001]}
    found = flagged(swaying(3), parameters=scales)["sensors"]
    assert "do not share its load as those of a stiff plate do" in found.text


def test_a_header_that_contradicts_the_parameters() -> None:
    said: Said = {("POINT", "FRAMES"): 2500, ("POINT", "USED"): 3}
    assert flagged(swaying(2), parameters=said)["contradiction"].text == (
        "Header and parameters of the file contradict each other: 0 points against 3; 3000 frames "
        "against 2500."
    )


def test_a_piece_in_the_wrong_place() -> None:
    made = swaying(2)
    made.force_n[400:411, 2] = 310.0
    found = flagged(made)["leap"]
    assert (found.weight, found.text) == (
        "fault",
        "Plate 1 leaps from one sample to the next and goes on calmly, 2 times, first at 0.400 s; "
        "no body does so.",
    )


def test_a_weight_that_is_of_a_movement() -> None:
    made = swaying(2)
    made.force_n[:] = np.roll(made.force_n, -1000, axis=0)
    made.force_n[2000:] = made.force_n[:1000]
    assert "the weight is that of a movement" in flagged(made)["not_still"].text


def test_a_plate_that_tilts() -> None:
    tilted = swaying(2)
    turn = np.radians(5.0)
    lean = np.array(
        [
            [np.cos(turn), 0.0, np.sin(turn)],
            [0.0, 1.0, 0.0],
            [-np.sin(turn), 0.0, np.cos(turn)],
        ]
    )
    tilted.axes = lean @ tilted.axes
    assert flagged(tilted)["tilt"].text == "By its corners plate 1 tilts by 5 degrees."


def test_a_channel_of_two_plates() -> None:
    places = np.array([[1, 2, 3, 4, 5, 6], [7, 8, 3, 10, 11, 12]])
    found = flagged(
        [swaying(2), swaying(2, seed=6)], parameters={("FORCE_PLATFORM", "CHANNEL"): places}
    )["shared_channel"]
    assert found.text == "FORCE_PLATFORM:CHANNEL gives channel 3 to more than one plate."


def test_a_weight_that_nobody_stands_for() -> None:
    data = written([swaying(2)])

    def kinds(choices: Choices) -> dict[str, Remark]:
        return {one.kind: one for one in read_c3d(data, choices).remarks}

    alone = kinds(Choices())["unconfirmed"]
    assert alone.weight == "doubt"
    assert alone.text.startswith("The weight of 900.0 N (91.8 kg) rests on the file alone.")
    assert "unconfirmed" not in kinds(Choices(scale_n=890.0))
    assert "unconfirmed" not in kinds(Choices(confirmed_n=905.0))
    assert kinds(Choices(confirmed_n=860.0))["other_weight"].text == (
        "The plates weigh 900.0 N; 860.0 N were confirmed before: +4.7 %."
    )


@pytest.mark.parametrize("values", [[1.0], [1.0, 2.0]])
def test_too_few_to_tell_the_odd_one(values: list[float]) -> None:
    assert odd_ones(np.array(values), 0.05) == []
