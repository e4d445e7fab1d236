"""How deep the readings go, and what they leave together."""

import numpy as np
import pytest
from numpy.typing import NDArray

from leadfoot.coaching.attribution import attribute
from leadfoot.coaching.swings import explainable
from leadfoot.errors import InputError
from leadfoot.physics.clubs import club
from tests.rates.students import changed, readings, some_player

Side = dict[str, NDArray[np.float64]]


def two_sides(*, strike_read: bool = True) -> tuple[Side, Side]:
    rng = np.random.default_rng(3)
    player = some_player("driver", rng)
    one, other = (
        readings(p.swings(8, rng), club("driver"), rng, strike_read=strike_read)
        for p in (player, changed(player, rng))
    )
    return one, other


def without(sides: tuple[Side, Side], *names: str) -> tuple[Side, Side]:
    one, other = ({k: v for k, v in side.items() if k not in names} for side in sides)
    return one, other


def test_all_was_read() -> None:
    found = explainable(*two_sides(), club("driver"))
    assert found.depth == "explained"
    assert tuple(found.model.parts) == ("club_speed", "strike", "launch", "path", "face")
    assert found.modelled == ()


def test_a_strike_that_was_not_read_stays_with_face_and_loft() -> None:
    found = explainable(*two_sides(strike_read=False), club("driver"))
    assert tuple(found.model.parts) == ("club_speed", "launch_or_strike", "path", "face_or_strike")
    assert found.modelled == ("strike_heel_toe_m", "strike_high_low_m")


def test_the_explained_delivery_lands_where_the_ball_did() -> None:
    sides = two_sides()
    found = explainable(*sides, club("driver"))
    carry_m, offline_m = found.model.land(found.before.rows)
    ball = explainable(*without(sides, "club_speed_mps"), club("driver"))
    flown = ball.model.land(ball.before.rows)
    np.testing.assert_allclose((carry_m, offline_m), flown, atol=1e-6)


def test_without_club_speed_the_parts_are_those_of_the_ball() -> None:
    found = explainable(*without(two_sides(), "club_speed_mps"), club("driver"))
    assert (found.depth, tuple(found.model.parts)) == (
        "ball",
        ("ball_speed", "launch_and_spin", "curve"),
    )


def test_a_ball_whose_direction_was_not_read_is_taken_as_straight() -> None:
    sides = without(two_sides(), "club_speed_mps", "launch_direction_rad")
    found = explainable(*sides, club("driver"))
    assert tuple(found.model.parts) == ("ball_speed", "launch_and_spin")
    assert found.assumed == ("launch_direction_rad", "spin_axis_rad")
    split = attribute(found.before, found.after, found.model, n_draws=9).splits["offline"]
    assert split.change.value_m == pytest.approx(0.0, abs=1e-9)


def test_the_club_alone_is_struck_as_read() -> None:
    found = explainable(*without(two_sides(), "ball_speed_mps"), club("driver"))
    assert found.depth == "delivered"
    assert tuple(found.model.parts) == ("club_speed", "strike", "launch", "path", "face")


def test_club_speed_alone_has_its_own_part_only() -> None:
    one, other = ({"club_speed_mps": side["club_speed_mps"]} for side in two_sides())
    found = explainable(one, other, club("driver"))
    assert (found.depth, tuple(found.model.parts)) == ("speed", ("club_speed",))
    assert len(found.assumed) == 6


def test_a_reading_that_few_balls_have_does_not_count() -> None:
    one, other = two_sides()
    gaps = one["club_speed_mps"].copy()
    gaps[:5] = np.nan
    found = explainable(one | {"club_speed_mps": gaps}, other, club("driver"))
    assert found.depth == "ball"


def test_nothing_read_is_refused() -> None:
    with pytest.raises(InputError, match="Neither club speed nor the ball's speed"):
        explainable({"carry_m": np.ones(5)}, {"carry_m": np.ones(5)}, club("driver"))
