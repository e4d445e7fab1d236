"""The page of why, and what can be taken away from it."""

import pytest
from starlette.testclient import TestClient

from leadfoot.desk.demo import fill
from leadfoot.desk.desk import Desk


@pytest.fixture
def lesson_id(desk: Desk) -> int:
    fill(desk.book, today=desk.clock().date())
    for lesson in desk.book.lessons():
        if {block.role for block in desk.book.blocks(lesson.id)} >= {"before", "with_change"}:
            return lesson.id
    raise AssertionError("the demo has no lesson with two sides")


def test_the_shares_stand_on_the_page(client: TestClient, lesson_id: int) -> None:
    page = client.get(f"/lessons/{lesson_id}/why")
    assert page.status_code == 200
    assert "the whole change in the model" in page.text
    assert "it says nothing of the body" in page.text
    assert f'href="/lessons/{lesson_id}/why"' in client.get(f"/lessons/{lesson_id}").text


@pytest.mark.parametrize(
    ("path", "kind", "start"),
    [
        ("why/carry.svg", "image/svg+xml", b"<?xml"),
        ("why/miss.png", "image/png", b"\x89PNG"),
        ("why.csv", "text/csv", b"outcome,part,share (yd),low,high"),
    ],
)
def test_it_can_be_taken_away(
    client: TestClient, lesson_id: int, path: str, kind: str, start: bytes
) -> None:
    given = client.get(f"/lessons/{lesson_id}/{path}")
    assert given.headers["content-type"].startswith(kind)
    assert given.content.startswith(start)
    assert "attachment" in given.headers["content-disposition"]


def test_the_published_form_is_there(client: TestClient, lesson_id: int) -> None:
    assert client.get(f"/lessons/{lesson_id}/why.json").json()["schema"] == "leadfoot.why/1"


def test_a_lesson_without_balls_says_what_to_do(client: TestClient, desk: Desk) -> None:
    student = desk.book.add_student(
        name="Ann Invented", hand="right", goals="", cautions="", invented=True, at=desk.clock()
    )
    lesson = desk.book.add_lesson(
        student_id=student.id, held_on=desk.clock().date(), title="", change="", club=None
    )
    page = client.get(f"/lessons/{lesson.id}/why")
    assert page.status_code == 200
    assert "Hit some balls as usual first" in page.text
    assert client.get(f"/lessons/{lesson.id}/why.csv").status_code == 422


def test_another_club_can_stand_for_it(client: TestClient, lesson_id: int) -> None:
    page = client.get(f"/lessons/{lesson_id}/why?club=iron5")
    assert '<option value="iron5" selected>' in page.text
    assert client.get(f"/lessons/{lesson_id}/why?club=nothing").status_code == 200
