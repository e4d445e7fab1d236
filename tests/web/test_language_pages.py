"""A student's language: chosen on the student's page, said on private pages and sheets."""

import re
from html import unescape

import pytest
from fastapi.testclient import TestClient

from leadfoot.desk.desk import Desk
from leadfoot.language.catalogue import Language, language
from tests.language.strange import STRANGE, unsaid
from tests.web.conftest import client, desk
from tests.web.lessons import Given, give_lesson

__all__ = ["client", "desk"]

FORM = {
    "lesson": "1",
    "cue": "own words of the coach",
    "criterion": "between the posts",
    "minutes": "45",
    "balls": "60",
    "place": "range",
    "weeks": "3",
    "usual_balls": "",
    "days": ["0", "2", "5"],
}
GIVEN = (str(FORM["cue"]), str(FORM["criterion"]), "left knee", "0x")
"""What people wrote."""
LOG = {"session": "1", "n_balls": "40", "n_counted": "20", "n_met": "12", "pain": "no", "notes": ""}


@pytest.fixture
def given(desk: Desk) -> Given:
    return give_lesson(desk, cautions="left knee")


@pytest.fixture
def plan(client: TestClient, given: Given) -> str:
    answer = client.post(
        f"/students/{given.student.id}/homework", data=FORM, follow_redirects=False
    )
    return str(answer.headers["location"])


@pytest.fixture
def private(client: TestClient, plan: str) -> str:
    found = re.search(r'href="http://[^/]+(/h/[\w-]+)"', client.post(f"{plan}/link").text)
    assert found
    return found[1]


def reads_german(client: TestClient, given: Given) -> None:
    answer = client.post(f"/students/{given.student.id}/language", data={"language": "de"})
    assert answer.status_code == 200


def words_of(page: str) -> str:
    """What a reader sees or hears of a page."""
    body = re.sub(r"<(script|style)\b.*?</\1>", " ", page, flags=re.DOTALL)
    heard = re.findall(r'(?:alt|aria-label|title|placeholder)="([^"]*)"', body)
    return unescape(" ".join((re.sub(r"<[^>]+>", " ", body), *heard)))


def test_the_language_is_chosen_on_the_students_page(
    client: TestClient, desk: Desk, given: Given
) -> None:
    assert desk.book.student(given.student.id).language == "en"
    reads_german(client, given)
    assert desk.book.student(given.student.id).language == "de"
    page = client.get(f"/students/{given.student.id}").text
    assert '<option value="de" lang="de" selected>Deutsch</option>' in page
    assert "Language of sheets and private pages: Deutsch" in page


def test_a_language_that_is_none_changes_nothing(
    client: TestClient, desk: Desk, given: Given
) -> None:
    answer = client.post(f"/students/{given.student.id}/language", data={"language": "xx"})
    assert answer.status_code == 422
    assert "There are no texts in the language" in answer.text
    assert desk.book.student(given.student.id).language == "en"


def test_the_private_page_is_said_in_it(client: TestClient, given: Given, private: str) -> None:
    assert '<html lang="en"' in client.get(private).text
    reads_german(client, given)
    page = client.get(private).text
    assert '<html lang="de"' in page
    for said in (
        "Hausaufgabe, auf der Driving Range",
        "Ein Ball zählt als gelungen, wenn: between the posts.",
        "Einheit 1 von 9, Mittwoch",
        "Hat etwas wehgetan?",
        "Hören Sie bei jedem Schmerz auf.",
    ):
        assert said in page, said


def test_what_does_not_fit_is_said_in_it(client: TestClient, given: Given, private: str) -> None:
    reads_german(client, given)
    answer = client.post(private, data={**LOG, "n_met": "21"})
    assert answer.status_code == 422
    assert "21 von 20 gezählten Bällen gelungen, von 40 insgesamt" in answer.text
    words = client.post(private, data={**LOG, "n_met": "viele"}).text
    assert "Von diesen gelungen: &#39;viele&#39; ist keine ganze Zahl." in words
    hurt = client.post(private, data={**LOG, "pain": "yes"})
    assert "Einheit 1 ist eingetragen." in hurt.text
    assert "In Einheit 1 wurde Schmerz vermerkt" in hurt.text


def test_another_language_for_this_once(client: TestClient, given: Given, private: str) -> None:
    asked = f"{private}?language=de"
    page = client.get(asked).text
    assert '<html lang="de"' in page
    assert f'href="{private}/sheet.pdf?language=de"' in page
    assert "Einheit 2 von 9" in client.post(asked, data=LOG).text
    assert '<html lang="en"' in client.get(private).text
    assert client.get(f"{private}?language=xx").status_code == 422


def test_no_word_of_the_private_page_stays_english(
    client: TestClient, given: Given, private: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def chosen(code: str) -> Language:
        return STRANGE if code == "de" else language(code)

    reads_german(client, given)
    monkeypatch.setattr("leadfoot.language.say.language", chosen)
    pages = [client.get(private).text]
    pages += [
        client.post(private, data={**LOG, **wrong}).text
        for wrong in (
            {"pain": "yes"},
            {"n_met": "21"},
            {"n_balls": "0x"},
            {"n_balls": "5000", "n_counted": "0", "n_met": "0"},
            {"session": "99"},
            {"notes": "1" * 2001},
            {"session": "2", "n_balls": "900", "n_counted": "900", "n_met": "900"},
        )
    ]
    for page in pages:
        left = unsaid(words_of(page), GIVEN)
        assert left == []


def test_the_coachs_page_stays_english(client: TestClient, given: Given, plan: str) -> None:
    reads_german(client, given)
    page = client.get(plan).text
    assert '<html lang="en"' in page
    assert "Homework at the range" in page
    assert "Zählen Sie" not in page


@pytest.mark.parametrize(
    ("accepted", "said"), [("de-AT,en;q=0.5", "nichts mehr"), ("fr", "any more")]
)
def test_a_link_that_opens_nothing_says_so_in_the_language_of_the_browser(
    client: TestClient, accepted: str, said: str
) -> None:
    answer = client.get("/h/never", headers={"accept-language": accepted})
    assert answer.status_code == 404
    assert said in answer.text
    assert 'href="/"' not in answer.text


@pytest.mark.parametrize("accepted", [",;q=", "de;q=x", "*", "de;q=0", "x" * 3000, ";;,,"])
def test_any_header_of_a_browser_is_taken(client: TestClient, accepted: str) -> None:
    answer = client.get("/h/never", headers={"accept-language": accepted})
    assert answer.status_code == 404
    assert '<html lang="en"' in answer.text
