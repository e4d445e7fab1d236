"""From a table with its blocks to the answer."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType

import numpy as np
import pytest
from numpy.typing import NDArray

from leadfoot.desk.judging import answer_for
from leadfoot.desk.records import Role
from leadfoot.desk.sides import Question
from leadfoot.errors import InputError
from leadfoot.evidence.memory import PastLesson
from leadfoot.physics.flight import Launch, fly
from leadfoot.shots.shot import Readings, ShotTable
from leadfoot.units import UNITS, si_into

ROLES: Mapping[str, Role] = {"usual": "before", "push": "with_change", "warm-up": "other"}
Values = dict[str, tuple[NDArray[np.float64], str | None]]


def table(
    labels: Sequence[str | None], values: Values, clubs: tuple[str | None, ...] | None = None
) -> ShotTable:
    return ShotTable(
        rows=np.arange(len(labels), dtype=np.int64) + 2,
        blocks=tuple(labels),
        clubs=clubs or ("Driver",) * len(labels),
        readings=MappingProxyType(
            {key: Readings(values=v, unit=unit) for key, (v, unit) in values.items()}
        ),
    )


def lesson(gain_mph: float = 4.0, n: int = 14, *, unit: str = "yd") -> ShotTable:
    rng = np.random.default_rng(5)
    speed = 90 + 1.2 * rng.standard_normal(2 * n) + gain_mph * (np.arange(2 * n) >= n)
    carry = 2.4 * speed - 10 + 5 * rng.standard_normal(2 * n)
    offline = 10 * rng.standard_normal(2 * n)
    scale = 0.9144 / UNITS[unit].si_per_unit
    return table(
        ["usual"] * n + ["push"] * n,
        {
            "club_speed": (speed, "mph"),
            "carry": (carry * scale, unit),
            "offline": (offline * scale, unit),
        },
    )


def launched(n: int = 12) -> Values:
    """Launch data of n balls before and n with more speed."""
    rng = np.random.default_rng(3)
    gained = 8.0 * (np.arange(2 * n) >= n)
    return {
        "ball_speed": (130 + gained + 1.5 * rng.standard_normal(2 * n), "mph"),
        "launch_angle": (12 + rng.standard_normal(2 * n), "deg"),
        "spin_rate": (2800 + 200 * rng.standard_normal(2 * n), "rpm"),
        "launch_direction": (1.5 * rng.standard_normal(2 * n), "deg"),
        "spin_axis": (4.0 * rng.standard_normal(2 * n), "deg"),
    }


def test_units_change_nothing_but_the_units() -> None:
    yards = answer_for(Question(table=lesson(), roles=ROLES))
    metres = answer_for(Question(table=lesson(unit="m"), roles=ROLES))
    assert yards.decision == metres.decision == "keep"
    for one, other in zip(yards.outcomes, metres.outcomes, strict=True):
        if one.unit == "yd":
            assert other.unit == "m"
            assert other.change == pytest.approx(one.change * 0.9144)
        assert other.odds_better == pytest.approx(one.odds_better)


def test_a_shot_left_out_counts_no_more_and_is_named() -> None:
    shots = lesson()
    whole = answer_for(Question(table=shots, roles=ROLES))
    part = answer_for(Question(table=shots, roles=ROLES, left_out={3: "a phone rang"}))
    assert whole.blocks[0].n_shots == 14
    assert (part.blocks[0].n_shots, part.blocks[0].n_left_out) == (13, 1)
    assert "Left out, ball 4: a phone rang." in part.notes
    assert len(part.pattern.carry) == 27


def test_balls_between_the_blocks_keep_their_place_in_time() -> None:
    shots = lesson()
    labels = (*["warm-up"] * 4, *shots.blocks)
    warmed = table(
        labels,
        {
            key: (np.concatenate([np.full(4, 1.0), column.values]), column.unit)
            for key, column in shots.readings.items()
        },
    )
    answer = answer_for(Question(table=warmed, roles=ROLES))
    assert [block.role for block in answer.blocks] == ["other", "before", "after"]
    assert answer.decision == "keep"


def test_without_a_carry_the_flight_model_gives_one_and_says_so() -> None:
    values = launched()
    answer = answer_for(Question(table=table(["usual"] * 12 + ["push"] * 12, values), roles=ROLES))
    carry = next(o for o in answer.outcomes if (o.quantity, o.kind) == ("carry", "level"))
    assert (carry.basis, carry.unit) == ("modelled", "yd")
    assert answer.pattern.carry_basis == answer.pattern.offline_basis == "modelled"
    assert any("computed by the flight model" in note for note in answer.notes)
    flown = fly(
        Launch(
            **{
                name: float(values[key][0][0]) * UNITS[values[key][1] or ""].si_per_unit
                for name, key in (
                    ("ball_speed_mps", "ball_speed"),
                    ("launch_angle_rad", "launch_angle"),
                    ("launch_direction_rad", "launch_direction"),
                    ("spin_rate_radps", "spin_rate"),
                    ("spin_axis_rad", "spin_axis"),
                )
            }
        )
    )
    assert answer.pattern.carry[0] == pytest.approx(si_into(flown.carry_m, "yd"), abs=0.01)
    assert answer.pattern.offline[0] == pytest.approx(si_into(flown.offline_m, "yd"), abs=0.01)
    assert answer.longer.verdict == "yes"


def test_measured_and_computed_distances_are_never_mixed() -> None:
    values = launched()
    carry = np.full(24, np.nan)
    carry[:5] = 205.0
    values["carry"] = (carry, "yd")
    answer = answer_for(Question(table=table(["usual"] * 12 + ["push"] * 12, values), roles=ROLES))
    assert answer.pattern.carry_basis == "modelled"
    assert abs(answer.pattern.carry[0] - 205.0) > 1e-9


def test_the_club_with_most_balls_on_both_sides_is_judged() -> None:
    shots = lesson()
    clubs = tuple("7-iron" if index % 4 == 0 else "Driver" for index in range(28))
    answer = answer_for(
        Question(table=table(list(shots.blocks), _values(shots), clubs), roles=ROLES)
    )
    assert answer.club == "Driver"
    assert [problem.text for problem in answer.problems] == ["7-iron"]
    asked = answer_for(
        Question(table=table(list(shots.blocks), _values(shots), clubs), roles=ROLES, club="7-IRON")
    )
    assert (asked.club, asked.problems) == ("7-iron", ())
    assert sum(block.n_shots for block in asked.blocks) == 7


def test_a_club_named_once_is_the_club_of_all() -> None:
    shots = lesson()
    clubs: tuple[str | None, ...] = ("Driver", *(None,) * 27)
    answer = answer_for(
        Question(table=table(list(shots.blocks), _values(shots), clubs), roles=ROLES)
    )
    assert answer.club == "Driver"
    assert sum(block.n_shots for block in answer.blocks) == 28


def test_going_back_and_forth_is_one_comparison() -> None:
    shots = lesson(n=12)
    labels: Sequence[str | None] = (["usual"] * 6 + ["push"] * 6) * 2
    answer = answer_for(Question(table=table(labels, _values(shots)), roles=ROLES))
    assert [(block.label, block.n_shots) for block in answer.blocks] == [
        ("usual", 12),
        ("push", 12),
    ]


def test_only_directions_still_get_an_answer() -> None:
    rng = np.random.default_rng(2)
    face = np.concatenate([6 + rng.standard_normal(14), rng.standard_normal(14)])
    answer = answer_for(
        Question(
            table=table(["usual"] * 14 + ["push"] * 14, {"face_angle": (face, "deg")}), roles=ROLES
        )
    )
    assert answer.longer.odds is None
    assert answer.bias is not None
    assert answer.bias.unit == "deg"
    assert answer.decision == "keep"
    assert "straighter" in answer.sentence


def test_earlier_lessons_sharpen_the_usual_spread() -> None:
    shots = lesson()
    earlier = {
        key: [
            PastLesson(
                age_days=7.0,
                blocks=(column.si()[:14], column.si()[14:]),
                baseline=column.si()[:14],
            )
        ]
        for key, column in shots.readings.items()
    }
    with_history = answer_for(Question(table=shots, roles=ROLES, earlier=earlier))
    without = answer_for(Question(table=shots, roles=ROLES))
    assert any("assumed from players in general" in note for note in without.notes)
    assert not any("assumed from players in general" in note for note in with_history.notes)
    assert (
        "The usual spread is learnt from 1 earlier lesson with this club: 28 balls, 7 days old."
        in with_history.notes
    )


@pytest.mark.parametrize(
    ("roles", "says"),
    [
        (
            {"usual": "before", "push": "other"},
            "No shot is with the change. Say which block is before and which is with the change.",
        ),
        (
            {"usual": "other", "push": "with_change"},
            "No shot is before the change. Say which block is before and which is with the change.",
        ),
    ],
)
def test_one_side_alone_cannot_be_judged(roles: Mapping[str, Role], says: str) -> None:
    with pytest.raises(InputError) as error:
        answer_for(Question(table=lesson(), roles=roles))
    assert str(error.value) == says


def _values(shots: ShotTable) -> Values:
    return {key: (column.values, column.unit) for key, column in shots.readings.items()}


def test_two_spellings_of_a_club_are_one_club() -> None:
    shots = lesson()
    clubs = tuple("7i" if index % 2 else "7 iron" for index in range(28))
    answer = answer_for(
        Question(table=table(list(shots.blocks), _values(shots), clubs), roles=ROLES)
    )
    assert (answer.club, answer.problems) == ("7 iron", ())
    assert sum(block.n_shots for block in answer.blocks) == 28
