"""Shots by HTTP: the token, the answer, the refusals as JSON, and the description for programs."""

import json
from typing import Any

import pytest
from starlette.testclient import TestClient

from leadfoot.desk import bays
from leadfoot.desk.desk import Desk
from leadfoot.quantities import glossary
from tests.web.lessons import Given, give_lesson

SHOT: dict[str, Any] = {"key": "a1", "values": {"carry": {"value": 215, "unit": "yd"}}}


@pytest.fixture
def given(desk: Desk) -> Given:
    return give_lesson(desk, n_before=3, n_with=3)


@pytest.fixture
def token(desk: Desk, given: Given) -> str:
    return bays.add_bay(desk, "bay-1", lesson_id=given.lesson.id).token


def send(client: TestClient, token: str, sent: object, name: str = "bay-1") -> Any:
    headers = {"Authorization": f"Bearer {token}"}
    return client.post(f"/bays/{name}/shots", json=sent, headers=headers)


def test_a_shot_is_taken_once(client: TestClient, desk: Desk, given: Given, token: str) -> None:
    first = send(client, token, SHOT)
    assert first.status_code == 201
    (shot,) = first.json()["shots"]
    kept = desk.book.shots(given.lesson.id)[-1]
    assert shot == {
        "key": "a1",
        "shot": kept.id,
        "lesson": given.lesson.id,
        "place": 7,
        "role": "with_change",
        "new": True,
    }
    assert (kept.source, kept.club) == ("live", "driver")
    again = send(client, token, [SHOT])
    assert again.status_code == 200
    assert again.json()["shots"] == [{**shot, "new": False}]
    assert len(desk.book.shots(given.lesson.id)) == 7


def test_a_list_is_taken_whole_or_not_at_all(
    client: TestClient, desk: Desk, given: Given, token: str
) -> None:
    bad = {"key": "a2", "values": {"carry": {"value": 215, "unit": "mph"}}}
    refused = send(client, token, [SHOT, bad])
    assert refused.status_code == 422
    assert refused.json() == {
        "error": {
            "what": "[1].values.carry.unit is 'mph'.",
            "fix": refused.json()["error"]["fix"],
        }
    }
    assert len(desk.book.shots(given.lesson.id)) == 6
    assert send(client, token, [SHOT, {**SHOT, "key": "a2"}]).status_code == 201
    assert len(desk.book.shots(given.lesson.id)) == 8


def test_who_has_not_the_token_is_not_admitted(
    client: TestClient, desk: Desk, given: Given, token: str
) -> None:
    other = bays.add_bay(desk, "bay-2", lesson_id=given.lesson.id).token
    tries = [
        send(client, "wrong", SHOT),
        send(client, other, SHOT),
        send(client, token, SHOT, name="bay-2"),
        send(client, token, SHOT, name="nowhere"),
        client.post("/bays/bay-1/shots", json=SHOT),
        client.post("/bays/bay-1/shots", json=SHOT, headers={"Authorization": f"Basic {token}"}),
        client.get("/bays/bay-1/shots"),
    ]
    bays.withdraw_bay(desk, "bay-1")
    tries.append(send(client, token, SHOT))
    for answer in tries:
        assert answer.status_code == 401
        assert answer.headers["www-authenticate"] == "Bearer"
        assert answer.json()["error"]["what"] == (
            "The bay is not known, or the token is not its own."
        )
    assert len(desk.book.shots(given.lesson.id)) == 6


def test_a_bay_without_a_lesson_is_told_so(client: TestClient, desk: Desk) -> None:
    token = bays.add_bay(desk, "bay-1").token
    answer = send(client, token, SHOT)
    assert answer.status_code == 409
    assert answer.json()["error"]["what"] == "Bay 'bay-1' hits for no lesson."


@pytest.mark.parametrize("body", [b"", b"{", b"\xff\xfe", b"[" * 100_000, b'{"key":'])
def test_a_body_that_is_no_json_is_refused(client: TestClient, token: str, body: bytes) -> None:
    headers = {"Authorization": f"Bearer {token}"}
    answer = client.post("/bays/bay-1/shots", content=body, headers=headers)
    assert answer.status_code == 422
    assert answer.json() == {
        "error": {
            "what": "The body is no JSON.",
            "fix": "Send one JSON object, or a list of at least one.",
        }
    }


def test_the_same_key_with_other_values_is_refused(client: TestClient, token: str) -> None:
    send(client, token, SHOT)
    other = {"key": "a1", "values": {"carry": {"value": 216, "unit": "yd"}}}
    answer = send(client, token, other)
    assert answer.status_code == 422
    assert answer.json()["error"]["what"] == (
        "The key 'a1' came before with other values (ball 7)."
    )


def test_another_site_and_another_name_are_refused_as_json(client: TestClient, token: str) -> None:
    headers = {"Authorization": f"Bearer {token}"}
    for more, status in (({"Origin": "http://evil.example"}, 403), ({"Host": "evil.example"}, 421)):
        answer = client.post("/bays/bay-1/shots", json=SHOT, headers={**headers, **more})
        assert answer.status_code == status
        assert set(answer.json()["error"]) == {"what", "fix"}


def test_a_program_may_ask_where_the_next_ball_falls(
    client: TestClient, given: Given, token: str
) -> None:
    answer = client.get("/bays/bay-1/shots", headers={"Authorization": f"Bearer {token}"})
    assert answer.json() == {"bay": "bay-1", "lesson": given.lesson.id, "running": "with_change"}


def test_the_description_for_programs(client: TestClient) -> None:
    found = client.get("/openapi.json").json()
    assert found["openapi"].startswith("3.1")
    assert set(found["paths"]) == {"/bays/{name}/shots"}
    post = found["paths"]["/bays/{name}/shots"]["post"]
    assert set(post["responses"]) >= {"200", "201", "401", "409", "413", "422", "503"}
    assert post["security"] == [{"token": []}]
    example = post["requestBody"]["content"]["application/json"]["example"]
    assert found["components"]["securitySchemes"]["token"]["scheme"] == "bearer"
    values = found["components"]["schemas"]["Shot"]["properties"]["values"]["properties"]
    assert values.keys() == glossary().keys()
    assert json.dumps(post["responses"]["422"]).count("#/") == 0
    assert set(example["values"]) <= values.keys()


def test_the_example_of_the_description_is_taken(
    client: TestClient, given: Given, token: str
) -> None:
    post = client.get("/openapi.json").json()["paths"]["/bays/{name}/shots"]["post"]
    example = post["requestBody"]["content"]["application/json"]["example"]
    assert send(client, token, example).status_code == 201


def test_the_answer_is_kept_when_the_desk_closes(desk: Desk, given: Given, token: str) -> None:
    from leadfoot.web.app import build_app
    from tests.web.conftest import PORT

    before = len(desk.book.judgements(given.lesson.id))
    with TestClient(build_app(desk, port=PORT), base_url=f"http://127.0.0.1:{PORT}") as client:
        assert send(client, token, SHOT).status_code == 201
    assert len(desk.book.judgements(given.lesson.id)) == before + 1
