"""Shots as JSON: what is taken, and what is refused with its place."""

import math
from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.desk.live_shots import MOST_SHOTS, read_shots, shot_schema
from leadfoot.errors import InputError
from leadfoot.quantities import glossary
from leadfoot.shots.shot import Reading

CARRY: dict[str, Any] = {"carry": {"value": 165, "unit": "yd"}}


def test_one_shot_and_a_list_are_taken() -> None:
    values = {**CARRY, "offline": {"value": -4.5, "unit": "m"}, "smash_factor": {"value": 1.4}}
    (shot,) = read_shots({"key": " a1 ", "club": "7 iron", "values": values})
    assert (shot.key, shot.club) == ("a1", "7 iron")
    assert dict(shot.values) == {
        "carry": Reading(value=165.0, unit="yd"),
        "offline": Reading(value=-4.5, unit="m"),
        "smash_factor": Reading(value=1.4, unit=None),
    }
    assert [one.key for one in read_shots([{"key": "a", "values": CARRY}] * 3)] == ["a"] * 3
    assert read_shots([shot.as_json()]) == (shot,)


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        (None, "The body holds no shot. Send one JSON object, or a list of at least one."),
        ([], "The body holds no shot. Send one JSON object, or a list of at least one."),
        ([7], "[0] is no JSON object. Send {key, values}."),
        ({"values": CARRY}, "key is missing. Give each ball a key of its own, and the same key "
         "when it is sent again."),
        ({"key": "", "values": CARRY}, "key must be a text of 1 to 200 characters. Correct it, "
         "send it again."),
        ({"key": "a", "ball": 1, "values": CARRY}, "ball is not known. Use: key, club, values."),
        ({"key": "a"}, 'values holds no value. Send at least one, such as {"carry": {"value": 165, '
         '"unit": "yd"}}.'),
        ([{"key": "a", "values": CARRY}, {"key": "b", "values": {"carry": 165}}],
         '[1].values.carry must be an object with value and unit. Send it as {"value": 1.0, '
         '"unit": "yd"}.'),
        ({"key": "a", "values": {"carry": {"value": "165", "unit": "yd"}}},
         "values.carry.value must be a finite number. Leave the quantity away where there is no "
         "value."),
        ({"key": "a", "values": {"carry": {"value": math.nan, "unit": "yd"}}},
         "values.carry.value must be a finite number. Leave the quantity away where there is no "
         "value."),
        ({"key": "a", "values": {"carry": {"value": 10**400, "unit": "yd"}}},
         "values.carry.value must be a finite number. Leave the quantity away where there is no "
         "value."),
        ({"key": "a", "values": {"carry": {"value": 1e6, "unit": "yd"}}},
         "values.carry is 1e+06 yd; that can't be. Check the number and the unit."),
        ({"key": "a", "values": {"smash_factor": {"value": 1.4, "unit": "mph"}}},
         "values.smash_factor has no unit, 'mph' was sent. Leave the unit away."),
    ],
)  # fmt: skip
def test_what_can_not_be_used_is_refused_with_its_place(sent: object, said: str) -> None:
    with pytest.raises(InputError) as caught:
        read_shots(sent)
    assert str(caught.value) == said


def test_a_unit_is_never_guessed() -> None:
    for unit in (None, "mph", "stones", 7):
        with pytest.raises(InputError, match=r"values\.carry\.unit is .* Use one of: .*yd"):
            read_shots({"key": "a", "values": {"carry": {"value": 165, "unit": unit}}})


def test_an_unknown_quantity_is_refused() -> None:
    with pytest.raises(InputError, match=r"values\.luck is no quantity of the glossary"):
        read_shots({"key": "a", "values": {"luck": {"value": 1, "unit": None}}})


def test_a_list_that_is_too_long_is_refused() -> None:
    shots = [{"key": str(k), "values": CARRY} for k in range(MOST_SHOTS + 1)]
    with pytest.raises(InputError, match="The list has 1001 shots; at most 1000"):
        read_shots(shots)


JSON = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(["key", "club", "values", "carry", "value", "unit"]), inner, max_size=4
        )
    ),
    max_leaves=12,
)


@given(JSON)
def test_whatever_is_sent_is_read_or_refused_on_purpose(sent: object) -> None:
    with suppress(InputError):
        assert all(shot.values for shot in read_shots(sent))


def test_the_schema_names_every_quantity_with_its_units() -> None:
    values = shot_schema()["properties"]["values"]["properties"]
    assert values.keys() == glossary().keys()
    assert set(values["carry"]["properties"]["unit"]["enum"]) >= {"yd", "m"}
    assert values["smash_factor"]["properties"]["unit"] == {"type": "null"}
