"""Every check drawn up for evidence and force recordings stands somewhere, none claimed twice."""

import ast
import tomllib
from pathlib import Path

from tests.outside.checks import rows

HERE = Path(__file__).parent
CLAIMS = tomllib.loads((HERE / "evidence_claims.toml").read_text(encoding="utf-8"))["row"]

GROUND = tomllib.loads((HERE / "ground_claims.toml").read_text(encoding="utf-8"))["row"]


def test_every_row_names_its_test_or_the_part_it_belongs_to() -> None:
    for row in CLAIMS:
        assert row["check"]
        assert ("test" in row) != ("later" in row), row
        assert row.get("later") in {None, "course"}


def functions_of(file: str) -> set[str]:
    tree = ast.parse((HERE / file).read_text(encoding="utf-8"))
    return {part.name for part in tree.body if isinstance(part, ast.FunctionDef)}


def test_every_test_named_is_there() -> None:
    for row in CLAIMS:
        if "test" in row:
            file, _, name = row["test"].partition("::")
            assert name in functions_of(file)


def test_every_row_of_the_force_recordings_names_its_tests() -> None:
    for row in GROUND:
        assert row["check"]
        assert row["expected"]
        assert row["test"]
        for test in row["test"]:
            file, _, name = test.partition("::")
            assert name in functions_of(file), test


def test_every_published_value_is_claimed_once() -> None:
    claimed = [check for row in CLAIMS for check in row.get("checks", ())]
    assert len(claimed) == len(set(claimed))
    assert set(claimed) == {row.words["check"] for row in rows("evidence_opinions")}
