"""The example lesson: said to be invented, made by its script, and judged as its truth says."""

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

from leadfoot.shots.read import read_table

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def script() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_lesson", EXAMPLES / "make_lesson.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_file_is_what_its_script_writes(script: ModuleType) -> None:
    assert (EXAMPLES / "lesson.csv").read_text(encoding="utf-8") == script.lesson_csv()


def test_the_file_says_that_it_is_invented() -> None:
    assert "INVENTED" in (EXAMPLES / "lesson.csv").read_text(encoding="utf-8").splitlines()[1]
    assert "**invented**" in (EXAMPLES / "lesson_about.md").read_text(encoding="utf-8")


def test_the_file_reads_without_a_question() -> None:
    reading = read_table((EXAMPLES / "lesson.csv").read_bytes(), name="lesson.csv", hand="right")
    shots = reading.shots
    assert len(shots) == 26
    assert list(dict.fromkeys(shots.blocks)) == ["before", "block under lead foot"]
    assert set(shots.clubs) == {"driver"}
    offline = [shot.values["offline"].value for shot in shots]
    assert min(offline) < 0 < max(offline)
    assert not [problem for problem in reading.problems if problem.column is None]
