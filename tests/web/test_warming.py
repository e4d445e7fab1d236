"""What the first pages need is ready before the desk opens."""

import subprocess
import sys

from fastapi.testclient import TestClient

from leadfoot.desk.desk import Desk
from leadfoot.web.app import build_app
from leadfoot.web.page import templates

_SETTLES = """
import gc
from leadfoot.web import app  # what a desk holds
from leadfoot.web.page import templates
from leadfoot.web.warming import settle
before = gc.get_freeze_count()
settle()
print(gc.get_freeze_count() - before > 100_000, len(templates().cache) > 40)
"""


def test_every_template_is_compiled_before_the_desk_opens(desk: Desk) -> None:
    environment = templates()
    assert environment.cache is not None
    environment.cache.clear()
    with TestClient(build_app(desk, port=80)):
        pass
    ready = {name for _, name in environment.cache}
    assert ready == set(environment.list_templates(extensions=["html"]))


def test_what_stays_is_not_gone_through_again() -> None:
    done = subprocess.run(
        [sys.executable, "-c", _SETTLES], capture_output=True, text=True, check=True
    )
    assert done.stdout.split() == ["True", "True"]
