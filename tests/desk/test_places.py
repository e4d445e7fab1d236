"""Where balls are hit: a place of its own has a level and a spread of its own."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.desk.desk import Desk
from leadfoot.desk.history import past_lessons
from leadfoot.desk.lesson import add_lesson, add_student
from leadfoot.desk.places import MOST_LETTERS, PLACES, place_named, said_place, same_place
from leadfoot.errors import InputError
from tests.desk.weeks import days_later, hit, lesson_with


@given(st.text(max_size=80))
def test_a_place_is_a_word_a_name_or_refused(text: str) -> None:
    try:
        place = place_named(text)
    except InputError:
        assert not text.strip() or len(" ".join(text.split())) > MOST_LETTERS
    else:
        assert place_named(place) == place
        assert same_place(place, place_named("", text))
        assert said_place(place)


@pytest.mark.parametrize("place", PLACES)
def test_every_word_is_found_by_how_it_is_said(place: str) -> None:
    assert place_named(said_place(place).upper()) == place


def test_a_name_of_a_place_has_letters() -> None:
    with pytest.raises(InputError) as caught:
        place_named("  ", " ")
    assert str(caught.value) == (
        "The place has no name. Choose studio, range, course, net, indoors, or type one."
    )


def test_the_usual_spread_is_learnt_place_by_place(desk: Desk) -> None:
    student_id = add_student(desk, name="Ada Nowhere", hand="right").id
    lesson_with(desk, student_id, change="press", gain_mph=0.0, seed=1)
    away = add_lesson(days_later(desk, 1), student_id, club="driver", place="range")
    block = desk.book.add_block(away.id, label="as usual", role="before")
    hit(desk, block.id, 70.0, 20, np.random.default_rng(2))
    later = days_later(desk, 2)
    in_studio = add_lesson(later, student_id, club="driver")
    at_the_range = add_lesson(later, student_id, club="driver", place="range")
    assert [len(one.blocks) for one in past_lessons(desk, in_studio)["club_speed"]] == [2]
    assert [len(one.blocks) for one in past_lessons(desk, at_the_range)["club_speed"]] == [1]
