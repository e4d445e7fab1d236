"""Homework on the pages: the form, the plan, the sheet, the private link and the phone page."""

import re
from dataclasses import replace
from datetime import timedelta

import pytest
from starlette.testclient import TestClient

from leadfoot.desk.desk import Desk
from leadfoot.desk.homework import homework_view
from leadfoot.reports.homework_sheet import print_homework
from leadfoot.web.app import build_app
from tests.reports.pdf import read
from tests.web.conftest import PORT
from tests.web.lessons import Given, give_lesson

FORM = {
    "lesson": "1",
    "cue": "",
    "criterion": "between the posts",
    "days": ["0", "2", "5"],
    "minutes": "45",
    "balls": "40",
    "place": "net",
    "weeks": "3",
    "usual_balls": "",
}
LOG = {
    "session": "1",
    "n_balls": "40",
    "n_counted": "20",
    "n_met": "12",
    "pain": "no",
    "notes": "x",
}


@pytest.fixture
def given(desk: Desk) -> Given:
    return give_lesson(desk, cautions="left knee")


@pytest.fixture
def plan_address(client: TestClient, given: Given) -> str:
    answer = client.post(
        f"/students/{given.student.id}/homework", data=FORM, follow_redirects=False
    )
    assert answer.status_code == 303
    return str(answer.headers["location"])


def link_of(client: TestClient, address: str) -> str:
    text = client.post(f"{address}/link").text
    found = re.search(r'href="http://127\.0\.0\.1:\d+(/h/[\w-]+)"', text)
    assert found
    return found[1]


def test_a_plan_is_given_with_the_cue_of_the_lesson(client: TestClient, plan_address: str) -> None:
    text = client.get(plan_address).text
    assert "soft block under the lead foot" in text
    assert "between the posts" in text
    assert "left knee." in text
    assert text.count('scope="row"') == 9
    assert "inference" in text
    assert "rule of thumb" in text
    assert "house rule" in text


def test_a_form_that_is_refused_keeps_what_was_typed(client: TestClient, given: Given) -> None:
    wrong = {**FORM, "criterion": "between & posts", "balls": "three", "days": ["6"]}
    answer = client.post(f"/students/{given.student.id}/homework", data=wrong)
    assert answer.status_code == 422
    assert "Balls: &#39;three&#39; is no whole number." in answer.text
    assert 'value="between &amp; posts"' in answer.text
    assert re.search(r'value="6" checked', answer.text)
    assert not re.search(r'value="0" checked', answer.text)


def test_the_secret_is_shown_once_and_opens_one_plan(client: TestClient, plan_address: str) -> None:
    private = link_of(client, plan_address)
    secret = private.removeprefix("/h/")
    assert secret not in client.get(plan_address).text
    page = client.get(private)
    assert page.status_code == 200
    assert "Ida" not in page.text
    assert "invented student" in page.text
    addresses = re.findall(r'href="([^"]+)"', page.text)
    assert all(address.startswith(("/static/", f"{private}/")) for address in addresses)
    assert "noindex" in page.text
    for elsewhere in (f"/students/{secret}", f"/lessons/{secret}", f"/h/{secret[:-2]}", "/h/x"):
        assert client.get(elsewhere).status_code in {404, 422}


def test_the_phone_page_writes_a_session_down(
    client: TestClient, desk: Desk, plan_address: str
) -> None:
    private = link_of(client, plan_address)
    answer = client.post(private, data={**LOG, "notes": "<b>windy</b>"})
    assert "Session 1 is written down." in answer.text
    assert "Session 2 of 9" in answer.text
    view = homework_view(desk, 1)
    assert (view.logs[1].n_met, view.logs[1].logged_by) == (12, "student")
    shown = client.get(plan_address).text
    assert "12 of 20" in shown
    assert "&lt;b&gt;windy&lt;/b&gt;" in shown


def test_a_plan_without_a_ball_asks_for_no_balls(client: TestClient, given: Given) -> None:
    whole = {**FORM, "criterion": ""}
    refused = client.post(f"/students/{given.student.id}/homework", data=whole)
    assert "The homework has no criterion." in refused.text
    address = client.post(
        f"/students/{given.student.id}/homework",
        data={**whole, "place": "no_club"},
        follow_redirects=False,
    ).headers["location"]
    for text in (client.get(address).text, client.get(link_of(client, address)).text):
        assert "criterion" not in text
        assert "et when" not in text
        assert 'name="n_counted"' not in text
        assert "without a ball" in text
    written = client.post(link_of(client, address), data={"session": "1", "pain": "no"})
    assert "Session 1 is written down." in written.text
    assert "Too few balls" not in written.text


def test_numbers_that_do_not_fit_stay_in_the_form(client: TestClient, plan_address: str) -> None:
    private = link_of(client, plan_address)
    answer = client.post(private, data={**LOG, "n_met": "21", "notes": "my own words"})
    assert answer.status_code == 422
    assert "21 of 20 counted balls met it" in answer.text
    assert "my own words" in answer.text
    assert 'value="21"' in answer.text


def test_pain_is_warned_of_on_both_pages(client: TestClient, plan_address: str) -> None:
    private = link_of(client, plan_address)
    assert "Pain was noted in session 1" in client.post(private, data={**LOG, "pain": "yes"}).text
    assert "Pain was noted in session 1" in client.get(plan_address).text


def test_a_withdrawn_link_is_gone(client: TestClient, plan_address: str) -> None:
    private = link_of(client, plan_address)
    client.post(f"{plan_address}/links/1/withdraw")
    assert client.get(private).status_code == 404
    assert client.post(private, data=LOG).status_code == 404
    assert client.post(f"{plan_address}/links/9/withdraw").status_code == 404


def test_an_old_link_is_gone(client: TestClient, desk: Desk, plan_address: str) -> None:
    private = link_of(client, plan_address)
    later = replace(desk, clock=lambda: desk.clock() + timedelta(days=61))
    with TestClient(build_app(later, port=PORT), base_url=f"http://127.0.0.1:{PORT}") as then:
        assert then.get(private).status_code == 404


def test_the_coach_writes_down_from_paper(
    client: TestClient, desk: Desk, plan_address: str
) -> None:
    client.post(f"{plan_address}/log", data={**LOG, "session": "3"})
    assert homework_view(desk, 1).logs[3].logged_by == "coach"
    wrong = client.post(f"{plan_address}/log", data={**LOG, "session": "77"})
    assert "The plan has no session 77." in wrong.text


def test_a_plan_of_another_student_is_not_there(client: TestClient, plan_address: str) -> None:
    assert client.get(plan_address.replace("/students/1/", "/students/2/")).status_code == 404


@pytest.mark.parametrize(("paper", "width"), [("a4", 595), ("us-letter", 612)])
def test_the_sheet_is_tagged_and_says_what_to_do(
    desk: Desk, client: TestClient, plan_address: str, paper: str, width: int
) -> None:
    printing = replace(desk, home_printer=print_homework)
    with TestClient(build_app(printing, port=PORT), base_url=f"http://127.0.0.1:{PORT}") as here:
        pdf = read(here.get(f"{plan_address}/sheet.pdf?paper={paper}").content)
    assert pdf.tagged
    assert round(pdf.size_pt[0]) == width
    assert all(pdf.fonts.values())
    assert "soft block under the lead foot" in pdf.pages[0]
    assert "between the posts" in pdf.pages[0]
    assert "test, no cue" in pdf.pages[0]
    assert "left knee." in pdf.pages[0]
    assert "No trial of how much to practise" in pdf.pages[1]
    assert len(pdf.pages) == 2
    assert client.get(f"{plan_address}/sheet.pdf").status_code == 500  # a desk without a printer


def test_homework_needs_a_lesson(client: TestClient, desk: Desk) -> None:
    alone = desk.book.add_student(
        name="New", hand="right", goals="", cautions="", invented=True, at=desk.clock()
    )
    assert "Homework follows a lesson" in client.get(f"/students/{alone.id}/homework").text
    assert (
        "There is no lesson yet." in client.post(f"/students/{alone.id}/homework", data=FORM).text
    )
