"""``leadfoot account``, and what ``leadfoot open`` does with accounts beyond this machine."""

import json
import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest

from leadfoot.book.store import open_book
from leadfoot.cli.open import Way, _doors
from leadfoot.desk.accounts import ANYWHERE, add_account, set_opening
from leadfoot.desk.desk import Desk
from leadfoot.desk.signing_in import let_in
from leadfoot.errors import InputError
from tests.cli.conftest import Run
from tests.cli.test_demo_and_open import free_port
from tests.web.conftest import print_plainly
from tests.web.door import PASSWORD, Hand


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return tmp_path / "a.book"


def typed(book: Path, *words: str, said: str = PASSWORD) -> subprocess.CompletedProcess[str]:
    """Run a command of accounts with a password on standard input."""
    return subprocess.run(
        [sys.executable, "-m", "leadfoot.cli", "account", *words, "--book", str(book)],
        input=said + "\n",
        capture_output=True,
        text=True,
        check=False,
    )


def test_accounts_from_the_command_line(book: Path, run: Run) -> None:
    none = run("account", "list", "--book", book)
    assert none.out == (
        "Nobody has to sign in. Add an owner with: leadfoot account add NAME --role owner\n"
    )
    first = typed(book, "add", "Carl Coach", "--role", "coach")
    assert first.returncode == 3
    assert first.stderr == (
        "leadfoot: The first account must be an owner's. Add an owner first, then coaches.\n"
    )
    assert typed(book, "add", "Olga Owner").stdout == "Olga Owner may sign in as owner.\n"
    assert typed(book, "add", "Carl Coach", "--role", "coach").returncode == 0
    short = typed(book, "add", "Dora", said="short")
    assert short.stderr == (
        "leadfoot: The password has 5 letters. Take 12 to 200: a few words will do.\n"
    )
    with open_book(book) as opened:
        desk = Desk(book=opened, clock=Hand(), printer=print_plainly, version="0")
        let_in(desk, opened.access.accounts()[0])
    changed = typed(book, "password", "carl COACH", said="words that carl knows")
    assert changed.stdout == "Carl Coach has a new password, and is signed out everywhere.\n"
    listed = json.loads(run("account", "list", "--json", "--book", book).out)
    assert listed == {
        "accounts": [
            {"name": "Carl Coach", "role": "coach", "signed_in": 0},
            {"name": "Olga Owner", "role": "owner", "signed_in": 0},
        ]
    }
    assert run("account", "role", "Carl Coach", "owner", "--book", book).code == 0
    assert run("account", "remove", "Olga Owner", "--book", book).code == 0
    gone = run("account", "remove", "Olga Owner", "--book", book)
    assert gone.err == "leadfoot: There is no account 'Olga Owner'. Use one of: Carl Coach.\n"
    log = run("account", "log", "--lines", "2", "--book", book).out.splitlines()
    assert [line.partition("  ")[2] for line in log] == [
        "command line (owner) changed account remove",
        "command line (owner) changed account role",
    ]


def test_erasing_from_the_command_line_stands_in_the_log(book: Path, run: Run) -> None:
    with open_book(book) as opened:
        student = opened.add_student(
            name="Ana Example", hand="right", goals="", cautions="", invented=False, at=Hand()()
        )
    erased = run("book", "erase", "Ana Example", "--confirm", "Ana Example", "--book", book)
    assert erased.code == 0
    log = run("account", "log", "--book", book).out
    assert f"changed /students/{{student_id}}/erase, student {student.id}" in log
    assert "Ana" not in log


def test_the_desk_does_not_open_to_the_network_without_an_owner(book: Path, run: Run) -> None:
    expected = (
        "leadfoot: The desk is not opened beyond this machine while there is no owner: anyone on "
        "the network could read every student. "
        "Add an owner first: leadfoot account add NAME --role owner.\n"
    )
    for words in (("--host", ANYWHERE), ("--name", "studio.example"), ("--host", "192.0.2.7")):
        done = run("open", "--no-browser", "--port", free_port(), *words, "--book", book)
        assert (done.code, done.out, done.err) == (3, "", expected)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--certificate", "a.pem"), "For https both the certificate and its key are needed."),
        (
            ("--certificate", "nowhere.pem", "--certificate-key", "nowhere.pem"),
            "There is no file 'nowhere.pem'. Check the path.",
        ),
    ],
)
def test_a_certificate_is_looked_for_first(
    book: Path, run: Run, words: tuple[str, ...], told: str
) -> None:
    done = run("open", "--no-browser", *words, "--book", book)
    assert done.code == 3
    assert told in done.err
    assert not book.exists()


def test_how_it_was_set_is_how_it_opens(book: Path) -> None:
    with open_book(book) as opened:
        desk = Desk(book=opened, clock=Hand(), printer=print_plainly, version="0")
        host, doors = _doors(desk, Way(port=8470))
        assert (host, doors.beyond, doors.names) == ("127.0.0.1", False, ())
        add_account(desk, "Olga Owner", PASSWORD, role="owner")
        set_opening(desk, to_network=True, names="studio.example")
        host, doors = _doors(desk, Way(port=8470))
        assert (host, doors.beyond, doors.names) == (ANYWHERE, True, ("studio.example",))
        # The command line has the last word.
        host, doors = _doors(desk, Way(port=8470, host="127.0.0.1"))
        assert (host, doors.beyond) == ("127.0.0.1", False)
        with pytest.raises(InputError, match="'nowhere at all' is no address of this machine"):
            _doors(desk, Way(host="nowhere at all"))


def test_served_beyond_the_machine_everyone_signs_in(book: Path, tmp_path: Path) -> None:
    """The real command on all addresses of this machine, asked under one of them."""
    typed(book, "add", "Olga Owner")
    port = free_port()
    words = ["open", "--book", str(book), "--port", str(port), "--no-browser", "--host", ANYWHERE]
    desk = subprocess.Popen(
        [sys.executable, "-m", "leadfoot.cli", *words],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1", "NUMBA_CACHE_DIR": str(tmp_path)},
    )
    try:
        page = _answer(f"http://127.0.0.1:{port}/")
        assert "<h1>Sign in</h1>" in page
        assert "served without https" in page
        name = socket.gethostname()
        request = urllib.request.Request(
            f"http://127.0.0.1:{port}/", headers={"Host": "evil.example"}
        )
        with pytest.raises(urllib.error.HTTPError) as refused:
            urllib.request.urlopen(request)
        assert refused.value.code == 421
        refused.value.close()
        own = urllib.request.Request(
            f"http://127.0.0.1:{port}/", headers={"Host": f"{name.upper()}:{port}"}
        )
        with urllib.request.urlopen(own) as answer:
            assert answer.status == 200
    finally:
        desk.terminate()
        out, err = desk.communicate(timeout=20)
    assert "Other machines reach it; everyone signs in." in out
    assert "Without https whoever listens on this network can read what is typed and shown." in err


def _answer(address: str) -> str:
    for _ in range(300):
        try:
            with urllib.request.urlopen(address) as answer:
                return str(answer.read().decode())
        except OSError:
            time.sleep(0.1)
    raise TimeoutError(address)
