"""Which block is before and which is with the change."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.desk.roles import guess_roles, roles_for
from leadfoot.errors import InputError


@pytest.mark.parametrize(
    ("labels", "roles"),
    [
        (["before", "after"], ["before", "with_change"]),
        (["A", "B"], ["before", "with_change"]),
        (["A1", "B1", "A2"], ["before", "with_change", "before"]),
        (["baseline", "soft block"], ["before", "with_change"]),
        (["red tee", "blue tee"], ["before", "with_change"]),
        (["warm-up", "usual", "push"], ["other", "before", "with_change"]),
        (["with the block", "without"], ["with_change", "before"]),
        (["vorher", "mit dem Kissen"], ["before", "with_change"]),
        (["sin", "con cuña"], ["before", "with_change"]),
        (["new", "cue"], ["before", "with_change"]),
        (["before lunch", "baseline"], ["before", "with_change"]),
    ],
)
def test_labels_as_coaches_write_them(labels: list[str], roles: list[str]) -> None:
    assert [guess_roles(labels)[label] for label in labels] == roles


@given(st.lists(st.text(min_size=1, max_size=12), min_size=1, max_size=6))
def test_every_label_gets_one_role_whatever_it_says(labels: list[str]) -> None:
    assert set(guess_roles(labels)) == set(labels)


def test_what_the_coach_says_holds() -> None:
    assert roles_for(["after", "before"], before="after", after="before") == {
        "after": "before",
        "before": "with_change",
    }
    assert roles_for(["warm-up", "x", "y"], before="x", after=None) == {
        "warm-up": "other",
        "x": "before",
        "y": "with_change",
    }
    assert roles_for(["x", "y"], before=None, after="x") == {"x": "with_change", "y": "before"}


@pytest.mark.parametrize(
    ("labels", "before", "after", "says"),
    [
        (
            ["a", "b"],
            "c",
            None,
            "No block is called 'c'. The blocks here are: 'a', 'b'.",
        ),
        (
            ["a"],
            None,
            None,
            "There is nothing to compare: the blocks here are 'a'. "
            "Name the blocks in a column (--block), or give --before-rows and --after-rows.",
        ),
        (
            ["a", "b"],
            "a",
            "a",
            "Block 'a' can't be compared with itself. Choose two of: 'a', 'b'.",
        ),
    ],
)
def test_what_cannot_be_compared_says_what_to_do(
    labels: list[str], before: str | None, after: str | None, says: str
) -> None:
    with pytest.raises(InputError) as error:
        roles_for(labels, before=before, after=after)
    assert str(error.value) == says
