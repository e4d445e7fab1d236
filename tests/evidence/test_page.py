"""The page on the method says the thresholds that the code has."""

from pathlib import Path

import pytest

from leadfoot.evidence.lesson import Order
from leadfoot.evidence.settings import JudgeSettings

PAGE = Path(__file__).parents[2] / "docs" / "explain" / "evidence.md"
ORDERS: tuple[Order, ...] = ("once", "and_back", "twice", "alternating")


def cells(first: str) -> list[str]:
    lines = PAGE.read_text(encoding="utf-8").splitlines()
    row = next(line for line in lines if line.startswith(f"| {first} |"))
    return [cell.strip() for cell in row.strip("|").split("|")]


@pytest.mark.parametrize(
    ("row", "name"),
    [
        ("longer", "longer"),
        ("faster (club speed alone)", "faster"),
        ("straighter", "straighter"),
        ("any other outcome", "undeclared"),
    ],
)
def test_thresholds_by_order_of_blocks(row: str, name: str) -> None:
    settings = JudgeSettings()
    said = [float(cell) for cell in cells(row)[1:5]]
    meant = [settings.for_order(getattr(settings, name), order) for order in ORDERS]
    assert said == pytest.approx(meant, abs=0.0006)


def test_the_other_thresholds() -> None:
    settings = JudgeSettings()
    assert {float(cell) for cell in cells("more mishits")[1:5]} == {settings.shown_mishits}
    doubts = {settings.doubt_shorter, settings.doubt_wilder, settings.doubt_mishits}
    assert {float(cell) for cell in cells("likely loss")[1:5]} == doubts
