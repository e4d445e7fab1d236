"""The lesson sheet in another language: its sentence, numbers, pictures and advice."""

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Literal

import pytest

from leadfoot.desk.answer import Answer
from leadfoot.desk.file_answer import answer_for_file
from leadfoot.language.catalogue import Language
from leadfoot.language.say import speaking
from leadfoot.reports.sheet import print_sheet
from tests.language.strange import STRANGE, unsaid
from tests.reports import answers
from tests.reports.pdf import Pdf, read

EXAMPLE = Path(__file__).parents[2] / "examples" / "lesson.csv"
GIVEN = ("own swing", "block under the lead foot", "Jörg Größe", "rg Gr", "the cue")


def printed(
    spoken: str | Language, answer: Answer, paper: Literal["a4", "us-letter"] = "a4"
) -> Pdf:
    with speaking(spoken):
        return read(
            print_sheet(
                answer,
                student="Jörg Größe",
                held_on=date(2026, 3, 2),
                change="the cue",
                invented=True,
                paper=paper,
            )
        )


@pytest.mark.parametrize("name", [name for name in answers.ALL if name != "long_texts"])
def test_no_word_of_the_sheet_stays_english(name: str) -> None:
    answer = answers.ALL[name]()
    # What an answer brings was said when it was judged: the tests of its sentences are beside this.
    bare = replace(answer, sentence="1 2 3", notes=(), problems=())
    pdf = printed(STRANGE, bare)
    clubs = [word for block in answer.blocks for word in (block.label, block.club or "") if word]
    left = unsaid(f"{pdf.title} {pdf.text}", (*GIVEN, *clubs, answer.club or "Driver"))
    assert left == []


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_german_sheet(paper: Literal["a4", "us-letter"]) -> None:
    data = EXAMPLE.read_bytes()
    with speaking("de"):
        answer = answer_for_file(data, name=EXAMPLE.name, hand="right")
    pdf = printed("de", answer, paper)
    assert pdf.language == "de"
    assert pdf.tagged
    assert pdf.title == "Die Antwort · Jörg Größe · 2. März 2026"
    for said in (
        "Was sich geändert hat",
        "Ist es echt?",
        "von 100",
        "Mit Vorsicht",
        "Hören Sie auf, wenn etwas wehtut.",
        "Raute: die Mitte der Bälle.",
        "mit der Änderung",
    ):
        assert said.casefold() in pdf.text.casefold(), said
    for left in ("Keep", "Hit about", "cannot tell", "with the change", "mishits", "on the line"):
        assert left not in pdf.text


def test_the_sentence_is_said_when_it_is_judged() -> None:
    data = EXAMPLE.read_bytes()
    english = answer_for_file(data, name=EXAMPLE.name, hand="right")
    with speaking("de"):
        german = answer_for_file(data, name=EXAMPLE.name, hand="right")
    with speaking(STRANGE):
        strange = answer_for_file(data, name=EXAMPLE.name, hand="right")
    assert german.decision == english.decision
    assert german.sentence != english.sentence
    assert unsaid(" ".join((strange.sentence, *strange.notes)), ("Driver", "driver")) == []
    assert [one.low for one in german.outcomes] == [one.low for one in english.outcomes]
