import numpy as np
import pytest

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.evidence.judgement import LessonShots, Track, UsualSpread
from leadfoot.evidence.lesson import Order, check_lesson, order_of_blocks, seen
from tests.evidence.shots import lesson_of


def carry_lesson(
    values: list[float],
    *,
    sd: float = 7.0,
    ball_number: list[float] | None = None,
    planned: list[bool] | None = None,
) -> LessonShots:
    n = 3
    return LessonShots(
        with_change=np.array([False, False, True]),
        ball_number=np.arange(float(n)) if ball_number is None else np.array(ball_number),
        tracks={
            "carry": Track(
                quantity="carry", values=np.array(values), aim="more", usual=UsualSpread(sd=sd)
            )
        },
        declared_distance="carry",
        declared_direction=None,
        planned=None if planned is None else np.array(planned, dtype=np.bool_),
    )


@pytest.mark.parametrize(
    ("lesson", "error", "text"),
    [
        (
            carry_lesson([1.0, 2.0]),
            InputError,
            "Track 'carry' has shape (2,); the lesson has 3 balls. "
            "Give one value for every ball, NaN where there is none.",
        ),
        (
            carry_lesson([1.0, 2.0, np.inf]),
            InputError,
            "Track 'carry' has an infinite value. Put NaN where a ball has no value.",
        ),
        (
            carry_lesson([1.0, 2.0, 2e9]),
            OutOfRangeError,
            "Track 'carry' has a value beyond 1e+09 in SI. "
            "Check the unit of the column, or leave the shot out.",
        ),
        (
            carry_lesson([1.0, 2.0, 3.0], sd=0.0),
            OutOfRangeError,
            "The usual spread of 'carry' is 0 from 0 shots. "
            "Give a spread from 1e-09 to 1e+09 in SI and a number of shots of 0 or more.",
        ),
        (
            carry_lesson([1.0, 2.0, 3.0], planned=[False] * 8),
            InputError,
            "The plan has shape (8,) and 0 balls with the change. "
            "Plan at least one ball without the change and one with it, or give no plan.",
        ),
        (
            carry_lesson([1.0, 2.0, 3.0], ball_number=[0.0, 2.0, 2.0]),
            InputError,
            "The ball numbers do not increase from ball to ball. "
            "Give the shots in hitting order, each with its own ball number.",
        ),
        (
            carry_lesson([1.0, 2.0, 3.0], ball_number=[-1.0, 0.0, 1.0]),
            OutOfRangeError,
            "A ball number lies outside 0 to 100000. Count the balls of the lesson from 0.",
        ),
        (
            carry_lesson([1.0, 2.0, 3.0], ball_number=[0.0, 1.0]),
            InputError,
            "with_change has shape (3,) and ball_number (2,). "
            "Give one entry of each for every ball.",
        ),
        (
            lesson_of([True], {"carry": [1.0]}, direction="carry"),
            InputError,
            "The declared quantity 'carry' is not a track with the aim 'nearer_zero'. "
            "Declare one of the lesson's tracks, or None.",
        ),
        (
            lesson_of([True], {"carry": [1.0]}, distance="total"),
            InputError,
            "The declared quantity 'total' is not a track with the aim 'more'. "
            "Declare one of the lesson's tracks, or None.",
        ),
    ],
)
def test_what_cannot_be_judged_is_refused(
    lesson: LessonShots, error: type[InputError], text: str
) -> None:
    with pytest.raises(error) as caught:
        check_lesson(lesson)
    assert str(caught.value) == text


def test_missing_ball_numbers_are_refused() -> None:
    with pytest.raises(OutOfRangeError, match="outside 0 to 100000"):
        check_lesson(carry_lesson([1.0, 2.0, 3.0], ball_number=[0.0, np.nan, 2.0]))


@pytest.mark.parametrize(
    ("balls", "order"),
    [
        ("", "once"),
        ("AAA", "once"),
        ("AABB", "once"),
        ("BBAA", "once"),
        ("AABBAA", "and_back"),
        ("AABBAABB", "twice"),
        ("ABABA", "alternating"),
        ("AABBAABBAABB", "alternating"),
    ],
)
def test_the_order_of_blocks_is_recognised(balls: str, order: Order) -> None:
    assert order_of_blocks(np.array([ball == "B" for ball in balls], dtype=np.bool_)) == order


def test_balls_without_a_value_leave_their_number_behind() -> None:
    lesson = lesson_of([False, False, True, True], {"carry": [1.0, np.nan, 3.0, 4.0]})
    balls = seen(lesson, lesson.tracks["carry"])
    assert balls.ball_number.tolist() == [0.0, 2.0, 3.0]
    assert (balls.n_before, balls.n_after, balls.fewest) == (1, 2, 1)
