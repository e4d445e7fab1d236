"""The coach's own drills: the rules of the catalogue, new and anew, beside the program's."""

from typing import Any

import pytest

from leadfoot.coaching.drills import drills, drills_for
from leadfoot.coaching.homework import Week
from leadfoot.desk.desk import Desk
from leadfoot.desk.homework import home_cautions
from leadfoot.desk.own_drills import (
    all_drills,
    not_understood,
    own_drills,
    save_drill,
    take_away,
)
from leadfoot.errors import InputError

ROPE: dict[str, Any] = {
    "name": "A rope on the ground",
    "kind": "aid",
    "changes": ["club_path"],
    "answers": ["path_off"],
    "setup": "Lay a rope along the target line.",
    "feel": "The club passing over the rope.",
    "focus": "external",
    "easier": "Without a ball.",
    "harder": "With a driver.",
    "cautions": ["Tie the ends down."],
    "club": "club",
    "place": "turf",
    "things": ["rope"],
    "maximal": False,
}


def test_one_of_the_coachs_stands_beside_the_programs(desk: Desk) -> None:
    rope = save_drill(desk, ROPE)
    assert rope.own
    assert rope.source == "common practice, no source"
    assert own_drills(desk) == {rope.key: rope}
    assert set(all_drills(desk)) == {*drills(), rope.key}
    assert rope in drills_for("path_off", all_drills(desk))


def test_it_is_written_anew_under_its_key_and_taken_away(desk: Desk) -> None:
    rope = save_drill(desk, ROPE)
    better = save_drill(desk, {**ROPE, "feel": "The rope staying still."}, rope.key)
    assert own_drills(desk) == {rope.key: better}
    take_away(desk, rope.key)
    assert own_drills(desk) == {}
    with pytest.raises(InputError, match="There is no drill of your own called"):
        take_away(desk, rope.key)
    with pytest.raises(InputError, match="There is no drill of your own called"):
        save_drill(desk, ROPE, rope.key)


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"maximal": True, "cautions": []}, "asks for a maximal effort and has no cautions."),
        ({"answers": []}, "The drill 'A rope on the ground' has no answers."),
        ({"answers": ["slice"]}, "names 'slice', which is not known."),
        ({"changes": []}, "has no changes."),
        ({"focus": "inner"}, "focus of the drill 'A rope on the ground' is 'inner'"),
        ({"feel": "  "}, "feel of the drill 'A rope on the ground' is '  '"),
        ({"name": ""}, "name of the drill '' is ''; it must be a text."),
    ],
)
def test_what_breaks_a_rule_of_the_catalogue_is_not_kept(
    desk: Desk, wrong: dict[str, Any], said: str
) -> None:
    with pytest.raises(InputError) as caught:
        save_drill(desk, {**ROPE, **wrong})
    assert said in caught.value.what
    assert caught.value.fix == "Fill it in on the form, or choose from what it offers."
    assert own_drills(desk) == {}


def test_a_name_stands_once(desk: Desk) -> None:
    rope = save_drill(desk, ROPE)
    for taken in ("press the soft block FLAT.", "a rope on the  ground"):
        with pytest.raises(InputError, match=r"There is an? .* called .* already\."):
            save_drill(desk, {**ROPE, "name": taken})
    assert list(own_drills(desk)) == [rope.key]


def test_its_cautions_go_into_the_homework(desk: Desk) -> None:
    save_drill(desk, ROPE)
    week = Week(days=(0,), minutes=30, balls=30, place="range")
    known = home_cautions(week, "", "a rope on the ground", all_drills(desk))
    assert "Tie the ends down." in known
    assert "Tie the ends down." not in home_cautions(week, "", "a rope on the ground")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('{"n":3}', "The drill 'own_x' has a field 'n' that is not known."),
        ("[1]", "It is no table of fields."),
        ("{", "It is no JSON."),
    ],
)
def test_what_another_version_wrote_is_told_and_breaks_nothing(
    desk: Desk, text: str, said: str
) -> None:
    desk.book.save_own_drill("own_x", text, at=desk.clock())
    assert own_drills(desk) == {}
    assert not_understood(desk) == {"own_x": said}
    take_away(desk, "own_x")
    assert not_understood(desk) == {}
