"""Balls of many lessons read at once are those that the records have, ball by ball."""

import numpy as np

from leadfoot.book.sql_book import SqlBook
from leadfoot.desk.records import NewShot
from leadfoot.shots.shot import Reading
from tests.book.samples import AT, carried, some_block, some_lesson
from tests.naive.pooled_balls import balls_one_by_one, counted_one_by_one

KEYS = ("club_speed", "carry", "smash_factor")


def test_many_lessons_at_once_are_as_ball_by_ball(book: SqlBook) -> None:
    first = some_block(book)
    second = book.add_block(first.lesson_id, label="cue", role="with_change")
    aside = book.add_block(first.lesson_id, label="warm", role="other")
    fast = NewShot(
        club=None,
        values={
            "club_speed": Reading(value=99.5, unit="mph"),
            "smash_factor": Reading(value=1.45, unit=None),
        },
    )
    for block in (first, second, aside, first):
        book.add_shot(block.id, carried(201.5), at=AT)
        gone = book.add_shot(block.id, fast, at=AT)
    book.leave_out(gone.id, reason="phone rang")
    other = some_block(book)
    book.add_shot(other.id, fast, at=AT)
    empty = some_lesson(book)
    unasked = some_block(book)
    book.add_shot(unasked.id, fast, at=AT)

    found = book.balls_of([other.lesson_id, first.lesson_id, empty.id], KEYS)

    assert set(found) == {first.lesson_id, other.lesson_id}
    for lesson_id, balls in found.items():
        slow = balls_one_by_one(book.blocks(lesson_id), book.shots(lesson_id), KEYS)
        assert (balls.n_shots, balls.clubs) == (slow.n_shots, slow.clubs)
        np.testing.assert_array_equal(balls.with_change, slow.with_change)
        np.testing.assert_array_equal(balls.values, slow.values)
    assert found[first.lesson_id].n_shots == 8
    assert found[first.lesson_id].values.shape == (5, 3)


def test_a_lesson_whose_balls_are_all_left_out_has_none_that_count(book: SqlBook) -> None:
    block = some_block(book)
    book.leave_out(book.add_shot(block.id, carried(200.0), at=AT).id, reason="slipped")
    (balls,) = book.balls_of([block.lesson_id], KEYS).values()
    assert (balls.n_shots, balls.clubs, balls.values.shape) == (1, (), (0, 3))


def test_every_value_of_many_lessons_is_as_ball_by_ball(book: SqlBook) -> None:
    first = some_block(book)
    aside = book.add_block(first.lesson_id, label="warm", role="other")
    fast = NewShot(club="driver", values={"club_speed": Reading(value=99.5, unit="mph")})
    for block in (first, aside, first):
        book.add_shot(block.id, carried(201.5), at=AT)
        gone = book.add_shot(block.id, fast, at=AT)
    book.leave_out(gone.id, reason="phone rang")
    empty = some_lesson(book)

    found = book.counted_of([empty.id, first.lesson_id])

    assert set(found) == {first.lesson_id}
    balls = found[first.lesson_id]
    slow = counted_one_by_one(book.blocks(first.lesson_id), book.shots(first.lesson_id))
    assert (balls.roles, balls.clubs) == (slow.roles, slow.clubs)
    assert balls.quantities == slow.quantities
    np.testing.assert_array_equal(balls.block_ids, slow.block_ids)
    np.testing.assert_array_equal(balls.values, slow.values)
