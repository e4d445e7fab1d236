"""``leadfoot homework``: the plan, its labels, the sheet, and what can't be."""

import json
from datetime import UTC, datetime
from pathlib import Path

from leadfoot.bootstrap import open_desk
from leadfoot.coaching.homework import Week
from leadfoot.desk.home_shots import give_table
from leadfoot.desk.homework import give_homework
from leadfoot.desk.lesson import add_student
from tests.cli.conftest import Run
from tests.desk.weeks import at, lesson_with
from tests.reports.pdf import read

CUE = ("homework", "--cue", "press the block", "--criterion", "between the posts")


def test_a_plan_as_json(run: Run) -> None:
    done = run(*CUE, "--days", "Mon,thu", "--balls", "30", "--place", "net", "--json")
    assert done.code == 0, done.err
    form = json.loads(done.out)
    assert form["schema"] == "leadfoot.homework/1"
    assert {one["day"] for one in form["sessions"]} == {0, 3}
    assert {one["label"] for one in form["rules"]} == {"inference", "rule of thumb", "house rule"}
    assert any("net" in caution for caution in form["cautions"])


def test_a_plan_for_a_person_and_its_sheet(run: Run, tmp_path: Path) -> None:
    sheet = tmp_path / "home.pdf"
    done = run(*CUE, "--sheet", sheet, "--paper", "us-letter", "--student", "Ida Invented")
    assert done.code == 0, done.err
    assert "3 × 40" in done.out
    assert "rule of thumb: Easier when under about half" in done.out
    assert "Caution: Warm up first" in done.out
    pdf = read(sheet.read_bytes())
    assert "Ida Invented" in pdf.pages[0]
    assert pdf.tagged


def test_without_a_ball_nothing_is_counted(run: Run) -> None:
    done = run("homework", "--cue", "press", "--place", "no_club", "--minutes", "15")
    assert "nothing can be counted" in done.out
    assert "counts as met" not in done.out
    assert "balls a session" not in done.out


def test_what_came_of_the_plans_in_the_book(run: Run, tmp_path: Path) -> None:
    book = tmp_path / "a.book"
    desk = at(open_desk(book), datetime(2026, 3, 2, 12, tzinfo=UTC))
    student = add_student(desk, name="Ida Invented", hand="right")
    lesson = lesson_with(desk, student.id, change="press", gain_mph=6.0, seed=1)
    assert run("homework", "1", "--book", book).err == (
        "leadfoot: Student 1 has no homework. Give some on the student's page.\n"
    )
    week = Week(days=(0, 2, 5), minutes=45, balls=40, place="range")
    plan = give_homework(desk, lesson.id, week, cue="press", criterion="between the posts")
    give_table(
        desk,
        plan.id,
        name="range.csv",
        data=b"Club Speed [mph],Carry [yd]\n91,200\n92.5,203\nfast,204\n93,205\n",
        session=1,
        place="range",
        given_by="student",
    )
    desk.book.close()
    (form,) = json.loads(run("homework", "1", "--book", book, "--json").out)
    assert form["schema"] == "leadfoot.homework_done/1"
    assert [one["values"]["carry"]["value"] for one in form["tables"][0]["shots"]] == [
        200.0,
        203.0,
        204.0,
        205.0,
    ]
    assert form["tables"][0]["problems"][0]["row"] == 4
    said = run("homework", "1", "--book", book).out
    assert "press, 1 of 12 sessions done" in said
    assert "4 balls with the driver at the range" in said
    assert "Practice is not a test" in said


def test_what_cannot_be_says_so(run: Run, tmp_path: Path) -> None:
    assert run("homework", "--cue", "press").err == (
        "leadfoot: The homework has no criterion. "
        "Give it with --criterion, or the number of a student of the book.\n"
    )
    assert run(*CUE, "--days", "someday").err == (
        "leadfoot: There is no day 'som'. Use: mon, tue, wed, thu, fri, sat, sun.\n"
    )
    assert "999 balls a session can't be planned." in run(*CUE, "--balls", "999").err
    assert run(*CUE, "--sheet", tmp_path / "no" / "x.pdf").code == 3
