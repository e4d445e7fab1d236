"""The season and the card of clubs in another language, and what stands on the season."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Literal

import numpy as np
import pytest

from leadfoot.book.store import open_book
from leadfoot.desk.club_yardage import yardages
from leadfoot.desk.desk import Desk
from leadfoot.desk.flight_bench import Weather
from leadfoot.desk.follow_up import begin_test, plan_tests
from leadfoot.desk.season_sheet import season_on_paper, season_sheet
from leadfoot.errors import InputError, ReportError
from leadfoot.language.catalogue import Language
from leadfoot.language.say import speaking
from leadfoot.reports.club_card import print_club_card
from leadfoot.reports.season_sheet import print_season
from tests.desk.weeks import hit, lesson_with
from tests.language.strange import STRANGE, unsaid
from tests.reports.pdf import Pdf, read
from tests.web.bag import fill_bag
from tests.web.conftest import NOON, print_plainly
from tests.web.lessons import give_lesson

HIGH = Weather(temperature_k=303.15, altitude_m=1500.0)
GIVEN = ("Ida Invented", "Bea Bagful", "soft block under the lead foot", "press")


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    book = open_book(tmp_path / "lessons.book")
    yield Desk(
        book=book,
        clock=lambda: NOON,
        printer=print_plainly,
        version="0.0.test",
        season_printer=print_season,
    )
    book.close()


@pytest.fixture
def later(desk: Desk) -> Desk:
    """Nine days on: a change that was tested after a week, and one test that is still to come."""
    student = give_lesson(desk).student
    lesson = lesson_with(desk, student.id, change="press", gain_mph=6.0, seed=3)
    week, _ = plan_tests(desk, lesson.id, ["week", "month"])
    then = replace(desk, clock=lambda: NOON + timedelta(days=9))
    begun = begin_test(then, week.id)
    (block,) = desk.book.blocks(begun.id)
    hit(desk, block.id, 98.0, 14, np.random.default_rng(5))
    return then


def printed(spoken: str | Language, desk: Desk, paper: Literal["a4", "us-letter"] = "a4") -> Pdf:
    with speaking(spoken):
        return read(print_season(season_on_paper(desk, 1), paper=paper))


def test_no_word_of_the_season_stays_english(later: Desk) -> None:
    pdf = printed(STRANGE, later)
    assert unsaid(f"{pdf.title} {pdf.text}", GIVEN) == []


@pytest.mark.parametrize("place", [None, HIGH])
def test_no_word_of_the_card_stays_english(desk: Desk, place: Weather | None) -> None:
    student = fill_bag(desk)
    with speaking(STRANGE):
        pdf = read(print_club_card(yardages(desk, student.id, weather=place), paper="a4"))
    assert unsaid(f"{pdf.title} {pdf.text}", GIVEN) == []


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_season_says_what_was_tried_what_lasted_and_what_comes(
    later: Desk, paper: Literal["a4", "us-letter"]
) -> None:
    pdf = read(season_sheet(later, 1, paper))
    assert pdf.language == "en"
    assert pdf.tagged
    assert pdf.title.startswith("The season · Ida Invented · ")
    for said in ("1 test hit", "test without it", "with the change: press", "Did it last?"):
        assert said.casefold() in pdf.text.casefold(), said
    assert "Tests to come".casefold() in pdf.text.casefold()
    assert "without the cue, as in the lesson" in pdf.text
    assert "Stop if anything hurts." in pdf.text
    wide, high = pdf.size_pt
    assert (round(wide), round(high)) == {"a4": (595, 842), "us-letter": (612, 792)}[paper]


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_german_season(later: Desk, paper: Literal["a4", "us-letter"]) -> None:
    later.book.set_language(1, "de")
    pdf = read(season_sheet(later, 1, paper))
    assert pdf.language == "de"
    assert pdf.title.startswith("Die Saison · Ida Invented · ")
    for said in ("1 Test geschlagen", "mit der Änderung: press", "Ist es geblieben?", "bis"):
        assert said.casefold() in pdf.text.casefold(), said
    assert read(season_sheet(later, 1, paper, language="en")).language == "en"


def test_the_german_card(desk: Desk) -> None:
    student = fill_bag(desk)
    with speaking("de"):
        pdf = read(print_club_card(yardages(desk, student.id, weather=HIGH), paper="us-letter"))
    assert pdf.language == "de"
    for said in ("Eisen 7 und Eisen 8", "Pitching Wedge", "auseinander", "86 °F, 4921 ft hoch"):
        assert said in pdf.text, said


def test_the_same_season_gives_the_same_bytes(later: Desk) -> None:
    assert season_sheet(later, 1, "a4") == season_sheet(later, 1, "a4")


def test_one_lesson_is_no_season(desk: Desk) -> None:
    student = give_lesson(desk).student
    with pytest.raises(InputError, match="There is no season to print yet"):
        season_sheet(desk, student.id, "a4")


def test_a_desk_without_a_printer_says_so(later: Desk) -> None:
    bare = Desk(book=later.book, clock=later.clock, printer=print_plainly, version="0.0.test")
    with pytest.raises(ReportError, match="This desk has no printer for the season of Ida"):
        season_sheet(bare, 1, "a4")
