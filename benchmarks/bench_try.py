"""One answer of the student's bench: a slider moved, two hundred balls never hit before."""

import itertools
from datetime import UTC, datetime

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from leadfoot.bootstrap import open_desk
from leadfoot.desk.demo import fill
from leadfoot.desk.try_it import TryStudent, try_student
from leadfoot.web.try_query import read_try
from leadfoot.web.try_view import try_view

_STEP = itertools.count()


@pytest.fixture(scope="module")
def student(tmp_path_factory: pytest.TempPathFactory) -> TryStudent:
    desk = open_desk(tmp_path_factory.mktemp("try") / "demo.book")
    fill(desk.book, today=datetime(2026, 3, 2, tzinfo=UTC).date())
    found = try_student(desk, desk.book.lessons()[2].id)
    desk.book.close()
    return found


@pytest.mark.parametrize("key", ["face_angle", "spread.face_angle"])
def test_a_slider_moved(benchmark: BenchmarkFixture, student: TryStudent, key: str) -> None:
    """What the page's script waits for; the aim is below 200 ms."""
    try_view(student, read_try(student, {}))

    def answer() -> object:
        return try_view(student, read_try(student, {key: f"{0.5 + next(_STEP) / 1000:.3f}"}))

    benchmark(answer)
