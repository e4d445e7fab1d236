"""The demo studio: invented and said so, the same every time, and judged as its truth says."""

import csv
import dataclasses
import io
from collections import Counter
from datetime import UTC, date, datetime, timedelta, timezone
from functools import cache
from typing import Literal

import numpy as np
import pytest

from leadfoot.desk.answer import Answer
from leadfoot.desk.demo import DEMO_TRUTH, DemoReport, DemoTruth, fill, lesson_blocks
from leadfoot.desk.demo_studio.balls import HEAD_INERTIA_KGM2, hit_balls
from leadfoot.desk.demo_studio.plan import Effect, Player, levels, studio
from leadfoot.desk.desk import Desk
from leadfoot.desk.ground_view import ground_view
from leadfoot.desk.lesson import judge_lesson
from leadfoot.desk.recordings import look
from leadfoot.quantities import quantity
from leadfoot.shots.club import club_class, club_name
from leadfoot.shots.read import read_table
from tests.desk.fake_book import FakeBook

TODAY = date(2026, 5, 4)
LONG_REAL = {"longer"}


@cache
def filled(seed: int = 7) -> FakeBook:
    book = FakeBook()
    fill(book, seed=seed, today=TODAY)
    return book


def no_printer(
    answer: Answer,
    *,
    student: str | None,
    held_on: date | None,
    change: str | None,
    invented: bool,
    paper: Literal["a4", "us-letter"],
) -> bytes:
    raise AssertionError((answer, student, held_on, change, invented, paper))


@cache
def judged(seed: int) -> tuple[tuple[DemoTruth, Answer], ...]:
    """Every lesson of the demo studio with its truth and its answer."""
    desk = Desk(
        book=filled(seed),
        clock=lambda: datetime(2026, 5, 4, 12, tzinfo=UTC),
        printer=no_printer,
        version="0",
    )
    pairs = []
    for truth, number in zip(DEMO_TRUTH, filled(seed).all_lessons, strict=True):
        answer = judge_lesson(desk, number)
        assert answer is not None, truth
        pairs.append((truth, answer))
    return tuple(pairs)


def test_the_studio_is_invented_and_varied() -> None:
    students = filled().students()
    assert 6 <= len(students) <= 8
    assert all(student.invented for student in students)
    assert {student.hand for student in students} == {"left", "right"}
    assert all(student.goals and student.cautions for student in students)
    lessons = filled().lessons()
    assert min(Counter(lesson.student_id for lesson in lessons).values()) >= 5
    assert max(lesson.held_on for lesson in lessons) == TODAY
    first = min(lesson.held_on for lesson in lessons)
    assert timedelta(days=120) <= TODAY - first <= timedelta(days=160)
    assert {lesson.club for lesson in lessons} == set(HEAD_INERTIA_KGM2)
    assert all(lesson.change and lesson.title for lesson in lessons)


def test_clubs_are_named_as_the_program_names_them() -> None:
    for name in HEAD_INERTIA_KGM2:
        assert club_name(name) == name
        assert club_class(name) is not None


def test_the_report_counts_what_was_written() -> None:
    book = FakeBook()
    report = fill(book, today=TODAY)
    assert report == DemoReport(
        n_students=len(book.all_students),
        n_lessons=len(book.all_lessons),
        n_shots=len(book.all_shots),
    )
    assert report.n_lessons == len(DEMO_TRUTH)


def test_the_same_seed_gives_the_same_studio() -> None:
    again = FakeBook()
    fill(again, today=TODAY)
    assert again == filled()
    assert filled(8).all_shots != filled().all_shots


def test_one_lesson_goes_on_today() -> None:
    today = [lesson for lesson in filled().lessons() if lesson.held_on == TODAY]
    shots = filled().shots(today[0].id)
    assert {shot.source for shot in shots} == {"typed"}
    assert [shot.place for shot in shots] == list(range(1, len(shots) + 1))
    times = [shot.hit_at for shot in shots]
    assert times == sorted(times)
    assert len(set(times)) == len(times)


def test_times_are_in_the_zone_of_the_studio() -> None:
    book = FakeBook()
    zone = timezone(timedelta(hours=9))
    fill(book, today=TODAY, zone=zone)
    assert {shot.hit_at.tzinfo for shot in book.all_shots.values()} == {zone}
    assert {shot.hit_at.hour for shot in book.all_shots.values()} == {8}


def test_blocks_run_as_planned() -> None:
    for lesson in filled().lessons():
        blocks = filled().blocks(lesson.id)
        roles = [block.role for block in blocks]
        assert roles[:3] == ["other", "before", "with_change"]
        assert all(role == roles[1 + place % 2] for place, role in enumerate(roles[1:]))
        counts = Counter(shot.block_id for shot in filled().shots(lesson.id))
        assert all(5 <= counts[block.id] <= 15 for block in blocks)


def test_some_shots_are_left_out_with_a_reason() -> None:
    reasons = Counter(
        shot.left_out_reason for shot in filled().all_shots.values() if shot.left_out_reason
    )
    assert 8 <= reasons.total() <= 20
    assert set(reasons) == {"the instrument misread it", "something disturbed the swing"}


@pytest.mark.parametrize("seed", [1, 7])
def test_every_value_is_one_a_real_swing_can_give(seed: int) -> None:
    for shot in filled(seed).all_shots.values():
        assert shot.club is not None
        kind = club_class(shot.club)
        for key, reading in shot.values.items():
            low, high = quantity(key).plausible_si(kind)
            assert low <= reading.si <= high, (shot.club, key, reading)


def test_every_file_says_that_it_is_invented_and_reads_back_as_it_was_written() -> None:
    recorded = {one.raw_file_id for one in filled().all_recordings.values()}
    files = [one for key, one in filled().all_files.items() if key not in recorded]
    assert len(files) >= 30
    for raw_file, data in files:
        lines = data.decode("utf-8").splitlines()
        assert "invented" in lines[0].lower()
        student = filled().student(filled().lesson(raw_file.lesson_id).student_id)
        table = read_table(data, name=raw_file.name, hand=student.hand).shots
        stored = filled().shots(raw_file.lesson_id)
        assert [shot.row for shot in table] == [shot.row for shot in stored]
        assert [shot.club for shot in table] == [shot.club for shot in stored]
        labels = {block.id: block.label for block in filled().blocks(raw_file.lesson_id)}
        assert [shot.block for shot in table] == [labels[shot.block_id] for shot in stored]
        for read, kept in zip(table, stored, strict=True):
            assert {key: (one.value, one.unit) for key, one in read.values.items()} == {
                key: (one.value, one.unit) for key, one in kept.values.items()
            }


def test_one_lesson_was_hit_on_plates_and_says_that_it_is_invented() -> None:
    book = filled()
    recordings = list(book.all_recordings.values())
    assert len(recordings) == 16
    assert len({one.lesson_id for one in recordings}) == 1
    desk = Desk(
        book=book,
        clock=lambda: datetime(2026, 5, 4, 12, tzinfo=UTC),
        printer=no_printer,
        version="0",
    )
    for one in recordings:
        _, data = book.raw_file(one.raw_file_id)
        assert b"Invented" in data[:80]
        found = look(desk, one)
        assert found.trouble == ""
        assert found.impact is not None
        assert (one.linked_by, found.impact.source) == ("order", "launch monitor")
        assert found.swing is not None
        assert {remark.weight for remark in found.swing.remarks} == {"note"}
    view = ground_view(desk, recordings[0].lesson_id, lambda one: look(desk, one))
    assert view.comparison is not None
    peak = next(one for one in view.comparison.changes if one.key == "lead_peak_share")
    assert peak.low > 0.0, "the push with the change was made larger"


def test_a_student_jumps_and_was_asked_each_time() -> None:
    book = filled()
    jumps = list(book.all_jumps.values())
    assert len(jumps) == 15
    assert len({one.student_id for one in jumps}) == 1
    days = {one.done_on for one in jumps}
    assert days == {one.on_day for one in book.all_screenings.values()}


def test_a_row_of_a_file_is_the_row_that_a_spreadsheet_shows() -> None:
    raw_file, data = next(iter(filled().all_files.values()))
    table = list(csv.reader(io.StringIO(data.decode("utf-8"))))
    for shot in filled().shots(raw_file.lesson_id):
        assert shot.row is not None
        cells = dict(zip(table[1], table[shot.row - 1], strict=True))
        assert float(cells["carry [yd]"]) == shot.values["carry"].value


@pytest.mark.parametrize("seed", [1, 7])
def test_judging_finds_the_big_real_gains(seed: int) -> None:
    real = [answer for truth, answer in judged(seed) if truth.truth in LONG_REAL]
    found = [answer for answer in real if answer.longer.verdict == "yes"]
    assert len(real) >= 8
    assert len(found) >= 0.8 * len(real)
    assert not [answer for answer in real if answer.decision == "drop"]


@pytest.mark.parametrize("seed", [1, 7])
def test_judging_keeps_few_of_the_lucky_ones(seed: int) -> None:
    lucky = [answer for truth, answer in judged(seed) if truth.truth == "nothing"]
    assert len(lucky) >= 15
    assert sum(answer.decision == "keep" for answer in lucky) <= 2


@pytest.mark.parametrize("seed", [1, 7])
def test_judging_keeps_nothing_that_hurts(seed: int) -> None:
    hurts = [answer for truth, answer in judged(seed) if truth.truth == "hurts"]
    assert [answer.decision for answer in hurts] == ["drop", "drop"]


def test_by_averages_alone_luck_would_often_pass() -> None:
    # Why the demo is worth a look: of the changes that do nothing, a comparison of averages
    # praises a good part.
    lucky = [answer for truth, answer in judged(7) if truth.truth == "nothing"]
    praised = [
        answer
        for answer in lucky
        if answer.headline is not None and answer.headline.after > answer.headline.before
    ]
    assert len(praised) >= 0.3 * len(lucky)


def balls_of(player: Player, effect: Effect, n: int) -> tuple[float, float, float, float]:
    """Average club speed and face, spread of the face, and share of mishits, over many balls."""
    swing = effect.on(player.swing, player.spread)
    balls = hit_balls(
        [swing] * n,
        club_name=player.club,
        hand=player.hand,
        already_hit=10_000,
        rng=np.random.default_rng(5),
    )
    faces = np.degrees([ball.delivery.face_angle_rad for ball in balls])
    return (
        float(np.mean([ball.delivery.club_speed_mps for ball in balls])) / 0.44704,
        float(faces.mean()),
        float(faces.std()),
        float(np.mean([ball.mishit for ball in balls])),
    )


def test_a_change_does_what_its_truth_says() -> None:
    player = studio()[0]
    plain = balls_of(player, Effect(), 3_000)
    changed = balls_of(
        player, Effect(speed_mph=4.0, face_deg=-2.0, face_spread=0.5, mishits=0.2), 3_000
    )
    assert changed[0] - plain[0] == pytest.approx(4.0, abs=0.15)
    assert changed[1] - plain[1] == pytest.approx(-2.0, abs=0.15)
    assert changed[2] < 0.7 * plain[2]
    assert changed[3] - plain[3] == pytest.approx(0.2, abs=0.03)


def test_a_left_hander_is_the_mirror_image() -> None:
    player = studio()[0]
    swings = [(player.swing, dataclasses.replace(player.spread, mishits=0.0))] * 20
    here, there = (
        hit_balls(
            swings,
            club_name=player.club,
            hand=hand,
            already_hit=0,
            rng=np.random.default_rng(3),
        )
        for hand in ("right", "left")
    )
    for right, left in zip(here, there, strict=True):
        assert left.launch.launch_direction_rad == pytest.approx(-right.launch.launch_direction_rad)
        assert left.launch.spin_axis_rad == pytest.approx(-right.launch.spin_axis_rad)
        assert left.launch.ball_speed_mps == pytest.approx(right.launch.ball_speed_mps)


def test_what_was_kept_stays_in_the_swing() -> None:
    player = studio()[0]
    effects = [(lesson.effect.speed_mph, lesson.kept) for lesson in player.lessons[:4]]
    gained = sum(speed * kept for speed, kept in effects)
    assert player.swing_at(4)[0].speed_mph == pytest.approx(player.swing.speed_mph + gained)
    assert player.swing_at(0) == (player.swing, player.spread)


def test_the_first_balls_of_a_day_are_colder() -> None:
    player = studio()[0]
    quiet = dataclasses.replace(levels()["skilled"], speed_share=0.0, mishits=0.0)
    balls = hit_balls(
        [(player.swing, quiet)] * 20,
        club_name=player.club,
        hand=player.hand,
        already_hit=0,
        rng=np.random.default_rng(3),
    )
    speeds = [ball.delivery.club_speed_mps for ball in balls]
    assert speeds == sorted(speeds)
    assert speeds[0] == pytest.approx(0.97 * speeds[-1], rel=0.002)


def test_a_lesson_has_a_warm_up_before_its_blocks() -> None:
    player = studio()[0]
    blocks = lesson_blocks(player, 0, rng=np.random.default_rng(1))
    assert [(role, len(run)) for role, run in blocks] == [
        ("other", 5),
        ("before", 10),
        ("with_change", 10),
    ]
