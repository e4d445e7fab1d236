"""The example recording: said to be invented, made by its script, and read without a doubt."""

import importlib.util
from pathlib import Path

from leadfoot.ground.read import read_recording

EXAMPLES = Path(__file__).parents[2] / "examples"


def test_the_file_is_what_its_script_writes() -> None:
    spec = importlib.util.spec_from_file_location("make_plates", EXAMPLES / "make_plates.py")
    assert spec is not None
    assert spec.loader is not None
    script = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(script)
    assert (EXAMPLES / "plates.csv").read_text(encoding="utf-8") == script.plates_csv()


def test_the_file_says_that_it_is_invented_and_is_read_whole() -> None:
    data = (EXAMPLES / "plates.csv").read_bytes()
    assert data.startswith(b"INVENTED")
    reading = read_recording(data)
    assert reading.problems == ()
    assert reading.recording is not None
    assert [plate.foot for plate in reading.recording.plates] == ["lead", "trail"]
    doubts = [remark.kind for remark in reading.recording.remarks if remark.weight != "note"]
    assert doubts == ["unconfirmed"]
