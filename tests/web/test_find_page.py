"""The page of what limits the student, and what can be taken away from it."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page
from starlette.testclient import TestClient

from leadfoot.desk.demo import fill
from leadfoot.desk.desk import Desk
from leadfoot.desk.jumps import ask
from leadfoot.ground.screening import QUESTIONS
from tests.web.lessons import give_lesson
from tests.web.studio import Studio


@pytest.fixture
def lesson_id(desk: Desk) -> int:
    fill(desk.book, today=desk.clock().date())
    for lesson in desk.book.lessons():
        if {block.role for block in desk.book.blocks(lesson.id)} >= {"before", "with_change"}:
            return lesson.id
    raise AssertionError("the demo has no lesson with two sides")


def test_the_findings_stand_on_the_page_with_drills_and_cautions(
    client: TestClient, lesson_id: int
) -> None:
    page = client.get(f"/lessons/{lesson_id}/find?goal=100mph")
    assert page.status_code == 200
    assert "Short of the student&#39;s own goal in speed" in page.text
    assert "What answers it" in page.text
    assert "Before the first ball" in page.text
    assert "medical licence" in page.text
    assert f'href="/lessons/{lesson_id}/find"' in client.get(f"/lessons/{lesson_id}").text


def test_the_coachs_own_best_cues_stand_with_the_finding(
    client: TestClient, lesson_id: int
) -> None:
    before = client.get(f"/lessons/{lesson_id}/find?goal=100mph").text
    assert "pool the book first" in before
    assert client.get("/works.json").json()["n_lessons"] > 5  # the book is pooled
    text = client.get(f"/lessons/{lesson_id}/find?goal=100mph").text
    assert "Your own best cues for it" in text
    assert "For club speed more: " in text
    works = client.get("/works").text
    assert "Your own best cues, finding by finding" in works
    assert "Short of the student&#39;s own goal in speed" in works


@pytest.mark.parametrize(
    ("path", "kind", "start"),
    [("find.svg", "image/svg+xml", b"<?xml"), ("find.png", "image/png", b"\x89PNG")],
)
def test_it_can_be_taken_away(
    client: TestClient, lesson_id: int, path: str, kind: str, start: bytes
) -> None:
    given = client.get(f"/lessons/{lesson_id}/{path}")
    assert given.headers["content-type"].startswith(kind)
    assert given.content.startswith(start)


def test_the_published_form_is_there(client: TestClient, lesson_id: int) -> None:
    assert client.get(f"/lessons/{lesson_id}/find.json").json()["schema"] == "leadfoot.find/1"


def test_balls_with_a_change_are_not_needed(client: TestClient, desk: Desk) -> None:
    given = give_lesson(desk, n_before=14, n_with=0)
    page = client.get(f"/lessons/{given.lesson.id}/find")
    assert page.status_code == 200
    assert "14 balls hit as usual" in page.text


def test_a_lesson_without_balls_says_what_to_do(client: TestClient, desk: Desk) -> None:
    given = give_lesson(desk, n_before=0, n_with=0)
    page = client.get(f"/lessons/{given.lesson.id}/find")
    assert page.status_code == 200
    assert "Hit 12 to 20 balls as usual first." in page.text


def test_a_goal_that_is_no_speed_is_said(client: TestClient, lesson_id: int) -> None:
    page = client.get(f"/lessons/{lesson_id}/find?goal=fast")
    assert page.status_code == 200
    assert "fast" in page.text
    assert "It cannot be told yet" in page.text


@pytest.mark.browser
@pytest.mark.xdist_group("browser")
@pytest.mark.parametrize("look", ["paper", "slate"])
@pytest.mark.parametrize(("width", "height"), [(1280, 800), (390, 844)])
def test_axe_finds_nothing(page: Page, studio: Studio, look: str, width: int, height: int) -> None:
    given = give_lesson(studio.desk, n_before=14, n_with=0)
    page.set_viewport_size({"width": width, "height": height})
    page.context.add_cookies([{"name": "look", "value": look, "url": studio.address}])
    page.goto(f"/lessons/{given.lesson.id}/find?goal=100mph")
    page.evaluate("document.querySelectorAll('details').forEach(fold => { fold.open = true })")
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_maximal_drills_wait_for_the_questions_of_today(client: TestClient, desk: Desk) -> None:
    lesson_id = give_lesson(desk, n_before=14, n_with=0).lesson.id
    address = f"/lessons/{lesson_id}/find?goal=100mph"
    before = client.get(address).text
    assert "Held back: today&#39;s screening questions are not answered yet." in before
    assert "Nobody asked today&#39;s screening questions yet" in before
    held = client.get(f"/lessons/{lesson_id}/find.json?goal=100mph").json()["held_back"]
    assert "three_fast" in held
    no = {question.key: False for question in QUESTIONS}
    ask(desk, desk.book.lesson(lesson_id).student_id, no, junior=False)
    after = client.get(address).text
    assert "Held back:" not in after
    assert "Maximal effort may be asked for." in after
    assert "Today's answers" in after
