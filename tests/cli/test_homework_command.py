"""``leadfoot homework``: the plan, its labels, the sheet, and what can't be."""

import json
from pathlib import Path

from tests.cli.conftest import Run
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
    done = run(*CUE, "--place", "no_club", "--minutes", "15")
    assert "nothing can be counted" in done.out


def test_what_cannot_be_says_so(run: Run, tmp_path: Path) -> None:
    assert run(*CUE, "--days", "someday").err == (
        "leadfoot: There is no day 'som'. Use: mon, tue, wed, thu, fri, sat, sun.\n"
    )
    assert "999 balls a session can't be planned." in run(*CUE, "--balls", "999").err
    assert run(*CUE, "--sheet", tmp_path / "no" / "x.pdf").code == 3
