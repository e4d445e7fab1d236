"""Tables of forces: columns, units, clocks, plates, mats, mappings, and what is said of them."""

from io import BytesIO

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook

from leadfoot.errors import InputError, MappingError
from leadfoot.ground.choices import Choices
from leadfoot.ground.clock import clock_of
from leadfoot.ground.recording import Recording
from leadfoot.ground.table import ForceReading, read_force_table
from leadfoot.ground.table_columns import ForceMapping, ForceRule
from tests.ground.force_tables import stance, table

ONE = stance(share=1.0)


def recorded(data: bytes, choices: Choices | None = None) -> Recording:
    reading = read_force_table(data, choices=choices)
    assert reading.recording is not None, reading.questions
    return reading.recording


def kinds(recording: Recording) -> set[str]:
    return {remark.kind for remark in recording.remarks if remark.weight != "note"}


def test_time_and_vertical_force() -> None:
    recording = recorded(table({"Time (s)": ONE["time"], "Fz (N)": ONE["fz"]}))
    (plate,) = recording.plates
    assert (recording.rate_hz, plate.sees, plate.foot) == (1000.0, "vertical", "both")
    assert np.abs(plate.vertical_n - ONE["fz"]).max() < 1e-6
    assert np.isnan(plate.force_n[:, :2]).all()
    assert np.isnan(plate.cop_m).all()
    assert np.isnan(plate.free_moment_nm).all()


SHAPES = [
    ("time [s]", "vertical force [N]", 1.0, 1.0),
    ("Zeit [ms]", "Kraft [kN]", 1000.0, 0.001),
    ("temps (s)", "force verticale (N)", 1.0, 1.0),
    ("tid s", "kraft N", 1.0, 1.0),
    ("時間 [s]", "鉛直力 [N]", 1.0, 1.0),
    ("Time", "Load (kg)", 1.0, 1.0 / 9.80665),
    ("time_ms", "GRF_N", 1000.0, 1.0),
]


@pytest.mark.parametrize(("time", "force", "to_time", "to_force"), SHAPES)
@pytest.mark.parametrize("marks", [",.", ";,", "\t.", "\t,"])
def test_words_units_and_marks(
    time: str, force: str, to_time: float, to_force: float, marks: str
) -> None:
    mark, decimal = marks[0], marks[1]
    columns = {time: ONE["time"] * to_time, force: ONE["fz"] * to_force}
    recording = recorded(table(columns, mark=mark, decimal=decimal, decimals=7))
    assert recording.rate_hz == 1000.0
    assert np.abs(recording.vertical_n - ONE["fz"]).max() < 0.001


@pytest.mark.parametrize("by", ["place and twist", "moments", "place and moments"])
@pytest.mark.parametrize("length", ["m", "mm"])
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_six_channels(by: str, length: str, sign: float) -> None:
    to = {"m": 1.0, "mm": 1000.0}[length]
    named = {
        "Fx": ("fx", sign), "Fy": ("fy", sign), "Fz": ("fz", sign),
        "Mx": ("mx", sign * to), "My": ("my", sign * to), "Mz": ("mz", sign * to),
        "COPx": ("cx", to), "COPy": ("cy", to), "Tz": ("tz", sign * to),
    }  # fmt: skip
    left_out = {"place and twist": "Mx My Mz", "moments": "COPx COPy Tz", "place and moments": "Tz"}
    unit = {"F": "N", "M": "N" + length, "T": "N" + length, "C": length}
    columns = {"time [s]": ONE["time"]} | {
        f"{name} [{unit[name[0]]}]": ONE[key] * factor
        for name, (key, factor) in named.items()
        if name not in left_out[by].split()
    }
    recording = recorded(table(columns))
    (plate,) = recording.plates
    assert recording.source.sign == sign
    assert np.abs(plate.cop_m[:, 0] - ONE["cx"]).max() < 1e-5
    assert np.abs(plate.cop_m[:, 1] - ONE["cy"]).max() < 1e-5
    assert np.abs(plate.free_moment_nm - ONE["tz"]).max() < 1e-4
    assert np.abs(plate.force_n[:, 0] - ONE["fx"]).max() < 1e-5


def test_moments_about_the_plate_and_places_in_the_laboratory() -> None:
    columns = {name: ONE[name] for name in ("time", "fx", "fy", "fz", "mx", "my", "mz")}
    columns |= {"cx": ONE["cx"] + 3.0, "cy": ONE["cy"] + 1.5}
    (plate,) = recorded(table(columns), Choices(length_unit="m")).plates
    assert np.abs(plate.cop_m[:, 0] - ONE["cx"] - 3.0).max() < 1e-5
    assert np.abs(plate.free_moment_nm - ONE["tz"]).max() < 1e-4


def two_plates(names: tuple[str, str]) -> bytes:
    lead, trail = stance(share=0.55), stance(share=0.45, seed=4)
    columns = {"Time [s]": lead["time"]}
    for name, plate, y in ((names[0], trail, -0.25), (names[1], lead, 0.25)):
        columns[f"{name} Fz [N]"] = plate["fz"]
        columns[f"{name} COP x [mm]"] = 1000.0 * plate["cx"]
        columns[f"{name} COP y [mm]"] = 1000.0 * (plate["cy"] + y)
    return table(columns)


def test_a_pressure_mat_in_two_halves() -> None:
    recording = recorded(two_plates(("right", "left")))
    assert [plate.foot for plate in recording.plates] == ["trail", "lead"]
    assert recording.sees == "vertical_and_cop"
    assert recording.source.turned == "target at +y, up at +z of the laboratory"
    for plate in recording.plates:
        assert np.isnan(plate.force_n[:, :2]).all()
        assert np.isnan(plate.free_moment_nm).all()
    lefty = recorded(two_plates(("right", "left")), Choices(hand="left"))
    assert [plate.foot for plate in lefty.plates] == ["lead", "trail"]
    assert lefty.source.turned.startswith("target at -y")
    assert float(lefty.plates[0].cop_m[0, 1]) > float(lefty.plates[1].cop_m[0, 1])


def test_feet_as_given() -> None:
    recording = recorded(two_plates(("A", "B")), Choices(feet=("trail", "lead")))
    assert [plate.foot for plate in recording.plates] == ["trail", "lead"]


def test_places_on_each_plate_of_its_own_are_told() -> None:
    one, two = stance(share=0.55), stance(share=0.45, seed=4)
    columns = {"time": one["time"]}
    for number, plate in ((1, one), (2, two)):
        columns |= {f"{name}{number}": plate[name] for name in ("fz", "cx", "cy")}
    assert "own_places" in kinds(recorded(table(columns)))


def test_group_rows_units_rows_and_a_rate_above() -> None:
    one = stance(share=0.5)
    above = "Sampling rate,1000\nPlate 1,,Plate 2,,All plates total,\n"
    columns = {"Fz": one["fz"], "Fx": one["fx"]}
    rows = table(columns, header=False).decode().splitlines()
    lines = [f"{row},{row},{row}" for row in rows]
    text = above + "Fz,Fx,Fz,Fx,Fz,Fx\nN,N,N,N,N,N\n" + "\n".join(lines)
    reading = read_force_table(text.encode())
    assert [(c.quantity, c.plate) for c in reading.columns] == [
        ("fz", 1), ("fx", 1), ("fz", 2), ("fx", 2), (None, None), (None, None),
    ]  # fmt: skip
    assert reading.recording is not None
    assert reading.recording.rate_hz == 1000.0
    assert np.abs(reading.recording.vertical_n - 2.0 * one["fz"]).max() < 1e-5


def bare() -> bytes:
    one = stance()
    columns = {name: one[name] for name in ("fx", "fy", "fz", "mx", "my", "mz")}
    return table(columns, header=False)


def test_bare_columns_are_asked_once_and_remembered() -> None:
    asked = read_force_table(bare())
    assert asked.recording is None
    assert asked.questions[0].startswith("No column is known as a vertical force; say what these")
    assert "samples a second" in asked.questions[1]
    names: tuple[str, ...] = ("fx", "fy", "fz", "mx", "my", "mz")
    rules = tuple(
        ForceRule(header=column.header, quantity=name, plate=1, unit=None)  # type: ignore[arg-type]
        for column, name in zip(asked.columns, names, strict=True)
    )
    mapping = ForceMapping.from_json(ForceMapping(columns=rules).to_json())
    again = read_force_table(bare(), mapping=mapping, choices=Choices(rate_hz=1000.0))
    assert again.header_key == asked.header_key
    assert again.recording is not None
    assert again.mapping() == mapping
    assert np.abs(again.recording.plates[0].cop_m[:, 0] - stance()["cx"]).max() < 1e-4


def test_a_mapping_wins_over_the_words_and_must_fit() -> None:
    data = table({"time": ONE["time"], "alpha": ONE["fz"], "fz": ONE["fz"] * 0.0 + 5.0})
    rules = (
        ForceRule(header="alpha", quantity="fz", plate=1, unit="N"),
        ForceRule(header="fz", quantity=None),
    )
    reading = read_force_table(data, mapping=ForceMapping(columns=rules))
    assert reading.recording is not None
    assert np.abs(reading.recording.vertical_n - ONE["fz"]).max() < 1e-5
    other = ForceMapping(columns=(ForceRule(header="beta", quantity="fz", plate=1),))
    with pytest.raises(MappingError, match=r"The mapping fits no column of this table\."):
        read_force_table(data, mapping=other)


BAD_MAPPINGS = [
    ("nothing", "The mapping is no JSON of the form leadfoot.forces/1."),
    ('{"schema": "leadfoot.forces/1", "columns": [3]}', "a column without a header: 3."),
    (
        '{"schema": "leadfoot.forces/1", "columns": [{"header": "a", "quantity": "fq"}]}',
        "Column 'a' is mapped to 'fq'.",
    ),
    (
        '{"schema": "leadfoot.forces/1", "columns": [{"header": "a", "quantity": "fz", "plate": 0}'
        "]}",
        "Column 'a' is fz of plate 0. Give the number of its plate, 1 to 8.",
    ),
    (
        '{"schema": "leadfoot.forces/1", "columns": [{"header": "a", "quantity": "fz", "plate": 1, '
        '"unit": "mm"}]}',
        "Column 'a' is fz and has the unit 'mm'. Use one of: N kN kgf lbf.",
    ),
]


@pytest.mark.parametrize(("text", "says"), BAD_MAPPINGS)
def test_bad_mappings(text: str, says: str) -> None:
    with pytest.raises(MappingError) as caught:
        ForceMapping.from_json(text)
    assert says in str(caught.value)


def damaged(change: object) -> ForceReading:
    lines = table({"time": ONE["time"], "fz": ONE["fz"]}).decode().splitlines()
    change(lines)  # type: ignore[operator]
    return read_force_table("\n".join(lines).encode())


def test_a_bad_cell_costs_its_sample_alone() -> None:
    def spoil(lines: list[str]) -> None:
        lines[500] = lines[500].split(",")[0] + ",oops"

    reading = damaged(spoil)
    assert reading.recording is not None
    (problem,) = reading.problems
    assert (problem.row, problem.column, problem.text) == (501, "fz", "oops")
    assert int(np.isnan(reading.recording.vertical_n).sum()) == 1
    assert "gap" in kinds(reading.recording)


def test_missing_rows_stay_empty() -> None:
    def drop(lines: list[str]) -> None:
        del lines[500:510]

    recording = damaged(drop).recording
    assert recording is not None
    assert (len(recording), recording.rate_hz) == (3000, 1000.0)
    assert int(np.isnan(recording.vertical_n).sum()) == 10
    texts = [remark.text for remark in recording.remarks if remark.kind == "gap"]
    assert texts[0] == (
        "10 rows are missing, the first after row 500 at 0.498 s; they are left empty."
    )


def test_an_uneven_clock_is_told() -> None:
    rng = np.random.default_rng(8)
    times = ONE["time"] + rng.uniform(0.0, 0.0008, ONE["time"].size)
    recording = recorded(table({"time": times, "fz": ONE["fz"]}))
    assert "uneven" in kinds(recording)
    assert recording.rate_hz == pytest.approx(1000.0, rel=0.01)


def test_times_that_go_back_are_refused() -> None:
    def swap(lines: list[str]) -> None:
        lines[500], lines[700] = lines[700], lines[500]

    with pytest.raises(InputError, match="The times of the table do not grow, at row 502"):
        damaged(swap)


def test_a_rate_that_contradicts_the_times() -> None:
    data = table({"time": ONE["time"], "fz": ONE["fz"]}, above="Rate (Hz),500\n")
    assert "rate" in kinds(recorded(data))
    assert recorded(data, Choices(rate_hz=800.0)).rate_hz == 800.0


@given(
    rate_hz=st.sampled_from([50.0, 100.0, 128.0, 240.0, 333.0, 400.0, 1000.0, 1200.0, 2000.0]),
    decimals=st.integers(min_value=4, max_value=9),
    start_s=st.floats(min_value=0.0, max_value=500.0),
    n=st.integers(min_value=50, max_value=3000),
)
def test_rounded_times_make_the_true_rate(
    rate_hz: float, decimals: int, start_s: float, n: int
) -> None:
    times = np.round(start_s + np.arange(n) / rate_hz, decimals)
    clock = clock_of(times, range(n))
    assert clock.rate_hz == pytest.approx(rate_hz, rel=0.02)
    assert clock.remarks == ()


def test_a_mat_on_a_table_of_moments_goes_the_way_of_the_force() -> None:
    columns = {name: ONE[name] for name in ("time", "fx", "fy", "fz", "mx", "my", "mz")}
    (covered,) = recorded(table(columns), Choices(mat_m=0.05)).plates
    slope = ONE["fx"] / ONE["fz"]
    assert np.abs(covered.cop_m[:, 0] - ONE["cx"] - 0.05 * slope).max() < 1e-5


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "The file is empty."),
        ("time,fz\n", "The table has no rows of numbers."),
        ("hello\nworld\n", "The table has no rows of numbers."),
        ("time,fz\n" + "0.1,800\n" * 40, "The times of the table are all the same."),
        ("time,fz\n0,800\n0.1,801\n0.2,802\n", "The recording has 3 samples."),
    ],
)
def test_tables_that_are_none(text: str, says: str) -> None:
    with pytest.raises(InputError) as caught:
        read_force_table(text.encode())
    assert str(caught.value).startswith(says)


def test_an_empty_plate_may_have_empty_places() -> None:
    columns = {name: ONE[name].copy() for name in ("time", "fx", "fy", "fz", "cx", "cy", "tz")}
    for name in columns.keys() - {"time"}:
        columns[name][2000:2200] = 0.0 if name.startswith("f") else np.nan
    reading = read_force_table(table(columns))
    assert reading.problems == ()
    assert reading.recording is not None
    (plate,) = reading.recording.plates
    assert np.isnan(plate.cop_m[2000:2200]).all()
    assert np.isfinite(plate.force_n).all()


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "cp1252"])
def test_other_encodings(encoding: str) -> None:
    data = table({"Zeit [s]": ONE["time"], "Kraft über Grund Fz [N]": ONE["fz"]})
    recording = recorded(data.decode().encode(encoding))
    assert np.abs(recording.vertical_n - ONE["fz"]).max() < 1e-5


def test_a_workbook() -> None:
    book = Workbook()
    notes = book.active
    assert notes is not None
    notes.append(["Session of Tuesday", 3])
    sheet = book.create_sheet("plates")
    sheet.append(["Sampling rate", 1000])
    sheet.append(["Left Fz [N]", "Right Fz [N]"])
    for value in ONE["fz"]:
        sheet.append([0.55 * float(value), 0.45 * float(value)])
    out = BytesIO()
    book.save(out)
    reading = read_force_table(out.getvalue())
    assert reading.source == "sheet 'plates'"
    assert reading.recording is not None
    assert [plate.foot for plate in reading.recording.plates] == ["lead", "trail"]
    assert np.abs(reading.recording.vertical_n - ONE["fz"]).max() < 1e-9
