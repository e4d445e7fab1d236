"""What is let in: hosts, origins, sizes; and the headers that protect every page."""

from collections.abc import Iterator

import pytest
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from leadfoot.desk.desk import Desk
from leadfoot.web.guard import LIMIT_BYTES
from tests.web.conftest import PORT
from tests.web.door import KEY

OWN = f"http://127.0.0.1:{PORT}"


def test_every_page_has_the_protecting_headers(client: TestClient) -> None:
    for path in ("/", "/static/book.css", "/nowhere"):
        headers = client.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "script-src 'self'" in policy
        assert "style-src 'self'" in policy
        assert "unsafe" not in policy
        assert "frame-ancestors 'none'" in policy
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "same-origin"
        assert headers["cross-origin-opener-policy"] == "same-origin"
        assert headers["cross-origin-resource-policy"] == "same-origin"
        assert headers["permissions-policy"] == "camera=(), microphone=(), geolocation=()"
        assert "base-uri 'none'" in policy
        assert "form-action 'self'" in policy


def test_no_page_has_a_script_or_a_style_inside(client: TestClient) -> None:
    text = client.get("/").text
    assert "<style" not in text
    assert " onclick" not in text
    for piece in text.split("<script")[1:]:
        assert "src=" in piece.partition(">")[0] or 'type="application/json"' in piece


@pytest.mark.parametrize("host", ["evil.example", f"evil.example:{PORT}", "127.0.0.1:1", ""])
def test_another_name_is_refused(client: TestClient, host: str) -> None:
    page = client.get("/", headers={"host": host})
    assert page.status_code == 421
    assert "does not answer under the name" in page.text


@pytest.mark.parametrize("host", [f"localhost:{PORT}", f"LOCALHOST:{PORT}", f"[::1]:{PORT}"])
def test_names_of_this_machine_are_let_in(client: TestClient, host: str) -> None:
    assert client.get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "https://evil.example"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:1"},
        {"origin": f"https://127.0.0.1:{PORT}"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_another_site_can_write_nothing(
    client: TestClient, desk: Desk, headers: dict[str, str]
) -> None:
    page = client.post("/students", data={"name": "Mallory"}, headers=headers)
    assert page.status_code == 403
    assert "This request came from another site." in page.text
    assert desk.book.students() == ()


@pytest.mark.parametrize("headers", [{}, {"origin": OWN}, {"sec-fetch-site": "same-origin"}])
def test_own_pages_and_scripts_of_this_machine_can_write(
    client: TestClient, desk: Desk, headers: dict[str, str]
) -> None:
    key = KEY.search(client.get("/").text)
    assert key is not None
    data = {"name": "Own", **({"form_key": key[1]} if headers else {})}
    client.post("/students", data=data, headers=headers)
    assert [student.name for student in desk.book.students()] == ["Own"]


@pytest.mark.parametrize("headers", [{"origin": OWN}, {"sec-fetch-site": "same-origin"}])
def test_a_browser_on_this_machine_shows_the_key_of_its_page(
    client: TestClient, desk: Desk, headers: dict[str, str]
) -> None:
    client.get("/")
    for key in ("", "0" * 64):
        page = client.post("/students", data={"name": "Own", "form_key": key}, headers=headers)
        assert page.status_code == 403
        assert "This page is older than your sign-in" in page.text
    assert desk.book.students() == ()


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"origin": "https://evil.example"},
        {"origin": "null"},
        {"origin": OWN, "host": "evil.example"},
    ],
)
def test_another_site_hears_nothing(client: TestClient, headers: dict[str, str]) -> None:
    with (
        pytest.raises(WebSocketDisconnect) as refused,
        client.websocket_connect(f"ws://127.0.0.1:{PORT}/live", headers=headers),
    ):
        pass
    assert refused.value.code == 1008


def test_a_stream_without_a_length_is_limited_too(client: TestClient, desk: Desk) -> None:
    def pieces() -> Iterator[bytes]:
        yield b'--b\r\nContent-Disposition: form-data; name="name"\r\n\r\n'
        for _ in range(LIMIT_BYTES // 2**20 + 1):
            yield b"x" * 2**20

    page = client.post(
        "/students", content=pieces(), headers={"content-type": "multipart/form-data; boundary=b"}
    )
    assert page.status_code == 413
    assert desk.book.students() == ()


def test_a_form_with_too_many_fields_is_refused(client: TestClient) -> None:
    page = client.post("/students", data={f"field-{n}": "x" for n in range(5000)}, files={"f": b""})
    assert page.status_code == 400
    assert "This form could not be read." in page.text


def test_a_secret_look_changes_nothing(client: TestClient) -> None:
    client.cookies.set("look", "<b>")
    assert 'data-look="auto"' in client.get("/").text
