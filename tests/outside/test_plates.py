"""Force plates against an independent program and what a plate maker exports, on recordings."""

import io
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from leadfoot.ground.c3d import read_c3d
from leadfoot.ground.channels import centre_and_twist, push_of_eight
from leadfoot.ground.choices import Choices
from leadfoot.ground.findings import unloaded_stretches
from leadfoot.ground.frame import frame_of
from leadfoot.ground.read import read_recording
from leadfoot.ground.recording import Plate, Recording
from leadfoot.ground.table_columns import ForceMapping, ForceRule
from leadfoot.ground.table_terms import QUANTITIES
from leadfoot.ground.together import cop_together, free_moment_together
from tests.ground.c3d_files import written
from tests.ground.people import swaying
from tests.recordings import recording

Values = NDArray[np.float64]

A_M, B_M, DEPTH_M = 0.210, 0.350, -0.052
"""Half distances and depth of the sensors by which the plate maker's program computed."""


def second_opinion(data: bytes, folder: Path) -> list[dict[str, Values]]:
    """Let the independent program read a file; forces in N, lengths in mm, moments in N mm."""
    ezc3d = pytest.importorskip("ezc3d")
    file = folder / "recording.c3d"
    file.write_bytes(data)
    platforms = ezc3d.c3d(str(file), extract_forceplat_data=True)["data"]["platform"]
    return [dict(platform) for platform in platforms]


def compare(plate: Plate, theirs: dict[str, Values], *, sign: float, mm: float, nmm: float) -> None:
    known = np.isfinite(plate.cop_m[:, 0]) & (plate.vertical_n > 100.0)
    assert known.sum() > 100
    assert np.abs(plate.force_n - sign * theirs["force"].T)[known].max() < 2e-3
    place = theirs["center_of_pressure"].T[known, :2]
    assert np.abs(1000.0 * plate.cop_m[known] - place).max() < mm
    twist = sign * theirs["Tz"].T[known, 2]
    assert np.abs(1000.0 * plate.free_moment_nm[known] - twist).max() < nmm


@pytest.mark.parametrize("kind", [1, 2, 3, 4])
def test_invented_plates(kind: int, tmp_path: Path) -> None:
    # source: ezc3d; place: its force-platform filter; tolerance: its channels are 32-bit floats
    matrix = np.eye(6) * [200.0, 180.0, 410.0, 90.0, 95.0, 70.0]
    matrix[0, 2] = 4.0
    data = written([swaying(kind, matrix=matrix)])
    (theirs,) = second_opinion(data, tmp_path)
    compare(read_c3d(data).plates[0], theirs, sign=1.0, mm=1e-3, nmm=0.6)


@pytest.mark.parametrize("kind", [2, 3, 4])
@pytest.mark.parametrize("turned", [False, True])
def test_the_point_of_the_list(kind: int, turned: bool) -> None:
    # source: c3d_standard; place: F (40, -25, 900) N at (700, 1300) mm, Tz 6000 N mm, x at -X,
    # y at +Y, z down, middle (600, 1200) mm; tolerance: 1e-3 mm, 0.1 N mm
    still = np.ones((20, 1))
    made = swaying(kind, n=20)
    made.force_n, made.place_mm = still * [40.0, -25.0, 900.0], still * [700.0, 1300.0]
    made.twist_nmm = np.full(20, 6000.0)
    x, y, z = made.origin()
    if turned:
        made.written_origin_mm = (x, y, -z) if kind == 3 else (-x, -y, -z)
    read = read_c3d(written([made]))
    (plate,) = read.plates
    assert plate.force_n[0] == pytest.approx([40.0, -25.0, 900.0], abs=1e-4)
    assert 1000.0 * plate.cop_m[0] == pytest.approx([700.0, 1300.0], abs=1e-3)
    assert 1000.0 * plate.free_moment_nm[0] == pytest.approx(6000.0, abs=0.1)
    assert turned == any(remark.kind == "origin_sign" for remark in read.remarks)


def test_the_known_fault_of_the_independent_program(tmp_path: Path) -> None:
    # source: ezc3d; place: ORIGIN z = +52 mm on a plate of type 3; tolerance: 0.1 mm
    # It turns the whole of ORIGIN over, the distances of the sensors too, and mirrors the place.
    still = np.ones((200, 1))
    made = swaying(3, n=200)
    made.force_n = still * [40.0, -25.0, 900.0]
    made.place_mm = still * [700.0, 1300.0]
    made.twist_nmm = np.full(200, 6000.0)
    made.written_origin_mm = (120.0, 200.0, 52.0)
    data = written([made])
    (theirs,) = second_opinion(data, tmp_path)
    assert theirs["center_of_pressure"][:2, 0] == pytest.approx([504.6, 1097.1], abs=0.1)
    assert theirs["Tz"][2, 0] == pytest.approx(-6000.0, abs=0.5)
    ours = read_c3d(data).plates[0]
    assert 1000.0 * ours.cop_m[0] == pytest.approx([700.0, 1300.0], abs=1e-3)
    assert ours.free_moment_nm[0] == pytest.approx(6.0, abs=1e-4)


def test_a_recording_of_type_two(tmp_path: Path) -> None:
    # source: ezc3d; place: plate 1; tolerance: 0.001 mm
    data = recording("jump_with_points")
    theirs = second_opinion(data, tmp_path)
    compare(read_c3d(data).plates[0], theirs[0], sign=1.0, mm=0.001, nmm=0.01)


@pytest.mark.parametrize("name", ["jump_one_plate", "drop_two_plates", "standing"])
def test_recordings_of_type_three_with_their_origin_turned(name: str, tmp_path: Path) -> None:
    # source: ezc3d; place: the same file with ORIGIN z made negative; tolerance: 1e-3 mm
    data = recording(name)
    turned = bytearray(data)
    at = data.index(np.array([210.0, 350.0, 58.0], dtype="<f4").tobytes())
    plus, minus = (np.array([z], dtype="<f4").tobytes() for z in (58.0, -58.0))
    for _ in range(2 if name == "drop_two_plates" else 1):
        place = data.index(plus, at)
        turned[place : place + 4] = minus
        at = place + 4
    theirs = second_opinion(bytes(turned), tmp_path)
    ours = read_c3d(data)
    for plate, other in zip(ours.plates, theirs, strict=True):
        compare(plate, other, sign=1.0, mm=1e-3, nmm=0.6)


def export(name: str) -> tuple[list[str], Values]:
    """Read the plate maker's table the plain way: names, and numbers by row."""
    lines = recording(name).decode("cp1252").splitlines()
    header = next(place for place, line in enumerate(lines) if line.startswith("abs time"))
    numbers = np.loadtxt(io.StringIO("\n".join(lines[header + 2 :])), delimiter="\t")
    return lines[header].split("\t"), numbers


EXPORTS = [
    ("jump_one_plate_table", 0, DEPTH_M),
    ("standing_table", 0, -0.057),
    ("drop_two_plates_table", 0, DEPTH_M),
    ("drop_two_plates_table", 1, DEPTH_M),
]


@pytest.mark.parametrize(("name", "place", "depth_m"), EXPORTS)
def test_eight_channels_against_the_plate_maker(name: str, place: int, depth_m: float) -> None:
    # source: plate_export; place: samples above 200 N; tolerance: digits as printed
    # The depth is the program's own: 52 mm, and 57 mm in the recording of 2014.
    _, numbers = export(name)
    columns = numbers[:, 1 + 17 * place : 18 + 17 * place].T
    push = push_of_eight(columns[3:11], np.array([A_M, B_M, depth_m]))
    loaded = columns[2] > 200.0
    place_m, twist_nm = centre_and_twist(push, loaded)
    assert np.abs(push.force_n - columns[:3]).max() < 1e-4
    assert np.abs(place_m - columns[15:17])[:, loaded].max() < 1e-6
    assert np.abs(twist_nm - columns[14])[loaded].max() < 1e-5


def test_the_export_of_a_type_two_plate_is_the_force_of_the_person() -> None:
    # source: plate_export; place: plate 1, above 100 N; tolerance: 0.001 mm
    ours = read_c3d(recording("jump_with_points")).plates[0]
    lines = recording("jump_with_points_table").decode("utf-8-sig").splitlines()[5 : 5 + 16_000]
    theirs = np.array([line.split(",")[2:11] for line in lines], dtype=np.float64)
    known = ours.vertical_n > 100.0
    assert np.abs(ours.force_n + theirs[:, :3])[known].max() < 0.01
    assert np.abs(1000.0 * ours.cop_m - theirs[:, 6:8])[known].max() < 0.001


WEIGHTS = [
    ("jump_one_plate", 0, (0.0, 1.0), 765.680, 2.062),
    ("jump_with_points", 0, (2.4, 3.4), 751.710, 5.896),
]


@pytest.mark.parametrize(("name", "place", "window", "weight_n", "spread_n"), WEIGHTS)
def test_weights(
    name: str, place: int, window: tuple[float, float], weight_n: float, spread_n: float
) -> None:
    # source: open_jumps; place: the window in s; tolerance: 0.01 N
    read = read_c3d(recording(name))
    first, last = (round(edge * read.rate_hz) for edge in window)
    vertical_n = read.plates[place].vertical_n[first:last]
    assert float(vertical_n.mean()) == pytest.approx(weight_n, abs=0.01)
    assert float(vertical_n.std(ddof=1)) == pytest.approx(spread_n, abs=0.01)


def test_one_person_on_two_plates() -> None:
    # source: open_jumps; place: standing on plate 2 in the first second, on plate 1 from 6 to 8 s;
    # tolerance: 0.01 N
    read = read_c3d(recording("drop_two_plates"))
    after, before = (
        float(plate.vertical_n[part].mean())
        for plate, part in zip(read.plates, (slice(6000, 8000), slice(0, 1000)), strict=True)
    )
    assert before == pytest.approx(587.98, abs=0.01)
    assert after == pytest.approx(589.48, abs=0.01)


def test_an_offset_is_found_in_free_flight() -> None:
    # source: open_jumps; place: 4.35 to 4.85 s of plate 1; tolerance: 0.5 N
    read = read_c3d(recording("jump_with_points"))
    (remark,) = (one for one in read.remarks if one.kind == "offset")
    assert remark.plate == "plate 1"
    assert float(remark.text.split(" reads ")[1].split(" N")[0]) == pytest.approx(6.496, abs=0.5)
    first, last = unloaded_stretches(read.plates[0].vertical_n, 2000.0, 750.0)[0]
    assert first < 4.35 * 2000 < 4.85 * 2000 < last + 100


BARE = ForceMapping(
    columns=tuple(
        ForceRule(header=f"column {place + 1}", quantity=quantity, plate=1 + place // 6)
        for place, quantity in enumerate(QUANTITIES[1:7] * 2)
    )
)
"""Twelve columns without a header: three forces and three moments of two plates."""


def from_table(name: str, **more: Any) -> Recording:
    read = read_recording(recording(name), **more).recording
    assert read is not None
    return read


def test_a_foot_on_each_plate_of_a_bare_table() -> None:
    # source: open_jumps; place: 6.3 to 7.3 s; tolerance: 0.01 N, and 0.05 N as printed
    read = from_table("jump_two_plates_table", mapping=BARE, choices=Choices(rate_hz=2000.0))
    window = slice(12_600, 14_600)
    assert float(read.vertical_n[window].mean()) == pytest.approx(723.186, abs=0.01)
    assert float(read.vertical_n[window].std(ddof=1)) == pytest.approx(1.583, abs=0.001)
    means = [float(plate.vertical_n[window].mean()) for plate in read.plates]
    assert means == pytest.approx([359.6, 363.6], abs=0.05)
    sideways = read.force_n[window].mean(axis=0)[:2]
    assert sorted(abs(sideways)) == pytest.approx([2.6, 4.0], abs=0.05)
    greatest = [float(plate.vertical_n.max()) for plate in read.plates]
    assert greatest == pytest.approx([1339.9, 1477.6], abs=0.05)


def test_standing_with_sway_as_a_table() -> None:
    # source: open_jumps; place: all of it; tolerance: half a unit of the last printed digit
    read = from_table("standing_table")
    (plate,) = read.plates
    assert read.rate_hz == 50.0
    assert float(plate.vertical_n.mean()) == pytest.approx(666.26, abs=0.005)
    assert float(plate.vertical_n.std(ddof=1)) == pytest.approx(21.4, abs=0.05)
    ranges = 1000.0 * (plate.cop_m.max(axis=0) - plate.cop_m.min(axis=0))
    assert ranges == pytest.approx([61.5, 54.2], abs=0.05)
    steps = np.linalg.norm(np.diff(plate.cop_m, axis=0), axis=1)
    assert 1000.0 * float(steps.sum()) == pytest.approx(1054.0, abs=0.5)


@pytest.mark.parametrize("name", ["jump_one_plate", "drop_two_plates"])
def test_a_recording_and_its_table_say_the_same(name: str) -> None:
    # source: plate_export; place: forces of all samples; tolerance: the file stores each of
    # four channels in steps of 0.16 N: one step apart in the middle, two in every channel at most
    file, rows = read_c3d(recording(name)), from_table(f"{name}_table")
    assert rows.rate_hz == file.rate_hz
    for ours, theirs in zip(file.plates, rows.plates, strict=True):
        off_n = np.abs(ours.vertical_n - theirs.vertical_n)
        assert float(np.median(off_n)) < 0.16
        assert float(off_n.max()) < 8 * 0.16
        assert ours.foot == theirs.foot


def test_a_table_of_the_force_of_the_person_is_turned_over() -> None:
    # source: plate_export; place: all samples of plate 1; tolerance: digits as printed
    file, rows = read_c3d(recording("jump_with_points")), from_table("jump_with_points_table")
    assert (rows.source.sign, rows.rate_hz, len(rows)) == (-1, 2000.0, 16_000)
    ours, theirs = file.plates[0], rows.plates[0]
    known = ours.vertical_n > 100.0
    assert np.abs(ours.force_n - theirs.force_n)[known].max() < 0.01
    assert np.abs(ours.cop_m - theirs.cop_m)[known].max() < 1e-6
    assert np.abs(ours.free_moment_nm - theirs.free_moment_nm)[known].max() < 1e-3


def feet() -> Recording:
    one = np.ones((1, 1))
    return Recording(
        rate_hz=1000.0,
        plates=(
            Plate(
                name="lead",
                foot="lead",
                force_n=one * [60.0, -110.0, 1000.0],
                cop_m=one * [0.0, 0.25],
                free_moment_nm=np.array([12.0]),
            ),
            Plate(
                name="trail",
                foot="trail",
                force_n=one * [-40.0, 70.0, 250.0],
                cop_m=one * [0.03, -0.27],
                free_moment_nm=np.array([-5.0]),
            ),
        ),
    )


def test_two_plates_as_one() -> None:
    # source: c3d_standard; place: sums of moments, worked by hand; tolerance: exact
    assert cop_together(feet())[0] == pytest.approx([0.006, 0.146], abs=1e-12)
    assert free_moment_together(feet())[0] == pytest.approx(-13.54, abs=1e-9)


def test_the_mirror_twice_is_no_mirror() -> None:
    # source: c3d_standard; place: a mirror is its own inverse; tolerance: exact
    data = written([swaying(2)])
    right = read_c3d(data, Choices(target="+y")).plates[0]
    left = read_c3d(data, Choices(target="+y", hand="left")).plates[0]
    # the same golfer seen in a mirror: ball on the other side, all turning the other way
    assert np.abs(left.force_n * [-1.0, 1.0, 1.0] - right.force_n).max() < 1e-12
    assert np.nanmax(np.abs(left.free_moment_nm + right.free_moment_nm)) < 1e-12
    mirror = frame_of("+y", "+z", "left")
    vectors = right.force_n.T
    assert np.abs(mirror.vector(mirror.vector(vectors)) - vectors).max() < 1e-12
    assert np.abs(mirror.moment(mirror.moment(vectors)) - vectors).max() < 1e-12


def test_a_pressure_mat_has_no_sideways_force_and_no_moment() -> None:
    # source: open_jumps; place: vertical force and place of a recording, as a mat would see it;
    # tolerance: none, the fields are empty
    whole = read_c3d(recording("jump_one_plate")).plates[0]
    rows = np.column_stack([whole.vertical_n, np.nan_to_num(whole.cop_m)])[:2000]
    lines = ["Fz [N],COP x [m],COP y [m]", *(",".join(map(str, row)) for row in rows)]
    read = read_recording("\n".join(lines).encode(), choices=Choices(rate_hz=1000.0)).recording
    assert read is not None
    (mat,) = read.plates
    assert mat.sees == "vertical_and_cop"
    assert np.isnan(mat.force_n[:, :2]).all()
    assert np.isnan(mat.free_moment_nm).all()
    assert np.isnan(free_moment_together(read)).all()
    assert np.abs(mat.cop_m - whole.cop_m[:2000]).max() < 1e-12
