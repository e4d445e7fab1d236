"""Saying a text: in the language spoken here, in no other thread, and never what a user wrote."""

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

from hypothesis import given
from hypothesis import strategies as st

from leadfoot.language.numbers import number, plain_number
from leadfoot.language.say import Message, say, say_n, speaking, spoken

FINITE = st.floats(min_value=-1e6, max_value=1e6)


@given(FINITE, st.integers(0, 3))
def test_english_numbers_are_those_of_the_program_itself(value: float, decimals: int) -> None:
    plain = f"{value:.{decimals}f}"
    if float(plain) == 0.0:
        plain = plain.lstrip("-")
    assert number(value, decimals) == plain.replace("-", "−")


@given(FINITE, st.integers(0, 3))
def test_german_numbers_differ_by_their_comma_alone(value: float, decimals: int) -> None:
    with speaking("de"):
        german = number(value, decimals)
    assert german.replace(",", ".") == number(value, decimals)


def test_numbers_with_a_sign() -> None:
    assert [number(one, 1, sign=True) for one in (2.0, -2.0, 0.0)] == ["+2.0", "−2.0", "0.0"]
    with speaking("de"):
        assert number(-2.25, 2, sign=True) == "−2,25"
        assert plain_number(45.5) == "45,5"


def test_what_no_catalogue_holds_is_said_as_it_is() -> None:
    with speaking("de"):
        assert say("Press {the} block, 100 %") == "Press {the} block, 100 %"
        assert say("") == ""


def test_a_value_is_never_taken_for_a_text() -> None:
    with speaking("de"):
        assert say("Week {number}", number="{number}") == "Woche {number}"


def test_one_language_within_another_ends_with_its_block() -> None:
    with speaking("de"):
        with speaking("en"):
            assert say("Homework") == "Homework"
        assert say("Homework") == "Hausaufgabe"
    assert spoken().code == "en"


def test_threads_speak_their_own_languages() -> None:
    both = Barrier(2)

    def told(code: str) -> str:
        with speaking(code):
            both.wait(10)
            return say("Homework")

    with ThreadPoolExecutor(2) as pool:
        assert list(pool.map(told, ("de", "en"))) == ["Hausaufgabe", "Homework"]


def test_a_message_waits_for_its_language() -> None:
    note = Message("Week {number}", {"number": 3})
    with speaking("de"):
        assert (str(note), note.in_english) == ("Woche 3", "Week 3")


def test_one_and_many() -> None:
    with speaking("de"):
        assert [say_n("{n} ball", "{n} balls", n) for n in (0, 1, 2)] == [
            "0 Bälle",
            "1 Ball",
            "2 Bälle",
        ]
