"""Swings: every number against the body that made it, over random bodies, rates and noise."""

from dataclasses import dataclass, replace

import numpy as np
import pytest
from numpy.typing import NDArray

from leadfoot.errors import InputError
from leadfoot.ground.c3d import read_c3d
from leadfoot.ground.choices import Choices
from leadfoot.ground.made_swing import Felt, MadeSwing, random_swing, usual_swing
from leadfoot.ground.phases import Impact, impact_by_clock, impact_of
from leadfoot.ground.recording import Hand, Mark, Plate, Recording
from leadfoot.ground.swing import PlateSwing, PressureSwing, swing_of
from tests.ground.synthetic import swing_c3d

RATES_HZ = (200.0, 500.0, 1000.0, 2000.0)
STEP_S = 0.001


@dataclass(frozen=True, kw_only=True)
class Truth:
    """What the body did, from its exact motion at 1000 places a second."""

    felt: Felt
    swing: MadeSwing

    @classmethod
    def of(cls, swing: MadeSwing) -> "Truth":
        return cls(felt=swing.felt(np.arange(0.0, swing.lasts_s, STEP_S)), swing=swing)

    def inside(self, values: NDArray[np.float64], *, after_s: float = 0.0) -> NDArray[np.float64]:
        time_s = self.felt.time_s
        return values[(time_s >= self.swing.start_s) & (time_s <= self.swing.impact_s + after_s)]

    def at(self, values: NDArray[np.float64], time_s: float) -> float:
        return float(np.interp(time_s, self.felt.time_s, values))


def measured(
    swing: MadeSwing,
    rate_hz: float,
    rng: np.random.Generator | None,
    *,
    through_file_of: Hand | None = None,
    **how: float,
) -> PlateSwing:
    recording = swing.recording(rate_hz, rng=rng, **how)
    if through_file_of is not None:
        start_s = recording.start_s
        data = swing_c3d(swing, rate_hz, hand=through_file_of, recording=recording)
        choices = Choices(hand=through_file_of, target="+y", feet=("lead", "trail"))
        recording = replace(
            read_c3d(data, replace(choices, scale_n=swing.weight_n)), start_s=start_s
        )
    found = swing_of(recording, Impact(time_s=swing.impact_s, source="trigger channel"))
    assert isinstance(found, PlateSwing)
    return found


@pytest.mark.parametrize("rate_hz", RATES_HZ)
def test_every_number_comes_out_as_it_was_made(rate_hz: float) -> None:
    """250 random swings at each rate: noise up to 3 N a sample, zeros off by 1 N a plate.

    Every fifth goes through a C3D file of a right- or a left-hander.
    """
    rng = np.random.default_rng(round(rate_hz))
    inside: list[bool] = []
    for k in range(250):
        swing, noise_n = random_swing(rng), float(rng.uniform(0.3, 3.0))
        hand: Hand | None = None if k % 5 else ("left" if k % 2 else "right")
        found = measured(swing, rate_hz, rng, through_file_of=hand, noise_n=noise_n, offset_n=1.0)
        truth = Truth.of(swing)
        check_loads(found, truth, step_s=1.0 / rate_hz)
        check_pressure(found, truth)
        check_turning(found, truth)
        inside += check_about_centre(found, truth)
    assert np.mean(inside) >= 0.95


def check_loads(found: PlateSwing, truth: Truth, *, step_s: float) -> None:
    swing, felt = truth.swing, truth.felt
    weight_n = swing.weight_n
    assert found.weighing.weight_n == pytest.approx(weight_n, abs=6.0)
    assert found.phases.first_move_s == pytest.approx(swing.start_s, abs=0.4)
    loads = (felt.force_n[:, 2], felt.feet[0][0][:, 2], felt.feet[1][0][:, 2])
    turn_s, impact_s = found.phases.turn_s, swing.impact_s
    for load, force_n in zip((found.total, found.lead, found.trail), loads, strict=True):
        assert load is not None
        true_peak_n = float(truth.inside(force_n, after_s=0.05).max())
        assert load.peak_n == pytest.approx(true_peak_n, rel=0.01, abs=8.0)
        assert load.peak_share == pytest.approx(true_peak_n / weight_n, abs=0.02)
        # a flat peak moves in time, but not far in force
        assert truth.at(force_n, load.peak_s) >= true_peak_n - 0.01 * weight_n - 4.0
        assert load.before_impact_s == pytest.approx(impact_s - load.peak_s, abs=step_s)
        within = (felt.time_s >= turn_s) & (felt.time_s <= impact_s)
        impulse = float(np.trapezoid(force_n[within], dx=STEP_S))
        assert load.impulse_ns == pytest.approx(impulse, abs=weight_n * 1.5 * (step_s + STEP_S) + 2)
        over = round(0.05 / STEP_S)
        moving_n = truth.inside(force_n, after_s=0.05)
        moving_n = moving_n[: int(np.argmax(moving_n)) + 1]
        rise = (moving_n[over:] - moving_n[:-over]).max() / 0.05
        assert load.rise_nps == pytest.approx(rise, rel=0.08, abs=weight_n * 0.35)
    assert found.shares is not None
    assert found.shares.address == pytest.approx(0.52, abs=0.005)
    assert found.shares.turn == pytest.approx(float(truth.inside(felt.lead_share).min()), abs=0.02)
    assert found.shares.impact == pytest.approx(truth.at(felt.lead_share, impact_s), abs=0.06)


def check_pressure(found: PlateSwing, truth: Truth) -> None:
    swing, felt = truth.swing, truth.felt
    assert found.pressure is not None
    toward_m = felt.cop_m[:, 1]
    wide_m = swing.lead_m[1] - swing.trail_m[1]
    share = (toward_m - swing.trail_m[1]) / wide_m
    assert found.pressure.address == pytest.approx(0.52, abs=0.005)
    assert found.pressure.impact == pytest.approx(truth.at(share, swing.impact_s), abs=0.06)
    true_range = np.ptp(truth.inside(toward_m))
    assert found.pressure.range_m == pytest.approx(true_range, abs=0.03)
    moved = truth.at(share, swing.impact_s) - truth.at(share, swing.impact_s - 0.1)
    assert found.pressure.travel is not None
    assert found.pressure.travel.share == pytest.approx(moved, abs=0.07)
    if abs(moved) > 0.13:
        assert found.pressure.travel.style == ("front foot" if moved > 0.0 else "reverse")


def check_turning(found: PlateSwing, truth: Truth) -> None:
    felt = truth.felt
    (lead, trail), turning = felt.feet, found.turning
    assert turning.lead_free_nm == pytest.approx(float(truth.inside(lead[2]).max()), abs=1.5)
    assert turning.trail_free_nm == pytest.approx(float(truth.inside(trail[2]).max()), abs=1.5)
    force, arm = felt.force_n, felt.cop_m - felt.centre_m[:, :2]
    together = felt.moment_nm[:, 2] - (arm[:, 0] * force[:, 1] - arm[:, 1] * force[:, 0])
    free = lead[2] + trail[2]
    assert turning.together_nm == pytest.approx(float(truth.inside(together).max()), abs=2.0)
    assert turning.pivoting_nm == pytest.approx(float(truth.inside(together - free).max()), abs=2.0)


def check_about_centre(found: PlateSwing, truth: Truth) -> list[bool]:
    """The horizontal moment to 3 N m; the frontal one within twice its own doubt."""
    about, felt = found.about_centre, truth.felt
    assert about is not None
    inside = []
    for moment, axis in ((about.frontal, 0), (about.horizontal, 2)):
        true_nm = float(truth.inside(felt.moment_nm[:, axis]).max())
        assert moment.doubt_nm > 0.0
        assert moment.peak_nm == pytest.approx(true_nm, abs=3.0 * moment.doubt_nm + 3.0)
        assert moment.peak_nm_per_kg == pytest.approx(
            moment.peak_nm / found.weighing.mass_kg, rel=1e-9
        )
        inside.append(abs(moment.peak_nm - true_nm) <= 2.0 * moment.doubt_nm + 1.5)
    return inside


def test_without_noise_the_parts_of_the_moment_add_up() -> None:
    swing = usual_swing()
    found, truth = measured(swing, 2000.0, None), Truth.of(swing)
    assert found.about_centre is not None
    top = float(truth.inside(truth.felt.moment_nm[:, 2]).max())
    assert found.about_centre.horizontal.peak_nm == pytest.approx(top, rel=0.01)
    assert found.remarks == ()


def test_impulses_are_the_momentum_that_the_body_gains() -> None:
    """Newton's second law, closed form: the impulse is m Δv + m g Δt."""
    swing = usual_swing()
    found = measured(swing, 2000.0, None)
    ends = swing.felt(np.array([found.phases.turn_s, found.phases.impact_s]))
    gained = np.diff(ends.velocity_mps[:, 2])[0] * swing.mass_kg
    lasts_s = ends.time_s[1] - ends.time_s[0]
    assert found.total.impulse_ns == pytest.approx(gained + swing.weight_n * lasts_s, rel=1e-5)


def test_a_longer_quiet_wait_does_not_lengthen_the_drift() -> None:
    swing = usual_swing()
    recording = swing.recording(1000.0, rng=np.random.default_rng(1), noise_n=1.0)
    long = Recording(
        rate_hz=1000.0,
        plates=tuple(lengthened(plate) for plate in recording.plates),
        start_s=recording.start_s - 6.0,
    )
    strike = Impact(time_s=swing.impact_s, source="trigger channel")
    one, other = swing_of(recording, strike), swing_of(long, strike)
    assert isinstance(one, PlateSwing)
    assert isinstance(other, PlateSwing)
    assert one.about_centre is not None
    assert other.about_centre is not None
    assert other.about_centre.frontal.doubt_nm == pytest.approx(
        one.about_centre.frontal.doubt_nm, rel=0.25
    )


def lengthened(plate: Plate) -> Plate:
    """Six seconds of standing still, mirrored in time, before the first sample."""

    def longer(values: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.concatenate([values[:1000], values[999::-1]] * 3 + [values])

    return Plate(
        name=plate.name,
        foot=plate.foot,
        force_n=longer(plate.force_n),
        cop_m=longer(plate.cop_m),
        free_moment_nm=longer(plate.free_moment_nm),
    )


def seen_by(recording: Recording, sees: str) -> Recording:
    plates = tuple(
        Plate(
            name=plate.name,
            foot=plate.foot,
            force_n=np.column_stack((np.full((len(recording), 2), np.nan), plate.force_n[:, 2])),
            cop_m=plate.cop_m if sees == "vertical_and_cop" else np.full_like(plate.cop_m, np.nan),
            free_moment_nm=np.full(len(recording), np.nan),
            sees="vertical_and_cop" if sees == "vertical_and_cop" else "vertical",
        )
        for plate in recording.plates
    )
    return Recording(rate_hz=recording.rate_hz, plates=plates, start_s=recording.start_s)


@pytest.mark.parametrize("sees", ["vertical_and_cop", "vertical"])
def test_a_pressure_device_has_no_shear_no_torque_and_no_moment(sees: str) -> None:
    swing = usual_swing()
    recording = swing.recording(200.0)
    strike = Impact(time_s=swing.impact_s, source="launch monitor")
    plates, mat = swing_of(recording, strike), swing_of(seen_by(recording, sees), strike)
    assert type(mat) is PressureSwing
    for field in ("sideways", "turning", "about_centre"):
        assert hasattr(plates, field)
        assert not hasattr(mat, field)
    assert mat.lead == plates.lead
    assert mat.shares == plates.shares
    assert (mat.pressure is None) == (sees == "vertical")


def test_one_plate_for_both_feet_gives_what_it_sees() -> None:
    swing = usual_swing()
    felt = swing.felt(np.arange(0.0, swing.lasts_s, 0.001))
    plate = Plate(
        name="one",
        foot="both",
        force_n=felt.force_n,
        cop_m=felt.cop_m,
        free_moment_nm=felt.moment_nm[:, 2],
    )
    found = swing_of(
        Recording(rate_hz=1000.0, plates=(plate,)),
        Impact(time_s=swing.impact_s, source="trigger channel"),
    )
    assert isinstance(found, PlateSwing)
    assert (found.lead, found.trail, found.shares) == (None, None, None)
    assert found.turning.trail_free_nm is None
    assert found.total.peak_share > 1.0


def test_without_a_strike_nothing_is_timed_by_it() -> None:
    found = swing_of(usual_swing().recording(1000.0), None)
    assert found.total.before_impact_s is None
    assert found.total.impulse_ns is None
    assert found.phases.impact_s is None
    assert [remark.kind for remark in found.remarks] == ["no_impact"]


def test_the_strike_says_where_it_comes_from() -> None:
    recording = usual_swing().recording(500.0)
    fields = {"rate_hz": 500.0, "plates": recording.plates, "start_s": recording.start_s}
    trigger = np.zeros(len(recording))
    trigger[700:] = -5.0
    by_trigger = impact_of(Recording(**fields, trigger=trigger))  # type: ignore[arg-type]
    assert by_trigger == Impact(time_s=1.4, source="trigger channel", doubt_s=0.002)
    early = np.full(len(recording), 5.0)  # fires early and stays
    early[:300] = 0.0
    by_early = impact_of(Recording(**fields, trigger=early))  # type: ignore[arg-type]
    assert by_early is not None
    assert by_early.time_s == pytest.approx(0.6)
    marked = Recording(**fields, marks=(Mark(time_s=1.2, label="Impact"),))  # type: ignore[arg-type]
    by_mark, by_hand = impact_of(marked), impact_of(marked, by_hand_s=1.3)
    assert by_mark is not None
    assert by_hand is not None
    assert (by_mark.source, by_hand.source) == ("mark in the file", "set by hand")
    assert impact_of(recording) is None
    assert impact_by_clock(10.0, 8.0).source == "launch monitor"
    with pytest.raises(InputError, match="does not lie in the recording"):
        impact_of(recording, by_hand_s=90.0)


def test_the_turn_can_be_set_by_hand() -> None:
    swing = usual_swing()
    strike = Impact(time_s=swing.impact_s, source="trigger channel")
    found = swing_of(swing.recording(1000.0), strike, turn_s=swing.impact_s - 0.2)
    assert found.phases.turn_from == "set by hand"
    assert found.phases.turn_s == pytest.approx(swing.impact_s - 0.2, abs=0.001)


def test_a_restless_address_gives_no_moments_about_the_centre() -> None:
    swing = usual_swing()
    recording = swing.recording(1000.0)
    sway_n = 25.0 * np.sin(np.arange(len(recording)) / 1000.0 * 2.0 * np.pi * 1.5)
    plates = tuple(
        Plate(
            name=plate.name,
            foot=plate.foot,
            force_n=plate.force_n + np.outer(sway_n, [0.0, 0.0, 1.0]),
            cop_m=plate.cop_m,
            free_moment_nm=plate.free_moment_nm,
        )
        for plate in recording.plates
    )
    strike = Impact(time_s=swing.impact_s, source="trigger channel")
    found = swing_of(Recording(rate_hz=1000.0, plates=plates), strike)
    assert isinstance(found, PlateSwing)
    assert found.about_centre is None
    assert "restless" in [remark.kind for remark in found.remarks]


def test_impossible_loads_are_flagged() -> None:
    swing = usual_swing()
    recording = swing.recording(1000.0)
    lead, trail = recording.plates
    mad = Plate(
        name=lead.name,
        foot="lead",
        force_n=np.where(recording.time_s[:, None] < 2.5, 1.0, 6.0) * lead.force_n,
        cop_m=lead.cop_m,
        free_moment_nm=20.0 * lead.free_moment_nm,
    )
    strike = Impact(time_s=swing.impact_s, source="trigger channel")
    found = swing_of(Recording(rate_hz=1000.0, plates=(mad, trail)), strike)
    assert {"too_much_load", "too_much_turning"} <= {remark.kind for remark in found.remarks}


def test_unknown_feet_are_refused() -> None:
    lead, trail = usual_swing().recording(500.0).plates
    plates = (lead, Plate(**{**{k: getattr(trail, k) for k in trail.__slots__}, "foot": None}))
    with pytest.raises(InputError, match="It is not known which foot stood on which plate"):
        swing_of(Recording(rate_hz=500.0, plates=plates), None)


def test_standing_still_is_no_swing() -> None:
    plate = usual_swing().recording(500.0).plates[0]
    still = Plate(
        name="p",
        foot="both",
        force_n=np.tile(plate.force_n[:500], (4, 1)),
        cop_m=np.tile(plate.cop_m[:500], (4, 1)),
        free_moment_nm=np.tile(plate.free_moment_nm[:500], 4),
    )
    with pytest.raises(InputError, match="The load never leaves its quiet place"):
        swing_of(Recording(rate_hz=500.0, plates=(still,)), None)
