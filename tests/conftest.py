"""What every test shares: one Hypothesis profile, and the switch for the long simulations."""

import os
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, settings

from tests.postgres import Server, running_server

settings.register_profile(
    "leadfoot", deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True
)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "leadfoot"))


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--rates", action="store_true", help="run the long simulations of error rates as well"
    )
    parser.addoption(
        "--faults", action="store_true", help="run the long version of the faults: 200 kills"
    )


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if config.getoption("--rates"):
        return
    long_ones = [item for item in items if item.get_closest_marker("rates")]
    config.hook.pytest_deselected(items=long_ones)
    items[:] = [item for item in items if item not in long_ones]


@pytest.fixture(scope="session")
def postgres() -> Iterator[Server]:
    """A PostgreSQL server of this run's own, started at first use."""
    with running_server() as server:
        yield server
