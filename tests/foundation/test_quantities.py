"""The glossary: whole, consistent, and the same in the docs."""

from pathlib import Path

import pytest

from leadfoot.errors import InputError
from leadfoot.quantities import SUFFIX, Quantity, glossary, quantity
from leadfoot.units import UNITS
from tests.contracts.glossary_page import page

CONTRACT = [
    "club_speed",
    "ball_speed",
    "smash_factor",
    "attack_angle",
    "club_path",
    "swing_direction",
    "face_angle",
    "face_to_path",
    "dynamic_loft",
    "spin_loft",
    "launch_angle",
    "launch_direction",
    "spin_rate",
    "spin_axis",
    "carry",
    "total",
    "apex",
    "hang_time",
    "landing_angle",
    "offline",
    "low_point",
    "strike_heel_toe",
    "strike_high_low",
]
DOCS = Path(__file__).parents[2] / "docs"


def test_the_names_are_those_that_scripts_rely_on() -> None:
    assert list(glossary()) == CONTRACT


@pytest.mark.parametrize("known", glossary().values(), ids=lambda known: known.key)
def test_every_quantity_is_whole(known: Quantity) -> None:
    assert known.dimension in SUFFIX
    assert (known.unit is None) == (known.dimension == "ratio")
    if known.unit is not None:
        assert UNITS[known.unit].dimension == known.dimension
    assert known.plain.endswith(".")
    assert set(known.plausible) == {"driver", "wood", "hybrid", "iron", "wedge"}
    assert all(low < high for low, high in known.plausible.values())
    if known.better == "nearer_zero":
        assert all(low < 0 < high for low, high in known.plausible.values())
        assert known.sign


@pytest.mark.parametrize("language", ["en", "es", "de", "fr", "sv", "ja", "ko"])
def test_every_quantity_has_terms_in_every_language(language: str) -> None:
    for known in glossary().values():
        assert known.terms[language], known.key


def test_no_term_names_two_quantities_in_one_language() -> None:
    for language in quantity("carry").terms:
        owners: dict[str, str] = {}
        for known in glossary().values():
            for term in known.terms[language]:
                assert owners.setdefault(term.casefold(), known.key) == known.key, term


def test_the_page_of_the_glossary_is_the_glossary() -> None:
    assert (DOCS / "glossary.md").read_text(encoding="utf-8") == page()


def test_an_unknown_quantity_lists_the_known_ones() -> None:
    with pytest.raises(InputError) as error:
        quantity("swagger")
    assert str(error.value) == (
        f"Quantity 'swagger' is not in the glossary. Use one of: {' '.join(CONTRACT)}."
    )


def test_names_inside_carry_their_unit() -> None:
    assert quantity("spin_rate").suffixed == "spin_rate_radps"
    assert quantity("club_speed").plausible_si("driver") == pytest.approx((17.8816, 67.056))
    assert quantity("club_speed").plausible_si() == pytest.approx((8.9408, 67.056))
