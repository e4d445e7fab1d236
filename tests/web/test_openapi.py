"""Every address of the program under inputs that schemathesis draws: no answer is 500 or more.

First what is published for programs (``/openapi.json``), with a bay's token; then every address
that there is, pages and forms alike, as an owner who has signed in.
"""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from fastapi.openapi.utils import get_openapi
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from schemathesis.core import NotSet
from schemathesis.core.result import Ok
from starlette.testclient import TestClient

from tests.web.door import Locked, Served

FEW = settings(
    max_examples=5,
    deadline=None,
    derandomize=True,
    database=None,
    phases=[Phase.generate],
    suppress_health_check=list(HealthCheck),
)
"""Few examples of each, the same every time: the whole takes less than a minute."""
TAKES_AWAY = {
    "/students/{student_id}/erase",
    "/students/{student_id}/merge",
    "/sign-out",
    "/sign-in",
    "/access/accounts/{account_id}/remove",
    "/access/accounts/{account_id}/role",
    "/access/accounts/{account_id}/password",
    "/access/accounts/{account_id}/sign-out",
    "/screen/{secret}",
}
"""Forms that would take away what the others are tried on; each has tests of its own."""
SOURCE = Path(__file__).parents[2] / "src" / "leadfoot" / "web"
FIELDS = sorted(
    {
        name
        for file in SOURCE.rglob("*.html")
        for name in re.findall(r'name="([\w.-]+)"', file.read_text(encoding="utf-8"))
    }
)
"""Names of the fields of all forms."""
TEXTS = st.sampled_from(
    [
        "",
        "1",
        "2",
        "-1",
        "0",
        "yes",
        "before",
        "with_change",
        "driver",
        "2026-03-01",
        "1e308",
        "nan",
    ]
) | st.text(max_size=12)


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    locked = Locked(tmp_path_factory.mktemp("open") / "lessons.book")
    with locked.served() as served:
        yield served
    locked.book.close()


def operations(document: dict[str, Any]) -> list[Any]:
    schema = schemathesis.openapi.from_dict(document)
    return [result.ok() for result in schema.get_all_operations() if isinstance(result, Ok)]


def test_what_is_published_for_programs_never_fails(served: Served) -> None:
    document = served.signed_in("Olga Owner").get("/openapi.json").json()
    found = operations(document)
    assert {one.label for one in found} == {"POST /bays/{name}/shots", "GET /bays/{name}/shots"}
    tokens = st.sampled_from([served.locked.bay.token, served.locked.bay.token, "wrong"])
    seen: set[int] = set()
    for operation in found:
        responses = document["paths"]["/bays/{name}/shots"][operation.method]["responses"]
        _send(served, operation, tokens, set(responses), seen)
    assert {200, 401, 422} <= seen


def test_no_address_at_all_fails(served: Served) -> None:
    owner, locked = served.signed_in("Olga Owner"), served.locked
    key = owner.key("/")
    places = served.client.app.state.places  # type: ignore[attr-defined]
    routes = [route for route in places._routes if getattr(route, "methods", None)]
    found = operations(get_openapi(title="All", version="0", routes=routes))
    assert len(found) > 110
    gaps = {
        "student_id": locked.student.id,
        "lesson_id": locked.lesson.id,
        "homework_id": locked.homework.id,
        "name": "bay-1",
    }
    failed: list[str] = []
    for operation in found:
        if operation.path not in TAKES_AWAY or operation.method == "get":
            _ask(owner.client, operation, key, gaps, failed)
    assert not failed, "\n".join(failed)
    assert owner.get("/").status_code == 200


def _send(served: Served, operation: Any, tokens: Any, declared: set[str], seen: set[int]) -> None:
    @settings(FEW, max_examples=60)
    @given(case=operation.as_strategy(), token=tokens)
    def send(case: Any, token: str) -> None:
        answer = served.client.request(
            case.method,
            "/bays/bay-1/shots",
            headers={"authorization": f"Bearer {token}"},
            json=None if isinstance(case.body, NotSet) else case.body,
        )
        assert str(answer.status_code) in declared, answer.text
        assert answer.headers["content-type"] == "application/json"
        seen.add(answer.status_code)

    send()


def _ask(
    client: TestClient, operation: Any, key: str, gaps: dict[str, Any], failed: list[str]
) -> None:
    forms = st.dictionaries(st.sampled_from(FIELDS), TEXTS, max_size=8)

    @FEW
    @given(case=operation.as_strategy(), form=forms, own=st.sampled_from([True, True, False]))
    def ask(case: Any, form: dict[str, str], own: bool) -> None:
        where = case.formatted_path
        if own:
            there = dict.fromkeys(re.findall(r"{(\w+)}", operation.path), 1)
            named = {"figure": "pattern", "kind": "svg", "outcome": "carry", "curve": "force"}
            where = operation.path.format(**{**there, **named, **gaps})
        query = dict(case.query or {})
        data = {**form, "form_key": key} if case.method == "POST" else None
        answer = client.request(case.method, where, params=query, data=data)
        if answer.status_code >= 500:
            failed.append(f"{case.method} {where} {query} {form}: {answer.status_code}")

    ask()
