"""Force recordings on the desk: kept first, understood, corrected, linked, compared."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from leadfoot.desk import linking, recordings
from leadfoot.desk.desk import Desk
from leadfoot.desk.force_words import Said, said_from
from leadfoot.desk.ground_view import ground_view
from leadfoot.desk.push import linked_pairs, model_estimate, push_view
from leadfoot.errors import InputError
from leadfoot.ground.choices import Choices
from leadfoot.ground.made_swing import usual_swing
from leadfoot.ground.swing_numbers import numbers_of
from leadfoot.ground.table_columns import ForceMapping
from leadfoot.shots.shot import Reading
from tests.desk.conftest import NOON
from tests.desk.fake_book import FakeBook
from tests.desk.plates import ball, on_plates, swing_file
from tests.ground.synthetic import swing_table


@pytest.fixture(params=["in memory", "in a file"])
def either(request: pytest.FixtureRequest, desk: Desk) -> Desk:
    """A desk on the real book, and one on the book in memory: they must do the same."""
    return replace(desk, book=FakeBook()) if request.param == "in memory" else desk


def look(desk: Desk, stored: object) -> recordings.Found:
    return recordings.look(desk, stored)  # type: ignore[arg-type]


def test_a_swing_is_kept_and_understood(either: Desk) -> None:
    given = on_plates(either, n_each=1)
    data = swing_file(5)
    stored = recordings.receive(either, given.lesson_id, name="new.c3d", data=data)
    assert either.book.raw_file(stored.raw_file_id)[1] == data
    assert stored.block_id == given.blocks[1].id, "it goes into the block that is being hit"
    found = look(either, stored)
    assert found.trouble == ""
    assert found.swing is not None
    made = usual_swing()
    assert found.swing.weighing.weight_n == pytest.approx(made.weight_n, abs=0.5)
    assert found.impact is not None
    assert found.impact.source == "trigger channel"
    assert found.impact.time_s == pytest.approx(made.impact_s, abs=0.003)


def test_the_strike_is_set_by_hand_or_by_the_clock_and_says_so(either: Desk) -> None:
    given = on_plates(either, n_each=1)
    one = given.recordings[0]
    recordings.set_strike(either, one.id, 3.0)
    impact = look(either, either.book.recording(one.id)).impact
    assert impact is not None
    assert (impact.time_s, impact.source, impact.doubt_s) == (3.0, "set by hand", 0.01)
    recordings.strike_by_clock(either, one.id, monitor_s=1003.1, first_sample_s=1000.0)
    impact = look(either, either.book.recording(one.id)).impact
    assert impact is not None
    assert impact.time_s == pytest.approx(3.1)
    assert (impact.source, impact.doubt_s) == ("launch monitor", 0.02)
    recordings.set_strike(either, one.id, None)
    impact = look(either, either.book.recording(one.id)).impact
    assert impact is not None
    assert impact.source == "trigger channel"
    with pytest.raises(InputError, match="does not lie in the recording"):
        recordings.set_strike(either, one.id, 99.0)
    with pytest.raises(InputError, match="does not lie in the recording"):
        recordings.strike_by_clock(either, one.id, monitor_s=0.0, first_sample_s=5.0)


def test_a_choice_is_kept_and_goes_to_the_next(either: Desk) -> None:
    given = on_plates(either, n_each=1)
    said = Said(choices=Choices(feet=("trail", "lead"), mat_m=0.02), stature_m=1.8, turn_s=2.6)
    found = recordings.understand(either, given.recordings[0].id, said)
    assert found.recording is not None
    assert [plate.foot for plate in found.recording.plates] == ["trail", "lead"]
    last = recordings.understand(either, given.recordings[-1].id, said)
    assert last.swing is not None
    assert last.swing.phases.turn_from == "set by hand"
    after = recordings.receive(either, given.lesson_id, name="next.c3d", data=swing_file(9))
    assert said_from(after.choices_json, hand="right") == said.for_next()
    with pytest.raises(InputError, match="Feet are given for 3 plates"):
        recordings.understand(
            either, after.id, Said(choices=Choices(feet=("lead", "trail", "both")))
        )
    assert either.book.recording(after.id) == after


def test_what_does_not_fit_the_next_file_is_not_taken_over(either: Desk) -> None:
    given = on_plates(either, n_each=1)
    said = Said(choices=Choices(feet=("trail", "lead")))
    recordings.understand(either, given.recordings[-1].id, said)
    one_plate = "\n".join(["time (s),Fz (N)", *(f"{k / 500},800" for k in range(2000))])
    stored = recordings.receive(either, given.lesson_id, name="one.csv", data=one_plate.encode())
    assert said_from(stored.choices_json, hand="right").choices.feet is None


def test_columns_are_confirmed_once_and_remembered(either: Desk) -> None:
    given = on_plates(either, n_each=1)
    text = swing_table(usual_swing(), 250.0).decode().replace("lead Fz (N)", "strange")
    stored = recordings.receive(either, given.lesson_id, name="a.csv", data=text.encode())
    found = look(either, stored)
    assert found.reading is not None
    rows = [
        replace(rule, quantity="fz", plate=1, unit="N") if rule.header == "strange" else rule
        for rule in found.reading.mapping().columns
    ]
    mapping = ForceMapping(columns=tuple(rows))
    done = recordings.understand(either, stored.id, found.said, mapping=mapping)
    assert done.recording is not None
    again = recordings.receive(either, given.lesson_id, name="b.csv", data=(text + "\n").encode())
    assert again.id != stored.id
    assert again.mapping_json == mapping.to_json()


def test_a_file_that_is_no_recording_stays_and_says_what_to_do(either: Desk) -> None:
    given = on_plates(either, n_each=1)
    stored = recordings.receive(either, given.lesson_id, name="x.c3d", data=b"\x02\x50" + b"\0" * 9)
    found = look(either, stored)
    assert found.swing is None
    assert found.trouble
    assert either.book.raw_file(stored.raw_file_id)[1].startswith(b"\x02\x50")
    with pytest.raises(InputError, match="not understood"):
        recordings.set_strike(either, stored.id, 1.0)


def test_recordings_find_their_balls_by_order(either: Desk) -> None:
    given = on_plates(either, n_each=2)
    report = linking.link_by_order(either, given.lesson_id)
    assert (report.n_linked, report.left) == (4, ())
    linked = either.book.recordings(given.lesson_id)
    assert [one.shot_id for one in linked] == [shot.id for shot in given.shots]
    assert {one.linked_by for one in linked} == {"order"}
    either.book.add_shot(given.blocks[1].id, ball(43.0), at=NOON)
    linking.link_by_hand(either, linked[-1].id, None)
    report = linking.link_by_order(either, given.lesson_id)
    assert report.n_linked == 0
    assert report.left == (
        "Block 'with the push' has 1 recordings and 2 balls without one: link them by hand.",
    )


def test_recordings_find_their_balls_by_time_where_one_alone_is_near(either: Desk) -> None:
    book = either.book
    given = on_plates(either, n_each=1)
    assert linking.link_by_time(either, given.lesson_id).n_linked == 0, "all came at once"
    later = replace(either, clock=lambda: NOON + timedelta(minutes=5))
    shot = book.add_shot(given.blocks[1].id, ball(44.0), at=NOON + timedelta(minutes=5, seconds=4))
    stored = recordings.receive(later, given.lesson_id, name="late.c3d", data=swing_file(8))
    report = linking.link_by_time(later, given.lesson_id)
    assert report.n_linked == 1
    assert len(report.left) == 2
    assert book.recording(stored.id).shot_id == shot.id
    assert book.recording(stored.id).linked_by == "time"


def test_by_hand_a_ball_has_one_recording(either: Desk) -> None:
    given = on_plates(either, n_each=1)
    one, two = given.recordings
    linking.link_by_hand(either, one.id, given.shots[0].id)
    with pytest.raises(InputError):
        linking.link_by_hand(either, two.id, given.shots[0].id)


def test_two_blocks_are_averaged_and_compared(either: Desk) -> None:
    given = on_plates(either)
    view = ground_view(either, given.lesson_id, lambda one: look(either, one))
    assert [(one.label, len(one.founds)) for one in view.groups] == [
        ("before", 3),
        ("with the push", 3),
    ]
    numbers = {one.key: one for one in view.groups[0].numbers}
    assert numbers["weight"].n == 3
    assert numbers["weight"].low <= numbers["weight"].mean <= numbers["weight"].high
    found = view.comparison
    assert found is not None
    assert (found.before.label, found.after.label) == ("before", "with the push")
    assert {one.key for one in found.first} >= {"lead_peak_share", "pivoting_and_free"}
    assert all(not one.enough for one in found.changes)
    lead = found.curves["lead"][0]
    assert lead is not None
    assert lead.each.shape[0] == 3
    turned = ground_view(
        either,
        given.lesson_id,
        lambda one: look(either, one),
        before=given.blocks[1].id,
        after=given.blocks[0].id,
    ).comparison
    assert turned is not None
    assert turned.before.label == "with the push"


def test_what_is_left_out_counts_nowhere(either: Desk) -> None:
    given = on_plates(either, n_each=2)
    recordings.leave_out(either, given.recordings[0].id, " a slip ")
    view = ground_view(either, given.lesson_id, lambda one: look(either, one))
    assert len(view.groups[0].swings) == 1
    assert view.comparison is not None
    assert "1 and 2 swings" in view.comparison.trouble
    with pytest.raises(InputError, match="without a reason"):
        recordings.leave_out(either, given.recordings[1].id, "  ")


def test_push_and_speed_say_what_is_missing_and_then_answer(either: Desk) -> None:
    given = on_plates(either, n_each=7)
    founds = [look(either, one) for one in given.recordings]
    assert push_view(founds, given.shots).links is None
    linking.link_by_order(either, given.lesson_id)
    founds = [look(either, one) for one in either.book.recordings(given.lesson_id)]
    pairs = linked_pairs(founds, given.shots)
    assert [shot.place for _, shot in pairs] == list(range(1, 15))
    view = push_view(founds, given.shots)
    assert view.n_linked == 14
    either.book.leave_out(given.shots[0].id, reason="a bird")
    assert len(linked_pairs(founds, either.book.shots(given.lesson_id))) == 13


def test_the_model_estimate_needs_strike_and_speed(desk: Desk) -> None:
    given = on_plates(desk, n_each=1)
    found = look(desk, given.recordings[0])
    with pytest.raises(InputError, match="no ball with a club speed"):
        model_estimate(found, None, club_key="driver")
    estimate = model_estimate(found, given.shots[0], club_key="driver")
    assert estimate.worth.low_mps <= estimate.worth.gain_mps <= estimate.worth.high_mps
    assert "not measured" in estimate.said
    assert estimate.cautions
    assert np.isfinite(estimate.worth.gain_mps)
    assert given.shots[0].values["club_speed"] == Reading(value=42.0 / 0.44704, unit="mph")


def test_a_weight_is_confirmed_once_for_the_lesson(either: Desk) -> None:
    given = on_plates(either, n_each=0)
    first = recordings.receive(either, given.lesson_id, name="1.c3d", data=swing_file(1))
    swing = look(either, first).swing
    assert swing is not None
    assert swing.basis.rests_on == "file"
    assert "lead_peak_share" not in {one.key for one in numbers_of(swing)}
    assert recordings.confirm_weight(either, first.id) == pytest.approx(680.0, abs=1.0)
    later = recordings.receive(either, given.lesson_id, name="2.c3d", data=swing_file(2))
    for stored in either.book.recordings(given.lesson_id):
        confirmed = look(either, stored).swing
        assert confirmed is not None
        assert confirmed.basis.rests_on == "confirmed"
        assert "lead_peak_share" in {one.key for one in numbers_of(confirmed)}
    said = said_from(later.choices_json, hand="right")
    other = said.with_confirmed(1.05 * swing.weighing.weight_n)
    found = recordings.understand(either, later.id, other)
    assert found.swing is not None
    assert found.swing.basis.rests_on == "file"
    assert "other_weight" in {one.kind for one in found.swing.remarks}


def test_what_has_no_weight_is_not_confirmed(either: Desk) -> None:
    given = on_plates(either, n_each=0)
    stored = recordings.receive(either, given.lesson_id, name="x.csv", data=b"a,b\n1,2\n")
    with pytest.raises(InputError, match="has no weight yet"):
        recordings.confirm_weight(either, stored.id)
