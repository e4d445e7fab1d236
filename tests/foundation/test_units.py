"""Units: exact factors against handbook values, and what people write."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.errors import UnitError
from leadfoot.units import UNITS, find_unit, parse_written, si_from, si_into, unit_named


# NIST Special Publication 811 (2008), appendix B.8: factors exact or to the digits printed there.
@pytest.mark.parametrize(
    ("symbol", "si", "tolerance"),
    [
        ("mph", 0.44704, 0.0),
        ("km/h", 0.2777778, 5e-8),
        ("ft/s", 0.3048, 0.0),
        ("yd", 0.9144, 0.0),
        ("ft", 0.3048, 0.0),
        ("in", 0.0254, 0.0),
        ("cm", 0.01, 0.0),
        ("mm", 0.001, 0.0),
        ("deg", 0.01745329, 5e-9),
        ("rpm", 0.1047198, 5e-8),
        ("inHg", 3386.389, 0.0),
    ],
)
def test_factors_are_those_of_the_handbook(symbol: str, si: float, tolerance: float) -> None:
    assert abs(UNITS[symbol].si_per_unit - si) <= tolerance


def test_temperatures_meet_where_they_should() -> None:
    # The scales agree at -40 degrees, and water boils at 212 °F = 100 °C (definitions).
    assert si_from(-40.0, "degC") == pytest.approx(si_from(-40.0, "degF"), abs=1e-9)
    assert si_from(212.0, "degF") == pytest.approx(373.15, abs=1e-9)


@given(value=st.floats(-1e6, 1e6), symbol=st.sampled_from(sorted(UNITS)))
def test_there_and_back_again(value: float, symbol: str) -> None:
    assert si_into(si_from(value, symbol), symbol) == pytest.approx(value, rel=1e-12, abs=1e-9)


def test_every_spelling_finds_its_unit_and_no_two_units_share_one() -> None:
    spellings = [s.casefold() for u in UNITS.values() for s in (u.symbol, *u.spellings)]
    assert len(spellings) == len(set(spellings))
    for unit in UNITS.values():
        for spelling in (unit.symbol, *unit.spellings):
            assert find_unit(f" {spelling.upper()} ") == unit


@pytest.mark.parametrize(
    ("text", "dimension", "value", "symbol"),
    [
        ("160mph", "speed", 160.0, "mph"),
        ("71,5 m/s", "speed", 71.5, "m/s"),
        ("-2.5°", "angle", -2.5, "deg"),
        ("−2.5 deg", "angle", -2.5, "deg"),
        ("2600 rpm", "spin", 2600.0, "rpm"),
        ("50%", "share", 50.0, "%"),
        ("20°C", "temperature", 20.0, "degC"),
    ],
)
def test_quantities_as_people_write_them(
    text: str, dimension: str, value: float, symbol: str
) -> None:
    assert parse_written(text, dimension) == (value, symbol)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (
            "fast",
            "'fast' is not a number with a unit. "
            "Write it like 12.5m/s; units for speed: m/s mph km/h ft/s.",
        ),
        ("160", "'160' has no unit. Add one of: m/s mph km/h ft/s."),
        ("160 rpm", "'rpm' in '160 rpm' is not a unit of speed. Use one of: m/s mph km/h ft/s."),
    ],
)
def test_what_is_not_a_quantity_says_what_to_do(text: str, says: str) -> None:
    with pytest.raises(UnitError) as error:
        parse_written(text, "speed")
    assert str(error.value) == says


def test_an_unknown_unit_lists_the_known_ones() -> None:
    with pytest.raises(UnitError) as error:
        unit_named("furlong")
    assert str(error.value) == f"Unit 'furlong' is not known. Use one of: {' '.join(UNITS)}."


def test_a_ratio_has_no_unit() -> None:
    assert si_from(1.48, None) == 1.48
    assert si_into(1.48, None) == 1.48
    assert math.isnan(si_into(math.nan, "yd"))
