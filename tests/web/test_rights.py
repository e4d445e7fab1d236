"""Every address in every standing: who may, does; who may not, is turned away and changes nothing.

The table below is written by hand and complete: an address that is not in it fails the test, so
that a new page must say to whom it belongs.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.websockets import WebSocketDisconnect

from tests.book.full_book import rows_of
from tests.web.door import Locked, Served, Visit

OWNERS = """
GET /access
POST /access/accounts
POST /access/accounts/{account_id}/role
POST /access/accounts/{account_id}/password
POST /access/accounts/{account_id}/sign-out
POST /access/accounts/{account_id}/remove
POST /access/opening
GET /access/log
GET /access/log.csv
POST /book/export
POST /settings/units
POST /settings/air
POST /settings/monitor
POST /settings/usual
GET /students/{student_id}/erase
POST /students/{student_id}/erase
"""
SCREENS = """
GET /bays/{name}/screen
GET /lessons/{lesson_id}/bay
POST /lessons/{lesson_id}/bay/numbers
POST /look
POST /sign-out
LIVE /live
"""
ANYONE = """
GET /sign-in
POST /sign-in
GET /h/{secret}
POST /h/{secret}
GET /h/{secret}/sheet.pdf
POST /h/{secret}/shots
GET /screen/{secret}
POST /screen/{secret}
GET /bays/{name}/shots
POST /bays/{name}/shots
"""


def lines(text: str) -> set[tuple[str, str]]:
    pairs = (line.split(" ") for line in text.strip().splitlines())
    return {(method, path) for method, path in pairs}


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    locked = Locked(tmp_path_factory.mktemp("door") / "lessons.book")
    with locked.served() as served:
        yield served
    locked.book.close()


def filled(served: Served, path: str) -> str:
    """An address with what is there in its gaps; the screen's and link's own lesson and bay."""
    locked = served.locked
    gaps = {
        "student_id": locked.student.id,
        "lesson_id": locked.lesson.id,
        "homework_id": locked.homework.id,
        "name": "bay-1",
        "account_id": 2,
        "secret": "no-such-secret",
        "figure": "pattern",
        "kind": "svg",
    }
    for gap in path.split("{")[1:]:
        name = gap.partition("}")[0]
        path = path.replace("{" + name + "}", str(gaps.get(name, 1)))
    return path


def every(served: Served) -> list[tuple[str, str]]:
    found: list[tuple[str, str]] = sorted(served.client.app.state.places.all)  # type: ignore[attr-defined]
    return [(method, path) for method, path in found if method != "HEAD"]


def asked(served: Served, visit: Visit, method: str, path: str) -> tuple[int, str]:
    """Status and where it leads; a form carries a good key, so that only the standing decides."""
    where = filled(served, path)
    answer = visit.get(where) if method == "GET" else visit.post(where, at="/sign-in")
    return answer.status_code, answer.headers.get("location", "")


def test_the_table_names_addresses_that_are_there(served: Served) -> None:
    there = set(every(served))
    assert lines(OWNERS) | lines(SCREENS) | lines(ANYONE) <= there
    assert len(there) > 100


def test_nobody_gets_in_without_signing_in(served: Served) -> None:
    before = rows_of(served.locked.path)
    for method, path in every(served):
        visit = served.fresh()
        if method == "LIVE":
            with (
                visit.client.websocket_connect(
                    f"ws{served.base[4:]}/live", headers=own(served)
                ) as socket,
                pytest.raises(WebSocketDisconnect) as closed,
            ):
                socket.receive_json()
            assert closed.value.code == 1008
            continue
        status, to = asked(served, visit, method, path)
        if (method, path) in lines(ANYONE):
            assert not to.startswith("/sign-in?"), path
            assert status != 401 or path == "/bays/{name}/shots", path
        elif method == "GET":
            assert status == 303, path
            assert to.startswith("/sign-in"), path
        else:
            assert status == 401, path
    assert rows_of(served.locked.path) == before


def own(served: Served) -> dict[str, str]:
    return {"origin": served.base}


def test_a_coach_may_do_all_but_what_is_for_owners(served: Served) -> None:
    before = rows_of(served.locked.path)
    for method, path in every(served):
        if method == "LIVE":
            continue
        # A coach of its own for each: signing out is one of them.
        if (method, path) in lines(OWNERS):
            visit = served.signed_in("Carl Coach")
            where = filled(served, path)
            key = visit.key("/")
            answer = visit.get(where) if method == "GET" else visit.post(where, key=key)
            assert answer.status_code == 403, path
            assert "This is not for you to open." in answer.text
    assert rows_of(served.locked.path) == before
    assert len(served.locked.book.access.accounts()) == 2
    visit = served.signed_in("Carl Coach")
    for path in ("/", "/bays", "/book", f"/students/{served.locked.student.id}", "/method"):
        assert visit.get(path).status_code == 200, path


def test_an_owner_may_open_what_is_for_owners(served: Served) -> None:
    visit = served.signed_in("Olga Owner")
    for method, path in lines(OWNERS):
        if method == "GET":
            assert visit.get(filled(served, path)).status_code == 200, path


def test_a_screen_opens_its_own_bay_and_nothing_else(served: Served) -> None:
    visit = served.screen()
    before = rows_of(served.locked.path)
    lesson = served.locked.lesson.id
    key = visit.key("/bays/bay-1/screen")
    for method, path in every(served):
        if method == "LIVE" or (method, path) in lines(ANYONE) or path == "/sign-out":
            continue
        where = filled(served, path)
        answer = visit.get(where) if method == "GET" else visit.post(where, key=key)
        if (method, path) in lines(SCREENS):
            assert answer.status_code in {200, 303}, path
        else:
            assert answer.status_code == 403, (method, path)
    other = served.locked.other_lesson.id
    assert visit.get("/bays/bay-2/screen").status_code == 403
    assert visit.get(f"/lessons/{other}/bay").status_code == 403
    assert visit.get(f"/lessons/{lesson}").status_code == 403
    assert rows_of(served.locked.path) == before


def test_a_screen_hears_of_its_own_lesson_alone(served: Served) -> None:
    visit, lesson, other = served.screen(), served.locked.lesson.id, served.locked.other_lesson.id
    live = f"ws{served.base[4:]}/live"
    with visit.client.websocket_connect(f"{live}?lesson={lesson}", headers=own(served)) as socket:
        assert socket.receive_json() == {"hello": True}
    with (
        visit.client.websocket_connect(f"{live}?lesson={other}", headers=own(served)) as socket,
        pytest.raises(WebSocketDisconnect),
    ):
        socket.receive_json()


def test_a_private_link_opens_its_own_student_and_nothing_else(served: Served) -> None:
    visit, locked = served.fresh(), served.locked
    before = rows_of(locked.path)
    page = visit.get(f"/h/{locked.secret}")
    assert page.status_code == 200
    assert "Ben Other" not in page.text
    assert 'href="/"' not in page.text
    assert visit.get(f"/h/{locked.secret}/sheet.pdf").content == b"%PDF Ana Example"
    key = visit.key(f"/h/{locked.secret}")
    for method, path in every(served):
        if method == "LIVE" or (method, path) in lines(ANYONE):
            continue
        where = filled(served, path)
        answer = visit.get(where) if method == "GET" else visit.post(where, key=key)
        assert answer.status_code in {303, 401}, (method, path)
        assert answer.headers.get("location", "/sign-in").startswith("/sign-in"), path
    assert rows_of(locked.path) == before


def test_a_bay_gets_in_by_its_token_alone(served: Served) -> None:
    locked, visit = served.locked, served.fresh()
    shot = {"key": "a-1", "values": {"carry": {"value": 200.0, "unit": "yd"}}}

    def send(bay: str, token: str) -> int:
        headers = {"authorization": f"Bearer {token}"}
        return visit.client.post(f"/bays/{bay}/shots", json=shot, headers=headers).status_code

    assert send("bay-1", "wrong") == send("bay-1", locked.bay_2.token) == 401
    assert send("bay-2", locked.bay.token) == send("bay-9", locked.bay.token) == 401
    assert locked.book.shots(locked.lesson.id) == ()
    assert send("bay-1", locked.bay.token) == 201
    assert len(locked.book.shots(locked.lesson.id)) == 1
    # The token opens no page.
    page = visit.get("/", headers={"authorization": f"Bearer {locked.bay.token}"})
    assert page.status_code == 303


def test_without_accounts_on_this_machine_nobody_signs_in(tmp_path: Path) -> None:
    from starlette.testclient import TestClient

    from leadfoot.book.store import open_book
    from leadfoot.desk.desk import Desk
    from leadfoot.web.app import build_app
    from tests.web.conftest import print_plainly
    from tests.web.door import Hand

    with open_book(tmp_path / "a.book") as book:
        desk = Desk(book=book, clock=Hand(), printer=print_plainly, version="0")
        app = build_app(desk, port=8470)
        with TestClient(app, base_url="http://127.0.0.1:8470") as client:
            assert client.get("/").status_code == client.get("/access").status_code == 200
