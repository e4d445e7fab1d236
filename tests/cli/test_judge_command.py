"""``leadfoot judge``: the words of the contract, its JSON and its exit codes."""

import json
import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
import pytest

from leadfoot.bootstrap import open_desk
from leadfoot.desk.lesson import add_student, block_for, type_shot
from tests.cli.conftest import Run

EXAMPLE = Path(__file__).parents[2] / "examples" / "lesson.csv"
VERDICTS = {"yes", "no", "not_yet"}
OUTCOME_KEYS = {
    "quantity",
    "unit",
    "before",
    "after",
    "change",
    "low",
    "high",
    "odds_better",
    "verdict",
}


def table(tmp_path: Path, *, gain_mph: float, n: int = 14, club: str = "Driver") -> Path:
    """A plain table: n balls before, n with a gain of club speed and the carry that comes of it."""
    rng = np.random.default_rng(11)
    lines = ["block,club,club speed (mph),carry (yd),offline (yd)"]
    for label, gain in (("before", 0.0), ("with", gain_mph)):
        for _ in range(n):
            speed = 92.0 + gain + 1.2 * rng.standard_normal()
            carry = 2.4 * speed - 12.0 + 6.0 * rng.standard_normal()
            lines.append(f"{label},{club},{speed:.1f},{carry:.0f},{10 * rng.standard_normal():.0f}")
    path = tmp_path / "lesson.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def judged(run: Run, *words: str | Path) -> dict[str, object]:
    done = run("judge", *words, "--json")
    assert done.code in {0, 4}, done.err
    form = json.loads(done.out)
    assert isinstance(form, dict)
    return form


def test_the_example_is_answered_with_json_and_a_sheet(run: Run, tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.pdf"
    done = run("judge", EXAMPLE, "--json", "--sheet", sheet)
    form = json.loads(done.out)
    assert form["schema"] == "leadfoot.judge/1"
    assert form["decision"] == "keep"
    assert form["longer"]["verdict"] == "yes"
    assert form["sentence"].startswith("Keep it: ")
    with pypdfium2.PdfDocument(sheet) as pdf:
        page = pdf[0].get_textpage().get_text_range()
    assert "Keep it" in page


def test_the_json_is_the_published_form(run: Run, tmp_path: Path) -> None:
    form = judged(run, table(tmp_path, gain_mph=4.0))
    assert list(form) == [
        "schema",
        "blocks",
        "outcomes",
        "longer",
        "straighter",
        "both",
        "decision",
        "n_more",
        "sentence",
        "problems",
    ]
    outcomes = form["outcomes"]
    assert isinstance(outcomes, list)
    for outcome in outcomes:
        assert set(outcome) >= OUTCOME_KEYS
        assert outcome["low"] <= outcome["change"] <= outcome["high"]
        assert 0.0 <= outcome["odds_better"] <= 1.0
        assert outcome["verdict"] in VERDICTS
    straighter = form["straighter"]
    assert isinstance(straighter, dict)
    assert set(straighter) == {
        "bias",
        "spread",
        "verdict",
        "odds",
        "degrees",
        "several_lessons",
    }
    assert straighter["several_lessons"] is None
    assert straighter["degrees"]["basis"] == "measured"
    assert straighter["bias"]["unit"] == "yd"
    assert form["blocks"] == [
        {"label": "before", "club": "Driver", "n_shots": 14, "n_left_out": 0},
        {"label": "with", "club": "Driver", "n_shots": 14, "n_left_out": 0},
    ]


def test_a_real_gain_is_kept_and_no_gain_is_not(run: Run, tmp_path: Path) -> None:
    assert judged(run, table(tmp_path, gain_mph=4.0))["decision"] == "keep"
    assert judged(run, table(tmp_path, gain_mph=0.0))["decision"] != "keep"
    assert judged(run, table(tmp_path, gain_mph=-4.0))["decision"] == "drop"


def test_three_balls_cannot_tell(run: Run, tmp_path: Path) -> None:
    form = judged(run, table(tmp_path, gain_mph=4.0, n=3))
    assert form["decision"] == "hit_more"
    assert isinstance(form["n_more"], int)
    assert str(form["sentence"]).startswith("Cannot tell yet.")


def test_sides_by_label_by_column_and_by_rows_agree(run: Run, tmp_path: Path) -> None:
    path = table(tmp_path, gain_mph=4.0)
    by_guess = judged(run, path)
    by_label = judged(run, path, "--before", "before", "--after", "with")
    by_column = judged(run, path, "--block", "block")
    by_rows = judged(run, path, "--before-rows", "2-15", "--after-rows", "16-29")
    assert by_guess["outcomes"] == by_label["outcomes"] == by_column["outcomes"]
    assert by_rows["outcomes"] == by_guess["outcomes"]
    swapped = judged(run, path, "--before", "with", "--after", "before")
    assert swapped["decision"] == "drop"


def test_a_planned_order_spends_its_doubt_late(run: Run, tmp_path: Path) -> None:
    """Two blocks of 14 are all of one plan, and little of another."""
    path = table(tmp_path, gain_mph=0.6)
    assert judged(run, path)["decision"] == "keep"
    assert judged(run, path, "--planned", "14,14")["decision"] == "keep"
    assert judged(run, path, "--planned", "30,30,30,30")["decision"] == "hit_more"


def test_balls_of_another_club_are_named_not_mixed_in(run: Run, tmp_path: Path) -> None:
    path = table(tmp_path, gain_mph=4.0)
    with path.open("a", encoding="utf-8") as file:
        file.writelines(f"with,7-iron,75.{i},140,{i}\n" for i in range(4))
    done = run("judge", path, "--json")
    form = json.loads(done.out)
    assert done.code == 4
    assert form["blocks"][1] == {"label": "with", "club": "Driver", "n_shots": 14, "n_left_out": 4}
    assert form["problems"][-1] == {
        "row": None,
        "column": "club",
        "text": "7-iron",
        "reason": "4 balls with this club were not judged together with Driver; "
        "name the club to judge it.",
    }


def test_a_club_can_be_chosen(run: Run, tmp_path: Path) -> None:
    path = table(tmp_path, gain_mph=4.0)
    done = run("judge", path, "--club", "putter")
    assert done.code == 3
    assert done.err == ("leadfoot: No ball was hit with 'putter'. The clubs here are: 'Driver'.\n")
    assert judged(run, path, "--club", "driver")["decision"] == "keep"


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["--before-rows", "2-9"], 2, "give both --before-rows and --after-rows, or neither"),
        (["--before-rows", "nine", "--after-rows", "3-4"], 2, "no range of rows"),
        (["--handed", "both"], 2, "both"),
        (["--planned", "ten,15"], 2, "'ten,15' is no plan; write the balls of each block"),
        (["--planned", "10"], 3, "The plan '10' can't be hit. Give two blocks or more"),
        (["--nonsense"], 2, "nonsense"),
        (["--before", "lunch"], 3, "No block is called 'lunch'."),
        (["--block", "lunch"], 3, "lunch"),
    ],
)
def test_words_that_are_off_and_input_that_cannot_be_used(
    run: Run, tmp_path: Path, words: list[str], code: int, says: str
) -> None:
    done = run("judge", table(tmp_path, gain_mph=0.0), *words)
    assert (done.code, done.out) == (code, "")
    assert says in " ".join(done.err.replace("│", " ").split())


@pytest.mark.parametrize(
    "prepare",
    [
        lambda path: path.write_bytes(b""),
        lambda path: path.write_bytes(bytes(range(256)) * 40),
        lambda path: path.write_text("just some words\nand more words\n", encoding="utf-8"),
        lambda path: path.mkdir(),
        lambda _path: None,
    ],
    ids=["empty", "binary", "prose", "folder", "missing"],
)
def test_what_is_no_table_is_one_line_and_exit_code_3(
    run: Run, tmp_path: Path, prepare: Callable[[Path], object]
) -> None:
    path = tmp_path / "odd.csv"
    prepare(path)
    done = run("judge", path, "--json")
    assert (done.code, done.out) == (3, "")
    assert done.err.startswith("leadfoot: ")
    assert done.err.count("\n") == 1


def test_without_json_a_person_reads_the_sentence_first(run: Run, tmp_path: Path) -> None:
    done = run("judge", table(tmp_path, gain_mph=4.0))
    assert done.out.startswith("Keep it: about ")
    assert "straighter" in done.out


def test_a_sheet_that_cannot_be_written_says_so(run: Run, tmp_path: Path) -> None:
    where = tmp_path / "missing" / "sheet.pdf"
    done = run("judge", table(tmp_path, gain_mph=4.0), "--sheet", where)
    assert done.code == 3
    assert done.err == (
        f"leadfoot: Sheet {str(where)!r} can't be written: No such file or directory. "
        "Choose another place.\n"
    )


def test_units_of_the_answer_are_those_of_the_table(run: Run, tmp_path: Path) -> None:
    text = table(tmp_path, gain_mph=4.0).read_text(encoding="utf-8")
    path = tmp_path / "metric.csv"
    path.write_text(text.replace("(yd)", "(m)"), encoding="utf-8")
    outcomes = judged(run, path)["outcomes"]
    assert isinstance(outcomes, list)
    assert {o["unit"] for o in outcomes if o["quantity"] in {"carry", "offline"}} == {"m"}


def test_the_example_leaves_no_trace_elsewhere(run: Run, tmp_path: Path) -> None:
    copy = tmp_path / "copy.csv"
    shutil.copy(EXAMPLE, copy)
    run("judge", copy)
    assert [path.name for path in tmp_path.iterdir()] == ["copy.csv"]


@pytest.fixture
def two_lessons(tmp_path: Path) -> tuple[Path, list[int]]:
    """A book with two lessons of one change and one club, each with balls on both sides."""
    file, ids = tmp_path / "book.sqlite", []
    desk = open_desk(str(file))
    student = add_student(desk, name="Ida Invented", hand="right")
    rng = np.random.default_rng(4)
    for day in (1, 8):
        lesson = desk.book.add_lesson(
            student_id=student.id, held_on=date(2026, 5, day), title="", change="press", club="7i"
        )
        ids.append(lesson.id)
        for role, spread in (("before", 14.0), ("with_change", 9.0)):
            block = block_for(desk, lesson.id, role)  # type: ignore[arg-type]
            for offline in rng.normal(0.0, spread, 10):
                side = "R" if offline >= 0 else "L"
                type_shot(desk, block.id, f"160 {abs(offline):.1f}{side}", ("carry", "offline"))
    desk.book.close()
    return file, ids


def test_a_lesson_of_the_book_says_what_several_lessons_say(
    run: Run, two_lessons: tuple[Path, list[int]], tmp_path: Path
) -> None:
    book, (first, second) = two_lessons
    alone: Any = judged(run, "--lesson", str(first), "--book", book)
    assert alone["straighter"]["several_lessons"] is None
    sheet = tmp_path / "sheet.pdf"
    form: Any = judged(run, "--lesson", str(second), "--book", book, "--sheet", sheet)
    several = form["straighter"]["several_lessons"]
    assert (several["n_lessons"], several["n_before"], several["n_after"]) == (2, 20, 20)
    assert (several["quantity"], several["unit"]) == ("offline", "yd")
    assert several["spread"]["after"] < several["spread"]["before"]
    assert 0.5 < several["odds_narrower"] < 1.0
    assert several["sentence"].startswith("Over 2 lessons with this change")
    assert sheet.read_bytes().startswith(b"%PDF")
    said = " ".join(run("judge", "--lesson", str(second), "--book", book).out.split())
    assert several["sentence"] in said


def test_a_lesson_without_balls_and_words_that_do_not_go_together(
    run: Run, two_lessons: tuple[Path, list[int]], tmp_path: Path
) -> None:
    book, (first, _) = two_lessons
    desk = open_desk(str(book))
    empty = desk.book.add_lesson(
        student_id=1, held_on=date(2026, 6, 1), title="", change="", club=None
    )
    desk.book.close()
    done = run("judge", "--lesson", str(empty.id), "--book", book)
    assert (done.code, done.out) == (3, "")
    assert done.err.startswith(f"leadfoot: Lesson {empty.id} has no answer yet. ")

    def refused(*words: str | Path) -> str:
        done = run("judge", *words)
        assert (done.code, done.out) == (2, "")
        return " ".join(done.err.replace("│", " ").split())

    assert "one of both" in refused()
    assert "one of both" in refused(EXAMPLE, "--lesson", str(first), "--book", book)
    text = refused("--lesson", str(first), "--book", book, "--club", "driver")
    assert "belong to a table" in text
