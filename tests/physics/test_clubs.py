"""The catalogue of clubs, and a coach's own."""

import dataclasses
import math

import pytest

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.physics.clubs import Club, Inertia, club, clubs, clubs_from

MINE = '[mine]\nname = "old driver"\nlike = "driver"\n'


def test_the_catalogue_runs_from_driver_to_lob_wedge() -> None:
    lofts = [one.loft_rad for one in clubs().values()]
    lengths = [one.length_m for one in clubs().values() if one.length_m is not None]
    masses = [one.head_mass_kg for one in clubs().values()]
    assert lofts == sorted(lofts)
    assert lengths == sorted(lengths, reverse=True)
    assert len(lengths) == len(lofts) == 14
    assert masses == sorted(masses)
    assert [next(iter(clubs())), list(clubs())[-1]] == ["driver", "lob_wedge"]


@pytest.mark.parametrize("key", list(clubs()))
def test_every_head_keeps_the_rules(key: str) -> None:
    one = clubs()[key]
    assert one.inertia is not None
    assert one.inertia.up_kgm2 <= 5900e-7 + 100e-7
    assert one.restitution.value <= 0.822 + 0.008
    assert one.face_width_m <= 0.127
    assert one.length_m is not None
    assert one.length_m <= 48 * 0.0254


def test_a_coach_writes_their_own_club() -> None:
    mine = clubs_from(f"{MINE}head_mass_kg = 0.196\nbulge_mm = 0\nproducts_gcm2 = [-100, 50, 0]")
    (one,) = mine.values()
    driver = club("driver")
    assert (one.name, one.head_mass_kg, one.bulge_m) == ("old driver", 0.196, math.inf)
    assert one.inertia is not None
    assert one.inertia.out_up_kgm2 == pytest.approx(-1e-5)
    assert (one.loft_rad, one.roll_m) == (driver.loft_rad, driver.roll_m)
    assert club("old driver", mine) is one


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (
            "[mine",
            "The catalogue of clubs is not TOML: Expected ']' at the end of a table declaration "
            "(at end of document). Write one table a club, as in the program's own clubs.toml.",
        ),
        (
            "loft_deg = 9",
            "Entry 'loft_deg' of the catalogue stands outside every club. Put a line such as "
            "[my_driver] above it, or remove 'loft_deg'.",
        ),
        (
            "[mine]\nlike = 'putter'",
            "Club 'mine' is like 'putter', which is not in the program's catalogue. Use one of: "
            "driver wood3 wood5 hybrid iron4 iron5 iron6 iron7 iron8 iron9 pitching_wedge "
            "gap_wedge sand_wedge lob_wedge.",
        ),
        (
            "[mine]\nname = 'mine'",
            "Club 'mine' has no class. Add it, or take it from a club of the program with "
            'like = "driver".',
        ),
        (
            f"{MINE}loft_deg = 'ten'",
            "loft_deg of club 'mine' is 'ten'; it must be a number. Write it as in the program's "
            "own clubs.toml.",
        ),
        (
            f"{MINE}loft_deg = true",
            "loft_deg of club 'mine' is True; it must be a number. Write it as in the program's "
            "own clubs.toml.",
        ),
        (
            f"{MINE}loft_deg = 95",
            "loft_deg of club 'mine' is 95; it lies between 0 and 75. Check the value and its "
            "unit.",
        ),
        (
            f"{MINE}loft_deg = nan",
            "loft_deg of club 'mine' is nan; it lies between 0 and 75. Check the value and its "
            "unit.",
        ),
        (
            f"{MINE}inertia_gcm2 = [1, 2]",
            "inertia_gcm2 of club 'mine' is [1, 2]; it must be three numbers. Write it as in the "
            "program's own clubs.toml.",
        ),
        (
            f"{MINE}class = 'putter'",
            "class of club 'mine' is 'putter'; it must be one of driver wood hybrid iron wedge. "
            "Write it as in the program's own clubs.toml.",
        ),
        (
            f"{MINE}name = ''".replace('name = "old driver"\n', ""),
            "name of club 'mine' is ''; it must be a text. Write it as in the program's own "
            "clubs.toml.",
        ),
    ],
)
def test_what_cannot_be_a_club_is_refused_with_its_place(text: str, says: str) -> None:
    with pytest.raises(InputError) as refused:
        clubs_from(text)
    assert str(refused.value) == says


def test_an_unknown_field_is_named() -> None:
    with pytest.raises(InputError) as refused:
        clubs_from(f"{MINE}colour = 'red'")
    assert str(refused.value).startswith("Club 'mine' has a field 'colour' that is not known. Use:")


def test_an_inertia_in_other_units_is_refused() -> None:
    with pytest.raises(OutOfRangeError) as refused:
        Inertia(out_kgm2=3000.0, up_kgm2=5000.0, toe_kgm2=4000.0)
    assert str(refused.value) == (
        "Inertia out_kgm2 is 3000; heads have 0.00001 to 0.002 kg m² (100 to 20000 g cm²). "
        "Check the unit: a driver has about 4800 g cm² about its upright axis."
    )


def test_an_inertia_of_no_body_is_refused() -> None:
    with pytest.raises(OutOfRangeError) as refused:
        Inertia(out_kgm2=3e-4, up_kgm2=5e-4, toe_kgm2=4e-4, out_up_kgm2=4e-4)
    assert str(refused.value).endswith(
        "is that of no body: it must be positive in every direction. "
        "Check the entries beside the diagonal."
    )


def test_a_friction_is_a_friction() -> None:
    with pytest.raises(OutOfRangeError) as refused:
        dataclasses.replace(club("driver"), friction=1.5)
    assert str(refused.value) == (
        "Friction of driver is 1.5; it lies between 0 and 1. "
        "Use 0.35 for a soft cover on a dry face."
    )


def test_a_head_without_inertia_does_not_turn() -> None:
    plain = Club(
        name="plain",
        club_class="iron",
        head_mass_kg=0.27,
        loft_rad=0.5,
        restitution=club("iron7").restitution,
    )
    assert plain.inertia is None
    assert plain.mass_kg == plain.head_mass_kg
