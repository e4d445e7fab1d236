"""The ground page in a real browser: a file dropped, the strike dragged, a ball linked, blocks."""

import base64
import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import FilePayload, Page, expect

from leadfoot.desk import jumps
from leadfoot.ground.screening import QUESTIONS
from tests.desk.plates import OnPlates, jump_file, on_plates, swing_file
from tests.web.studio import Studio, Watch

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]

SIZES = {"laptop": (1280, 800), "tablet": (768, 1024), "phone": (390, 844)}


@pytest.fixture(scope="module")
def given(studio: Studio) -> OnPlates:
    return on_plates(studio.desk, n_each=2)


@pytest.fixture
def ground(page: Page, studio: Studio) -> tuple[Page, OnPlates]:
    fresh = on_plates(studio.desk, n_each=2, name="Fay Fresh")
    page.goto(f"/lessons/{fresh.lesson_id}/ground?recording={fresh.recordings[0].id}")
    expect(page.locator("#plots canvas")).to_have_count(3)
    return page, fresh


def drop(page: Page, name: str, data: bytes) -> None:
    """Drop a file on the page as a hand would."""
    page.evaluate(
        """([name, text]) => {
             const bytes = Uint8Array.from(atob(text), (one) => one.charCodeAt(0));
             const carried = new DataTransfer();
             carried.items.add(new File([bytes], name));
             for (const kind of ["dragenter", "dragover", "drop"])
               document.body.dispatchEvent(
                 new DragEvent(kind, { bubbles: true, cancelable: true, dataTransfer: carried }));
           }""",
        [name, base64.b64encode(data).decode()],
    )


def shown_s(page: Page) -> float:
    """How long the shown window is, as the page says it."""
    text = page.locator("#window-says").text_content() or ""
    return float(text.partition(" s")[0])


def test_the_whole_way_of_a_recording(page: Page, studio: Studio) -> None:
    fresh = on_plates(studio.desk, n_each=2, name="Wendy Way")
    page.goto(f"/lessons/{fresh.lesson_id}/ground")
    drop(page, "dropped.c3d", swing_file(77))
    page.wait_for_url("**/ground?recording=*")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Body weight 680")
    expect(page.locator("#plots canvas")).to_have_count(3)
    mark = page.get_by_role("slider", name="Strike")
    expect(mark).to_have_attribute("aria-valuetext", re.compile("trigger channel"))
    box = mark.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + 60)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] / 2 - 40, box["y"] + 60, steps=4)
    page.mouse.up()
    expect(page.locator(".strike-says")).to_contain_text("set by hand")
    expect(mark).to_have_attribute("aria-valuetext", re.compile("set by hand"))
    number = page.url.rpartition("=")[2].partition("#")[0]
    kept = studio.desk.book.recording(int(number))
    assert kept.strike_from == "set by hand"
    assert kept.strike_s is not None
    assert kept.strike_s < 3.12
    page.locator("#shot").select_option(label="ball 3, with the push")
    page.get_by_role("button", name="Link", exact=True).click()
    expect(page.locator("#ball")).to_contain_text("Ball 3, linked by hand")
    expect(page.locator("#compare")).to_contain_text("Odds of more")
    expect(page.locator("#compared-plot canvas")).to_be_visible()
    expect(page.locator("#compared-plot")).to_have_attribute(
        "aria-label", re.compile("before: 2 swings.*with the push: 3 swings")
    )


def test_the_strike_by_keyboard_alone(ground: tuple[Page, OnPlates], studio: Studio) -> None:
    page, fresh = ground
    mark = page.get_by_role("slider", name="Strike")
    mark.focus()
    first = float(mark.get_attribute("aria-valuenow") or 0)
    for _ in range(3):
        page.keyboard.press("ArrowLeft")
    page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("Enter")
    expect(page.locator(".strike-says")).to_contain_text("set by hand")
    kept = studio.desk.book.recording(fresh.recordings[0].id)
    assert kept.strike_s == pytest.approx(first - 3 / 500 + 0.01, abs=2e-4)
    expect(mark).to_be_focused()
    page.get_by_role("button", name="Leave it to the file").click()
    expect(page.locator(".strike-says")).to_contain_text("trigger channel")


def test_traces_zoom_to_every_sample_and_back(ground: tuple[Page, OnPlates]) -> None:
    page, _ = ground
    page.get_by_role("button", name="The whole recording").click()
    whole = shown_s(page)
    assert whole > 4.0
    for _ in range(5):
        page.get_by_role("button", name="Come nearer").click()
    expect(page.locator("#window-says")).to_contain_text("every sample")
    assert shown_s(page) == pytest.approx(whole / 32, rel=0.1)
    page.get_by_role("button", name="The whole recording").click()
    assert shown_s(page) == whole
    box = page.locator("#plots").bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + 80)
    page.keyboard.down("Control")
    page.mouse.wheel(0, -300)
    page.keyboard.up("Control")
    expect(page.locator("#window-says")).not_to_contain_text(f"{whole} s")
    assert shown_s(page) < whole
    page.get_by_role("checkbox", name="toward the target").check()
    expect(page.locator("#plots canvas")).to_have_count(4)


def test_a_wrong_strike_is_refused_and_stands(ground: tuple[Page, OnPlates], watch: Watch) -> None:
    page, _ = ground
    watch.expected.append("422")
    page.get_by_label("Strike, on the clock of the recording").fill("99")
    page.get_by_role("button", name="Set it by hand").click()
    expect(page.locator("#strike-trouble")).to_contain_text("does not lie in the recording")
    expect(page.get_by_label("Strike, on the clock of the recording")).to_have_value("99")


def test_recordings_link_by_order(ground: tuple[Page, OnPlates]) -> None:
    page, _ = ground
    page.get_by_role("button", name="Link by order").click()
    expect(page.get_by_role("status", name="Links")).to_contain_text("4 recordings linked")
    expect(page.locator("#ball")).to_contain_text("Ball 1, linked by order")
    page.get_by_label("Show").select_option(label="pivoting and free moment, N·m")
    expect(page.locator("#compared-plot")).to_have_attribute(
        "aria-label", re.compile("pivoting and free moment about the strike")
    )
    expect(page.locator('[data-curve-link="svg"]')).to_have_attribute(
        "href", re.compile("blocks-turning.svg")
    )


def test_without_script_the_strike_can_be_set(studio: Studio, page: Page) -> None:
    fresh = on_plates(studio.desk, n_each=1, name="Sam Scriptless")
    one = fresh.recordings[0].id
    answer = page.request.post(
        f"/recordings/{one}/strike", form={"deed": "hand", "strike": "3.0"}, max_redirects=0
    )
    assert answer.status == 303
    assert studio.desk.book.recording(one).strike_s == 3.0


def test_a_jump_from_the_questions_to_its_height(page: Page, studio: Studio) -> None:
    fresh = on_plates(studio.desk, n_each=0, name="Jo Jumper")
    page.goto(f"/students/{fresh.student_id}/jumps")
    for question in QUESTIONS:
        page.get_by_role("radiogroup", name=question.text).get_by_label("no").check()
    page.get_by_role("button", name="Keep today's answers").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Maximal effort may be asked for")
    page.locator("#file").set_input_files(
        FilePayload(name="jump.csv", mimeType="text/csv", buffer=jump_file(5))
    )
    page.get_by_role("button", name="Measure it").click()
    expect(page.locator("#days")).to_contain_text("Height by impulse on force plates")
    expect(page.locator("#days")).to_contain_text("fewer than three")


@pytest.fixture(scope="module")
def paths(studio: Studio, given: OnPlates) -> dict[str, str]:
    student = f"/students/{given.student_id}/jumps"
    jumps.ask(
        studio.desk,
        given.student_id,
        {**{one.key: False for one in QUESTIONS}, "pain_now": True},
        junior=False,
    )
    calm = on_plates(studio.desk, n_each=0, name="Cal Calm")
    jumps.ask(studio.desk, calm.student_id, {one.key: False for one in QUESTIONS}, junior=False)
    jumps.add_measured(studio.desk, calm.student_id, name="a.csv", data=jump_file(9))
    return {
        "ground": f"/lessons/{given.lesson_id}/ground",
        "no recording": f"/lessons/{calm.lesson_id}/ground",
        "blocked jumps": student,
        "jumps": f"/students/{calm.student_id}/jumps",
    }


@pytest.mark.parametrize("look", ["paper", "slate"])
@pytest.mark.parametrize("name", ["ground", "no recording", "blocked jumps", "jumps"])
def test_axe_finds_nothing(
    page: Page, studio: Studio, paths: dict[str, str], name: str, look: str
) -> None:
    page.context.add_cookies([{"name": "look", "value": look, "url": studio.address}])
    page.goto(paths[name])
    if name == "ground":
        expect(page.locator("#plots canvas")).to_have_count(3)
    page.evaluate("document.querySelectorAll('details').forEach(fold => { fold.open = true })")
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


@pytest.mark.parametrize("size", list(SIZES))
def test_no_page_is_wider_than_its_screen(page: Page, paths: dict[str, str], size: str) -> None:
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})
    for name, path in paths.items():
        page.goto(path)
        page.evaluate("document.querySelectorAll('details').forEach(fold => { fold.open = true })")
        beyond = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert beyond <= 0, (name, size)
