import math

import numpy as np
import pytest

from leadfoot.errors import InputError
from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.usual import (
    observed_spread,
    scale_doubt,
    spread_today,
    usual_spread,
)
from leadfoot.quantities import glossary
from tests.evidence.shots import balls_of


@pytest.mark.parametrize("club", [None, "driver", "wood", "hybrid", "iron", "wedge"])
def test_every_judged_quantity_has_a_population_value(club: str | None) -> None:
    for key, quantity in glossary().items():
        if quantity.better != "none":
            spread = usual_spread(key, club, None)
            assert 0 < spread.sd < math.inf
            assert spread.n_shots == 0


def test_spread_grows_with_the_value_and_falls_with_skill() -> None:
    slow, fast = usual_spread("carry", "driver", 150.0), usual_spread("carry", "driver", 250.0)
    assert fast.sd / slow.sd == pytest.approx(250.0 / 150.0)
    skilled = usual_spread("carry", "driver", 200.0, "skilled").sd
    beginner = usual_spread("carry", "driver", 200.0, "beginner").sd
    assert skilled == pytest.approx(7.0)
    assert beginner == pytest.approx(18.0)
    assert usual_spread("carry", "driver", 200.0).sd == pytest.approx(math.sqrt(7.0 * 18.0))


def test_a_leftward_or_missing_value_still_gives_a_spread() -> None:
    assert (
        usual_spread("offline", "driver", -200.0).sd == usual_spread("offline", "driver", 200.0).sd
    )
    assert usual_spread("offline", "iron", math.nan).sd == usual_spread("offline", "iron", None).sd


def test_unknown_quantities_are_refused() -> None:
    with pytest.raises(
        InputError, match=r"^No usual spread is known for 'mood'\. Use one of: apex"
    ):
        usual_spread("mood", None, None)


def test_doubt_about_today_falls_with_history() -> None:
    doubts = [scale_doubt(n) for n in (0, 10, 60, 1000, 10**6)]
    assert doubts == sorted(doubts, reverse=True)
    assert doubts[0] == pytest.approx(0.35, abs=0.005)
    assert doubts[-1] == pytest.approx(0.20, abs=0.001)


def test_spread_is_raised_for_wild_balls_and_never_lowered() -> None:
    usual = UsualSpread(sd=1.0, n_shots=1000)
    calm = balls_of(np.tile([0.0, 0.1], 10), 10)
    wild = balls_of(np.tile([0.0, 20.0], 10), 10)
    assert spread_today(calm, usual) == (1.0, False)
    sd, raised = spread_today(wild, usual)
    assert raised
    assert 5.0 < sd < observed_spread(wild)


def test_two_balls_have_no_observed_spread() -> None:
    assert observed_spread(balls_of([0.0, 9.0], 1)) == 0.0
