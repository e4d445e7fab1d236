"""C3D files with known forces: types, traps, processors, units, signs, frames."""

import numpy as np
import pytest

from leadfoot.errors import InputError
from leadfoot.ground.c3d import read_c3d
from leadfoot.ground.c3d_file import read_c3d_file
from leadfoot.ground.choices import Choices
from leadfoot.ground.recording import Plate, Recording
from tests.ground.c3d_files import DEC, INTEL, MIPS, Made, written
from tests.ground.people import N, swaying

CAL = np.eye(6) * [200.0, 180.0, 410.0, 90.0, 95.0, 70.0]
CAL[0, 2], CAL[1, 0], CAL[3, 1] = 4.0, -6.0, 1.5


def kinds(recording: Recording) -> set[str]:
    return {remark.kind for remark in recording.remarks if remark.weight != "note"}


def check(plate: Plate, made: Made, *, place_mm: float = 1e-3, twist_nmm: float = 0.5) -> None:
    """Compare with the truth; the laboratory's axes are the golfer's."""
    assert np.abs(plate.force_n - made.force_n).max() < 2e-4
    assert np.abs(1000.0 * plate.cop_m - made.place_mm).max() < place_mm
    assert np.abs(1000.0 * plate.free_moment_nm - made.twist_nmm).max() < twist_nmm


@pytest.mark.parametrize("kind", [1, 2, 3, 4])
def test_every_type_gives_the_truth(kind: int) -> None:
    made = swaying(kind, matrix=CAL)
    recording = read_c3d(written([made]))
    (plate,) = recording.plates
    check(plate, made)
    assert recording.rate_hz == 1000.0
    assert plate.foot == "both"
    assert kinds(recording) == {"target", "unconfirmed"}
    assert np.abs(1000.0 * plate.corners_m[:, :2] - made.corners_mm()[:, :2]).max() < 1e-3  # type: ignore[index]


@pytest.mark.parametrize("processor", [INTEL, DEC, MIPS])
@pytest.mark.parametrize("is_float", [True, False])
def test_every_processor_and_both_kinds_of_numbers(processor: int, is_float: bool) -> None:
    made = swaying(2)
    data = written([made], processor=processor, is_float=is_float, per_frame=10, n_points=3)
    (plate,) = read_c3d(data).plates
    step_n = np.abs(made.force_n).max(axis=0) / 30_000.0
    assert (np.abs(plate.force_n - made.force_n) < (1.1 * step_n if not is_float else 2e-4)).all()
    assert np.abs(1000.0 * plate.cop_m - made.place_mm).max() < 0.1


def test_whole_numbers_without_sign() -> None:
    made = swaying(2)
    (plate,) = read_c3d(written([made], is_float=False, unsigned=True)).plates
    assert np.abs(plate.force_n - made.force_n).max() < 0.05


@pytest.mark.parametrize("kind", [2, 3, 4])
def test_an_origin_with_the_wrong_sign_is_repaired_and_told(kind: int) -> None:
    made = swaying(kind, matrix=CAL)
    x, y, z = made.origin()
    made.written_origin_mm = (x, y, -z) if kind == 3 else (-x, -y, -z)
    recording = read_c3d(written([made]))
    check(recording.plates[0], made)
    (remark,) = (one for one in recording.remarks if one.kind == "origin_sign")
    assert remark.weight == "doubt"
    said = {3: "ORIGIN z of plate 1 is +52 mm where the standard has it negative: its depth alone"}
    assert remark.text.startswith(said.get(kind, "ORIGIN z of plate 1 is +41 mm"))


def test_type_three_with_its_origin_upside_down_gives_the_point_of_the_sheet() -> None:
    still = np.ones((20, 1))
    made = Made(
        force_n=still * [40.0, -25.0, 900.0],
        place_mm=still * [700.0, 1300.0],
        twist_nmm=np.full(20, 6000.0),
        kind=3,
        written_origin_mm=(120.0, 200.0, 52.0),
    )
    (plate,) = read_c3d(written([made])).plates
    assert 1000.0 * plate.cop_m[0] == pytest.approx([700.0, 1300.0], abs=1e-3)
    assert 1000.0 * plate.free_moment_nm[0] == pytest.approx(6000.0, abs=0.1)


@pytest.mark.parametrize("kind", [1, 2, 3, 4])
def test_missing_units_are_told_by_the_size_of_the_plate(kind: int) -> None:
    made = swaying(kind, matrix=CAL)
    recording = read_c3d(written([made], parameters={("POINT", "UNITS"): None}))
    check(recording.plates[0], made)
    assert recording.source.length_unit == "mm"
    assert "POINT:UNITS is missing; the sides of the plates are 500" in recording.source.unit_reason


def test_a_unit_that_does_not_fit_the_plate_is_doubted() -> None:
    made = swaying(2)
    recording = read_c3d(written([made], parameters={("POINT", "UNITS"): ["m"]}))
    check(recording.plates[0], made)
    assert "length_unit" in kinds(recording)


def test_moments_in_another_unit_than_said_are_found_by_the_place() -> None:
    made = swaying(2, origin_mm=(0.0, 0.0, -1e-3))
    units = ["N", "N", "N", "Nm", "Nm", "Nm"]
    recording = read_c3d(written([made], parameters={("ANALOG", "UNITS"): units}))
    check(recording.plates[0], made)
    assert "moment_unit" in kinds(recording)


def test_without_points_the_rate_is_that_of_the_channels() -> None:
    data = written([swaying(2)], parameters={("POINT", "RATE"): 0.0})
    assert read_c3d(data).rate_hz == 1000.0
    assert read_c3d(data, Choices(rate_hz=500.0)).rate_hz == 500.0
    other = read_c3d(written([swaying(2)], parameters={("ANALOG", "RATE"): 1200.0}))
    assert "rate" in kinds(other)
    none = {("ANALOG", "RATE"): None, ("POINT", "RATE"): None}
    assert read_c3d(written([swaying(2)], parameters=none)).rate_hz == 1000.0


def test_the_force_of_the_person_on_the_ground_is_turned_over() -> None:
    made = swaying(3)
    turned = swaying(3)
    turned.force_n, turned.twist_nmm = -made.force_n, -made.twist_nmm
    recording = read_c3d(written([turned]))
    check(recording.plates[0], made)
    assert recording.source.sign == -1
    assert recording.source.sign_reason.endswith("of the person on the ground, turned over")
    kept = read_c3d(written([turned]), Choices(sign=1))
    assert kept.plates[0].vertical_n.max() < 0.0


def test_an_unloaded_plate_has_no_centre_of_pressure() -> None:
    made = swaying(2)
    made.force_n[1500:2000] = 3.0
    (plate,) = read_c3d(written([made])).plates
    assert np.isnan(plate.cop_m[1500:2000]).all()
    assert np.isnan(plate.free_moment_nm[1500:2000]).all()
    assert np.isfinite(plate.cop_m[:1500]).all()


def two(**more: object) -> list[Made]:
    """Stand with the right foot on plate 1 and the left on plate 2, further along +Y."""
    first, second = swaying(2, weight_n=450.0), swaying(2, weight_n=460.0, seed=6)
    for made, y in ((first, 1200.0), (second, 1900.0)):
        made.place_mm = made.place_mm - [0.0, 1200.0] + [0.0, y]
        made.centre_mm = np.array([600.0, y, 0.0])
    return [first, second]


def test_feet_by_the_target_and_the_target_by_feet() -> None:
    data = written(two())
    by_target = read_c3d(data, Choices(target="-y"))
    assert [plate.foot for plate in by_target.plates] == ["lead", "trail"]
    by_feet = read_c3d(data, Choices(feet=("lead", "trail")))
    assert by_feet.source.turned == "target at -y, up at +z of the laboratory"
    assert (by_feet.plates[0].force_n == by_target.plates[0].force_n).all()
    unknown = read_c3d(data)
    assert [plate.foot for plate in unknown.plates] == [None, None]
    assert "feet" in kinds(unknown)
    with pytest.raises(InputError, match="Feet are given for 1 plates; the recording has 2"):
        read_c3d(data, Choices(feet=("lead",)))


def test_the_finish_tells_the_lead_foot() -> None:
    first, second = two()
    first.force_n[2000:, 2] = 150.0 + 0.1 * first.force_n[2000:, 2]
    second.force_n[2000:, 2] = 720.0 + 0.1 * second.force_n[2000:, 2]
    recording = read_c3d(written([first, second]))
    assert [plate.foot for plate in recording.plates] == ["trail", "lead"]
    (remark,) = (one for one in recording.remarks if one.kind == "feet")
    assert remark.weight == "doubt"
    assert remark.text.startswith("Feet: plate 1 trail, plate 2 lead, by the load, 49 % at the st")


def test_the_frame_of_both_hands() -> None:
    made = swaying(2)
    data = written([made])
    right = read_c3d(data, Choices(target="+x")).plates[0]
    assert right.force_n[:, 0] == pytest.approx(-made.force_n[:, 1], abs=1e-3)
    assert right.force_n[:, 1] == pytest.approx(made.force_n[:, 0], abs=1e-3)
    left = read_c3d(data, Choices(target="+x", hand="left")).plates[0]
    assert left.force_n[:, 0] == pytest.approx(-right.force_n[:, 0], abs=1e-9)
    assert left.force_n[:, 1] == pytest.approx(right.force_n[:, 1], abs=1e-9)
    assert left.cop_m[:, 0] == pytest.approx(-right.cop_m[:, 0], abs=1e-9)
    assert left.free_moment_nm == pytest.approx(-right.free_moment_nm, abs=1e-9)
    with pytest.raises(InputError, match=r"can't lie in the direction \+z"):
        read_c3d(data, Choices(target="+z"))


def test_a_laboratory_with_y_up() -> None:
    made = swaying(2)
    tipped = np.array([[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]])  # Z becomes Y
    corners = made.corners_mm() @ tipped.T
    data = written([made], parameters={("FORCE_PLATFORM", "CORNERS"): corners[None]})
    plate = read_c3d(data, Choices(target="-z")).plates[0]
    assert np.abs(plate.force_n - made.force_n).max() < 1e-3


def test_a_mat_on_the_plate_moves_the_place_by_its_thickness_and_slope() -> None:
    made = swaying(2)
    bare = read_c3d(written([made])).plates[0]
    covered = read_c3d(written([made]), Choices(mat_m=0.03)).plates[0]
    moved = covered.cop_m - bare.cop_m
    slope = made.force_n[:, :2] / made.force_n[:, 2:]
    assert np.abs(moved - 0.03 * slope).max() < 1e-6
    assert read_c3d(written([made]), Choices(depth_m=0.041)).plates[0].cop_m == pytest.approx(
        bare.cop_m, abs=1e-6
    )


def test_crossed_corners_are_set_right_and_told() -> None:
    made = swaying(2, corner_order=(0, 1, 3, 2))
    recording = read_c3d(written([made]))
    check(recording.plates[0], made)
    assert "corners" in kinds(recording)


def test_channels_in_another_order_are_read_by_their_labels() -> None:
    made = swaying(3)
    order = np.array([5, 6, 7, 8, 1, 2, 3, 4])
    recording = read_c3d(written([made], parameters={("FORCE_PLATFORM", "CHANNEL"): order[None]}))
    check(recording.plates[0], made)
    assert "channel_order" in kinds(recording)


def test_a_transposed_matrix_shows_sideways() -> None:
    made = swaying(4, matrix=CAL, weight_n=800.0)
    data = written([made], parameters={("FORCE_PLATFORM", "CAL_MATRIX"): CAL[None]})
    assert "sideways" in kinds(read_c3d(data))


@pytest.mark.parametrize("kind", [0, 5, 6, 7, 11, 12, 21])
def test_types_that_are_not_read_are_explained(kind: int) -> None:
    both = {("FORCE_PLATFORM", "TYPE"): [kind]}
    with pytest.raises(InputError) as caught:
        read_c3d(written([swaying(2)], parameters=both))
    assert str(caught.value) == (
        f"Plate 1 is left out: It is of type {kind}; types 1, 2, 3 and 4 are read, for which the "
        "open standard says how its channels become forces. Export the recording with computed "
        "forces, which is type 2."
    )


def test_a_plate_that_can_not_be_read_costs_no_other() -> None:
    first, second = two()
    recording = read_c3d(written([first, second], parameters={("FORCE_PLATFORM", "TYPE"): [21, 2]}))
    assert [plate.name for plate in recording.plates] == ["plate 2"]
    assert "unread_plate" in kinds(recording)


def test_marks_and_trigger() -> None:
    pulse = np.zeros(N)
    pulse[1234] = 5.0
    recording = read_c3d(written([swaying(2)], extra={"Trigger": pulse}, events=[("HIT ", 1.234)]))
    assert recording.trigger_name == "Trigger"
    assert recording.trigger is not None
    assert int(recording.trigger.argmax()) == 1234
    ((mark),) = recording.marks
    assert (mark.label, round(mark.time_s, 4)) == ("HIT", 1.234)


def test_a_long_file_is_read_to_its_end() -> None:
    made = swaying(2, n=70_000)
    longer = {("POINT", "LONG_FRAMES"): 70_000.0}
    for parameters in (longer, {}):
        file = read_c3d_file(written([made], parameters=parameters))
        assert file.values.shape == (6, 70_000)
        assert file.remarks == ()


def test_a_file_cut_short_is_read_and_told() -> None:
    data = written([swaying(2)])
    recording = read_c3d(data[: len(data) - 30_000])
    assert "cut_short" in kinds(recording)
    assert 1000 < len(recording) < N
