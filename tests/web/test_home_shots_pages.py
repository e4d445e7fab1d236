"""Shots from practice on the pages: given by link or coach, and what a stranger may send."""

import tracemalloc
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from leadfoot.coaching.homework import Week
from leadfoot.desk.access_records import LogFilter
from leadfoot.desk.desk import Desk
from leadfoot.desk.homework import give_homework, homework_view, make_link
from leadfoot.desk.season import season
from leadfoot.web.app import build_app
from leadfoot.web.guard import LIMIT_BYTES
from tests.shots import bombs
from tests.web.conftest import PORT
from tests.web.door import Locked, Served
from tests.web.lessons import Given, give_lesson

MB = 2**20
GOOD = b"Club,Ball Speed [mph],Carry [yd]\n" + b"".join(
    b"Driver,%d.5,%d\n" % (131 + k % 4, 205 + k % 9) for k in range(20)
)
FORM = {"session": "2", "done_on": "2026-03-02", "place": "range", "own_place": ""}


@pytest.fixture
def given(desk: Desk) -> Given:
    return give_lesson(desk)


@pytest.fixture
def plan(desk: Desk, given: Given) -> str:
    week = Week(days=(0, 2, 5), minutes=45, balls=40, place="net", usual_balls=20)
    stored = give_homework(desk, given.lesson.id, week, cue="press", criterion="straight")
    return f"/students/{given.student.id}/homework/{stored.id}"


@pytest.fixture
def private(desk: Desk, plan: str) -> str:
    assert plan
    return f"/h/{make_link(desk, 1)[0]}"


@pytest.fixture
def addresses(plan: str, private: str) -> tuple[str, str]:
    """Where shots are given: by the student, by the coach."""
    return f"{private}/shots", f"{plan}/shots"


def test_the_student_sees_what_was_taken_and_what_was_not(
    client: TestClient, desk: Desk, private: str
) -> None:
    data = GOOD + b"Driver,fast,211\n"
    answer = client.post(f"{private}/shots", data=FORM, files={"file": ("range.csv", data)})
    assert answer.status_code == 200
    assert "21 balls of range.csv are taken." in answer.text
    assert "21 balls with the driver at the range, none clearly mishit." in answer.text
    assert "1 remark on this table" in answer.text
    assert "Row 22, Ball Speed [mph]: “fast”." in answer.text
    assert "Practice is not a test" in answer.text
    # Nobody else stands on it, and it leads nowhere else.
    assert "Ida" not in answer.text
    (table,) = desk.book.home_tables(1)
    assert (table.given_by, table.session, table.n_shots) == ("student", 2, 21)
    assert desk.book.home_table(table.id)[1] == data
    assert homework_view(desk, 1).done_sessions == {2}
    again = client.post(f"{private}/shots", data=FORM, files={"file": ("copy.csv", data)})
    assert "These balls were given before, in range.csv of 2 Mar 2026." in again.text
    assert "Nothing was counted twice." in again.text
    assert desk.book.home_tables(1) == (table,)


def test_the_coach_sees_it_beside_the_lesson_and_in_the_season(
    client: TestClient, desk: Desk, plan: str, private: str
) -> None:
    client.post(f"{private}/shots", data=FORM, files={"file": ("range.csv", GOOD)})
    text = client.get(plan).text
    assert "20 balls with the driver at the range" in text
    assert "Lesson, as usual" in text
    assert "Practice is not a test" in text
    assert "given by the student" in text
    assert "1 of 12 sessions done" in text
    shown = client.get("/students/1?quantity=carry").text
    assert "Practice at home" in shown
    assert "practice at the range, 20 balls," in shown
    rows = client.get("/students/1/season.csv?quantity=carry").text.splitlines()
    assert rows[-1].startswith("2026-03-02,practice,")
    assert rows[-1].endswith(",range")
    client.post(f"{plan}/shots/1/leave-out", data={"reason": "my brother's"})
    assert "Left out: my brother&#39;s" in client.get(plan).text
    assert "(left out by your coach: my brother&#39;s)" in client.get(private).text
    assert season(desk, 1) is None
    client.post(f"{plan}/shots/1/take-back")
    assert season(desk, 1) is not None


def test_the_coach_gives_a_table_too(client: TestClient, desk: Desk, plan: str) -> None:
    form = {**FORM, "session": "", "own_place": "Hill Farm"}
    answer = client.post(f"{plan}/shots", data=form, files={"file": ("a.csv", GOOD)})
    assert "20 balls of a.csv are taken." in answer.text
    assert "at Hill Farm" in answer.text
    (table,) = desk.book.home_tables(1)
    assert (table.given_by, table.session, table.place) == ("coach", None, "Hill Farm")
    file = client.get(f"{plan}/shots/1/file")
    assert file.content == GOOD
    assert file.headers["content-disposition"] == 'attachment; filename="practice-1.table"'
    assert file.headers["content-type"] == "application/octet-stream"
    assert client.post(f"{plan}/shots/1/read-again", follow_redirects=False).status_code == 303
    assert desk.book.home_tables(1) == (table,)


@pytest.mark.parametrize(
    ("more", "file", "expected"),
    [
        ({}, None, "No file was given."),
        ({"session": "99"}, GOOD, "The plan has no session 99."),
        ({"session": "two"}, GOOD, "is no whole number"),
        ({"done_on": "yesterday"}, GOOD, "is no day"),
        ({"done_on": "2026-03-09"}, GOOD, "is no day of this homework"),
        ({"own_place": "x" * 61}, GOOD, "The name of the place has 61 letters."),
        ({"place": "", "own_place": " "}, GOOD, "The place has no name."),
        ({}, b"nothing of the kind", "has no header that names a quantity"),
    ],
)
def test_what_is_refused_stays_in_the_form(
    client: TestClient,
    addresses: tuple[str, str],
    *,
    more: dict[str, str],
    file: bytes | None,
    expected: str,
) -> None:
    form = {**FORM, "own_place": "Hill & Farm", **more}
    files = {"file": ("range.csv", file)} if file else None
    for at in addresses:
        answer = client.post(at, data=form, files=files)
        assert answer.status_code == 422
        assert expected in answer.text
        if "own_place" not in more:
            assert 'value="Hill &amp; Farm"' in answer.text
    desk: Desk = client.app.state.desk  # type: ignore[attr-defined]
    assert desk.book.home_tables(1) == ()


def test_a_table_of_another_plan_is_not_there(
    client: TestClient, desk: Desk, given: Given, plan: str
) -> None:
    client.post(f"{plan}/shots", data=FORM, files={"file": ("a.csv", GOOD)})
    week = Week(days=(0,), minutes=45, balls=40, place="net")
    give_homework(desk, given.lesson.id, week, cue="press", criterion="straight")
    other = plan[:-1] + "2"
    assert client.get(f"{other}/shots/1/file").status_code == 404
    for deed in ("leave-out", "take-back", "read-again"):
        answer = client.post(f"{other}/shots/1/{deed}", data={"reason": "x"})
        assert answer.status_code == 404
    assert desk.book.home_tables(1)[0].left_out_reason is None
    refused = client.post(f"{plan}/shots/1/leave-out", data={"reason": " "})
    assert "can&#39;t be left out without a reason" in refused.text


def test_texts_of_a_table_are_shown_and_never_run(
    client: TestClient, plan: str, private: str
) -> None:
    data = b"Club,Carry [yd]\n<script>alert(1)</script>,200\nx<img src=y>,<b>far</b>\n7i,160\n"
    name = '"><script>alert(2)</script>.csv'
    for text in (
        client.post(f"{private}/shots", data=FORM, files={"file": (name, data)}).text,
        client.get(plan).text,
        client.get("/students/1").text,
    ):
        assert "<script>alert" not in text
        assert "<img" not in text or 'class="season"' in text
        assert "<b>far" not in text


def test_a_withdrawn_and_an_old_link_take_nothing(
    client: TestClient, desk: Desk, plan: str, private: str
) -> None:
    later = replace(desk, clock=lambda: desk.clock() + timedelta(days=61))
    with TestClient(build_app(later, port=PORT), base_url=f"http://127.0.0.1:{PORT}") as then:
        old = then.post(f"{private}/shots", data=FORM, files={"file": ("a.csv", GOOD)})
        assert old.status_code == 404
    client.post(f"{plan}/links/1/withdraw")
    for at in (private, "/h/never"):
        gone = client.post(f"{at}/shots", data=FORM, files={"file": ("a.csv", GOOD)})
        assert gone.status_code == 404
    assert desk.book.home_tables(1) == ()


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("far.xlsx", bombs.far_corner(b"'")),
        ("often.xlsx", bombs.long_text_often(200_000, 9_000)),
        ("wide.ods", bombs.repeated(10**9, 16_384)),
        ("lie.xlsx", bombs.lying_size(400 * MB)),
        ("half.xlsx", bombs.workbook(b"<row>")[:900]),
        ("columns.csv", b"Carry,Spin\n" + b"1," * 20_000),
        ("lines.csv", b"Carry,Spin\n" + b"1,2\n" * 600_000),
        ("balls.csv", b"Carry,Spin\n" + b"150,6000\n" * 9_000),
        ("deep.json", b"[" * MB),
        ("zeros.c3d", b"\x02P" + b"\0" * MB),
    ],
)
def test_a_bomb_is_refused_in_bounded_memory_and_not_kept(
    client: TestClient, desk: Desk, private: str, name: str, data: bytes
) -> None:
    tracemalloc.start()
    try:
        sent = client.post(f"{private}/shots", data=FORM, files={"file": (name, data)})
        most_mb = tracemalloc.get_traced_memory()[1] / MB
    finally:
        tracemalloc.stop()
    assert sent.status_code == 422
    assert 'role="alert"' in sent.text
    assert most_mb < 120.0, most_mb
    assert desk.book.home_tables(1) == ()


def test_more_than_a_request_may_have_is_not_read(
    client: TestClient, desk: Desk, private: str
) -> None:
    sent = client.post(
        f"{private}/shots", data=FORM, files={"file": ("big.csv", b"1" * (LIMIT_BYTES + 1))}
    )
    assert sent.status_code == 413
    assert desk.book.home_tables(1) == ()


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    locked = Locked(tmp_path / "locked.book")
    with locked.served() as served:
        yield served
    locked.book.close()


def test_who_may_give_shots_where(served: Served) -> None:
    """A link gives to its own plan and reaches no page of the coach; a screen reaches neither."""
    locked = served.locked
    private, plan = f"/h/{locked.secret}", f"/students/{locked.student.id}/homework/1"

    def send(visit_key: str, client: TestClient, at: str) -> int:
        answer = client.post(
            at,
            data={**FORM, "form_key": visit_key},
            files={"file": ("a.csv", GOOD)},
            headers={"origin": served.base, "sec-fetch-site": "same-origin"},
        )
        return answer.status_code

    nobody, screen = served.fresh(), served.screen()
    with_link = served.fresh()
    key = with_link.key(private)
    deeds = ("", "/1/file", "/1/leave-out", "/1/take-back", "/1/read-again")
    for visit in (nobody, with_link):
        for deed in deeds:
            at = f"{plan}/shots{deed}"
            status = visit.get(at).status_code if "file" in deed else send(key, visit.client, at)
            assert status in {303, 401}, at
    assert send(screen.key("/bays/bay-1/screen"), screen.client, f"{plan}/shots") == 403
    # A form from elsewhere, without the key of this browser, is none.
    assert send("", with_link.client, f"{private}/shots") == 403
    assert locked.book.home_tables(1) == ()
    assert send(key, with_link.client, f"{private}/shots") == 303
    assert len(locked.book.home_tables(1)) == 1
    lines = locked.book.access.log(LogFilter(), most=99)
    (line,) = [one for one in lines if one.what == "/h/{secret}/shots"]
    assert (line.who, line.role, line.deed) == ("private link 1", "student", "changed")
    assert line.student_id == locked.student.id
