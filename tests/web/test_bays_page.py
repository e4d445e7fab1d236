"""The page of the bays, and what is pressed on a lesson while balls are hit."""

import re

import pytest
from starlette.testclient import TestClient

from leadfoot.desk import bays
from leadfoot.desk.desk import Desk
from tests.web.lessons import Given, give_lesson


@pytest.fixture
def given(desk: Desk) -> Given:
    return give_lesson(desk, n_before=3, n_with=3)


def test_the_token_is_shown_once(client: TestClient, desk: Desk, given: Given) -> None:
    assert "No bay yet" in client.get("/bays").text
    added = client.post("/bays", data={"name": "bay-1", "lesson": str(given.lesson.id)})
    found = re.search(r'id="token">([^<]+)<', added.text)
    assert found
    assert bays.admitted(desk, "bay-1", found[1]) is not None
    assert bays.bay_named(desk, "bay-1").lesson_id == given.lesson.id
    assert found[1] not in client.get("/bays").text
    assert added.headers["cache-control"] == "no-store"


def test_a_name_in_use_is_refused_and_stands_as_typed(client: TestClient, desk: Desk) -> None:
    bays.add_bay(desk, "bay-1")
    answer = client.post("/bays", data={"name": "bay-1"})
    assert answer.status_code == 422
    assert "There is a bay &#39;bay-1&#39; already." in answer.text
    assert 'value="bay-1"' in answer.text


def test_a_bay_is_pointed_and_withdrawn(client: TestClient, desk: Desk, given: Given) -> None:
    bays.add_bay(desk, "bay-1")
    client.post("/bays/bay-1/point", data={"lesson": str(given.lesson.id)})
    assert bays.bay_named(desk, "bay-1").lesson_id == given.lesson.id
    assert "<strong>bay-1</strong>" in client.get(f"/lessons/{given.lesson.id}").text
    client.post("/bays/bay-1/point", data={"lesson": ""})
    assert bays.bay_named(desk, "bay-1").lesson_id is None
    assert "No bay hits for this lesson." in client.get(f"/lessons/{given.lesson.id}").text
    client.post("/bays/bay-1/withdraw")
    page = client.get("/bays").text
    assert "Withdrawn: bay-1." in page
    refused = client.post("/bays/bay-1/point", data={"lesson": str(given.lesson.id)})
    assert refused.status_code == 422
    assert "was withdrawn" in refused.text
    assert client.post("/bays/nowhere/withdraw").status_code == 422


def test_the_switch_says_where_the_next_ball_falls(
    client: TestClient, desk: Desk, given: Given
) -> None:
    address = f"/lessons/{given.lesson.id}"
    pressed = re.compile(r'value="(\w+)"[^>]*aria-pressed="true"')
    page = client.get(address).text
    assert pressed.findall(page.split('id="hitting"')[1]) == ["with_change"]
    page = client.post(f"{address}/switch", data={"role": "before"}).text
    assert pressed.findall(page.split('id="hitting"')[1]) == ["before"]
    assert desk.book.blocks(given.lesson.id)[-1].place == 3
    assert client.post(f"{address}/switch", data={"role": "x"}).status_code == 422


def test_undo_and_take_back(client: TestClient, desk: Desk, given: Given) -> None:
    address = f"/lessons/{given.lesson.id}"
    page = client.post(f"{address}/undo").text
    last = desk.book.shots(given.lesson.id)[-1]
    assert last.left_out_reason == "undone"
    assert f"/take-back/{last.id}" in page
    for _ in range(5):
        client.post(f"{address}/undo")
    refused = client.post(f"{address}/undo")
    assert refused.status_code == 422
    assert "There is no ball to undo." in refused.text


def test_a_ball_moves(client: TestClient, desk: Desk, given: Given) -> None:
    address = f"/lessons/{given.lesson.id}"
    shot = desk.book.shots(given.lesson.id)[0]
    cue = desk.book.blocks(given.lesson.id)[1]
    client.post(f"{address}/move", data={"shot": str(shot.id), "into": str(cue.id)})
    assert desk.book.shot(shot.id).block_id == cue.id
    for data, said in (
        ({"into": str(cue.id)}, "No ball was chosen."),
        ({"shot": str(shot.id)}, "No block was chosen."),
        ({"shot": "999", "into": str(cue.id)}, "No ball was chosen."),
    ):
        refused = client.post(f"{address}/move", data=data)
        assert refused.status_code == 422
        assert said in refused.text
