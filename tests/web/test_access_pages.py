"""The settings for access and the log: the first owner, accounts, what is open, who did what."""

import csv
import io
import re
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from starlette.testclient import TestClient

from leadfoot.book.store import open_book
from leadfoot.desk.access_records import LogFilter
from leadfoot.desk.accounts import add_account, opening_of
from leadfoot.desk.desk import Desk
from leadfoot.errors import InputError
from leadfoot.web.app import build_app
from tests.web.conftest import print_plainly
from tests.web.door import PASSWORD, Hand, Locked, Served, Visit

if TYPE_CHECKING:
    from leadfoot.web.noting import Noter


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    locked = Locked(tmp_path / "lessons.book")
    with locked.served() as served:
        yield served
    locked.book.close()


@pytest.fixture
def home(tmp_path: Path) -> Iterator[Visit]:
    """A desk on its own machine, where nobody has to sign in yet."""
    with open_book(tmp_path / "a.book") as book:
        desk = Desk(book=book, clock=Hand(), printer=print_plainly, version="0")
        app = build_app(desk, port=8470)
        base = "http://127.0.0.1:8470"
        with TestClient(app, base_url=base, follow_redirects=False) as client:
            yield Visit(client)


def told(text: str) -> list[str]:
    found = re.findall(
        r'role="alert">\s*<p><strong data-what>(.+?)</strong> <span data-fix>(.+?)</span>', text
    )
    return [f"{what} {fix}".replace("&#39;", "'") for what, fix in found]


def log(served: Served) -> list[tuple[str, str, str]]:
    noter: Noter = served.client.app.state.noter  # type: ignore[attr-defined]
    noter.write()
    lines = served.locked.book.access.log(LogFilter(), most=100)
    return [(line.who, line.deed, line.what) for line in reversed(lines)]


def test_the_first_owner_is_made_on_the_page_and_signed_in(home: Visit) -> None:
    page = home.get("/access")
    assert "Nobody has to sign in" in page.text
    refused = home.post("/access/accounts", {"name": "Olga", "password": "short"}, at="/access")
    assert refused.status_code == 422
    assert told(refused.text) == [
        "The password has 5 letters. Take 12 to 200: a few words will do."
    ]
    made = home.post("/access/accounts", {"name": "Olga", "password": PASSWORD}, at="/access")
    assert made.status_code == 303
    assert "Open on this machine, to those who sign in" in home.get("/access").text
    assert (
        Visit(TestClient(home.client.app, base_url=str(home.client.base_url)))
        .client.get("/", follow_redirects=False)
        .headers["location"]
        == "/sign-in"
    )


def test_the_first_account_is_an_owner_and_made_once(home: Visit) -> None:
    key = home.key("/access")
    coach = {"name": "Carl", "password": PASSWORD, "role": "coach"}
    refused = home.post("/access/accounts", coach, key=key)
    assert told(refused.text) == [
        "The first account must be an owner's. Add an owner first, then coaches."
    ]
    desk: Desk = home.client.app.state.desk  # type: ignore[attr-defined]
    # Two pages were open; on the other one an owner was just made.
    add_account(desk, "Olga", PASSWORD, role="owner", as_first=True)
    with pytest.raises(InputError, match="There is an owner already"):
        add_account(desk, "Paul", PASSWORD, role="owner", as_first=True)
    assert home.post("/access/accounts", coach, key=key).status_code == 401


def test_accounts_are_added_changed_and_removed(served: Served) -> None:
    owner, book = served.signed_in("Olga Owner"), served.locked.book
    new = {"name": "Dora  Coach", "password": "words that dora knows", "role": "coach"}
    assert owner.post("/access/accounts", new, at="/access").status_code == 303
    assert [one.name for one in book.access.accounts()] == [
        "Carl Coach",
        "Dora Coach",
        "Olga Owner",
    ]
    again = owner.post("/access/accounts", {**new, "name": "DORA coach"}, at="/access")
    assert told(again.text) == ["There is an account 'DORA coach' already. Choose another name."]
    assert 'value="DORA coach"' in again.text
    dora = served.signed_in("Dora Coach", "words that dora knows")
    number = next(one.id for one in book.access.accounts() if one.name == "Dora Coach")
    at = f"/access/accounts/{number}"
    assert owner.post(f"{at}/role", {"role": "owner"}, at="/access").status_code == 303
    assert dora.get("/access").status_code == 200  # at once, in the page that is open
    assert owner.post(f"{at}/sign-out", at="/access").status_code == 303
    assert dora.get("/").status_code == 303
    unsure = owner.post(f"{at}/remove", at="/access")
    assert told(unsure.text) == [
        "Dora Coach was not removed: it was not confirmed. "
        "Tick that you are sure, then remove the account."
    ]
    assert owner.post(f"{at}/remove", {"sure": "yes"}, at="/access").status_code == 303
    assert "Dora" not in owner.get("/access").text.replace("Dora Coach was", "")
    gone = owner.post(f"{at}/remove", {"sure": "yes"}, at="/access")
    assert told(gone.text) == ["There is no such account any more. Look at the list again."]


def test_the_last_owner_stays(served: Served) -> None:
    owner, book = served.signed_in("Olga Owner"), served.locked.book
    number = next(one.id for one in book.access.accounts() if one.role == "owner")
    expected = (
        "Nobody would be left who may open the door: this is the last owner. "
        "Make another account an owner first."
    )
    at = f"/access/accounts/{number}"
    for path, data in ((f"{at}/role", {"role": "coach"}), (f"{at}/remove", {"sure": "yes"})):
        assert told(owner.post(path, data, at="/access").text) == [expected]
    carl = next(one for one in book.access.accounts() if one.role == "coach")
    book.access.remove_account(carl.id)
    last = owner.post(f"{at}/remove", {"sure": "yes"}, at="/access")
    assert told(last.text) == [
        "This is the last account, and the desk is open to the network: nobody could sign in. "
        "Open the desk on its own machine alone first."
    ]


def test_a_coach_changes_the_own_password_and_stays_in_here_alone(served: Served) -> None:
    here, there = served.signed_in("Carl Coach"), served.signed_in("Carl Coach")
    wrong = {"old": "wrong", "password": "words that carl knows"}
    refused = here.post("/access/mine", wrong, at="/access/mine")
    assert told(refused.text) == [
        "Name or password is not right. Type both again. An owner can set a new password."
    ]
    same = here.post("/access/mine", {"old": PASSWORD, "password": "Carl Coach"}, at="/access/mine")
    assert told(same.text)[0].startswith("The password has 10 letters.")
    right = {"old": PASSWORD, "password": "words that carl knows"}
    assert here.post("/access/mine", right, at="/access/mine").status_code == 303
    assert here.get("/").status_code == 200
    assert there.get("/").status_code == 303
    served.signed_in("Carl Coach", "words that carl knows")


def test_how_the_desk_opens_is_kept(served: Served) -> None:
    owner, desk = served.signed_in("Olga Owner"), served.locked.desk
    data = {"listens": "network", "names": "Studio.Example, second.example"}
    assert owner.post("/access/opening", data, at="/access").status_code == 303
    opening = opening_of(desk)
    assert (opening.to_network, opening.names) == (True, ("studio.example", "second.example"))
    bad = owner.post("/access/opening", {"names": "http://x"}, at="/access")
    assert told(bad.text) == [
        "'http://x' can't be the name of a machine. "
        "Give names such as studio.example, without http:// and without a port."
    ]
    assert opening_of(desk).to_network


def test_the_network_is_not_let_in_without_an_owner(home: Visit) -> None:
    refused = home.post("/access/opening", {"listens": "network"}, at="/access")
    assert told(refused.text) == [
        "The desk is not opened beyond this machine while there is no owner: anyone on the network "
        "could read every student. Add an owner first: leadfoot account add NAME --role owner."
    ]


def test_what_is_open_stands_on_the_page_and_is_withdrawn(served: Served) -> None:
    owner, locked = served.signed_in("Olga Owner"), served.locked
    screen = served.screen()
    page = owner.get("/access").text
    assert "bay-1: a screen shows it" in page
    assert re.search(r"A student&#39;s own page</td><th scope=\"row\">Ana Example", page)
    assert served.fresh().get(f"/h/{locked.secret}").status_code == 200
    for address in re.findall(r'action="(/bays/[^"]+/withdraw|/students/[^"]+/withdraw)"', page):
        assert owner.post(address, at="/access").status_code == 303
    assert "Private links of students and screens of bays will stand here" in (
        owner.get("/access").text
    )
    assert screen.get("/bays/bay-1/screen").status_code == 303
    assert served.fresh().get(f"/h/{locked.secret}").status_code == 404
    assert served.fresh().get(f"/screen/{locked.screen_secret}").status_code == 404


def test_links_end_by_themselves(served: Served) -> None:
    locked, visit = served.locked, served.fresh()
    locked.clock.on(days=1, seconds=1)
    assert visit.get(f"/screen/{locked.screen_secret}").status_code == 404
    assert visit.get(f"/h/{locked.secret}").status_code == 200
    locked.clock.on(days=59)
    gone = visit.get(f"/h/{locked.secret}")
    assert gone.status_code == 404
    # What was withdrawn, what is too old and what never was look the same.
    assert gone.text.replace(visit.key("/sign-in"), "") == visit.get("/h/never").text.replace(
        visit.key("/sign-in"), ""
    )
    assert visit.get(f"/h/{locked.secret}/sheet.pdf").status_code == 404


def test_a_coach_chooses_how_long_a_link_works(served: Served) -> None:
    coach, locked = served.signed_in("Carl Coach"), served.locked
    at = f"/students/{locked.student.id}/homework/{locked.homework.id}"
    made = coach.post(f"{at}/link", {"days": "7"}, at=at)
    found = re.search(r'href="http://studio.example:8470(/h/[\w-]+)"', made.text)
    assert found is not None
    assert served.fresh().get(found[1]).status_code == 200
    locked.clock.on(days=7)
    assert served.fresh().get(found[1]).status_code == 404
    coach = served.signed_in("Carl Coach")
    refused = coach.post(f"{at}/link", {"days": "61"}, at=at)
    assert told(refused.text) == ["A private link can't work for 61 days. Choose 1 to 60 days."]


def test_an_address_for_a_screen_is_made_on_the_page_of_the_bays(served: Served) -> None:
    coach = served.signed_in("Carl Coach")
    made = coach.post("/bays/bay-2/screens", at="/bays")
    found = re.search(r'id="screen-address">http://studio.example:8470(/screen/[\w-]+)<', made.text)
    assert found is not None
    visit = served.fresh()
    asked = visit.get(found[1])
    assert "Make this machine the screen of bay-2?" in asked.text
    # Looking at the address alone changes nothing.
    assert visit.get("/bays/bay-2/screen").status_code == 303
    taken = visit.post(found[1], at=found[1])
    assert taken.headers["location"] == "/bays/bay-2/screen"
    shown = visit.get("/bays/bay-2/screen")
    assert shown.status_code == 200
    assert "Ben Other" not in shown.text
    assert "To the lesson" not in shown.text
    served.locked.book.point_bay(served.locked.bay_2.bay.id, None)
    assert "No lesson yet." in visit.get("/bays/bay-2/screen").text
    served.locked.book.withdraw_bay(served.locked.bay_2.bay.id, at=served.locked.clock())
    assert visit.get("/bays/bay-2/screen").status_code == 303


def test_a_coach_is_offered_nothing_that_is_for_owners(served: Served) -> None:
    student = served.locked.student.id
    words = {"/book": "Export everything", f"/students/{student}": "for good", "/": "/access"}
    for path, text in words.items():
        assert text in served.signed_in("Olga Owner").get(path).text, path
        assert text not in served.signed_in("Carl Coach").get(path).text.replace("/access/mine", "")


# The log


def test_the_log_says_who_saw_and_changed_what(served: Served) -> None:
    coach, locked = served.signed_in("Carl Coach"), served.locked
    coach.get(f"/lessons/{locked.lesson.id}")
    coach.post(f"/students/{locked.student.id}", {"name": "Ana Example", "hand": "left"}, at="/")
    served.fresh().get(f"/h/{locked.secret}")
    coach.get("/access")
    # What was only seen is written a moment later than what was changed.
    assert {line for line in log(served) if line[2] != "/sign-in"} == {
        ("Carl Coach", "changed", "/students/{student_id}"),
        ("Carl Coach", "saw", "/lessons/{lesson_id}"),
        ("Carl Coach", "saw", "/"),
        ("private link 1", "saw", "/h/{secret}"),
        ("Carl Coach", "refused", "/access"),
    }
    lines = locked.book.access.log(LogFilter(student_id=locked.student.id), most=9)
    # The student of a lesson and of a private link is known as well.
    assert {line.what for line in lines} == {
        "/lessons/{lesson_id}",
        "/students/{student_id}",
        "/h/{secret}",
    }


def test_a_page_that_follows_a_lesson_is_one_line(served: Served) -> None:
    coach = served.signed_in("Carl Coach")
    for _ in range(10):
        coach.get(f"/lessons/{served.locked.lesson.id}")
    assert log(served).count(("Carl Coach", "saw", "/lessons/{lesson_id}")) == 1


def test_what_was_refused_is_no_change(served: Served) -> None:
    coach = served.signed_in("Carl Coach")
    coach.post("/students", {"name": " "})
    coach.post("/students", {"name": "X"}, key="0" * 64)
    assert ("Carl Coach", "changed", "/students") not in log(served)


def test_owners_filter_the_log(served: Served) -> None:
    coach, owner = served.signed_in("Carl Coach"), served.signed_in("Olga Owner")
    coach.get(f"/students/{served.locked.student.id}")
    served.locked.clock.on(days=1)
    owner = served.signed_in("Olga Owner")
    owner.get("/bays")

    def rows(query: str) -> list[list[str]]:
        answer = owner.get(f"/access/log.csv?{query}")
        assert answer.status_code == 200
        return list(csv.reader(io.StringIO(answer.text.removeprefix("\ufeff"))))[1:]

    assert {row[1] for row in rows("who=Carl+Coach")} == {"Carl Coach"}
    assert {row[3] for row in rows("deed=entered")} == {"signed in"}
    assert {row[5] for row in rows(f"student={served.locked.student.id}")} == {"Ana Example"}
    assert {row[1] for row in rows("since=2026-03-03")} == {"Olga Owner"}
    assert {row[0][:10] for row in rows("until=2026-03-02")} == {"2 Mar 2026"}
    for odd in ("since=x", "student=x", "deed=x", "until=9999-12-31", "since=0001-01-01"):
        assert rows(odd) != [] or odd == "student=x"
    page = owner.get("/access/log?who=Carl+Coach").text
    assert "the story" in page
    assert "Ana Example" in page


def test_long_logs_come_in_pages(served: Served, monkeypatch: pytest.MonkeyPatch) -> None:
    from leadfoot.web.pages import access_log

    monkeypatch.setattr(access_log, "AT_ONCE", 3)
    owner = served.signed_in("Olga Owner")
    for path in ("/", "/bays", "/book", "/works"):
        owner.get(path)
    first = owner.get("/access/log").text
    older = re.search(r'href="(/access/log\?[^"]*before=\d+)"', first)
    assert older is not None
    seen = re.findall(r'<th scope="row">', first)
    assert len(seen) == 3
    assert "signed in" in owner.get(older[1].replace("&amp;", "&")).text


def test_erasing_leaves_the_record_and_nothing_personal(served: Served) -> None:
    owner, locked = served.signed_in("Olga Owner"), served.locked
    student = locked.student
    owner.get(f"/students/{student.id}")
    done = owner.post(
        f"/students/{student.id}/erase",
        {"typed_name": "Ana Example", "in_backups": "leave"},
        at="/",
    )
    assert done.status_code == 200
    assert ("Olga Owner", "changed", "/students/{student_id}/erase") in log(served)
    page = owner.get("/access/log").text
    assert f"student {student.id}, erased" in page
    assert "Ana" not in page
    locked.book.file.back_up()
    for file in locked.path.parent.rglob("*"):
        assert not file.is_file() or b"Ana Example" not in file.read_bytes(), file
    # Their private link is gone with them.
    assert served.fresh().get(f"/h/{locked.secret}").status_code == 404
