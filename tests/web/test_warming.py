"""What the first pages need is ready soon after the desk has begun."""

from fastapi.testclient import TestClient

from leadfoot.desk.desk import Desk
from leadfoot.web.app import build_app
from leadfoot.web.page import templates


def test_every_template_is_compiled_beside_the_first_pages(desk: Desk) -> None:
    environment = templates()
    assert environment.cache is not None
    environment.cache.clear()
    with TestClient(build_app(desk, port=80), base_url="http://127.0.0.1") as client:
        assert client.get("/").status_code == 200
    ready = {name for _, name in environment.cache}
    assert ready == set(environment.list_templates(extensions=["html"]))
