import math
import re
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import pytest
import typst

from leadfoot import __version__
from leadfoot.desk.answer import Answer
from leadfoot.errors import ReportError
from leadfoot.reports import sheet, typesetting
from leadfoot.reports.advice import CAUTIONS
from leadfoot.reports.letters import STAND_IN
from leadfoot.reports.sheet import print_sheet
from tests.reports import answers
from tests.reports.pdf import Pdf, read

if TYPE_CHECKING:
    from leadfoot.desk.ports import Printer

PT_PER_MM = 72.0 / 25.4
JARGON = re.compile(
    r"\b(?:p-value|significance|significant|significantly|posterior|prior|bayes\w*|confidence|"
    r"credible|standard deviation|sd|mean|variance|hypothesis|estimate|probability)\b|\d ?%",
    re.IGNORECASE,
)


def printed(answer: Answer, **change: Any) -> bytes:
    facts: dict[str, Any] = {
        "student": "Ann Invented",
        "held_on": date(2026, 3, 7),
        "change": "a block under the lead foot",
        "invented": False,
        "paper": "a4",
    }
    return print_sheet(answer, **{**facts, **change})


def sheet_of(answer: Answer, **change: Any) -> Pdf:
    return read(printed(answer, **change))


@cache
def usual(make: Callable[[], Answer], paper: str = "a4") -> Pdf:
    """The sheet of an answer with the usual facts, printed once for all tests."""
    return sheet_of(make(), paper=paper)


PRINTER: "Printer" = print_sheet
"""The type checker shows here that the sheet is a printer as the desk asks for."""


@pytest.mark.parametrize("make", answers.ALL.values(), ids=answers.ALL)
def test_every_answer_fits_its_first_page(make: Callable[[], Answer]) -> None:
    pdf, answer = usual(make), make()
    first = pdf.pages[0]
    assert " ".join(answer.sentence.split()) in first
    for part in (
        "What changed",
        "Is it real?",
        "What it means in numbers",
        "What to do next",
        "With care",
    ):
        assert part in first
    for caution in CAUTIONS:
        assert caution in first
    assert "For who wants more" in pdf.pages[1]


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
@pytest.mark.parametrize("name", [name for name in answers.ALL if name != "long_texts"])
def test_a_usual_lesson_takes_two_pages(name: str, paper: str) -> None:
    assert len(usual(answers.ALL[name], paper).pages) == 2


@pytest.mark.parametrize(
    ("paper", "wide_mm", "high_mm"),
    [
        ("a4", 210.0, 297.0),  # ISO 216
        ("us-letter", 215.9, 279.4),  # ANSI/ASME Y14.1, size A
    ],
)
def test_the_page_has_the_size_of_the_paper(
    paper: Literal["a4", "us-letter"], wide_mm: float, high_mm: float
) -> None:
    size = usual(answers.keep, paper).size_pt
    assert size == pytest.approx((wide_mm * PT_PER_MM, high_mm * PT_PER_MM), abs=0.1)


@pytest.mark.parametrize("make", answers.ALL.values(), ids=answers.ALL)
def test_the_first_page_speaks_no_jargon(make: Callable[[], Answer]) -> None:
    assert not JARGON.findall(usual(make).pages[0])


def test_the_odds_and_the_numbers_are_told_with_their_ranges() -> None:
    first = usual(answers.keep).pages[0]
    # The reader does not always see the blank between a large and a small number.
    assert re.search(r"longer yes over ?99 ?in 100", first)
    assert re.search(r"straighter cannot tell yet 61 ?in 100", first)
    assert "These shots cannot tell yet whether it is straighter." in first
    assert "+5.0 mph likely +3.6 to +6.6 from 150.9 to 155.9" in first
    assert "8 yd left likely 1 to 14 left from 11 right to 3 right" in first
    assert re.search(r"−1 ?in 100 likely −9 to \+7 from 8 to 7", first)
    assert "All measured." in first


def test_the_decision_says_what_to_do() -> None:
    keep, drop, more, tiny = (
        usual(make).pages[0]
        for make in (answers.keep, answers.drop, answers.hit_more, answers.tiny)
    )
    assert "Practise it in turns of five or six balls" in keep
    assert "Go back to your own swing" in drop
    assert "Hit about 14 more balls" in more
    assert "About 14 more balls with the change should tell (chance: 82 in 100)." in more
    assert "Leave it open" in tiny
    assert "More balls today are not likely to tell." in tiny
    assert "more balls with the change" not in keep


def test_what_was_not_measured_is_said_to_be_so() -> None:
    first = usual(answers.only_speed).pages[0]
    assert "Whether it is straighter was not measured." in first
    assert "No direction was measured." in first
    assert "straighter not measured –" in first


def test_computed_numbers_are_marked_and_explained() -> None:
    pdf = usual(answers.modelled_carry)
    assert "Dashed rule: computed from the launch of the ball." in pdf.pages[0]
    assert pdf.pages[0].count("computed") == 4  # two numbers, their key, the carry of the picture
    assert "carry, yd (computed)" in pdf.pages[1]
    assert "Carry and offline were computed from the launch" in pdf.pages[1]


def test_the_second_page_has_all_numbers_and_what_was_left_out() -> None:
    more = usual(answers.keep).pages[1]
    assert "club speed, mph 95.2 98.4 +3.2 +2.2 to +4.2 over 99 yes 12 + 15" in more
    assert "offline, average, yd 11 right 3 right 8 left 1 to 14 left 93 not yet" in more
    assert "block under the lead foot with the change Driver 15 1" in more
    assert "19 Carry -- No number; the ball counts without it." in more
    assert "One ball was left out by the teacher: a bird crossed the line." in more
    assert f"Leadfoot {__version__}" in more


def test_many_problems_are_counted_where_they_are_not_listed() -> None:
    assert "And 34 more; the lesson’s page lists them all." in usual(answers.long_texts).text


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
@pytest.mark.parametrize("make", [answers.keep, answers.long_texts])
def test_an_invented_student_is_said_to_be_invented_on_every_page(
    make: Callable[[], Answer], paper: str
) -> None:
    pdf = sheet_of(make(), invented=True, paper=paper)
    assert len(pdf.pages) >= 2
    for page in pdf.pages:
        assert "invented demo" in page
    real = usual(make, paper)
    assert "invented demo" not in real.text
    assert "invented shots" not in real.text


@pytest.mark.parametrize(
    "text",
    [
        "#panic(1) #let x = 2",
        "\"double\" 'single' `tick` “curly”",
        "$x$ @label <label> *bold* _it_ ~ // comment /* c */ \\ back",
        "]] [[ }} {{ )) ((",
        "Jürgen Müßig Łódź Åse Ňoño",
        "= heading",
        "- item",
        "--- ... +",
    ],
)
def test_names_and_texts_are_printed_as_they_are(text: str) -> None:
    first = sheet_of(answers.keep(), student=text, change=f"{text} twice").pages[0]
    assert text in first
    assert f"{text} twice" in first


def test_user_texts_of_the_answer_are_data_too() -> None:
    evil = '#panic("x") ]] "'
    kept = answers.keep()
    answer = replace(
        kept,
        sentence=evil,
        club=evil,
        notes=(evil,),
        after_label=evil,
        blocks=tuple(replace(block, label=evil, club=evil) for block in kept.blocks),
        problems=tuple(replace(one, text=evil, reason=evil, column=evil) for one in kept.problems),
    )
    assert sheet_of(answer).text.count("#panic") >= 10


def test_nothing_but_the_answer_still_prints() -> None:
    pdf = sheet_of(answers.keep(), student=None, held_on=None, change=None)
    assert pdf.title == "The answer"
    assert "block under the lead foot" in pdf.pages[0]
    empty = sheet_of(answers.keep(), student="", change="  ")
    assert "block under the lead foot" in empty.pages[0]


def test_numbers_that_are_none_are_dashes() -> None:
    kept = answers.keep()
    none = math.nan
    assert kept.headline is not None
    hollow = replace(kept.headline, before=none, after=none, change=none, low=none, high=math.inf)
    answer = replace(
        kept,
        headline=replace(hollow, odds_better=none),
        outcomes=(hollow,),
        blocks=(),
        notes=(),
        problems=(),
        sentence="",
        club=None,
        bias=None,
        spread=None,
        mishits=None,
        pattern=answers.balls(0, 0),
    )
    assert "ball speed – mph likely – to – from – to –" in sheet_of(answer).pages[0]


def test_very_long_texts_stay_on_their_paper() -> None:
    pdf = sheet_of(answers.long_texts(), student="W" * 400, change="a very long thought " * 200)
    assert "…" in pdf.pages[0]
    assert "What to do next" in pdf.pages[0]
    assert "The change in full: a very long thought" in pdf.text


def test_a_letter_that_no_font_has_is_seen_to_be_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[bool] = []
    compile_sheet = typesetting._compile

    def without_the_machines_fonts(
        template: str, data: Mapping[str, Any], *, with_fonts_of_machine: bool
    ) -> bytes:
        asked.append(with_fonts_of_machine)
        return compile_sheet(template, data, with_fonts_of_machine=False)

    monkeypatch.setattr(typesetting, "_compile", without_the_machines_fonts)
    pdf = sheet_of(answers.keep(), student="山田 Ann", change="日本")
    assert asked == [True, False]
    assert f"{STAND_IN * 2} Ann" in pdf.pages[0]
    assert (
        f"Some letters are printed as {STAND_IN}: this machine has no font with them." in pdf.text
    )


def test_letters_of_the_shipped_face_never_ask_for_the_machines_fonts(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[bool] = []
    compile_sheet = typesetting._compile

    def noted(template: str, data: Mapping[str, Any], *, with_fonts_of_machine: bool) -> bytes:
        asked.append(with_fonts_of_machine)
        return compile_sheet(template, data, with_fonts_of_machine=with_fonts_of_machine)

    monkeypatch.setattr(typesetting, "_compile", noted)
    for make in (answers.keep, answers.hit_more, answers.modelled_carry):
        printed(make(), student="Łukasz Ångström-Őry")
    assert asked == [False] * 3


def test_control_characters_are_left_away() -> None:
    first = sheet_of(answers.keep(), student="Ann\x00 B\ud800ell\n\tC", change="a\u2028b").pages[0]
    assert "Ann Bell C" in first


def test_the_same_input_gives_the_same_bytes() -> None:
    assert printed(answers.keep()) == printed(answers.keep())
    with ThreadPoolExecutor(4) as pool:
        assert len(set(pool.map(lambda _: printed(answers.keep()), range(4)))) == 1


def test_the_file_is_made_for_screen_readers() -> None:
    data = printed(answers.keep())
    pdf = read(data)
    assert b"<pdfuaid:part>1</pdfuaid:part>" in data  # ISO 14289-1, clause 5
    assert pdf.tagged
    assert pdf.title == "The answer · Ann Invented · 7 March 2026"
    assert b"/Lang" in data


def test_the_file_holds_the_shipped_fonts_and_no_others() -> None:
    fonts = usual(answers.keep).fonts
    shipped = {path.stem for path in Path(sheet.__file__).parent.joinpath("fonts").glob("*.ttf")}
    assert set(fonts) <= shipped
    assert {"SourceSerif4-Regular", "SourceSerif4Display-Regular", "BarlowCondensed-SemiBold"} <= (
        set(fonts)
    )
    assert all(fonts.values())


def test_a_sheet_that_cannot_be_set_says_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    compile_any = typst.compile
    monkeypatch.setattr(typst, "compile", lambda *_, **__: compile_any(b"#image("))
    with pytest.raises(ReportError) as caught:
        printed(answers.keep())
    assert str(caught.value) == (
        "The sheet could not be set: unclosed delimiter. "
        "Print the lesson’s page from the browser instead, and keep its file for a report."
    )


def test_a_result_that_is_no_file_is_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(typst, "compile", lambda *_, **__: None)
    with pytest.raises(ReportError) as caught:
        printed(answers.keep())
    assert str(caught.value) == (
        "The sheet came out as no single file. Install typst again (pip install --force-reinstall "
        "typst)."
    )
