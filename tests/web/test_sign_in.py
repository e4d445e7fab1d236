"""Signing in and out: what is told, what is kept, when it ends, and who has to wait."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.websockets import WebSocketDisconnect

from leadfoot.desk.access_records import LogFilter
from leadfoot.desk.accounts import account_of, change_password, remove_account
from leadfoot.desk.bays import digest_of
from leadfoot.desk.signing_in import sign_in_of
from leadfoot.web.doors import Doors
from tests.web.door import HOST, PASSWORD, Locked, Served, Visit

COOKIE = "leadfoot-8470"


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    locked = Locked(tmp_path / "lessons.book")
    with locked.served() as served:
        yield served
    locked.book.close()


def sign_in(visit: Visit, name: str, password: str, to: str = "/") -> tuple[int, str]:
    answer = visit.post("/sign-in", {"name": name, "password": password, "next": to}, at="/sign-in")
    return answer.status_code, answer.text or answer.headers["location"]


def told(text: str) -> str:
    what = re.search(r"<strong data-what>(.*?)</strong> <span data-fix>(.*?)</span>", text)
    assert what is not None
    return f"{what[1]} {what[2]}"


def test_a_page_leads_to_the_sign_in_and_back(served: Served) -> None:
    visit = served.fresh()
    asked = visit.get("/bays?x=1")
    assert asked.headers["location"] == "/sign-in?next=/bays%3Fx%3D1"
    page = visit.get(asked.headers["location"])
    assert 'name="next" value="/bays?x=1"' in page.text
    assert sign_in(visit, "carl coach", PASSWORD, "/bays?x=1") == (303, "/bays?x=1")
    assert visit.get("/bays").status_code == 200
    assert visit.get("/sign-in").headers["location"] == "/"


@pytest.mark.parametrize("to", ["//evil.example", "/\\evil.example", "https://evil.example", "x"])
def test_signing_in_leads_to_no_other_place(served: Served, to: str) -> None:
    assert sign_in(served.fresh(), "Carl Coach", PASSWORD, to) == (303, "/")


def test_a_wrong_password_and_an_unknown_name_hear_the_same(served: Served) -> None:
    expected = "Name or password is not right. Type both again. An owner can set a new password."
    for name, password in (
        ("Carl Coach", "wrong"),
        ("Nobody Here", PASSWORD),
        ("", ""),
        ("Carl Coach", PASSWORD.upper()),
        ("Carl Coach", "x" * 5000),
    ):
        status, text = sign_in(served.fresh(), name, password)
        assert status == 422
        assert told(text) == expected
        assert "leadfoot-" not in str(served.client.cookies)


def test_both_do_the_same_work(served: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    """Not the clock, which says little on a busy machine: the costly comparison itself."""
    from leadfoot.desk import passwords

    compared: list[str] = []
    real = passwords._HASHER

    class Counting:
        def verify(self, known: str, given: str) -> bool:
            compared.append(known.rpartition("$")[0].rpartition("$")[0])
            return real.verify(known, given)

        def hash(self, given: str) -> str:
            return real.hash(given)

        def check_needs_rehash(self, known: str) -> bool:
            return real.check_needs_rehash(known)

    monkeypatch.setattr(passwords, "_HASHER", Counting())
    sign_in(served.fresh(), "Carl Coach", "wrong wrong wrong")
    sign_in(served.fresh(), "Nobody Here", "wrong wrong wrong")
    assert len(compared) == 2
    assert compared[0] == compared[1]  # the same kind and the same costs
    assert compared[0].startswith("$argon2id$")


def test_the_book_holds_neither_password_nor_token(served: Served) -> None:
    visit = served.signed_in("Carl Coach")
    token = visit.client.cookies[COOKIE]
    for file in served.locked.path.parent.iterdir():
        data = file.read_bytes()
        assert PASSWORD.encode() not in data
        assert token.encode() not in data
    found = served.locked.book.access.sign_in(digest_of(token))
    assert found is not None
    account = found.account
    assert account is not None
    assert account.password_hash.startswith("$argon2id$v=19$m=65536,t=3,p=4$")


def test_cookies_are_out_of_reach(served: Served, tmp_path: Path) -> None:
    visit = served.fresh()
    first = visit.get("/sign-in").headers["set-cookie"]
    assert re.fullmatch(
        r"page-8470=[\w-]{43}; Max-Age=31536000; Path=/; HttpOnly; SameSite=Lax", first
    )
    entered = visit.post("/sign-in", {"name": "Carl Coach", "password": PASSWORD}, at="/sign-in")
    assert re.fullmatch(
        r"leadfoot-8470=[\w-]{43}; HttpOnly; Max-Age=1209600; Path=/; SameSite=lax",
        entered.headers["set-cookie"],
    )
    looked = visit.post("/look", {"look": "slate"}).headers["set-cookie"]
    assert "HttpOnly" in looked
    assert "SameSite=strict" in looked


def test_over_https_cookies_are_tied_to_this_host(tmp_path: Path) -> None:
    locked = Locked(tmp_path / "a.book")
    with locked.served(Doors(port=8443, beyond=True, https=True, names=(HOST,))) as served:
        visit = served.fresh()
        first = visit.get("/sign-in").headers["set-cookie"]
        assert first.startswith("__Host-page-8443=")
        assert first.endswith("; Path=/; HttpOnly; SameSite=Lax; Secure")
        entered = visit.post(
            "/sign-in", {"name": "Carl Coach", "password": PASSWORD}, at="/sign-in"
        )
        kept = entered.headers["set-cookie"]
        assert kept.startswith("__Host-leadfoot-8443=")
        assert "Secure" in kept
        assert "Domain" not in kept
        assert visit.get("/").status_code == 200
        assert "max-age=" in visit.get("/").headers["strict-transport-security"]
    locked.book.close()


def test_the_token_is_another_after_every_sign_in(served: Served) -> None:
    visit = served.signed_in("Carl Coach")
    first = visit.client.cookies[COOKIE]
    # Whoever planted a token beforehand has nothing: it ends when another takes its place.
    page = visit.get("/").text
    key = re.search(r'form-key" content="(\w+)"', page)
    assert key is not None
    visit.post("/sign-in", {"name": "Olga Owner", "password": PASSWORD}, key=key[1])
    second = visit.client.cookies[COOKIE]
    assert first != second
    assert sign_in_of(served.locked.desk, first) is None
    assert sign_in_of(served.locked.desk, second) is not None
    planted = served.fresh()
    planted.client.cookies.set(COOKIE, "planted")
    assert planted.get("/").status_code == 303


def test_a_sign_in_ends_unused_after_half_a_day(served: Served) -> None:
    clock, visit = served.locked.clock, served.signed_in("Carl Coach")
    for _ in range(4):  # used every six hours it goes on
        clock.on(hours=6)
        assert visit.get("/bays").status_code == 200
        served.client.app.state.noter.write()  # type: ignore[attr-defined]
    clock.on(hours=12)
    assert visit.get("/bays").status_code == 303


def test_a_sign_in_ends_after_two_weeks_whatever_happens(served: Served) -> None:
    clock, visit = served.locked.clock, served.signed_in("Carl Coach")
    for _ in range(27):
        clock.on(hours=11.9)
        assert visit.get("/bays").status_code == 200
        served.client.app.state.noter.write()  # type: ignore[attr-defined]
    clock.on(hours=17)
    assert visit.get("/bays").status_code == 303


def test_signing_out_ends_it_in_the_book_too(served: Served) -> None:
    visit = served.signed_in("Carl Coach")
    token = visit.client.cookies[COOKIE]
    out = visit.post("/sign-out")
    assert (out.status_code, out.headers["location"]) == (303, "/sign-in")
    assert COOKIE not in visit.client.cookies
    copied = served.fresh()
    copied.client.cookies.set(COOKIE, token, domain=HOST)
    assert copied.get("/").status_code == 303
    assert served.locked.book.access.sign_ins() == ()


def test_a_new_password_signs_out_everywhere(served: Served) -> None:
    desk = served.locked.desk
    visits = [served.signed_in("Carl Coach") for _ in range(3)]
    owner = served.signed_in("Olga Owner")
    change_password(desk, account_of(desk, "Carl Coach"), "another lantern elsewhere")
    assert [visit.get("/").status_code for visit in visits] == [303, 303, 303]
    assert owner.get("/").status_code == 200
    assert sign_in(served.fresh(), "Carl Coach", PASSWORD)[0] == 422
    assert sign_in(served.fresh(), "Carl Coach", "another lantern elsewhere")[0] == 303


def test_who_was_removed_is_out_at_once(served: Served) -> None:
    desk, visit = served.locked.desk, served.signed_in("Carl Coach")
    remove_account(desk, account_of(desk, "Carl Coach"))
    assert visit.get("/").status_code == 303
    assert visit.post("/students", {"name": "X"}, key="0").status_code == 401


def test_an_open_page_hears_no_more_after_the_sign_out(
    served: Served, monkeypatch: pytest.MonkeyPatch
) -> None:
    from leadfoot.web import live

    monkeypatch.setattr(live, "CHECK_EVERY_S", 0.0)
    desk, visit = served.locked.desk, served.signed_in("Carl Coach")
    last = desk.book.last_change()
    address = f"ws{served.base[4:]}/live?since={last}"
    with visit.client.websocket_connect(address, headers={"origin": served.base}) as socket:
        assert socket.receive_json() == {"hello": True}
        change_password(desk, account_of(desk, "Carl Coach"), "another lantern elsewhere")
        desk.book.change_lesson(
            served.locked.lesson.id, title="Iron", change="", club=None, notes=""
        )
        with pytest.raises(WebSocketDisconnect) as closed:
            socket.receive_json()
        assert closed.value.code == 1008


# Waits


def test_failures_cost_time_and_the_book_remembers(served: Served, tmp_path: Path) -> None:
    locked = served.locked
    for _ in range(5):
        assert sign_in(served.fresh(), "Carl Coach", "wrong")[0] == 422
    status, text = sign_in(served.fresh(), "Carl Coach", PASSWORD)
    assert status == 429
    assert told(text) == (
        "Signing in has failed too often under this name or from this place. "
        "Wait 5 seconds, then try again."
    )
    # A restart of the desk clears nothing.
    with locked.served() as again:
        assert sign_in(again.fresh(), "CARL  coach", PASSWORD)[0] == 429
        locked.clock.on(seconds=5)
        assert sign_in(again.fresh(), "Carl Coach", "wrong")[0] == 422
        locked.clock.on(seconds=9)
        status, text = sign_in(again.fresh(), "Carl Coach", PASSWORD)
        assert "Wait 1 second, then" in text
        locked.clock.on(seconds=1)
        assert sign_in(again.fresh(), "Carl Coach", PASSWORD)[0] == 303
        # The right password clears the name.
        assert sign_in(again.fresh(), "Carl Coach", "wrong")[0] == 422
        assert sign_in(again.fresh(), "Carl Coach", PASSWORD)[0] == 303


def test_an_unknown_name_waits_as_a_known_one(served: Served) -> None:
    answers = [sign_in(served.fresh(), "Nobody Here", "wrong")[0] for _ in range(7)]
    assert answers == [422] * 5 + [429] * 2


def test_a_wait_never_grows_by_trying(served: Served) -> None:
    for _ in range(5):
        sign_in(served.fresh(), "Carl Coach", "wrong")
    assert [sign_in(served.fresh(), "Carl Coach", PASSWORD)[0] for _ in range(20)] == [429] * 20
    served.locked.clock.on(seconds=5)
    assert sign_in(served.fresh(), "Carl Coach", PASSWORD)[0] == 303


def test_one_address_that_tries_many_names_waits(served: Served) -> None:
    answers = [sign_in(served.fresh(), f"Name {n}", "wrong")[0] for n in range(21)]
    assert answers == [422] * 20 + [429]
    # One's own account does not buy more tries: a right password takes back one failure, its own.
    served.locked.clock.on(seconds=5)
    assert sign_in(served.fresh(), "Carl Coach", PASSWORD)[0] == 303
    served.locked.clock.on(seconds=5)
    assert sign_in(served.fresh(), "Name 21", "wrong")[0] == 422
    assert sign_in(served.fresh(), "Name 22", "wrong")[0] == 429


def test_a_clock_set_back_makes_no_wait_longer(served: Served) -> None:
    for _ in range(5):
        sign_in(served.fresh(), "Carl Coach", "wrong")
    served.locked.clock.on(days=-300)
    assert "Wait 5 seconds" in sign_in(served.fresh(), "Carl Coach", PASSWORD)[1]


def test_failures_are_forgotten_after_a_day(served: Served) -> None:
    for _ in range(6):
        sign_in(served.fresh(), "Carl Coach", "wrong")
    served.locked.clock.on(days=1, seconds=1)
    assert [sign_in(served.fresh(), "Carl Coach", "wrong")[0] for _ in range(5)] == [422] * 5


def test_the_answer_says_when_to_come_back(served: Served) -> None:
    for _ in range(5):
        sign_in(served.fresh(), "Carl Coach", "wrong")
    answer = served.fresh().post("/sign-in", {"name": "Carl Coach"}, at="/sign-in")
    assert (answer.status_code, answer.headers["retry-after"]) == (429, "6")


# Keys of forms


def test_every_form_of_every_page_carries_the_key(served: Served) -> None:
    visit, locked = served.signed_in("Olga Owner"), served.locked
    student, lesson = locked.student.id, locked.lesson.id
    seen = 0
    for path in (
        "/",
        f"/students/{student}",
        f"/students/{student}/erase",
        f"/students/{student}/homework",
        f"/students/{student}/homework/{locked.homework.id}",
        f"/students/{student}/jumps",
        f"/lessons/{lesson}",
        f"/lessons/{lesson}/bay",
        f"/lessons/{lesson}/ground",
        f"/lessons/{lesson}/after",
        "/bays",
        "/book",
        "/access",
        "/access/mine",
        f"/h/{locked.secret}",
    ):
        answer = visit.get(path)
        assert answer.status_code == 200, path
        forms = re.findall(r"<form\b[^>]*>", answer.text)
        posts = [form for form in forms if 'method="post"' in form]
        keyed = re.findall(
            r'<form\b[^>]*>\s*<input type="hidden" name="form_key" value="[0-9a-f]{64}">',
            answer.text,
        )
        assert len(posts) == len(keyed), path
        seen += len(posts)
    assert seen > 40


def test_a_form_without_the_key_does_nothing(served: Served) -> None:
    owner, coach = served.signed_in("Olga Owner"), served.signed_in("Carl Coach")
    before = served.locked.book.students()
    for key in ("", "0" * 64, owner.key("/"), served.fresh().key("/sign-in")):
        answer = coach.post("/students", {"name": "Mallory"}, key=key)
        assert answer.status_code == 403
        assert (
            "This page is older than your sign-in, or it is not from this desk. Nothing was done."
            in answer.text
        )
    # Also one that no browser sent: whoever has a sign-in shows its key.
    assert coach.client.post("/students", data={"name": "Mallory"}).status_code == 403
    assert served.locked.book.students() == before
    good = coach.key("/")
    by_header = coach.client.post(
        "/students", data={"name": "Own"}, headers={"origin": served.base, "x-form-key": good}
    )
    assert by_header.status_code == 303


def test_another_site_is_refused_with_the_right_key_too(served: Served) -> None:
    coach = served.signed_in("Carl Coach")
    key = coach.key("/")
    for headers in (
        {"origin": "https://evil.example"},
        {"origin": "null"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {"origin": served.base.replace("http", "https")},
    ):
        answer = coach.client.post(
            "/students", data={"name": "Mallory", "form_key": key}, headers=headers
        )
        assert answer.status_code == 403
        assert "This request came from another site." in answer.text


def test_a_form_of_a_private_link_needs_its_key(served: Served) -> None:
    visit, at = served.fresh(), f"/h/{served.locked.secret}"
    log = {"session": "1", "n_balls": "20", "n_counted": "10", "n_met": "5", "notes": ""}
    assert visit.post(at, log, key="").status_code == 403
    assert served.locked.book.homework_logs(served.locked.homework.id) == ()
    assert visit.post(at, log, at=at).status_code == 303
    assert len(served.locked.book.homework_logs(served.locked.homework.id)) == 1


@pytest.mark.parametrize("host", ["evil.example:8470", "127.0.0.1:1", "studio.example"])
def test_another_name_is_refused_when_open_to_the_network(served: Served, host: str) -> None:
    assert served.fresh().get("/sign-in", headers={"host": host}).status_code == 421


def test_signing_in_and_out_stands_in_the_log(served: Served) -> None:
    sign_in(served.fresh(), "Carl Coach", "wrong")
    sign_in(served.fresh(), PASSWORD, "typed in the wrong field")
    served.signed_in("Carl Coach").post("/sign-out")
    lines = served.locked.book.access.log(LogFilter(), most=20)
    # A name that nobody has is not written down: it may be a password in the wrong field.
    assert {(line.who, line.deed) for line in lines if line.what == "/sign-in"} == {
        ("Carl Coach", "failed"),
        ("someone unknown", "failed"),
        ("Carl Coach", "entered"),
        ("Carl Coach", "left"),
    }
    assert PASSWORD not in str(lines)
