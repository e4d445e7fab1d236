"""Every table of checks names its source, its place and the reason of its tolerance."""

from pathlib import Path

import pytest

from tests.outside.checks import rows, sources

TABLES = sorted(path.stem for path in (Path(__file__).parent / "data").glob("*.csv"))
KINDS = {
    "closed form",
    "measured",
    "published table",
    "worked example",
    "rule or standard",
    "press",
    "common practice",
    "regression",
}


@pytest.mark.parametrize("table", TABLES)
def test_every_row_has_a_known_source(table: str) -> None:
    found = rows(table)
    assert found
    for row in found:
        assert row.source in sources()
        assert row.place, f"{table}: no place stands above {row}"
        assert row.tolerance_reason, f"{table}: no reason for the tolerance of {row}"


def test_every_source_says_how_it_is_known() -> None:
    for key, source in sources().items():
        assert source["citation"], key
        assert source["kind"] in KINDS, key
        assert source["read"] in {"original", "second-hand", "derived", "memory"}, key
