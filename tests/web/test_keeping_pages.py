"""Students over the years in the browser: found, agreed, archived, merged, exported, erased."""

import io
import re
import zipfile
from datetime import date
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from leadfoot.book.store import open_book
from leadfoot.desk.desk import Desk
from tests.book.full_book import rows_of
from tests.web.lessons import Given, give_lesson


@pytest.fixture
def given(desk: Desk) -> Given:
    return give_lesson(desk, name="Zoë Invented", n_before=2, n_with=2)


def students_on(text: str) -> list[str]:
    roster = text.partition('id="students"')[2]
    return re.findall(r'class="entry-name" href="/students/\d+">([^<]*)', roster)


def test_a_student_is_searched_on_the_first_page(client: TestClient, desk: Desk) -> None:
    assert 'role="search"' not in client.get("/").text
    for name, goals in (("Zoë Müller", "Ten yards"), ("Ben Beside", "Straighter")):
        client.post("/students", data={"name": name, "hand": "right", "goals": goals})
    assert students_on(client.get("/").text) == ["Ben Beside", "Zoë Müller"]
    assert students_on(client.get("/", params={"find": "zoe mull"}).text) == ["Zoë Müller"]
    assert students_on(client.get("/", params={"find": "STRAIGHT"}).text) == ["Ben Beside"]
    nobody = client.get("/", params={"find": '"<b>'}).text
    assert "Nobody is found by" in nobody
    assert "<b>" not in nobody
    assert 'value="&#34;&lt;b&gt;"' in nobody


def test_who_is_archived_leaves_the_lists_and_comes_back(
    client: TestClient, desk: Desk, given: Given
) -> None:
    path = f"/students/{given.student.id}"
    page = client.post(f"{path}/archive")
    assert "Archived since 2 Mar 2026" in page.text
    assert desk.book.student(given.student.id).archived_at is not None
    today = client.get("/").text
    assert students_on(today) == []
    assert "All students are archived" in today
    assert "The book is empty." not in today
    assert students_on(client.get("/", params={"archived": "yes"}).text) == ["Zoë Invented"]
    client.post(f"{path}/archive", data={"back": "yes"})
    assert students_on(client.get("/").text) == ["Zoë Invented"]


def test_what_was_agreed_is_noted(client: TestClient, desk: Desk, given: Given) -> None:
    path = f"/students/{given.student.id}/consent"
    page = client.post(
        path,
        data={
            "consent_on": "2026-03-01",
            "consent_words": "Shots and notes",
            "minor": "yes",
            "guardian": "Gro Guardian",
        },
    )
    student = desk.book.student(given.student.id)
    assert (student.consent_on, student.minor) == (date(2026, 3, 1), True)
    assert "Gro Guardian speaks for Zoë Invented." in page.text
    assert "Agreed on 1 Mar 2026: Shots and notes" in page.text
    refused = client.post(path, data={"minor": "yes", "consent_words": "kept as typed"})
    assert refused.status_code == 422
    assert "A minor needs a guardian" in refused.text
    assert "kept as typed" in refused.text
    assert desk.book.student(given.student.id) == student


def test_two_who_are_one_are_merged(client: TestClient, desk: Desk, given: Given) -> None:
    other = give_lesson(desk, name="Zoe Twice", n_before=2, n_with=2)
    path = f"/students/{given.student.id}/merge"
    unsure = client.post(path, data={"other": str(other.student.id)})
    assert unsure.status_code == 422
    assert "it was not confirmed" in unsure.text
    assert len(desk.book.students()) == 2
    page = client.post(path, data={"other": str(other.student.id), "sure": "yes"})
    assert page.url.path == f"/students/{given.student.id}"
    assert len(desk.book.lessons(given.student.id)) == 2
    assert client.get(f"/students/{other.student.id}").status_code == 404
    assert client.get(f"/lessons/{other.lesson.id}").status_code == 200


def test_a_student_and_everything_are_downloaded(
    client: TestClient, desk: Desk, given: Given, tmp_path: Path
) -> None:
    one = client.post(f"/students/{given.student.id}/export")
    assert one.headers["content-type"] == "application/zip"
    assert one.headers["content-disposition"] == (
        f'attachment; filename="leadfoot-student-{given.student.id}-2026-03-02.zip"'
    )
    assert "manifest.json" in zipfile.ZipFile(io.BytesIO(one.content)).namelist()
    assert client.post("/students/99/export").status_code == 404
    everything = client.post("/book/export")
    assert 'filename="leadfoot-book-2026-03-02.zip"' in everything.headers["content-disposition"]
    (tmp_path / "all.zip").write_bytes(everything.content)
    with open_book(tmp_path / "new.book") as book:
        book.file.import_from(tmp_path / "all.zip")
    assert rows_of(tmp_path / "new.book") == rows_of(tmp_path / "lessons.book")


def test_the_book_is_backed_up_from_its_page(
    client: TestClient, desk: Desk, given: Given, tmp_path: Path
) -> None:
    before = client.get("/book").text
    assert "There is no backup yet." in before
    assert str(tmp_path / "lessons.book") in before
    page = client.post("/book/backup")
    assert page.url.path == "/book"
    (backup,) = desk.book.file.state().backups
    assert f'Backed up and checked: <span class="path">{backup.name}' in page.text
    assert "Last backup: 2 Mar 2026, 12:00." in page.text
    assert "<script>" not in client.get("/book", params={"made": "<script>"}).text


def test_erasing_asks_for_the_name_and_names_the_backups(
    client: TestClient, desk: Desk, given: Given, tmp_path: Path
) -> None:
    backup = desk.book.file.back_up()
    path = f"/students/{given.student.id}/erase"
    asked = client.get(path).text
    assert "Type the name to confirm: Zoë Invented" in asked
    assert backup.name in asked
    refused = client.post(path, data={"typed_name": "Zo", "in_backups": "delete"})
    assert refused.status_code == 422
    assert "Nothing was erased" in refused.text
    assert 'value="Zo"' in refused.text
    assert 'value="delete" checked' in refused.text
    assert desk.book.student(given.student.id) == given.student
    done = client.post(path, data={"typed_name": "zoe invented", "in_backups": "rewrite"})
    assert done.status_code == 200
    assert "Zoë Invented is erased" in done.text
    assert backup.name in done.text
    assert client.get(f"/students/{given.student.id}").status_code == 404
    assert client.get(f"/lessons/{given.lesson.id}").status_code == 404
    assert client.get(path).status_code == 404
    for file in tmp_path.rglob("*.book*"):
        assert "Zoë Invented".encode() not in file.read_bytes(), file


def test_backups_are_left_when_nothing_was_chosen(
    client: TestClient, desk: Desk, given: Given
) -> None:
    backup = desk.book.file.back_up()
    done = client.post(f"/students/{given.student.id}/erase", data={"typed_name": "Zoë Invented"})
    assert "Backups that still hold the student" in done.text
    assert desk.book.file.state().backups == (backup,)
