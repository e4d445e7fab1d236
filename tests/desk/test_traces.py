"""Windows of traces: no peak is lost at any zoom, held against the obvious way."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.desk import recordings
from leadfoot.desk.desk import Desk
from leadfoot.desk.traces import PANELS, Trace, Window, traces_of, window
from leadfoot.ground.recording import Plate, Recording
from tests.desk.plates import on_plates

RATE_HZ = 1000.0


def recording_of(values: list[float], start_s: float = 0.0) -> Recording:
    n = len(values)
    plate = Plate(
        name="plate 1",
        foot="both",
        force_n=np.column_stack((np.zeros(n), np.zeros(n), values)),
        cop_m=np.zeros((n, 2)),
        free_moment_nm=np.zeros(n),
    )
    return Recording(rate_hz=RATE_HZ, plates=(plate,), start_s=start_s)


def cut_of(values: list[float], from_s: float, to_s: float, columns: int) -> Window:
    recording = recording_of(values)
    trace = Trace(panel="vertical", key="both", label="", values=recording.vertical_n)
    return window(recording, [trace], from_s=from_s, to_s=to_s, columns=columns)


def by_hand(values: list[float], first: int, run: int) -> list[tuple[float, float]]:
    """The obvious way: least and greatest of each run, one after the other."""
    found = []
    for start in range(first, len(values), run):
        known = [one for one in values[start : start + run] if not math.isnan(one)]
        found.append((min(known), max(known)) if known else (math.nan, math.nan))
    return found


@given(
    values=st.lists(
        st.floats(-3000.0, 3000.0, width=32) | st.just(math.nan), min_size=40, max_size=400
    ),
    columns=st.integers(10, 60),
)
def test_each_column_has_its_least_and_its_greatest(values: list[float], columns: int) -> None:
    cut = cut_of(values, 0.0, 99.0, columns)
    if cut.exact:
        np.testing.assert_array_equal(cut.rows[0], np.array(values, np.float32))
        return
    run = round(2.0 * cut.step_s * RATE_HZ)
    assert math.ceil(len(values) / run) <= columns
    pairs = cut.rows[0].reshape(-1, 2)
    np.testing.assert_array_equal(
        np.sort(pairs, axis=1), np.array(by_hand(values, 0, run), np.float32)
    )


@given(from_s=st.floats(-1.0, 2.0), wide_s=st.floats(0.0, 2.0), columns=st.integers(10, 200))
def test_a_window_holds_what_was_asked_for(from_s: float, wide_s: float, columns: int) -> None:
    values = [float(k) for k in range(1000)]
    cut = cut_of(values, from_s, from_s + wide_s, columns)
    last_s = cut.first_s + (cut.rows.shape[1] - 1) * cut.step_s
    low, high = max(from_s, 0.0), min(from_s + wide_s, 0.999)
    if low <= high:
        assert cut.first_s <= low + 1e-9
        assert last_s + 2.0 * cut.step_s >= high - 1e-9


def test_runs_stay_where_they_are_while_the_window_moves() -> None:
    values = np.random.default_rng(1).normal(size=4000).tolist()
    one, other = (cut_of(values, at, at + 2.0, 100) for at in (0.5, 0.503))
    first = round((other.first_s - one.first_s) / one.step_s)
    np.testing.assert_array_equal(
        one.rows[0, first:-2], other.rows[0][: one.rows.shape[1] - first - 2]
    )


def test_the_clock_of_the_file_is_kept() -> None:
    recording = recording_of([1.0] * 100, start_s=5.0)
    trace = Trace(panel="vertical", key="both", label="", values=recording.vertical_n)
    cut = window(recording, [trace], from_s=5.0205, to_s=5.0495, columns=100)
    assert cut.first_s == pytest.approx(5.02)
    assert cut.rows.shape == (1, 31)


def test_every_panel_of_two_plates(desk: Desk) -> None:
    plates = on_plates(desk, n_each=1)
    found = recordings.look(desk, plates.recordings[0])
    keys = {panel: [one.key for one in traces_of(found, [panel])] for panel in PANELS}
    assert keys["vertical"] == keys["pressure"] == ["lead", "trail", "both"]
    assert keys["target"] == keys["ball"] == ["lead", "trail"]
    assert keys["moments"][:3] == ["lead", "trail", "together"]
    assert keys["moments"][3:] == ["frontal", "frontal_low", "frontal_high"]
    assert keys["trigger"] == ["both"]


def test_a_pressure_device_has_no_shear_and_no_moments(desk: Desk) -> None:
    plates = on_plates(desk, n_each=0)
    rows = "\n".join(f"{k / 200},{400 + k % 3},{390 - k % 3}" for k in range(800))
    data = f"time (s),Left Fz (N),Right Fz (N)\n{rows}".encode()
    stored = recordings.receive(desk, plates.lesson_id, name="mat.csv", data=data)
    found = recordings.look(desk, stored)
    assert [one.panel for one in traces_of(found, PANELS)] == ["vertical"] * 3
