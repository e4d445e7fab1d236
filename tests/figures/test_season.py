"""The season as a picture: hollow before, solid with the change, squares for tests."""

from dataclasses import replace
from datetime import date

import pytest

from leadfoot.desk.season_records import PointKind, Season, SeasonPoint
from leadfoot.figures.look import DAY, NIGHT, PRINT, Look
from leadfoot.figures.season import FIRST_TOLD, LAST_TOLD, season_picture


def point(day: int, kind: PointKind, level: float, decision: str = "") -> SeasonPoint:
    return SeasonPoint(
        lesson_id=day,
        day=date(2026, 3, day),
        kind=kind,
        level=level,
        low=level - 0.6,
        high=level + 0.6,
        n_balls=14,
        change="press",
        decision=decision,
    )


SEASON = Season(
    club="driver",
    quantity="club_speed",
    name="club speed",
    unit="mph",
    points=(
        point(2, "before", 92.0),
        point(2, "with_change", 97.5, "keep"),
        point(10, "test", 96.4),
        point(25, "test", 96.9),
    ),
    choices=("club_speed",),
)


@pytest.mark.parametrize("look", [DAY, NIGHT, PRINT])
def test_the_same_season_gives_the_same_bytes(look: Look) -> None:
    picture = season_picture(SEASON, look=look)
    assert picture.svg() == season_picture(SEASON, look=look).svg()
    assert picture.png(dpi=60).startswith(b"\x89PNG")


def test_it_says_what_it_shows_in_words() -> None:
    alt = season_picture(SEASON).alt
    assert alt.startswith("club speed over the season, in mph: 2 Mar before, as usual 92.0")
    assert "25 Mar test without it 96.9 (96.3 to 97.5)" in alt
    svg = season_picture(SEASON).svg().decode()
    for text in ("Club speed with the driver, mph", "2 Mar", "25 Mar", "with the change"):
        assert text in svg


def test_of_very_many_levels_the_words_tell_the_first_and_the_last() -> None:
    many = tuple(point(1 + k % 28, "before", 90.0 + k) for k in range(250))
    alt = season_picture(replace(SEASON, points=many)).alt
    told = alt.partition(": ")[2].split("; ")
    assert len(told) == FIRST_TOLD + 1 + LAST_TOLD
    assert told[FIRST_TOLD] == "226 more in between"
    assert " 95.0 (" in told[FIRST_TOLD - 1]
    assert " 339.0 (" in told[-1]
    few = season_picture(replace(SEASON, points=many[: FIRST_TOLD + LAST_TOLD + 1])).alt
    assert "in between" not in few
    assert few.count("; ") == FIRST_TOLD + LAST_TOLD


def test_a_season_of_one_day_and_of_no_spread_can_be_drawn() -> None:
    flat = Season(
        club=None,
        quantity="smash_factor",
        name="smash factor",
        unit=None,
        points=(point(2, "before", 1.4), point(2, "with_change", 1.4)),
        choices=("smash_factor",),
    )
    assert b"Smash factor" in season_picture(flat).svg()
