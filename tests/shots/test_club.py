"""Names of clubs, as typed in lessons in seven languages."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.shots.club import club_class, club_name

CLUBS = {
    "driver": [
        "Dr",
        "driver",
        "DRV",
        "D",
        "1W",
        "Driver 10.5°",
        "ドライバー",
        "드라이버",
        "my driver",
    ],
    "3 wood": ["3w", "Holz 3", "bois 3", "3-wood", "madera 3", "FW 3", "W3"],
    "4 hybrid": ["hybrid 4", "4H", "h4", "híbrido 4", "Rescue 4", "ut4"],
    "7 iron": [
        "7i",
        "7 iron",
        "Iron 7",
        "Eisen 7",
        "fer 7",
        "Hierro 7",
        "järn 7",
        "7番アイアン",
        "7번",
    ],
    "pitching wedge": ["PW", "P", "pitching wedge", "ピッチング", "피칭 웨지"],
    "sand wedge": ["SW", "Sand", "sand wedge"],
    "56° wedge": ["56°", "56 deg", "wedge 56", "56 SW", "LW 56°"],
    "gap wedge": ["GW", "AW", "gap wedge", "approach wedge"],
}
CLASSES = {
    "driver": "driver",
    "3 wood": "wood",
    "4 hybrid": "hybrid",
    "7 iron": "iron",
    "pitching wedge": "wedge",
    "sand wedge": "wedge",
    "56° wedge": "wedge",
    "gap wedge": "wedge",
}
CASES = [(typed, name) for name, row in CLUBS.items() for typed in row]


@pytest.mark.parametrize(("typed", "name"), CASES)
def test_a_club_has_one_name_and_one_class(typed: str, name: str) -> None:
    assert club_name(typed) == name
    assert club_class(typed) == CLASSES[name]


@pytest.mark.parametrize("typed", ["putter", "", "7", "11 iron", "before", "Test 3", "56"])
def test_what_names_no_club_has_no_class(typed: str) -> None:
    assert club_class(typed) is None


def test_no_name_has_no_class() -> None:
    assert club_class(None) is None


@given(st.text(max_size=80))
def test_any_text_has_a_stable_name(text: str) -> None:
    assert club_name(club_name(text)) == club_name(text)
    assert club_class(club_name(text)) == club_class(text)
