"""Passwords: what may be one, how it is kept, and that a hash grows with the costs in force."""

import threading
import time

import pytest
from argon2 import PasswordHasher
from hypothesis import given, settings
from hypothesis import strategies as st

from leadfoot.desk import passwords
from leadfoot.desk.passwords import hashed, is_dated, is_right, rehashed
from leadfoot.errors import InputError

GOOD = "a lantern by the quiet pond"


@pytest.mark.parametrize(
    ("password", "told"),
    [
        ("", "The password has 0 letters. Take 12 to 200: a few words will do."),
        ("elevenchars", "The password has 11 letters. Take 12 to 200: a few words will do."),
        ("ab" * 101, "The password has 202 letters. Take 12 to 200: a few words will do."),
        (
            "abababababab",
            "The password is too easy to guess. Take a few words that nobody else would.",
        ),
        (
            "OLGA owner the first",
            "The password is too easy to guess. Take a few words that nobody else would.",
        ),
    ],
)
def test_what_can_not_be_a_password(password: str, told: str) -> None:
    with pytest.raises(InputError) as caught:
        hashed(password, name="Olga Owner the First")
    assert str(caught.value) == told


def test_a_hash_says_its_costs_and_never_the_password() -> None:
    """Argon2id, 64 MiB, 3 passes, 4 lanes: the low-memory profile of RFC 9106 (from memory)."""
    first, second = hashed(GOOD), hashed(GOOD)
    assert first.startswith("$argon2id$v=19$m=65536,t=3,p=4$")
    assert first != second  # each with a salt of its own
    assert GOOD not in first
    assert is_right(GOOD, first)
    assert is_right(GOOD, second)
    assert not is_right(GOOD.title(), first)


def test_the_same_letters_typed_in_another_way_are_the_same() -> None:
    kept = hashed("Zoë und der Weiher am Haus")
    assert is_right("Zoe\u0308 und der Weiher am Haus", kept)
    assert is_right("Ｚoë und der Weiher am Haus", kept)


def test_no_hash_and_a_broken_one_are_wrong() -> None:
    assert not is_right(GOOD, None)
    assert not is_right("nobody has this password", None)
    assert not is_right(GOOD, "$argon2id$broken")


def test_a_hash_of_other_costs_is_made_anew() -> None:
    old = PasswordHasher(time_cost=1, memory_cost=1024, parallelism=1).hash(GOOD)
    assert is_dated(old)
    assert is_right(GOOD, old)
    new = rehashed(GOOD)
    assert not is_dated(new)
    assert is_right(GOOD, new)


def test_few_are_compared_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each fills 64 MiB: a flood of sign-ins must not fill the memory."""
    at_work, most, lock = 0, 0, threading.Lock()

    class Slow:
        def verify(self, *_: str) -> bool:
            nonlocal at_work, most
            with lock:
                at_work += 1
                most = max(most, at_work)
            time.sleep(0.01)
            with lock:
                at_work -= 1
            return True

    monkeypatch.setattr(passwords, "_HASHER", Slow())
    threads = [threading.Thread(target=is_right, args=(GOOD, "hash")) for _ in range(20)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert most == 2


@settings(max_examples=15, deadline=None)
@given(st.text(min_size=12, max_size=200), st.text(max_size=300))
def test_any_text_is_kept_or_refused_and_only_itself_fits(password: str, other: str) -> None:
    try:
        kept = hashed(password)
    except InputError:
        return
    assert is_right(password, kept)
    if passwords._plain(other) != passwords._plain(password):
        assert not is_right(other, kept)
