"""The catalogue of cues, aids and drills: complete, safe, and checked field by field."""

import pytest

from leadfoot.coaching.drills import GROUND, drills, drills_for, drills_from, with_own
from leadfoot.coaching.rules import rules
from leadfoot.errors import InputError
from leadfoot.quantities import glossary

MINE = """
[rope]
name = "A rope on the ground"
kind = "aid"
changes = ["club_path"]
answers = ["path_off"]
setup = "Lay a rope along the target line."
feel = "The club passing over the rope."
focus = "external"
easier = "Without a ball."
harder = "With a driver."
"""


def test_there_are_forty_and_every_one_is_whole() -> None:
    assert len(drills()) >= 40
    for drill in drills().values():
        assert set(drill.changes) <= {*glossary(), *GROUND}
        assert set(drill.answers) <= set(rules())
        assert drill.source
        assert not drill.own
        assert drill.setup.endswith((".", "."))


def test_every_finding_has_three_drills_at_least_one_without_maximal_effort() -> None:
    for key in rules():
        assert len(drills_for(key)) >= 3, key
        assert len(drills_for(key, maximal=False)) >= 2, key


def test_every_maximal_effort_has_cautions_that_name_the_screening() -> None:
    maximal = [drill for drill in drills().values() if drill.maximal]
    assert maximal
    for drill in maximal:
        assert "screening" in " ".join(drill.cautions)


def test_the_three_kinds_and_both_foci_are_there() -> None:
    assert {drill.kind for drill in drills().values()} == {"cue", "aid", "drill"}
    external = [drill for drill in drills().values() if drill.focus == "external"]
    assert len(external) > 0.8 * len(drills())


def test_external_focus_comes_first_and_maximal_effort_last() -> None:
    for key in rules():
        order = [(drill.focus != "external", drill.maximal) for drill in drills_for(key)]
        assert order == sorted(order)


def test_a_push_into_something_soft_under_the_lead_foot_is_among_them() -> None:
    block = drills()["push_block"]
    assert "ground_push" in block.changes
    assert "lead foot" in block.setup
    assert block.cautions


def test_a_coach_adds_their_own() -> None:
    known = with_own(MINE)
    assert len(known) == len(drills()) + 1
    assert known["rope"].own
    assert known["rope"].source == "common practice, no source"
    assert "rope" in {key for key, one in known.items() if one in drills_for("path_off", known)}


def test_one_of_the_coachs_replaces_one_of_the_program() -> None:
    known = with_own(MINE.replace("[rope]", "[push_block]"))
    assert len(known) == len(drills())
    assert known["push_block"].name == "A rope on the ground"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('name = "A rope on the ground"\n', "", "The drill 'rope' has no name."),
        ('"aid"', '"toy"', "kind of the drill 'rope' is 'toy'; it must be one of: cue aid drill."),
        ('["club_path"]', '["mood"]', "changes of the drill 'rope' names 'mood'"),
        ('["club_path"]', "[]", "The drill 'rope' has no changes."),
        ('["path_off"]', '["slice"]', "answers of the drill 'rope' names 'slice'"),
        ('["path_off"]', '"path_off"', "answers of the drill 'rope' is 'path_off'"),
        ('"external"', "3", "focus of the drill 'rope' is 3"),
        ("harder =", "hrader =", "The drill 'rope' has a field 'hrader' that is not known."),
        ("[rope]", "[rope", "The catalogue is not TOML"),
        ("[rope]\n", 'stray = "x"\n[rope]\n', "'stray' stands outside every drill."),
        (
            "[rope]\n",
            "[rope]\nmaximal = true\n",
            "The drill 'rope' asks for a maximal effort and has no cautions.",
        ),
        ("[rope]\n", '[rope]\nmaximal = "no"\n', "maximal of the drill 'rope' is 'no'"),
    ],
)
def test_what_is_wrong_is_said_with_entry_and_field(old: str, new: str, said: str) -> None:
    with pytest.raises(InputError) as caught:
        drills_from(MINE.replace(old, new))
    assert said in str(caught.value)
