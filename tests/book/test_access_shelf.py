"""The door in the book: a log that only grows, tries counted once each, nothing of it exported."""

import threading
import zipfile
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy.exc import DBAPIError

from leadfoot.book.store import SqlBook, open_book
from leadfoot.desk.access_records import Account, LogFilter, NewLine, TryKey
from leadfoot.desk.signing_in import wait_after_s
from leadfoot.errors import InputError, NotInBookError
from tests.book.full_book import build

Reopen = Callable[[], SqlBook]
AT = datetime(2026, 3, 1, 9, tzinfo=UTC)
DOOR = {"accounts", "screens", "sign_ins", "sign_in_tries", "access_settings", "access_log"}


def line(what: str = "/") -> NewLine:
    return NewLine(at=AT, who="Olga", role="owner", deed="saw", what=what, address="192.0.2.7")


def owner(book: SqlBook, name: str = "olga") -> Account:
    return book.access.add_account(
        name=name,
        folded_name=name,
        role="owner",
        password_hash="hash",  # noqa: S106  (of nobody)
        at=AT,
    )


@pytest.mark.parametrize("deed", ["UPDATE access_log SET who = 'x'", "DELETE FROM access_log"])
def test_the_log_is_only_added_to(reopen: Reopen, deed: str) -> None:
    book = reopen()
    book.access.note([line()])
    words = "the log of access is only added to"
    with pytest.raises(DBAPIError, match=words), book.engine.begin() as connection:
        connection.exec_driver_sql(deed)
    assert [one.who for one in book.access.log(LogFilter(), most=9)] == ["Olga"]


def test_lines_come_all_or_none(reopen: Reopen) -> None:
    book = reopen()
    book.access.note([])
    bad = NewLine(at=AT.replace(tzinfo=None), who="x", role="owner", deed="saw", what="/")
    with pytest.raises(InputError, match="has no zone"):
        book.access.note([line(), bad])
    assert book.access.log(LogFilter(), most=9) == ()


def test_an_export_holds_nothing_of_the_door(tmp_path: Path) -> None:
    build(tmp_path / "full.book")
    with open_book(tmp_path / "full.book") as book:
        book.file.export_to(tmp_path / "all.zip", student_id=None, version="0")
        book.file.export_to(tmp_path / "one.zip", student_id=1, version="0")
    for name in ("all.zip", "one.zip"):
        with zipfile.ZipFile(tmp_path / name) as archive:
            names = archive.namelist()
            assert not [one for one in names if any(table in one for table in DOOR)]
            assert not any(b"argon2" in archive.read(one) for one in names)


def test_erasing_a_student_takes_nothing_of_the_door(tmp_path: Path) -> None:
    build(tmp_path / "full.book")
    with open_book(tmp_path / "full.book") as book:
        before = book.access.log(LogFilter(), most=9)
        book.file.erase(1)
        assert book.access.log(LogFilter(), most=9) == before
        assert len(book.access.accounts()) == len(book.access.screens()) == 1


def test_a_hundred_tries_at_once_are_a_hundred_failures(reopen: Reopen) -> None:
    """Each is counted before it is made: none slips through while another is still compared."""
    waits: list[float] = []
    key = TryKey(digest="d" * 64, n_free=5)
    book, other = reopen(), reopen()

    def one(where: SqlBook) -> None:
        waits.append(where.access.take_try((key,), wait_after_s, at=AT))

    threads = [threading.Thread(target=one, args=((book, other)[n % 2],)) for n in range(40)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(waits) == [0.0] * 5 + [5.0] * 35


def test_a_try_that_was_right_is_taken_back(reopen: Reopen) -> None:
    name, place = TryKey(digest="a" * 64, n_free=1), TryKey(digest="b" * 64, n_free=2)
    book = reopen()
    assert book.access.take_try((name, place), wait_after_s, at=AT) == 0.0
    assert book.access.take_try((name, place), wait_after_s, at=AT) == 5.0
    book.access.give_back_try(name.digest, wholly=True)
    book.access.give_back_try(name.digest, wholly=True)  # there is none any more
    assert book.access.take_try((name, place), wait_after_s, at=AT) == 0.0
    book.access.give_back_try(place.digest, wholly=False)
    book.access.give_back_try(name.digest, wholly=False)
    assert book.access.take_try((name, place), wait_after_s, at=AT) == 0.0
    book.access.forget_old(at=AT, tries_before=AT + timedelta(seconds=1))
    assert book.access.take_try((place,), wait_after_s, at=AT) == 0.0


def test_one_owner_is_left_whatever_happens_at_once(reopen: Reopen) -> None:
    refused: list[InputError] = []
    book, other = reopen(), reopen()
    both = owner(book, "olga"), owner(book, "paul")
    start = threading.Barrier(2)

    def step_down(where: SqlBook, number: int) -> None:
        start.wait()
        try:
            where.access.change_role(number, "coach")
        except InputError as error:
            refused.append(error)

    threads = [
        threading.Thread(target=step_down, args=(where, one.id))
        for where, one in zip((book, other), both, strict=True)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    roles = sorted(one.role for one in book.access.accounts())
    assert roles == ["coach", "owner"]
    assert [error.what for error in refused] == [
        "Nobody would be left who may open the door: this is the last owner."
    ]


def test_what_is_not_there_is_named(reopen: Reopen) -> None:
    book = reopen()
    for call in (
        lambda: book.access.change_role(7, "owner"),
        lambda: book.access.change_password(7, "hash", at=AT),
        lambda: book.access.remove_account(7),
        lambda: book.access.withdraw_screen(7, at=AT),
        lambda: book.access.add_screen(7, digest="e" * 64, at=AT, expires_at=AT),
    ):
        with pytest.raises(NotInBookError):
            call()
    book.access.end_sign_in(7)
    assert book.access.end_sign_ins_of(7) == 0
    assert book.access.sign_in("f" * 64) is None


def test_a_hash_is_renewed_only_where_it_is_still_the_same(reopen: Reopen) -> None:
    book = reopen()
    account = owner(book)
    book.access.keep_hash(account.id, old="hash", new="renewed")
    book.access.keep_hash(account.id, old="hash", new="too late")
    assert [one.password_hash for one in book.access.accounts()] == ["renewed"]
