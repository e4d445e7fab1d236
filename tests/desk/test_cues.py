"""Every cue on record: by club, weighed together, one cue in several lessons as one."""

import numpy as np

from leadfoot.desk.cues import cues_so_far, cues_tried
from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import add_lesson, block_for, type_shot


def give(desk: Desk, student_id: int, change: str, gain: float, *, club: str = "Driver") -> int:
    rng = np.random.default_rng(abs(int(10 * gain)) + len(change))
    lesson = add_lesson(desk, student_id, change=change, club=club)
    for n, role in ((8, "before"), (8, "with_change")):
        for _ in range(n):
            carry = 200.0 + 5.0 * rng.standard_normal() + gain * (role == "with_change")
            block = block_for(desk, lesson.id, "before" if role == "before" else "with_change")
            type_shot(desk, block.id, f"92 {carry:.1f} 0", ("club_speed", "carry", "offline"))
    return lesson.id


def test_every_cue_is_on_record_with_its_club(desk: Desk, lesson_id: int) -> None:
    student_id = desk.book.lesson(lesson_id).student_id
    give(desk, student_id, "Push into the ground.", 14.0)
    again = give(desk, student_id, "push into  the ground", 12.0)
    give(desk, student_id, "feet together", 0.0)
    give(desk, student_id, "slow start", 1.0)
    give(desk, student_id, "ball back", 2.0, club="7 iron")
    driver, iron = cues_tried(desk, student_id)
    assert (driver.club, driver.quantity, driver.unit) == ("driver", "carry", "yd")
    best = driver.cues[0]
    assert best.cue == "push into  the ground"
    assert best.lessons[0].id == again
    assert len(best.lessons) == 2
    assert len(driver.cues) == 3
    assert 0 < best.gain < best.raw
    assert best.odds_best > 0.8
    assert best.low < best.gain < best.high
    assert driver.sentence.startswith("Best of 3 tries: push into")
    assert [lesson.change for lesson in driver.not_compared] == ["push"]
    assert cues_so_far(desk, desk.book.lesson(again)) == 2
    assert cues_so_far(desk, desk.book.lesson(lesson_id)) == 1
    assert iron.sentence == "One cue so far: there is nothing yet to compare it with."


def test_a_student_without_an_answer_has_no_cues(desk: Desk, lesson_id: int) -> None:
    assert cues_tried(desk, desk.book.lesson(lesson_id).student_id) == ()
