"""The pages of the clubs and of speed against straightness, and what can be taken from them."""

import csv
from io import StringIO

import pytest
from starlette.testclient import TestClient

from leadfoot.desk.desk import Desk
from leadfoot.desk.records import Student
from tests.desk.test_yardage_places import hit_at
from tests.web.bag import fill_bag
from tests.web.lessons import give_lesson


@pytest.fixture
def student(desk: Desk) -> Student:
    return fill_bag(desk)


def test_the_clubs_stand_on_the_page(client: TestClient, student: Student) -> None:
    page = client.get(f"/students/{student.id}/clubs")
    assert page.status_code == 200
    assert "Driver 2" in page.text
    assert "Between the clubs" in page.text
    assert "Carry there" not in page.text
    assert f'href="/students/{student.id}/clubs"' not in page.text
    there = client.get(f"/students/{student.id}/clubs?temperature=95&altitude=5000&half_life=30")
    assert "Carry there" in there.text
    assert "95 °F, 5000 ft up" in there.text
    assert "a ball counts half after 30 days" in there.text


@pytest.mark.parametrize(
    ("query", "what"),
    [
        ("temperature=hot", "Temperature &#39;hot&#39; is no number."),
        ("altitude=99999", "Altitude 99999 ft can&#39;t be taken."),
        ("half_life=0", "Half-life 0 days can&#39;t be taken."),
        ("half_life=1e2", "Half-life &#39;1e2&#39; is no number."),
    ],
)
def test_a_number_that_cannot_be_taken_is_said_and_kept(
    client: TestClient, student: Student, query: str, what: str
) -> None:
    page = client.get(f"/students/{student.id}/clubs?{query}")
    assert page.status_code == 422
    assert what in page.text
    assert f'value="{query.partition("=")[2]}"' in page.text
    assert client.get(f"/students/{student.id}/clubs/clubs.csv?{query}").status_code == 422


@pytest.mark.parametrize(
    ("kind", "start"), [("svg", b"<?xml"), ("png", b"\x89PNG"), ("csv", b"club,basis,balls")]
)
def test_the_figure_and_its_numbers_can_be_taken_along(
    client: TestClient, student: Student, kind: str, start: bytes
) -> None:
    found = client.get(f"/students/{student.id}/clubs/clubs.{kind}?altitude=5000")
    assert found.content.startswith(start)
    assert f'filename="clubs-{student.id}.{kind}"' in found.headers["content-disposition"]


def test_the_table_holds_what_the_page_says(client: TestClient, student: Student) -> None:
    text = client.get(f"/students/{student.id}/clubs/clubs.csv?altitude=5000").text
    rows = list(csv.DictReader(StringIO(text)))
    assert rows[0]["club"] == "driver"
    there = float(rows[0]["carry there, computed, middle (yd)"])
    assert there > float(rows[0]["carry, middle (yd)"])


def test_a_student_without_balls_is_told_what_will_stand_there(
    client: TestClient, desk: Desk
) -> None:
    given = give_lesson(desk, n_before=0, n_with=0)
    page = client.get(f"/students/{given.student.id}/clubs")
    assert "No club has enough balls yet." in page.text
    speed = client.get(f"/students/{given.student.id}/speed")
    assert "There is nothing to compare yet." in speed.text
    assert client.get(f"/students/{given.student.id}/clubs/clubs.svg").status_code == 200


def test_speed_says_how_many_balls_are_missing(client: TestClient, desk: Desk) -> None:
    given = give_lesson(desk, n_before=10, n_with=12)
    page = client.get(f"/students/{given.student.id}/speed")
    assert "cannot tell yet from 22 balls; 18 more would let us look." in page.text
    student = client.get(f"/students/{given.student.id}").text
    for name in ("clubs", "speed"):
        assert f'href="/students/{given.student.id}/{name}"' in student


def test_there_is_no_such_student(client: TestClient) -> None:
    assert client.get("/students/999/clubs").status_code == 404
    assert client.get("/students/999/speed").status_code == 404


def test_balls_of_another_place_can_be_chosen(
    client: TestClient, desk: Desk, student: Student
) -> None:
    hit_at(desk, student, "range", {"7 iron": 128.0, "driver": 198.0})
    page = client.get(f"/students/{student.id}/clubs").text
    assert "Hit in the studio." in page
    assert '<option value="range">at the range, 24 balls</option>' in page
    assert "Not in the table: 24 balls at the range." in page
    assert "7 iron at the range: " in page
    there = client.get(f"/students/{student.id}/clubs?hit_at=range")
    assert there.status_code == 200
    assert "Hit at the range, but for " in there.text
    assert "hit_at=range" in there.text
    wrong = client.get(f"/students/{student.id}/clubs?hit_at=moon")
    assert wrong.status_code == 422
    assert "No ball with a carry was hit at moon." in wrong.text
    rows = csv.DictReader(StringIO(client.get(f"/students/{student.id}/clubs/clubs.csv").text))
    assert {row["hit at"] for row in rows} == {"studio"}
