"""What a stranger may send to the desk: refused with a clear word and in bounded memory."""

import csv
import io
import tracemalloc
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from leadfoot.desk import bays
from leadfoot.desk.access_records import NewLine
from leadfoot.desk.desk import Desk
from leadfoot.web.pages.bay_shots import MOST_BODY_BYTES
from tests.shots import bombs
from tests.web.conftest import NOON
from tests.web.door import Locked

MB = 2**20


@pytest.fixture
def lesson_id(desk: Desk) -> int:
    student = desk.book.add_student(
        name="Ana", hand="right", goals="", cautions="", invented=False, at=NOON
    )
    lesson = desk.book.add_lesson(
        student_id=student.id, held_on=date(2026, 3, 2), title="", change="", club=None
    )
    return lesson.id


@pytest.mark.parametrize(
    ("name", "data", "expected"),
    [
        ("far.xlsx", bombs.far_corner(b"'"), "The workbook spans too many cells."),
        ("often.xlsx", bombs.long_text_often(200_000, 9_000), "repeats long texts too often"),
        ("wide.ods", bombs.repeated(10**9, 16_384), "The workbook spans too many cells."),
        ("half.xlsx", bombs.workbook(b"<row>")[:900], "The workbook can&#39;t be opened"),
        ("columns.csv", b"Carry,Spin\n" + b"1," * 20_000, "the program reads up to 16384"),
        ("lines.csv", b"Carry,Spin\n" + b"1,2\n" * 600_000, "the program reads up to 500000"),
        ("deep.json", b"[" * MB, ""),
        ("zeros.c3d", b"\x02P" + b"\0" * MB, ""),
    ],
)
def test_a_hostile_file_is_kept_and_not_read(
    client: TestClient, lesson_id: int, name: str, data: bytes, expected: str
) -> None:
    desk: Desk = client.app.state.desk  # type: ignore[attr-defined]
    tracemalloc.start()
    try:
        sent = client.post(f"/lessons/{lesson_id}/files", files={"file": (name, data)})
        most_mb = tracemalloc.get_traced_memory()[1] / MB
    finally:
        tracemalloc.stop()
    assert sent.status_code < 500
    assert expected in sent.text
    assert most_mb < 120.0, most_mb
    # Bad input never loses data, and brings nothing into the lesson.
    assert [one.name for one in desk.book.raw_files(lesson_id)] in ([name], [])
    assert desk.book.shots(lesson_id) == ()


@pytest.mark.parametrize("opening", [b"[", b'{"values":', b'[{"values":{"carry":['])
def test_deep_nesting_is_refused(client: TestClient, desk: Desk, opening: bytes) -> None:
    new = bays.add_bay(desk, "bay-1")
    tracemalloc.start()
    try:
        answer = client.post(
            "/bays/bay-1/shots",
            content=opening * (MB // len(opening)),
            headers={"authorization": f"Bearer {new.token}"},
        )
        most_mb = tracemalloc.get_traced_memory()[1] / MB
    finally:
        tracemalloc.stop()
    assert answer.status_code == 422
    assert answer.json()["error"]["what"] == "The body is no JSON."
    assert most_mb < 20.0


def test_a_wide_body_is_refused_before_it_is_understood(client: TestClient, desk: Desk) -> None:
    new = bays.add_bay(desk, "bay-1")
    headers = {"authorization": f"Bearer {new.token}"}
    for size, status in ((MOST_BODY_BYTES + 1, 413), (MOST_BODY_BYTES // 2, 422)):
        tracemalloc.start()
        try:
            body = b"[" + b"[]," * (size // 3) + b"[]]"
            answer = client.post("/bays/bay-1/shots", content=body, headers=headers)
            most_mb = tracemalloc.get_traced_memory()[1] / MB
        finally:
            tracemalloc.stop()
        assert answer.status_code == status
        assert most_mb < 150.0, most_mb
    assert answer.json()["error"]["what"].startswith("The list has ")


def test_a_stranger_sends_nothing_before_the_token_is_looked_at(client: TestClient) -> None:
    answer = client.post("/bays/bay-1/shots", content=b"[" * MB)
    assert answer.status_code == 401


@pytest.fixture
def locked(tmp_path: Path) -> Iterator[Locked]:
    locked = Locked(tmp_path / "locked.book")
    yield locked
    locked.book.close()


def test_the_table_of_the_log_holds_no_formula(locked: Locked) -> None:
    locked.book.change_student(
        locked.student.id, name="=HYPERLINK(A1)", hand="right", goals="", cautions=""
    )
    line = NewLine(
        at=NOON, who="@SUM(1+1)", role="coach", deed="saw", what="/", student_id=locked.student.id
    )
    locked.book.access.note([line])
    with locked.served() as served:
        text = served.signed_in("Olga Owner").get("/access/log.csv").text
    rows = list(csv.reader(io.StringIO(text)))
    assert any(row[1] == "'@SUM(1+1)" and row[5] == "'=HYPERLINK(A1)" for row in rows)
    assert not any(cell[:1] in "=+-@\t\r" for row in rows for cell in row if cell)
