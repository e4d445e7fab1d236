"""Blocks of swings: bands that hold, methods that are not mixed, numbers that say their unit."""

from dataclasses import replace

import numpy as np
import pytest

from leadfoot.errors import InputError
from leadfoot.ground.made_swing import MadeSwing, Step, usual_swing
from leadfoot.ground.phases import Impact
from leadfoot.ground.swing import PressureSwing, swing_of
from leadfoot.ground.swing_blocks import block_of, change_of_blocks
from leadfoot.ground.swing_numbers import numbers_of
from tests.ground.test_swing import seen_by


def swings(n: int, *, harder: float, seed: int, rate_hz: float = 500.0) -> list[PressureSwing]:
    """Swings that vary, with more or less lift."""
    rng = np.random.default_rng(seed)
    return [one_swing(harder + float(rng.normal(0.0, 0.06)), rate_hz, rng) for _ in range(n)]


def one_swing(harder: float, rate_hz: float, rng: np.random.Generator) -> PressureSwing:
    made: MadeSwing = usual_swing()
    lifted = tuple(
        Step(start_s=step.start_s, length_s=step.length_s, size=harder * step.size)
        for step in made.along_z
    )
    recording = replace(made, along_z=lifted).recording(rate_hz, rng=rng, noise_n=1.0)
    return swing_of(recording, Impact(time_s=made.impact_s, source="trigger channel"))


def test_a_block_has_the_mean_and_its_band() -> None:
    found = swings(6, harder=1.0, seed=1)
    block = {number.key: number for number in block_of(found)}
    values = [swing.total.peak_n for swing in found]
    assert block["total_peak"].mean == pytest.approx(np.mean(values))
    assert block["total_peak"].sd == pytest.approx(np.std(values, ddof=1))
    assert block["total_peak"].low < np.mean(values) < block["total_peak"].high
    assert block["total_peak"].n == 6
    assert np.isnan(block_of(found[:1])[0].sd)


def test_a_harder_push_is_seen_from_block_to_block() -> None:
    before, after = swings(6, harder=0.9, seed=2), swings(6, harder=1.2, seed=3)
    found = {one.key: one for one in change_of_blocks(before, after)}
    assert found["total_peak"].odds_more > 0.99
    assert found["total_peak"].low > 0.0
    assert found["total_peak"].enough
    assert not found["weight"].low > 0.0


def test_the_band_of_a_change_holds_nine_in_ten() -> None:
    """Blocks of five drawn from the peaks of twenty swings that do not differ."""
    pool = swings(20, harder=1.0, seed=5, rate_hz=200.0)
    rng = np.random.default_rng(6)
    held = []
    for _ in range(60):
        order = rng.permutation(20)
        one, other = ([pool[k] for k in order[a : a + 5]] for a in (0, 5))
        change = {row.key: row for row in change_of_blocks(one, other)}["total_peak"]
        held.append(change.low <= 0.0 <= change.high)
    assert 0.80 <= np.mean(held) <= 1.0


def test_swings_of_different_rates_or_devices_are_not_mixed() -> None:
    one, other = swings(1, harder=1.0, seed=1), swings(1, harder=1.0, seed=1, rate_hz=1000.0)
    with pytest.raises(InputError) as error:
        block_of(one + other)
    assert str(error.value) == (
        "The swings were recorded in different ways (1000 Hz, 500 Hz). "
        "Compare only swings of one device, rate and filter."
    )
    with pytest.raises(InputError, match="The block has no swing"):
        block_of([])
    with pytest.raises(InputError, match="1 and 1 swings"):
        change_of_blocks(one, one)


def test_every_number_says_its_unit_and_how_it_was_found() -> None:
    (found,) = swings(1, harder=1.0, seed=4)
    numbers = numbers_of(found)
    assert len({number.key for number in numbers}) == len(numbers)
    assert {number.unit for number in numbers} == {
        "N", "%", "N/s", "ms", "N·s", "m", "m/s", "N·m", "N·m·s",
    }  # fmt: skip
    assert {number.by for number in numbers} == {"peaks", "impulses"}
    assert "50 Hz low-pass" in found.peaks.said
    assert "raw force" in found.impulses.said
    doubted = {number.key for number in numbers if number.doubt is not None}
    assert {"frontal_moment", "horizontal_moment", "lead_peak_before_impact"} <= doubted


def test_a_mat_has_no_number_of_shear_or_turning() -> None:
    made = usual_swing()
    strike = Impact(time_s=made.impact_s, source="launch monitor")
    mat = swing_of(seen_by(made.recording(200.0), "vertical_and_cop"), strike)
    keys = {number.key for number in numbers_of(mat)}
    assert not [key for key in keys if "moment" in key or "free" in key or "toward" in key]
    assert "cop_travel" in keys
