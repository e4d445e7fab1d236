"""One answer of the flight bench: a slider moved, one change or many, never seen before."""

import itertools

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from leadfoot.web.bench_query import read_asked
from leadfoot.web.bench_view import Tried, tried, view_of

_STEP = itertools.count()
_MANY = {"face_angle": "2", "club_path": "-3", "altitude": "3000", "wind_along": "8"}


@pytest.mark.parametrize("more", [{}, _MANY], ids=["one change", "many changes"])
def test_a_slider_moved(benchmark: BenchmarkFixture, more: dict[str, str]) -> None:
    """What the page's script waits for; each call is a swing that was not flown yet."""

    def answer() -> object:
        speed = f"{60 + next(_STEP) / 100:.2f}"
        asked = read_asked({**more, "club": "iron7", "club_speed": speed, "before.club": "iron7"})
        found = tried(asked)
        assert isinstance(found, Tried)
        return view_of(asked, found)

    benchmark(answer)
