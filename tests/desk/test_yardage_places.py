"""Clubs hit at several places: one place stands in the table, the others beside it, never mixed."""

from collections.abc import Mapping

import numpy as np
import pytest

from leadfoot.desk.club_yardage import yardages
from leadfoot.desk.desk import Desk
from leadfoot.desk.figure_tables import yardage_table
from leadfoot.desk.records import Student
from leadfoot.errors import InputError
from tests.web.bag import CARRIES_YD, ball, fill_bag

SHORTER_YD = 12.0


def hit_at(
    desk: Desk, student: Student, place: str, carries_yd: Mapping[str, float], n: int = 12
) -> None:
    """One more lesson, at a place."""
    lesson = desk.book.add_lesson(
        student_id=student.id,
        held_on=desk.clock().date(),
        title="away",
        change="",
        club=None,
        place=place,
    )
    rng = np.random.default_rng(6)
    for club, middle in carries_yd.items():
        block = desk.book.add_block(lesson.id, label=club, role="before")
        for _ in range(n):
            desk.book.add_shot(block.id, ball(rng, club, middle, with_ball=True), at=desk.clock())


def shorter(*clubs: str) -> dict[str, float]:
    return {club: CARRIES_YD[club] - SHORTER_YD for club in clubs}


def test_the_place_of_most_balls_stands_in_the_table(desk: Desk) -> None:
    student = fill_bag(desk)
    alone = yardages(desk, student.id)
    hit_at(desk, student, "range", shorter("7 iron", "driver"))
    found = yardages(desk, student.id)
    assert found.clubs == alone.clubs
    assert (found.place, found.places) == ("studio", (("studio", 120), ("range", 24)))
    assert found.left_away == (("range", 24),)
    assert {one.place for one in found.clubs} == {"studio"}


def test_another_place_can_be_asked_for_however_it_is_written(desk: Desk) -> None:
    student = fill_bag(desk)
    hit_at(desk, student, "Hill Farm", shorter(*CARRIES_YD))
    found = yardages(desk, student.id, place="hill farm")
    assert found.place == "Hill Farm"
    for one in found.clubs:
        wanted = CARRIES_YD[one.club] - SHORTER_YD
        assert found.shown(one.carry.middle) == pytest.approx(wanted, abs=5.0)
        assert one.carry.n == 12


def test_what_differs_elsewhere_is_said_with_its_range(desk: Desk) -> None:
    student = fill_bag(desk)
    hit_at(desk, student, "range", shorter("7 iron"))
    hit_at(desk, student, "course", {"driver": CARRIES_YD["driver"]})
    found = yardages(desk, student.id)
    driver, iron = found.elsewhere
    assert driver.startswith("driver on the course: ")
    assert "(12 balls); these balls cannot tell whether that differs (" in driver
    assert iron.startswith("7 iron at the range: ")
    assert " shorter (" in iron
    there = yardages(desk, student.id, place="range").elsewhere
    assert any(" farther (" in each for each in there if each.startswith("7 iron in the studio"))


def test_a_club_that_was_hit_elsewhere_alone_stands_with_its_place(desk: Desk) -> None:
    student = fill_bag(desk)
    hit_at(desk, student, "range", {"3 wood": 190.0})
    found = yardages(desk, student.id)
    assert [(one.club, one.place) for one in found.away] == [("3 wood", "range")]
    assert found.left_away == ()
    gaps = {(each.longer, each.shorter): each for each in found.between}
    apart = gaps["driver", "3 wood"]
    assert (apart.gap_m, apart.farther_anyway, apart.empty_m) == (None, None, None)
    assert apart.said == "driver and 3 wood: hit at different places, so they are not compared."
    table = yardage_table(found)
    assert [(row[0], row[-1]) for row in table.rows][:2] == [
        ("driver", "studio"),
        ("3 wood", "range"),
    ]


def test_balls_of_two_places_do_not_make_five(desk: Desk) -> None:
    student = fill_bag(desk)
    for place in ("studio", "range"):
        hit_at(desk, student, place, {"3 wood": 190.0}, n=4)
    found = yardages(desk, student.id)
    assert "3 wood" not in [one.club for one in found.clubs]
    assert found.too_few == (("3 wood", 4),)


def test_a_place_without_balls_is_refused(desk: Desk) -> None:
    student = fill_bag(desk)
    with pytest.raises(InputError, match="No ball with a carry was hit at Moonbase") as refused:
        yardages(desk, student.id, place="Moonbase")
    assert refused.value.fix == "Choose one of: studio."


def test_an_empty_book_is_in_the_studio(desk: Desk) -> None:
    found = yardages(desk, fill_bag(desk, n=0).id)
    assert (found.place, found.places, found.clubs) == ("studio", (), ())
