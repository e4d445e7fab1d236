"""How long a force recording takes: 60 s, 2000 Hz, two plates, within 1 s on a studio's laptop."""

import time
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Page, sync_playwright

from leadfoot.book.store import open_book
from leadfoot.desk.desk import Desk
from leadfoot.desk.recordings import receive
from leadfoot.desk.traces import Trace, window
from leadfoot.ground.c3d import read_c3d
from leadfoot.ground.choices import Choices
from leadfoot.ground.made_swing import usual_swing
from leadfoot.ground.phases import impact_of
from leadfoot.ground.read import read_recording
from leadfoot.ground.swing import swing_of
from leadfoot.ground.swing_numbers import numbers_of
from leadfoot.ground.table import read_force_table
from tests.desk.plates import on_plates
from tests.ground.c3d_files import written
from tests.ground.people import swaying
from tests.ground.synthetic import swing_c3d, swing_table
from tests.web.conftest import print_plainly
from tests.web.studio import Studio, free_port, launch

N = 120_000


@pytest.mark.parametrize("kind", [2, 3])
def test_read_a_minute_of_c3d(benchmark: Any, kind: int) -> None:
    plates = [swaying(kind, n=N), swaying(kind, n=N, seed=6)]
    data = written(plates, rate_hz=2000.0, per_frame=10)
    recording = benchmark.pedantic(read_c3d, args=(data,), rounds=5, iterations=1)
    assert (len(recording), len(recording.plates)) == (N, 2)


def test_read_a_minute_of_a_table(benchmark: Any) -> None:
    plates = [swaying(2, n=N), swaying(2, n=N, seed=6)]
    columns = np.concatenate([plate.channels() for plate in plates]).T
    time_s = np.arange(N) / 2000.0
    names = [f"{name}{k}" for k in (1, 2) for name in ("Fx", "Fy", "Fz", "Mx", "My", "Mz")]
    lines = [",".join(["time [s]", *names])]
    lines += [
        f"{time:.4f}," + ",".join(f"{value:.3f}" for value in row)
        for time, row in zip(time_s.tolist(), columns.tolist(), strict=True)
    ]
    data = "\n".join(lines).encode()
    reading = benchmark.pedantic(read_force_table, args=(data,), rounds=3, iterations=1)
    assert reading.recording is not None
    assert len(reading.recording) == N


def test_the_metrics_of_a_minute(benchmark: Any) -> None:
    recording = read_c3d(_minute_of_swing())
    swing = benchmark.pedantic(
        swing_of, args=(recording, impact_of(recording)), rounds=5, iterations=1
    )
    assert len(numbers_of(swing)) > 20


def test_from_the_bytes_to_the_metrics(benchmark: Any) -> None:
    """Both forms in one run by processor time, so that a busy machine changes little."""
    swing = replace(usual_swing(), lasts_s=60.0)
    forms = {"c3d": swing_c3d(swing, 2000.0), "csv": swing_table(swing, 2000.0)}
    spent: dict[str, list[float]] = {form: [] for form in forms}
    for _ in range(5):
        for form, data in forms.items():
            started = time.process_time()
            _metrics(data, swing.impact_s)
            spent[form].append(time.process_time() - started)
    benchmark.pedantic(_metrics, args=(forms["csv"], swing.impact_s), rounds=3, iterations=1)
    least = {form: min(times) for form, times in spent.items()}
    benchmark.extra_info["processor s"] = {form: round(s, 3) for form, s in least.items()}
    benchmark.extra_info["csv over c3d"] = round(least["csv"] / least["c3d"], 2)


def _metrics(data: bytes, impact_s: float) -> None:
    choices = Choices(target="+y", feet=("lead", "trail"))
    recording = read_recording(data, choices=choices).recording
    assert recording is not None
    assert len(recording) == N
    swing = swing_of(recording, impact_of(recording, by_hand_s=impact_s))
    assert len(numbers_of(swing)) > 20


def test_a_window_of_a_minute(benchmark: Any) -> None:
    recording = read_c3d(_minute_of_swing())
    whole = [
        Trace(panel="vertical", key="both", label="", values=plate.vertical_n)
        for plate in (*recording.plates, *recording.plates, *recording.plates)
    ]
    cut = benchmark.pedantic(
        window,
        args=(recording, whole),
        kwargs={"from_s": 0.0, "to_s": 60.0, "columns": 1400},
        rounds=20,
        iterations=1,
    )
    assert cut.rows.shape[0] == len(whole)


def test_a_minute_in_the_browser(benchmark: Any, tmp_path: Path) -> None:
    """From the metrics in the page to the first traces drawn; the page must take less than 1 s."""
    book = open_book(tmp_path / "lessons.book")
    desk = Desk(book=book, clock=lambda: datetime.now(UTC), printer=print_plainly, version="0")
    given = on_plates(desk, n_each=0)
    receive(desk, given.lesson_id, name="minute.c3d", data=_minute_of_swing())
    studio = Studio(path=tmp_path / "lessons.book", port=free_port(), desk=desk)
    studio.start()
    try:
        with sync_playwright() as playwright:
            browser = launch(playwright.chromium)
            page = browser.new_page()
            page.add_init_script(
                "addEventListener('traces-drawn', () => { window.drawnAt ??= performance.now(); })"
            )
            address = f"{studio.address}/lessons/{given.lesson_id}/ground"
            waits = [benchmark.pedantic(_load, args=(page, address), rounds=1, iterations=1)]
            waits += [_load(page, address) for _ in range(4)]
            benchmark.extra_info["ms from metrics to traces"] = [
                round(one["wait"]) for one in waits
            ]
            benchmark.extra_info["ms of the desk"] = [round(one["desk"]) for one in waits]
            benchmark.extra_info["ms of a zoom"] = page.evaluate(_ZOOM)
            browser.close()
    finally:
        studio.stop()
        book.close()


_ZOOM = """async () => {
  const found = [];
  for (let k = 0; k < 5; k += 1) {
    const start = performance.now();
    await new Promise((done) => {
      addEventListener("traces-drawn", () => requestAnimationFrame(done), { once: true });
      document.querySelector('[data-zoom="in"]').click();
    });
    found.push(Math.round(performance.now() - start));
  }
  return found;
}"""


def _load(page: Page, address: str) -> dict[str, float]:
    page.goto(address)
    found: dict[str, float] = page.evaluate(
        """async () => {
             while (window.drawnAt === undefined) await new Promise(requestAnimationFrame);
             const [load] = performance.getEntriesByType("navigation");
             return { wait: window.drawnAt - load.responseEnd,
                      desk: load.responseEnd - load.requestStart };
           }"""
    )
    return found


def _minute_of_swing() -> bytes:
    return swing_c3d(replace(usual_swing(), lasts_s=60.0), 2000.0)
