"""An invented swing written into a laboratory's file, read back, and measured: the same swing."""

import numpy as np
import pytest

from leadfoot.ground.c3d import read_c3d
from leadfoot.ground.choices import Axis, Choices
from leadfoot.ground.frame import frame_of
from leadfoot.ground.made_swing import usual_swing
from leadfoot.ground.phases import Impact
from leadfoot.ground.read import read_recording
from leadfoot.ground.recording import Hand, Plate, Recording
from leadfoot.ground.swing import PlateSwing, swing_of
from tests.ground.c3d_files import Made, written
from tests.ground.force_tables import table

MADE = usual_swing()
TRUE = MADE.recording(1000.0)


def in_laboratory(plate: Plate, target: Axis, hand: Hand, kind: int) -> Made:
    """Write one plate of the golfer's frame into the laboratory's."""
    frame = frame_of(target, "+z", hand)
    mirror = np.array([1.0, -1.0, 1.0]) if frame.is_mirrored else np.ones(3)
    turn = frame.turn.T * mirror  # back: mirror first, then turn
    loaded = np.isfinite(plate.cop_m[:, 0])
    cop = np.where(loaded[:, None], plate.cop_m, 0.0)
    place = np.column_stack([cop, np.zeros(len(cop))]) @ turn.T
    middle = place[loaded].mean(axis=0)
    twist = np.where(loaded, plate.free_moment_nm, 0.0) * (-1.0 if frame.is_mirrored else 1.0)
    return Made(
        force_n=plate.force_n @ turn.T,
        place_mm=1000.0 * np.where(loaded[:, None], place, middle)[:, :2],
        twist_nmm=1000.0 * twist,
        kind=kind,
        centre_mm=1000.0 * middle,
    )


def measured(recording: Recording) -> PlateSwing:
    found = swing_of(recording, Impact(time_s=MADE.impact_s, source="trigger channel"))
    assert isinstance(found, PlateSwing)
    return found


@pytest.mark.parametrize("kind", [2, 3])
@pytest.mark.parametrize("target", ["+y", "-x"])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_swing_through_a_c3d_file(kind: int, target: Axis, hand: Hand) -> None:
    plates = [in_laboratory(plate, target, hand, kind) for plate in TRUE.plates]
    read = read_c3d(written(plates), Choices(hand=hand, target=target))
    assert [plate.foot for plate in read.plates] == [plate.foot for plate in TRUE.plates]
    for ours, true in zip(read.plates, TRUE.plates, strict=True):
        both = np.isfinite(ours.cop_m[:, 0]) & np.isfinite(true.cop_m[:, 0])
        assert np.abs(ours.force_n - true.force_n).max() < 1e-3
        assert np.abs(ours.cop_m - true.cop_m)[both].max() < 2e-5
        assert np.abs(ours.free_moment_nm - true.free_moment_nm)[both].max() < 5e-3
    same(measured(read), measured(TRUE))


def same(found: PlateSwing, true: PlateSwing) -> None:
    assert found.weighing.mass_kg == pytest.approx(true.weighing.mass_kg, abs=1e-3)
    for ours, theirs in ((found.lead, true.lead), (found.trail, true.trail)):
        assert ours is not None
        assert theirs is not None
        assert ours.peak_n == pytest.approx(theirs.peak_n, abs=0.01)
        assert ours.peak_s == pytest.approx(theirs.peak_s, abs=1e-9)
        assert ours.impulse_ns == pytest.approx(theirs.impulse_ns, abs=0.01)


def test_a_swing_finds_its_feet_and_its_target_by_the_finish() -> None:
    plates = [in_laboratory(plate, "-x", "right", 2) for plate in TRUE.plates]
    read = read_c3d(written(plates))
    assert [plate.foot for plate in read.plates] == [plate.foot for plate in TRUE.plates]
    assert read.source.turned == "target at -x, up at +z of the laboratory"


def test_a_swing_through_a_table() -> None:
    columns = {"time [s]": TRUE.time_s}
    for plate in TRUE.plates:
        names = {
            "Fx [N]": plate.force_n[:, 0],
            "Fy [N]": plate.force_n[:, 1],
            "Fz [N]": plate.force_n[:, 2],
            "COPx [m]": np.nan_to_num(plate.cop_m[:, 0]),
            "COPy [m]": np.nan_to_num(plate.cop_m[:, 1]),
            "Tz [Nm]": np.nan_to_num(plate.free_moment_nm),
        }
        columns |= {f"{plate.foot} {name}": values for name, values in names.items()}
    read = read_recording(table(columns, decimals=9)).recording
    assert read is not None
    same(measured(read), measured(TRUE))
