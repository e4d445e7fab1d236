"""The student's bench: what it is asked, what it answers, and what it does without scripts."""

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest
from starlette.testclient import TestClient

from leadfoot.coaching.try_it import Trial, tried
from leadfoot.desk import lesson as deeds
from leadfoot.desk.demo import fill
from leadfoot.desk.desk import Desk
from leadfoot.desk.records import Lesson
from leadfoot.desk.try_it import TryStudent, levers_sentence, middle_flight, try_student
from leadfoot.units import si_from
from leadfoot.web.try_query import TryTrouble, given_of_lever, query_of_given, read_try
from leadfoot.web.try_view import lever_rows, try_view
from tests.web.lessons import give_lesson, new_shot


@pytest.fixture
def lesson(desk: Desk) -> Lesson:
    fill(desk.book, today=desk.clock().date())
    return next(
        one
        for one in desk.book.lessons()
        if {block.role for block in desk.book.blocks(one.id)} >= {"before", "with_change"}
    )


@pytest.fixture
def student(desk: Desk, lesson: Lesson) -> TryStudent:
    return try_student(desk, lesson.id)


def view_of(student: TryStudent, query: Mapping[str, str]) -> Mapping[str, Any]:
    found = try_view(student, read_try(student, query))
    assert not isinstance(found, TryTrouble)
    return found


def test_what_is_asked_is_what_is_tried(student: TryStudent) -> None:
    asked = read_try(student, {"face_angle": "1,5", "spread.face_angle": "0.5", "fairway": "40"})
    assert not asked.troubles
    there = student.middle("face_angle_rad") + asked.trial.moved["face_angle_rad"]
    assert there == pytest.approx(si_from(1.5, "deg"))
    wide = student.spread("face_angle_rad") * asked.trial.spread["face_angle_rad"]
    assert wide == pytest.approx(si_from(0.5, "deg"))
    assert asked.fairway_m == pytest.approx(si_from(40.0, "yd"))


def test_the_numbers_are_those_of_the_trial(student: TryStudent) -> None:
    found = view_of(student, {"spread.face_angle": "0"})
    there = tried(student.swinger, Trial(spread={"face_angle_rad": 0.0}))
    rows = {row["key"]: row for row in found["numbers"]}
    assert rows["miss"]["now_text"] == f"{there.miss_m / 0.9144:.1f}"
    assert rows["fairway"]["now_text"] == f"{100 * there.in_fairway:.0f}"
    assert len(found["patterns"]["with_change"]["balls"]) == 200


def test_today_changes_nothing(student: TryStudent) -> None:
    found = view_of(student, {})
    assert found["changed"] is False
    patterns = found["patterns"]
    assert patterns["before"] == patterns["with_change"]
    assert found["sentence"].startswith("As it is: an average miss of")


@pytest.mark.parametrize(
    ("query", "key", "what"),
    [
        ({"face_angle": "wide"}, "face_angle", "Face angle: 'wide' is no number."),
        ({"face_angle": "nan"}, "face_angle", "Face angle: 'nan' is no number."),
        ({"face_angle": "99"}, "face_angle", "Face angle: 99 can't be tried."),
        ({"spread.face_angle": "-1"}, "spread.face_angle", "Spread of face angle: -1 can't be"),
        ({"fairway": "0"}, "fairway", "The fairway: 0 can't be tried."),
    ],
)
def test_what_cannot_be_tried_is_said_beside_its_number(
    client: TestClient, lesson: Lesson, query: dict[str, str], key: str, what: str
) -> None:
    answer = client.get(f"/lessons/{lesson.id}/try/numbers", params=query)
    assert answer.status_code == 422
    assert answer.json()["key"] == key
    assert answer.json()["what"].startswith(what)
    page = client.get(f"/lessons/{lesson.id}/try", params=query)
    assert page.status_code == 422
    assert next(iter(query.values())) in page.text


def test_without_scripts_the_form_gives_the_numbers(client: TestClient, lesson: Lesson) -> None:
    page = client.get(f"/lessons/{lesson.id}/try", params={"spread.face_angle": "0.5"})
    assert page.status_code == 200
    assert "Tried: an average miss of" in page.text
    assert "chance of the fairway" in page.text
    assert re.search(r'name="spread.face_angle" value="0.5"', page.text)
    assert f'href="/lessons/{lesson.id}/try"' in client.get(f"/lessons/{lesson.id}").text


def test_a_lever_tried_gives_the_miss_that_it_promises(student: TryStudent) -> None:
    lever = student.levers.levers[0]
    asked = read_try(student, {k: str(v) for k, v in given_of_lever(student, lever).items()})
    there = tried(student.swinger, asked.trial)
    assert there.miss_m == pytest.approx(lever.miss_m, rel=0.02)  # the fields round
    row = lever_rows(student)[0]
    assert row["query"] == query_of_given(row["given"], student.model_club)


def test_the_middle_swing_is_flown_and_an_impossible_one_is_not(student: TryStudent) -> None:
    assert middle_flight(student, Trial()) is not None
    assert middle_flight(student, Trial(moved={"club_speed_mps": 500.0})) is None


def test_before_there_is_a_change_all_balls_are_today(desk: Desk) -> None:
    given = give_lesson(desk, n_with=0, n_before=14)
    found = try_student(desk, given.lesson.id)
    assert not found.compared
    assert found.n_balls == 14
    assert found.known["dynamic_loft_rad"] == "modelled"


def test_a_lesson_without_balls_says_what_to_do(client: TestClient, desk: Desk) -> None:
    given = give_lesson(desk, n_before=0, n_with=0)
    page = client.get(f"/lessons/{given.lesson.id}/try")
    assert page.status_code == 200
    assert "There is no ball to try with." in page.text
    assert client.get(f"/lessons/{given.lesson.id}/try/numbers").status_code == 422


def test_a_club_that_no_generic_one_stands_for_can_be_chosen(
    client: TestClient, desk: Desk
) -> None:
    given = give_lesson(desk, n_before=0, n_with=0)
    block = deeds.add_block(desk, given.lesson.id, label="before", role="before")
    for n in range(12):
        shot = new_shot({"club_speed": 90.0 + n % 4, "carry": 190.0 + n})
        desk.book.add_shot(block.id, replace(shot, club="the long one"), at=desk.clock())
    page = client.get(f"/lessons/{given.lesson.id}/try")
    assert "No generic club stands for &#39;the long one&#39;." in page.text
    chosen = client.get(f"/lessons/{given.lesson.id}/try?club=driver")
    assert "only the ball or the club speed" in chosen.text


def test_levers_that_help_nothing_say_so(student: TryStudent) -> None:
    none = replace(student.levers, halved_by=(), all_m=student.levers.today_m)
    assert levers_sentence(none, "yd").startswith("Nothing shown so far makes the average miss")
    assert student.known["club_speed_mps"] == "measured"
