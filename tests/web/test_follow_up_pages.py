"""Tests due, what lasted, the season, cautions said, and what works for whom, on the pages."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from functools import partial

import numpy as np
import pytest
from starlette.testclient import TestClient

from leadfoot.desk.desk import Desk
from leadfoot.desk.works import Works
from leadfoot.web.app import build_app
from leadfoot.web.jobs import Jobs
from leadfoot.web.works_job import KIND, WorksJob, reckon
from tests.desk.weeks import hit, lesson_with
from tests.web.conftest import PORT
from tests.web.lessons import give_lesson


@pytest.fixture
def later(desk: Desk) -> Iterator[TestClient]:
    """The same book, nine days on."""
    then = replace(desk, clock=lambda: desk.clock() + timedelta(days=9))
    with TestClient(build_app(then, port=PORT), base_url=f"http://127.0.0.1:{PORT}") as client:
        yield client


@pytest.fixture
def lesson_id(desk: Desk) -> int:
    student = give_lesson(desk).student
    return lesson_with(desk, student.id, change="press", gain_mph=6.0, seed=3).id


def test_tests_are_planned_due_hit_and_judged(
    client: TestClient, later: TestClient, desk: Desk, lesson_id: int
) -> None:
    assert "Tests due" not in client.get("/").text
    planned = client.post(f"/lessons/{lesson_id}/tests", data={"keys": ["week", "month"]})
    assert planned.text.count("Retention") == 2
    assert "Coming: retention" in client.get("/").text
    assert "Due: retention" in later.get("/").text
    begun = later.post("/tests/1/begin", follow_redirects=False).headers["location"]
    assert "Due:" not in later.get("/").text
    done = int(begun.removeprefix("/lessons/"))
    (block,) = desk.book.blocks(done)
    hit(desk, block.id, 98.0, 14, np.random.default_rng(5))
    text = later.get(f"/lessons/{lesson_id}/after").text
    assert "What is left of the gain" in text
    assert "Hit in this lesson" in text
    form = later.get(f"/lessons/{lesson_id}/lasted.json").json()
    assert form["schema"] == "leadfoot.lasted/1"
    assert form["quantities"][0]["n_tests"] == 1
    assert "Did it last" in later.get("/students/1").text
    assert later.post("/tests/2/drop").text.count("Called off.") == 1


def test_a_test_on_the_day_of_the_lesson_is_refused(client: TestClient, lesson_id: int) -> None:
    client.post(f"/lessons/{lesson_id}/tests", data={})
    answer = client.post("/tests/1/begin")
    assert answer.status_code == 422
    assert "says nothing of what lasts" in answer.text


def test_a_test_with_another_club_is_told_beside_it(
    client: TestClient, later: TestClient, desk: Desk, lesson_id: int
) -> None:
    client.post(f"/lessons/{lesson_id}/tests", data={"keys": ["elsewhere"]})
    assert "With another club" in later.get(f"/lessons/{lesson_id}/after").text
    begun = later.post("/tests/1/begin", data={"club": "7i"}, follow_redirects=False)
    (block,) = desk.book.blocks(int(begun.headers["location"].removeprefix("/lessons/")))
    hit(desk, block.id, 98.0, 14, np.random.default_rng(5), club="7i")
    text = later.get(f"/lessons/{lesson_id}/after").text
    assert "no baseline with this club from before the change" in text
    assert "Next time hit a block as usual with it" in text
    assert "It lasted" not in text


def test_a_test_at_another_place_is_told_beside_it(
    client: TestClient, later: TestClient, desk: Desk, lesson_id: int
) -> None:
    client.post(f"/lessons/{lesson_id}/tests", data={"keys": ["elsewhere"]})
    page = later.get(f"/lessons/{lesson_id}/after").text
    assert 'value="in the studio"' in page
    assert '<option value="on the course">' in page
    form = {"club": "", "place": "Hill <Farm>"}
    begun = later.post("/tests/1/begin", data=form, follow_redirects=False)
    done = int(begun.headers["location"].removeprefix("/lessons/"))
    assert desk.book.lesson(done).place == "Hill <Farm>"
    assert "at Hill &lt;Farm&gt;" in later.get(f"/lessons/{done}").text
    assert "at Hill &lt;Farm&gt;" in later.get("/students/1").text
    (block,) = desk.book.blocks(done)
    hit(desk, block.id, 98.0, 14, np.random.default_rng(5))
    text = later.get(f"/lessons/{lesson_id}/after").text
    assert "Cannot tell with the driver at Hill &lt;Farm&gt;: no balls hit there as usual" in text
    assert "Hit balls as usual there" in text
    assert later.get(f"/lessons/{lesson_id}/lasted.json").json()["elsewhere"][0]["place"] == (
        "Hill <Farm>"
    )


def test_the_place_of_a_lesson_is_written_down(
    client: TestClient, desk: Desk, lesson_id: int
) -> None:
    form = {
        "title": "t",
        "change": "press",
        "club": "driver",
        "notes": "",
        "place": "On the course",
    }
    client.post(f"/lessons/{lesson_id}", data=form)
    assert desk.book.lesson(lesson_id).place == "course"
    client.post(f"/lessons/{lesson_id}", data={**form, "place": ""})
    assert desk.book.lesson(lesson_id).place == "course"
    refused = client.post(f"/lessons/{lesson_id}", data={**form, "title": "x", "place": "y" * 61})
    assert refused.status_code == 422
    assert desk.book.lesson(lesson_id).title == "t"
    begun = client.post(
        "/students/1/lessons", data={"change": "", "place": "Hill Farm"}, follow_redirects=False
    )
    number = int(begun.headers["location"].removeprefix("/lessons/"))
    assert desk.book.lesson(number).place == "Hill Farm"


def test_cautions_are_recorded_with_the_lesson(
    client: TestClient, desk: Desk, lesson_id: int
) -> None:
    client.post(f"/lessons/{lesson_id}/cautions", data={"keys": ["stop_pain", "net", "made_up"]})
    assert [one.key for one in desk.book.cautions_given(lesson_id)] == ["stop_pain", "net"]
    assert client.get(f"/lessons/{lesson_id}/after").text.count("checked disabled") == 2


def test_the_season_can_be_taken_along(client: TestClient, lesson_id: int) -> None:
    assert "/season.png?here=true" in client.get("/students/1").text
    svg = client.get("/students/1/season.svg?quantity=club_speed")
    assert svg.headers["content-type"] == "image/svg+xml"
    assert b"Club speed" in svg.content
    assert client.get("/students/1/season.png").content.startswith(b"\x89PNG")
    rows = client.get("/students/1/season.csv?quantity=carry").text.splitlines()
    assert rows[0] == "day,what,carry (yd),low,high,balls,change,place"
    assert len(rows) == 5
    assert lesson_id > 1


def test_one_lesson_is_no_season(client: TestClient, desk: Desk) -> None:
    give_lesson(desk)
    answer = client.get("/students/1/season.svg")
    assert answer.status_code == 422
    assert "There is no season to draw yet." in answer.text


def test_what_works_for_whom(client: TestClient, desk: Desk, lesson_id: int) -> None:
    text = client.get("/works").text
    while "is being pooled" in text:
        text = client.get("/works").text
    assert "For club speed more: " in text
    assert "2 lessons with a change" in text
    form = client.get("/works.json").json()
    assert {line["cue"] for line in form["quantities"][0]["lines"]} == {
        "press",
        "soft block under the lead foot",
    }
    client.post(
        "/works/merge", data={"spelling": "press", "means": "soft block under the lead foot"}
    )
    assert desk.book.cue_names() == {"press": "soft block under the lead foot"}
    assert len(client.get("/works.json").json()["quantities"][0]["lines"]) == 1
    assert client.post("/works/merge", data={}).status_code == 422
    assert lesson_id


def test_an_empty_book_teaches_what_will_stand_here(client: TestClient) -> None:
    assert "your cues will stand here" in client.get("/works").text


def test_a_slow_reckoning_tells_how_far_it_is(desk: Desk, lesson_id: int) -> None:
    jobs = Jobs(desk, {KIND: partial(reckon, desk)})
    job = WorksJob(desk, jobs)
    first = job.ask(0.0)
    assert isinstance(first, Works) or len(first) == 2
    found = job.ask(60.0)
    assert isinstance(found, Works)
    assert job.ask(0.0) is found
    desk.book.change_lesson(lesson_id, title="t", change="other", club="driver", notes="")
    again = job.ask(60.0)
    assert isinstance(again, Works)
    assert again is not found
