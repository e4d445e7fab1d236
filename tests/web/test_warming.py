"""What the first pages need is ready before the desk opens."""

from fastapi.testclient import TestClient

from leadfoot.desk.desk import Desk
from leadfoot.web.app import build_app
from leadfoot.web.page import templates


def test_every_template_is_compiled_before_the_desk_opens(desk: Desk) -> None:
    environment = templates()
    assert environment.cache is not None
    environment.cache.clear()
    with TestClient(build_app(desk, port=80)):
        pass
    ready = {name for _, name in environment.cache}
    assert ready == set(environment.list_templates(extensions=["html"]))
