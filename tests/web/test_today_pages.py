"""The first page and the page of a student: lists, forms, what was typed, what is escaped."""

import re

import numpy as np
from starlette.testclient import TestClient

from leadfoot.desk import lesson as deeds
from leadfoot.desk.desk import Desk
from tests.web.lessons import give_lesson


def test_an_empty_book_teaches_what_to_do(client: TestClient) -> None:
    page = client.get("/")
    assert page.status_code == 200
    assert "The book is empty." in page.text
    assert "Write down a student." in page.text
    assert "Monday 2 March 2026" in page.text


def test_a_new_student_is_in_the_book_and_shown(client: TestClient, desk: Desk) -> None:
    page = client.post(
        "/students",
        data={"name": " Nils Novice ", "hand": "left", "goals": "Break 100", "cautions": "Knee"},
    )
    (student,) = desk.book.students()
    assert (student.name, student.hand, student.cautions) == ("Nils Novice", "left", "Knee")
    assert page.url.path == f"/students/{student.id}"
    assert "Nils Novice" in page.text
    assert "Knee" in page.text
    assert "No lesson yet." in page.text


def test_a_student_without_a_name_keeps_what_was_typed(client: TestClient, desk: Desk) -> None:
    page = client.post("/students", data={"name": "  ", "hand": "left", "goals": "Ten yards <3"})
    assert page.status_code == 422
    assert "The student has no name." in page.text
    assert "Type a name." in page.text
    assert "Ten yards &lt;3" in page.text
    assert 'value="left" checked' in page.text
    assert desk.book.students() == ()


def test_names_cannot_bring_markup_into_a_page(client: TestClient) -> None:
    evil = '<script>alert("x")</script>'
    client.post("/students", data={"name": evil, "hand": "right", "cautions": evil})
    lesson = client.post("/students/1/lessons", data={"change": evil, "club": evil, "title": evil})
    for page in (lesson, client.get("/"), client.get("/students/1")):
        assert page.status_code == 200
        assert "<script>alert" not in page.text
        assert "&lt;script&gt;alert" in page.text


def test_a_student_can_be_changed(client: TestClient, desk: Desk) -> None:
    given = give_lesson(desk)
    client.post(
        f"/students/{given.student.id}",
        data={"name": "Ida Other", "hand": "right", "goals": "", "cautions": "Left wrist"},
    )
    student = desk.book.student(given.student.id)
    assert (student.name, student.cautions) == ("Ida Other", "Left wrist")
    refused = client.post(f"/students/{given.student.id}", data={"name": "", "goals": "kept"})
    assert refused.status_code == 422
    assert "kept" in refused.text
    assert desk.book.student(given.student.id).name == "Ida Other"


def test_lessons_stand_with_their_answer_in_one_sentence(client: TestClient, desk: Desk) -> None:
    given = give_lesson(desk)
    answer = deeds.lesson_view(desk, given.lesson.id).answer
    assert answer is not None
    for path in ("/", f"/students/{given.student.id}"):
        assert answer.sentence in re.sub(r"</?span[^>]*>", "", client.get(path).text)


def test_a_student_line_says_when_the_last_lesson_was(client: TestClient, desk: Desk) -> None:
    give_lesson(desk)
    assert "1 lesson · last 2 Mar 2026" in client.get("/").text


def test_a_lesson_begins_today(client: TestClient, desk: Desk) -> None:
    given = give_lesson(desk)
    page = client.post(
        f"/students/{given.student.id}/lessons", data={"change": "wider stance", "club": "7 iron"}
    )
    lesson = max(desk.book.lessons(), key=lambda one: one.id)
    assert (lesson.change, lesson.club, str(lesson.held_on)) == (
        "wider stance",
        "7 iron",
        "2026-03-02",
    )
    assert page.url.path == f"/lessons/{lesson.id}"
    assert "Hit some balls as usual first" in page.text


def test_cautions_stand_beside_the_lesson_and_defer_to_practice(
    client: TestClient, desk: Desk
) -> None:
    given = give_lesson(desk, cautions="Lower back: no maximal swings")
    lesson, student = (
        client.get(f"/lessons/{given.lesson.id}").text,
        client.get(f"/students/{given.student.id}").text,
    )
    for page in (lesson, student):
        assert "Lower back: no maximal swings" in page
    assert "a doctor or physiotherapist decides where there is doubt" in lesson
    assert "What a doctor or physiotherapist has said comes first" in student


def test_every_page_of_invented_data_says_so(client: TestClient, desk: Desk) -> None:
    given = give_lesson(desk)
    for path in ("/", f"/students/{given.student.id}", f"/lessons/{given.lesson.id}"):
        assert "were made up by the program" in client.get(path).text
    client.post("/students", data={"name": "Real", "hand": "right"})
    assert "were made up by the program" not in client.get("/students/2").text
    # Beside a real student, the invented one is marked by name.
    today = client.get("/").text
    assert "were made up by the program" not in today
    assert today.count('<span class="made-up">invented</span>') == 2


def test_the_look_is_kept_and_leads_back(client: TestClient) -> None:
    page = client.post("/look", data={"look": "slate", "back": "/method"})
    assert page.url.path == "/method"
    assert 'data-look="slate"' in page.text
    assert 'data-look="slate"' in client.get("/").text


def test_the_look_leads_nowhere_else(client: TestClient) -> None:
    for back in ("//evil.example/", "/\\evil.example", "https://evil.example/"):
        answer = client.post("/look", data={"look": "x", "back": back}, follow_redirects=False)
        assert answer.headers["location"] == "/"
        assert "set-cookie" not in answer.headers


def test_every_cue_that_was_tried_stands_on_the_student_page(
    client: TestClient, desk: Desk
) -> None:
    given = give_lesson(desk)
    text = client.get(f"/students/{given.student.id}").text
    assert "Every cue that was tried" in text
    assert "One cue so far: there is nothing yet to compare it with." in text
    empty = deeds.add_student(desk, name="Nell New", hand="right")
    assert 'id="cues"' not in client.get(f"/students/{empty.id}").text


def test_several_lessons_with_one_change_stand_on_the_page_of_the_student(
    client: TestClient, desk: Desk
) -> None:
    student_id = deeds.add_student(desk, name="Ida Invented", hand="right").id
    rng = np.random.default_rng(3)
    lessons = []
    for change in ("Press the block", "press the block "):
        lesson = deeds.add_lesson(desk, student_id, title="", change=change, club="7 iron")
        lessons.append(lesson)
        for role, spread in (("before", 14.0), ("with_change", 9.0)):
            block = deeds.block_for(desk, lesson.id, role)  # type: ignore[arg-type]
            for offline in rng.normal(0.0, spread, 10):
                words = f"150 {abs(offline):.1f}{'R' if offline >= 0 else 'L'}"
                deeds.type_shot(desk, block.id, words, ("carry", "offline"))
        page = client.get(f"/students/{student_id}").text
        assert ("Straighter, over several lessons" in page) == (len(lessons) == 2)
    section = page.partition('id="together"')[2].partition("</section>")[0]
    assert f'href="/lessons/{lessons[-1].id}">press the block' in section
    assert "7 iron, 2 lessons, 20 and 20 balls" in section
    found = client.get(f"/lessons/{lessons[-1].id}/answer.json").json()["straighter"]
    several = found["several_lessons"]
    assert f"{several['spread']['before']:.1f} yd" in section
    assert f"{several['spread']['after']:.1f} yd" in section
    assert several["sentence"] in client.get(f"/lessons/{lessons[-1].id}").text
