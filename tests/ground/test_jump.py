"""Jumps: known answers, what is flagged, what is refused."""

from collections.abc import Iterator

import numpy as np
import pytest
from numpy.typing import NDArray

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.ground.height_only import by_flight_time, by_reach
from leadfoot.ground.jump import Jump, jump_in, jump_of
from leadfoot.ground.made_jump import MadeJump, random_jump
from leadfoot.ground.recording import Plate, Recording
from leadfoot.ground.smoothing import low_pass

WITHIN_M = {200.0: 0.022, 500.0: 0.012, 1000.0: 0.009, 2000.0: 0.009}
"""Error of the height by rate: up to 4 N of noise and 3 N of offset included."""


def kinds(jump: Jump) -> list[str]:
    return [remark.kind for remark in jump.remarks]


def noisy(jump: MadeJump, rate_hz: float = 1000.0, **how: float) -> NDArray[np.float64]:
    return jump.force_n(rate_hz, rng=np.random.default_rng(3), **{"noise_n": 1.5, **how})


def many(rate_hz: float, n: int) -> Iterator[tuple[MadeJump, Jump]]:
    rng = np.random.default_rng(round(rate_hz))
    for _ in range(n):
        truth = random_jump(rng)
        force_n = truth.force_n(
            rate_hz,
            rng=rng,
            noise_n=float(rng.uniform(0.3, 4.0)),
            offset_n=float(rng.uniform(-3.0, 3.0)),
        )
        yield truth, jump_of(force_n, rate_hz)


@pytest.mark.parametrize("rate_hz", list(WITHIN_M))
def test_every_number_comes_out_as_it_was_made(rate_hz: float) -> None:
    """250 random jumps at each rate: 1,000 in all."""
    inside = []
    for truth, found in many(rate_hz, 250):
        assert found.height_m == pytest.approx(truth.height_m, abs=WITHIN_M[rate_hz])
        assert found.flight_s == pytest.approx(truth.flight_s, abs=2.0 / rate_hz + 0.003)
        assert found.peak_force_n == pytest.approx(truth.peak_force_n, rel=0.015)
        assert found.peak_power_w == pytest.approx(truth.peak_power_w, rel=0.02)
        assert found.depth_m == pytest.approx(truth.depth_m, abs=0.008)
        assert found.phases.onset_s == pytest.approx(truth.start_s, abs=0.08)
        assert found.phases.take_off_s == pytest.approx(truth.take_off_s, abs=2.0 / rate_hz + 0.002)
        assert found.net_impulse_ns == pytest.approx(
            truth.mass_kg * truth.take_off_velocity_mps, rel=0.03
        )
        inside.append(abs(found.height_m - truth.height_m) <= 2.0 * found.height_doubt_m)
    assert np.mean(inside) >= 0.93


def test_without_noise_the_answer_is_exact_to_the_sampling() -> None:
    truth = MadeJump()
    found = jump_of(truth.force_n(20_000.0), 20_000.0, threshold_n=1.0)
    assert found.height_m == pytest.approx(truth.height_m, abs=2e-4)
    assert found.flight_s == pytest.approx(truth.flight_s, abs=2e-4)
    assert found.peak_power_w == pytest.approx(truth.peak_power_w, rel=1e-3)
    assert found.peak_force_n == pytest.approx(truth.peak_force_n, rel=1e-6)
    assert found.height_from_standing_m == pytest.approx(truth.height_m + truth.rise_m, abs=1e-3)
    order = found.phases
    assert order.onset_s < order.braking_s < order.propulsion_s < order.take_off_s
    assert found.positive_impulse_ns > found.net_impulse_ns


def test_every_number_says_how_it_was_found() -> None:
    found = jump_of(noisy(MadeJump()), 1000.0, window_s=(0.5, 1.0))
    assert found.method.said == (
        "countermovement jump, impulse and momentum, trapezoid; 1000 Hz; filter none: raw force; "
        "threshold 20 N; weighed 0.50 to 1.50 s"
    )
    assert kinds(found) == []


def test_bent_legs_make_the_flight_too_long_and_are_flagged() -> None:
    found = jump_of(noisy(MadeJump(bent_m=0.15)), 1000.0)
    assert "heights_apart" in kinds(found)
    assert found.height_by_flight_m - found.height_m > 0.05
    assert found.height_m == pytest.approx(MadeJump().height_m, abs=0.009)


def test_force_that_was_smoothed_is_flagged_or_refused() -> None:
    raw = noisy(MadeJump())
    smooth = low_pass(raw, 1000.0, 26.64)
    assert "smoothed" in kinds(jump_of(smooth, 1000.0))
    assert "smoothed" not in kinds(jump_of(raw, 1000.0))
    with pytest.raises(InputError) as error:
        jump_of(smooth, 1000.0, filtered="low-pass 26.64 Hz")
    assert str(error.value) == (
        "The force was filtered before (low-pass 26.64 Hz). That moves the take-off: 26.6 Hz cost "
        "one open recording 3 cm of height. Export the raw force."
    )


def test_an_offset_is_found_in_flight_and_can_be_taken_off() -> None:
    truth = MadeJump()
    force_n = noisy(truth, offset_n=9.0)
    found = jump_of(force_n, 1000.0)
    assert "offset" in kinds(found)
    assert found.flight_offset_n == pytest.approx(9.0, abs=0.5)
    without = jump_of(force_n, 1000.0, without_offset=True)
    assert without.weighing.mass_kg == pytest.approx(truth.mass_kg, abs=0.1)
    assert abs(without.height_m - truth.height_m) < abs(found.height_m - truth.height_m)
    (remark,) = [one for one in without.remarks if one.kind == "offset"]
    assert remark.text.endswith("It was taken off.")


def test_a_noisy_plate_raises_its_threshold_and_says_so() -> None:
    found = jump_of(noisy(MadeJump(), noise_n=6.0), 1000.0)
    assert found.method.threshold_n == pytest.approx(30.0, abs=4.0)
    assert "noise" in kinds(found)


def test_the_scale_and_the_rest_at_the_end_check_the_weight() -> None:
    truth = MadeJump()
    force_n = noisy(truth)
    assert "weight" in kinds(jump_of(force_n, 1000.0, entered_n=800.0))
    with pytest.raises(InputError, match="within 3 % of the entered 900 N"):
        jump_of(force_n, 1000.0, entered_n=900.0)
    part = force_n.copy()
    part[1000:2500] -= 60.0  # a hand on a chair
    assert "weight_missing" in kinds(jump_of(part, 1000.0, window_s=(0.0, 1.0)))


def test_a_slow_plate_is_flagged() -> None:
    assert kinds(jump_of(noisy(MadeJump(), 200.0), 200.0)) == ["slow"]


@pytest.mark.parametrize(
    ("force_n", "rate_hz", "says"),
    [
        (np.full(5000, 800.0), 1000.0, "No flight of 0.1 to 1.2 s was found."),
        (np.full(5000, 800.0), 50.0, "The rate is 50 Hz; a jump needs 100 to 20000 Hz."),
        (np.full(5000, np.nan), 1000.0, "The vertical force has gaps or is not one column."),
        (MadeJump().force_n(1000.0)[2300:], 1000.0, "There are 0.53 s before the movement"),
        (MadeJump().force_n(1000.0)[1800:], 1000.0, "No 1 s before the movement have a steady"),
    ],
)
def test_what_is_no_jump_is_refused(
    force_n: NDArray[np.float64], rate_hz: float, says: str
) -> None:
    with pytest.raises(InputError) as error:
        jump_of(force_n, rate_hz)
    assert says in str(error.value)


def test_a_jump_without_a_countermovement_is_refused() -> None:
    force_n = noisy(MadeJump())
    flight = round(MadeJump().take_off_s * 1000.0)
    squat = force_n.copy()
    squat[2000 : flight - 40] = np.maximum(squat[2000 : flight - 40], 790.0)
    squat[flight - 40 : flight + 2] = 1500.0
    with pytest.raises(InputError, match="never falls under the weight"):
        jump_of(squat, 1000.0, window_s=(0.5, 1.0))


def test_two_plates_give_one_jump_and_the_peaks_of_each() -> None:
    force_n = noisy(MadeJump())

    def plate(name: str, share: float) -> Plate:
        n = len(force_n)
        return Plate(
            name=name,
            foot=None,
            force_n=np.column_stack((np.zeros(n), np.zeros(n), share * force_n)),
            cop_m=np.zeros((n, 2)),
            free_moment_nm=np.zeros(n),
        )

    both = Recording(rate_hz=1000.0, plates=(plate("left", 0.45), plate("right", 0.55)))
    found, alone = jump_in(both), jump_of(force_n, 1000.0)
    assert found.height_m == pytest.approx(alone.height_m, rel=1e-9)
    assert (found.phases, found.remarks) == (alone.phases, alone.remarks)
    assert alone.feet == ()
    assert [foot.push_n / found.peak_force_n for foot in found.feet] == pytest.approx([0.45, 0.55])


def test_a_height_alone_gives_labelled_estimates_only() -> None:
    jump = by_flight_time(0.554, mass_kg=78.0)
    assert {one.label for one in jump.power} == {"estimate"}
    assert all("11 to 20 % low" in one.doubt for one in jump.power)
    assert by_reach(2.3, 2.7).power == ()
    assert not hasattr(jump, "peak_power_w")
    with pytest.raises(OutOfRangeError) as error:
        by_reach(2.3, 2.2)
    assert str(error.value) == (
        "Height is -0.1 m; a jump takes 0.03 to 1.2 m. Check the value and its unit."
    )
    with pytest.raises(OutOfRangeError, match=r"Mass is 780 kg"):
        by_flight_time(0.5, mass_kg=780.0)
