"""The page of the coach's own drills: kept, refused with all that was typed, written anew."""

from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page
from starlette.testclient import TestClient

from leadfoot.coaching.safety import Situation
from leadfoot.desk.care import Care, held_back
from leadfoot.desk.demo import fill
from leadfoot.desk.desk import Desk
from leadfoot.desk.own_drills import own_drills, save_drill
from tests.desk.test_own_drills import ROPE
from tests.web.studio import Studio

TYPED: dict[str, Any] = {
    **ROPE,
    "name": "Hop <then> swing",
    "answers": ["speed_short"],
    "changes": ["club_speed", "tempo"],
    "cautions": "Warm up first.\nStop at any pain.",
    "things": "",
    "maximal": "yes",
}


def test_it_is_kept_and_stands_with_the_finding_and_in_homework(
    client: TestClient, desk: Desk
) -> None:
    fill(desk.book, today=desk.clock().date())
    answer = client.post("/drills", data=TYPED)
    assert (answer.status_code, answer.url.path) == (200, "/drills")
    assert "Hop &lt;then&gt; swing" in answer.text
    (own,) = own_drills(desk).values()
    assert own.cautions == ("Warm up first.", "Stop at any pain.")
    assert (own.maximal, own.things) == (True, ())
    assert held_back(own, Care(situation=Situation()))  # until today's questions are answered
    assert "Hop &lt;then&gt; swing" in client.get("/lessons/1/find?goal=100mph").text
    client.post("/drills", data={**TYPED, "name": "Step by step", "maximal": ""})
    found = client.get("/lessons/1/find?goal=100mph").text
    line = found.partition("Step by step")[2].partition("</summary>")[0]
    assert "cue" not in line
    assert "aid, your own" in line
    student = desk.book.lesson(1).student_id
    home = client.get(f"/students/{student}/homework").text
    assert '<option value="Hop &lt;then&gt; swing">your own</option>' in home


def test_a_maximal_effort_without_a_caution_is_refused_and_nothing_typed_is_lost(
    client: TestClient, desk: Desk
) -> None:
    answer = client.post("/drills", data={**TYPED, "cautions": " ", "things": "a stick\na tee"})
    assert answer.status_code == 422
    assert "asks for a maximal effort and has no cautions." in answer.text
    for kept in (
        'value="Hop &lt;then&gt; swing"',
        "Lay a rope along the target line.",
        "a stick\na tee",
        'value="speed_short" checked',
        'value="tempo" checked',
        'value="yes" checked',
    ):
        assert kept in answer.text
    assert own_drills(desk) == {}


def test_it_is_written_anew_and_taken_away(client: TestClient, desk: Desk) -> None:
    rope = save_drill(desk, ROPE)
    form = client.get("/drills", params={"key": rope.key}).text
    assert "Lay a rope along the target line." in form
    assert 'value="path_off" checked' in form
    anew = {**ROPE, "key": rope.key, "cautions": "", "things": "rope", "maximal": "", "feel": "x"}
    client.post("/drills", data=anew)
    (own,) = own_drills(desk).values()
    assert (own.key, own.feel, own.cautions) == (rope.key, "x", ())
    client.post("/drills/remove", data={"key": rope.key})
    assert own_drills(desk) == {}
    assert client.post("/drills/remove", data={"key": rope.key}).status_code == 422


def test_what_is_not_understood_is_shown(client: TestClient, desk: Desk) -> None:
    desk.book.save_own_drill("own_x", "[1]", at=desk.clock())
    assert "own_x is not shown anywhere. It is no table of fields." in client.get("/drills").text


@pytest.mark.browser
@pytest.mark.xdist_group("browser")
def test_a_coach_writes_one_by_hand(page: Page, studio: Studio) -> None:
    page.goto("/drills")
    page.get_by_label("Name").fill("A rope on the ground")
    page.get_by_label("Path far left or right").check()
    page.get_by_label("club path", exact=True).check()
    for label, text in (
        ("How to set it up", "Lay a rope along the target line."),
        ("What to attend to", "The club passing over the rope."),
        ("Easier", "Without a ball."),
        ("Harder", "With a driver."),
    ):
        page.get_by_label(label).fill(text)
    page.get_by_role("button", name="Keep it").click()
    page.get_by_text("A rope on the ground").first.wait_for()
    assert [one.name for one in own_drills(studio.desk).values()] == ["A rope on the ground"]
    page.evaluate("document.querySelectorAll('details').forEach(fold => { fold.open = true })")
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    page.set_viewport_size({"width": 390, "height": 844})
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
