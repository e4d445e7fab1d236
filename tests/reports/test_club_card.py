"""The card of clubs: what stands on it, on both papers, for screen readers and strange letters."""

from datetime import date
from typing import TYPE_CHECKING, Literal

import pytest

from leadfoot.desk.club_yardage import yardages
from leadfoot.desk.desk import Desk
from leadfoot.desk.flight_bench import Weather
from leadfoot.desk.yardage import Yardages
from leadfoot.errors import ReportError
from leadfoot.reports.club_card import print_club_card
from tests.desk.conftest import desk
from tests.desk.test_yardage_places import hit_at
from tests.reports.pdf import read
from tests.web.bag import CARRIES_YD, fill_bag

if TYPE_CHECKING:
    from leadfoot.desk.card_port import CardPrinter

PRINTER: "CardPrinter" = print_club_card
"""The type checker shows here that the card is what the desk asks for."""
HIGH = Weather(temperature_k=303.15, altitude_m=1500.0)
__all__ = ["desk"]


def found(desk: Desk, *, name: str = "Bea Bagful", weather: Weather | None = None) -> Yardages:
    return yardages(desk, fill_bag(desk, name=name).id, weather=weather)


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_every_club_stands_on_one_page(desk: Desk, paper: Literal["a4", "us-letter"]) -> None:
    pdf = read(print_club_card(found(desk, weather=HIGH), paper=paper))
    assert len(pdf.pages) == 1
    for club in CARRIES_YD:
        assert club in pdf.text
    assert "86 °F, 4921 ft up" in pdf.text
    assert "invented student" in pdf.text
    assert pdf.tagged
    assert pdf.title == "Clubs · Bea Bagful · 4 May 2026"


def test_without_a_place_nothing_is_said_of_one(desk: Desk) -> None:
    pdf = read(print_club_card(found(desk), paper="a4"))
    assert "air of the place" not in pdf.text
    assert "\u2248" not in pdf.text


def test_the_same_clubs_give_the_same_bytes(desk: Desk) -> None:
    clubs = found(desk)
    assert print_club_card(clubs, paper="a4") == print_club_card(clubs, paper="a4")
    assert clubs.day == date(2026, 5, 4)


def test_a_name_in_other_letters_is_printed(desk: Desk) -> None:
    pdf = read(print_club_card(found(desk, name="山田 #Ann"), paper="a4"))
    assert "#Ann" in pdf.text


def test_without_clubs_there_is_no_card(desk: Desk) -> None:
    none = yardages(desk, fill_bag(desk, n=1).id)
    with pytest.raises(ReportError, match="No club has enough balls for a card yet"):
        print_club_card(none, paper="a4")


def test_the_card_says_where_the_balls_were_hit(desk: Desk) -> None:
    student = fill_bag(desk)
    hit_at(desk, student, "range", {"3 wood": 190.0, "7 iron": 128.0})
    pdf = read(print_club_card(yardages(desk, student.id), paper="a4"))
    assert len(pdf.pages) == 1
    text = " ".join(pdf.text.split())
    assert "The balls were hit in the studio." in text
    assert "3 wood: hit at the range." in text
    assert "7 iron at the range: " in text
    assert "hit at different places, so they are not compared" in text
