"""Why a lesson changed the ball: from a table to sentences, notes and the published form."""

import json

import numpy as np
import pytest

from leadfoot.desk.file_question import question_for_file
from leadfoot.desk.why import Why, why_for
from leadfoot.errors import InputError
from leadfoot.figures.why import why_picture
from leadfoot.physics.clubs import club
from tests.rates.students import MIDDLE, Player, readings

HEADS = {
    "club_speed_mps": ("club speed (m/s)", 1.0),
    "attack_angle_rad": ("attack angle (deg)", 180 / np.pi),
    "club_path_rad": ("club path (deg)", 180 / np.pi),
    "face_angle_rad": ("face angle (deg)", 180 / np.pi),
    "dynamic_loft_rad": ("dynamic loft (deg)", 180 / np.pi),
    "ball_speed_mps": ("ball speed (m/s)", 1.0),
    "launch_angle_rad": ("launch angle (deg)", 180 / np.pi),
    "launch_direction_rad": ("launch direction (deg)", 180 / np.pi),
    "spin_rate_radps": ("spin rate (rpm)", 30 / np.pi),
    "spin_axis_rad": ("spin axis (deg)", 180 / np.pi),
    "carry_m": ("carry (yd)", 1 / 0.9144),
    "offline_m": ("offline (yd)", 1 / 0.9144),
}
SD = np.array([0.3, 0.01, 0.01, 0.01, 0.01, 0.003, 0.003])


def table(faster_mps: float, columns: tuple[str, ...] = tuple(HEADS), n: int = 12) -> bytes:
    rng = np.random.default_rng(1)
    lines = [",".join(["block", "club", *(HEADS[name][0] for name in columns)])]
    for label, more in (("before", 0.0), ("push", faster_mps)):
        middle = MIDDLE["driver"] + np.array([more, 0, 0, 0, 0, 0, 0])
        player = Player(middle=middle, sd=SD, face_with_path=0.0)
        read = readings(player.swings(n, rng), club("driver"), rng, strike_read=False)
        for k in range(n):
            values = (f"{read[name][k] * HEADS[name][1]:.3f}" for name in columns)
            lines.append(",".join([label, "Driver", *values]))
    return "\n".join(lines).encode()


def why(data: bytes, **how: str) -> Why:
    return why_for(question_for_file(data), **how)  # type: ignore[arg-type]


def test_a_faster_swing_is_found_to_be_what_did_it() -> None:
    found = why(table(2.5))
    carry = found.splits["carry"]
    assert carry.shares[0].part == "club_speed"
    assert carry.shares[0].clear
    assert sum(share.value for share in carry.shares) == pytest.approx(carry.change.value, abs=1e-9)
    assert "came from club speed" in found.said["carry"]
    assert (found.unit, found.model_club, found.depth) == ("yd", "driver", "explained")


def test_what_the_model_cannot_explain_is_small_where_the_model_made_the_balls() -> None:
    rest = why(table(2.5)).splits["carry"].unexplained
    assert rest is not None
    assert abs(rest.value) < 2.0


def test_the_notes_say_what_stays_together_and_that_it_is_a_model() -> None:
    notes = " ".join(why(table(1.0)).notes)
    assert "it says nothing of the body" in notes
    assert "a strike toward heel or toe and a turned face can make the same ball" in notes


def test_club_speed_alone_gives_its_own_part_only() -> None:
    found = why(table(2.5, ("club_speed_mps", "carry_m")))
    assert [share.part for share in found.splits["carry"].shares] == ["club_speed"]
    assert found.wide is None
    assert any("The rest cannot be told" in note for note in found.notes)


def test_the_ball_alone_is_told_by_its_own_parts() -> None:
    found = why(table(2.5, ("ball_speed_mps", "launch_angle_rad", "spin_rate_radps", "carry_m")))
    assert [share.part for share in found.splits["carry"].shares] == [
        "ball_speed",
        "launch_and_spin",
    ]


STRAIGHT = ("club_speed_mps", "ball_speed_mps", "launch_angle_rad", "spin_rate_radps", "carry_m")


@pytest.mark.parametrize("columns", [STRAIGHT, STRAIGHT[1:], ("club_speed_mps", "carry_m")])
def test_where_nothing_tells_the_side_only_carry_is_shared_out(columns: tuple[str, ...]) -> None:
    found = why(table(2.5, columns))
    assert list(found.splits) == ["carry"]
    assert found.said["miss"].startswith("Why it went straighter or wider cannot be told")
    assert found.wide is None
    assert list(found.as_json()["outcomes"]) == ["carry"]
    with pytest.raises(InputError, match=r"The change of average miss can't be shared out"):
        why_picture(found, "miss")


def test_without_path_and_strike_smash_factor_launch_and_spin_stay_together() -> None:
    without = ("attack_angle_rad", "club_path_rad", "face_angle_rad", "dynamic_loft_rad")
    found = why(table(2.5, tuple(name for name in HEADS if name not in without)))
    assert found.depth == "struck"
    names = [share.name for share in found.splits["miss"].shares]
    assert names == [
        "club speed",
        "smash factor, launch angle and spin",
        "start direction and spin axis",
    ]
    assert any("What the strike makes of club speed is the smash factor" in n for n in found.notes)
    assert found.wide is not None


def test_the_spread_is_shared_out_from_ten_balls_on() -> None:
    found = why(table(1.0))
    assert found.wide is not None
    assert sum(each.share for each in found.wide.shares) == pytest.approx(1.0)
    assert why(table(1.0, n=4)).wide is None


def test_the_published_form() -> None:
    form = why(table(1.0)).as_json()
    assert form["schema"] == "leadfoot.why/1"
    assert list(form["outcomes"]) == ["carry", "offline", "miss"]
    json.dumps(form, allow_nan=False)


def test_a_club_that_is_not_known_is_asked_for() -> None:
    data = table(1.0).replace(b"Driver", b"the long one")
    with pytest.raises(InputError, match="No generic club stands for 'the long one'"):
        why(data)
    assert why(data, club_key="driver").model_club == "driver"


def test_nothing_read_of_swing_or_ball_is_said() -> None:
    with pytest.raises(InputError, match="Neither club speed nor the ball's speed"):
        why(table(1.0, ("carry_m",)))
