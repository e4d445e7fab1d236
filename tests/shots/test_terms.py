"""The words of the trade: in every language, and none of them meaning two things."""

import pytest

from leadfoot.quantities import glossary
from leadfoot.shots.header import EXACT, understand
from leadfoot.shots.sides import header_sign, side_sign
from leadfoot.shots.terms import spellings, terms

LANGUAGES = ("en", "es", "de", "fr", "sv", "ja", "ko")


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("key", glossary())
def test_every_term_of_every_language_names_its_quantity(key: str, language: str) -> None:
    rows = glossary()[key].terms[language]
    assert rows
    for term in rows:
        meaning = understand(term)
        assert (meaning.quantity, meaning.strength) == (key, EXACT), term
        assert understand(term.upper()).quantity == key, term


def test_no_term_names_two_quantities() -> None:
    owner: dict[str, str] = {}
    for key, quantity in glossary().items():
        for row in quantity.terms.values():
            for term in row:
                for spelling in spellings(term):
                    assert owner.setdefault(spelling, key) == key, term


def test_no_term_names_a_role_as_well() -> None:
    clashes = set(terms().quantities) & set(terms().roles)
    assert clashes == set()


def test_every_language_has_its_sides() -> None:
    for side, words in terms().sides.items():
        assert len(words) >= len(LANGUAGES) - 1, side


@pytest.mark.parametrize(
    ("word", "key", "right_hander", "left_hander"),
    [
        ("R", "offline", 1, 1),
        ("left", "launch_direction", -1, -1),
        ("open", "face_angle", 1, -1),
        ("closed", "face_to_path", -1, 1),
        ("in-to-out", "club_path", 1, -1),
        ("out to in", "swing_direction", -1, 1),
        ("toe", "strike_heel_toe", 1, 1),
        ("low", "strike_high_low", -1, -1),
        ("behind", "low_point", -1, -1),
        ("down", "attack_angle", -1, -1),
        ("toe", "carry", None, None),
        ("open", "club_path", None, None),
        ("", "offline", None, None),
    ],
)
def test_sides_turn_with_the_hand_only_where_they_must(
    word: str, key: str, right_hander: int | None, left_hander: int | None
) -> None:
    assert side_sign(word, key, "right") == right_hander
    assert side_sign(word, key, "left") == left_hander


@pytest.mark.parametrize(
    ("text", "key", "sign"),
    [
        ("R+", "offline", 1),
        ("+ = right", "offline", 1),
        ("left is positive", "offline", -1),
        ("L+/R-", "offline", -1),
        ("- right", "offline", -1),
        ("right + left +", "offline", None),
        ("toe +", "strike_heel_toe", 1),
        ("closed +", "face_angle", -1),
        ("in-to-out +", "club_path", 1),
        ("yd", "offline", None),
        ("+", "offline", None),
    ],
)
def test_remarks_on_signs_in_headers(text: str, key: str, sign: int | None) -> None:
    assert header_sign(text, key, "right") == sign
