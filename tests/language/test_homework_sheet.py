"""The homework sheet in another language: whole, with its numbers and days, named in the file."""

import json
from datetime import date
from typing import Literal

import pytest

from leadfoot.coaching.drills import drills
from leadfoot.coaching.homework import HomePlan, Place, Week, plan_homework
from leadfoot.coaching.homework_form import homework_from_json
from leadfoot.desk.homework import home_cautions
from leadfoot.language.catalogue import Language
from leadfoot.language.say import say, speaking
from leadfoot.reports.homework_sheet import print_homework
from tests.language.strange import STRANGE, unsaid
from tests.reports.pdf import Pdf, read

CUE, CRITERION, KNEE = "own words of the coach", "between the posts", "left knee"


def plan(place: Place = "net", days: tuple[int, ...] = (0, 1, 2, 3, 4)) -> HomePlan:
    week = Week(days=days, minutes=45, balls=80, place=place, usual_balls=40)
    return plan_homework(
        week, cue=CUE, criterion=CRITERION, cautions=home_cautions(week, KNEE, CUE), first_day=1
    )


def printed(
    spoken: str | Language, given: HomePlan, paper: Literal["a4", "us-letter"] = "a4"
) -> Pdf:
    with speaking(spoken):
        return read(
            print_homework(
                given,
                student="Jörg Größe",
                held_on=date(2026, 3, 2),
                invented=True,
                link="http://192.0.2.1/h/x",
                paper=paper,
            )
        )


@pytest.mark.parametrize("place", ["range", "net", "no_club"])
@pytest.mark.parametrize("days", [(0, 1, 2, 3, 4), (5,)])
def test_no_word_of_the_program_stays_english(place: Place, days: tuple[int, ...]) -> None:
    pdf = printed(STRANGE, plan(place, days))
    given = (CUE, CRITERION, KNEE, "http", "Jörg Größe", "rg Gr")
    assert unsaid(f"{pdf.title} {pdf.text}", given) == []


def test_without_a_ball_the_sheet_speaks_of_none() -> None:
    text = printed("en", plan("no_club")).text
    assert "counts as met" not in text
    assert "four in five" not in text
    assert "Any pain: stop, and say so." in text
    with_balls = printed("en", plan("range")).text
    assert "counts as met" in with_balls
    assert "More than four in five: make it harder." in with_balls


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_german_sheet(paper: Literal["a4", "us-letter"]) -> None:
    pdf = printed("de", plan(), paper)
    assert pdf.language == "de"
    assert pdf.tagged
    assert pdf.title == "Hausaufgabe · Jörg Größe · 2. März 2026"
    for said in (
        "Stunde vom 2. März 2026",
        f"Ein Ball zählt als gelungen, wenn: {CRITERION}",
        "Wochen 2 bis 4",
        "Höchstens 60 von 80 Bällen werden genutzt",
        "um 0,55 Standardabweichungen besser",
        "Mi., 4. März",
        "Seite 1 von",
    ):
        assert said.casefold() in pdf.text.casefold(), said


def test_a_drill_of_the_program_is_told_whole() -> None:
    week = Week(days=(0, 2, 5), minutes=45, balls=40, place="range")
    drill = drills()["push_block"]
    cautions = home_cautions(week, "", drill.name)
    given = plan_homework(week, cue=drill.name.upper(), criterion=CRITERION, cautions=cautions)
    german = printed("de", given)
    for said in (
        "Den weichen Block plattdrücken",
        "Der Block wird früh platt.",
        "Nicht mit schmerzendem Knie",
    ):
        assert said in german.text, said
    assert drill.setup in printed("en", given).text
    assert unsaid(printed(STRANGE, given).text, (CRITERION, "Jörg Größe", "http")) == []


def test_every_drill_is_in_every_language() -> None:
    for drill in drills().values():
        with speaking("de"):
            told = (drill.name, drill.setup, drill.feel, drill.easier, drill.harder)
            same = [text for text in (*told, *drill.cautions) if say(text) == text]
        assert set(same) <= {"Chips."}, drill.key


def test_the_english_sheet_names_its_language() -> None:
    assert printed("en", plan()).language == "en"


def test_a_plan_from_the_book_is_said_in_any_language() -> None:
    given = plan()
    form = given.as_json()
    with speaking("de"):
        assert given.as_json() == form
    assert any(note.startswith("At most 60 of 80 balls") for note in form["notes"])
    again = homework_from_json(json.dumps(form))
    assert printed("de", again).text == printed("de", given).text


def test_a_plan_of_an_older_book_keeps_its_notes_as_they_were() -> None:
    form = plan().as_json()
    del form["notes_to_say"]
    again = homework_from_json(json.dumps(form))
    pdf = printed("de", again)
    assert "At most 60 of 80 balls" in pdf.text
    assert "Wochen 2 bis 4".casefold() in pdf.text.casefold()
