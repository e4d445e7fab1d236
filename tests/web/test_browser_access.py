"""Every page by keyboard alone and by what axe finds, in both looks, at five sizes."""

import re
from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from leadfoot.desk import bays, importing
from tests.web.bag import fill_bag
from tests.web.lessons import Given, give_lesson, table_text
from tests.web.studio import Studio, Watch, launch

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]

SIZES = {
    "laptop": (1280, 800),
    "tablet": (820, 1180),
    "slate": (768, 1024),
    "phone": (390, 844),
    "wall": (1920, 1080),
}


@pytest.fixture(scope="module")
def given(studio: Studio) -> Given:
    return give_lesson(studio.desk, cautions="Lower back: no maximal swings two days in a row")


@pytest.fixture(scope="module")
def paths(studio: Studio, given: Given) -> dict[str, str]:
    """Every kind of page, also the empty and the refused ones."""
    desk = studio.desk
    empty = give_lesson(desk, name="Ella Empty", n_before=0, n_with=0)
    doubtful = table_text().replace("Carry (yd)", "Carry").replace("before,9", "before,nine9", 1)
    raw_file = importing.receive(desk, given.lesson.id, name="doubtful.csv", data=doubtful.encode())
    desk.book.leave_out(desk.book.shots(given.lesson.id)[3].id, reason="a bird")
    if not desk.book.bays():
        bays.add_bay(desk, "bay-1", lesson_id=given.lesson.id)
    desk.book.file.back_up()
    return {
        "today": "/",
        "student": f"/students/{given.student.id}",
        "lesson": f"/lessons/{given.lesson.id}",
        "why": f"/lessons/{given.lesson.id}/why",
        "try it": f"/lessons/{given.lesson.id}/try?spread.face_angle=0.5",
        "clubs": f"/students/{fill_bag(desk).id}/clubs?altitude=5000",
        "speed": f"/students/{given.student.id}/speed",
        "bay": f"/lessons/{given.lesson.id}/bay",
        "empty lesson": f"/lessons/{empty.lesson.id}",
        "columns": f"/files/{raw_file.id}/columns",
        "method": "/method",
        "bays": "/bays",
        "book": "/book",
        "erase": f"/students/{given.student.id}/erase",
        "trouble": "/lessons/99999",
    }


@pytest.mark.parametrize("look", ["paper", "slate"])
@pytest.mark.parametrize(
    "name",
    [
        "today",
        "student",
        "lesson",
        "why",
        "try it",
        "clubs",
        "speed",
        "bay",
        "empty lesson",
        "columns",
        "method",
        "bays",
        "book",
        "erase",
        "trouble",
    ],
)
def test_axe_finds_nothing(
    page: Page, studio: Studio, paths: dict[str, str], name: str, look: str
) -> None:
    page.context.add_cookies([{"name": "look", "value": look, "url": studio.address}])
    if name == "trouble":
        page.goto("/")
        page.set_content(
            page.request.get(paths[name]).text().replace('="/', f'="{studio.address}/')
        )
    else:
        page.goto(paths[name])
    page.evaluate("document.querySelectorAll('details').forEach(fold => { fold.open = true })")
    if name == "lesson":
        page.evaluate("window.scrollTo(0, document.body.scrollHeight)")
        expect(page.locator("#flights svg")).to_be_visible()
    if name == "try it":
        expect(page.locator("#try-pattern svg")).to_be_visible()
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


@pytest.mark.parametrize("size", list(SIZES))
def test_no_page_is_wider_than_its_screen(page: Page, paths: dict[str, str], size: str) -> None:
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})
    for name, path in paths.items():
        if name == "trouble":
            continue
        page.goto(path)
        page.evaluate("document.querySelectorAll('details').forEach(fold => { fold.open = true })")
        beyond = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert beyond <= 0, (name, size)


@pytest.mark.parametrize("size", ["laptop", "wall"])
def test_the_answer_and_its_picture_are_seen_without_scrolling(
    page: Page, paths: dict[str, str], size: str
) -> None:
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})
    page.goto(paths["lesson"])
    expect(page.locator("#pattern svg")).to_be_visible()
    for place in ("#sentence", ".claims", "#pattern"):
        box = page.locator(place).bounding_box()
        assert box is not None
        assert box["y"] + box["height"] <= height, place


def focused(page: Page) -> str:
    name: str = page.evaluate(
        "() => { const e = document.activeElement; return e.id || e.name || e.textContent.trim(); }"
    )
    return name


@pytest.fixture
def tab_to(page: Page) -> Callable[[str, int], int]:
    """Presses Tab until something has the focus, at most so often; gives how often it took."""

    def _tab_to(name: str, most: int) -> int:
        for n in range(1, most + 1):
            page.keyboard.press("Tab")
            if focused(page) == name:
                return n
        raise AssertionError(f"{name} has no focus after {most} tabs, but {focused(page)}")

    return _tab_to


def test_the_whole_path_by_keyboard_alone(
    page: Page, paths: dict[str, str], tab_to: Callable[[str, int], int]
) -> None:
    assert paths  # there are students already, so the form is far down the page
    page.goto("/")
    page.keyboard.press("Tab")
    assert focused(page) == "Skip to the page"
    page.keyboard.press("Enter")
    expect(page.locator("#main")).to_be_focused()
    tab_to("A new student", 1)
    page.keyboard.press("Enter")
    assert focused(page) == "name"
    page.keyboard.type("Kim Keyboard")
    tab_to("hand", 1)
    tab_to("goals", 1)
    page.keyboard.type("Ten yards")
    tab_to("Write into the book", 2)
    page.keyboard.press("Enter")
    page.wait_for_url("**/students/*")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    tab_to("A new lesson", 1)
    page.keyboard.press("Enter")
    assert focused(page) == "change"
    page.keyboard.type("quiet head")
    tab_to("title", 3)  # club and place lie between
    tab_to("Begin the lesson", 1)
    page.keyboard.press("Enter")
    page.wait_for_url("**/lessons/*")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    tab_to("file", 8)
    tab_to("Or paste a table", 1)
    page.keyboard.press("Enter")
    tab_to("pasted", 1)
    page.keyboard.insert_text(table_text())
    tab_to("Look at the table", 1)
    page.keyboard.press("Enter")
    page.wait_for_url("**/columns")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    tab_to("deed", 1)
    page.keyboard.press("Enter")
    page.wait_for_url("**/lessons/*")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Keep it:")
    _leave_out_by_keyboard(page, tab_to)


def _leave_out_by_keyboard(page: Page, tab_to: Callable[[str, int], int]) -> None:
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    # From the skip link to leaving a ball out: the balls themselves are one stop.
    tab_to("own-words", 24)
    page.keyboard.type("a phone rang")
    page.keyboard.press("Tab")
    tab_to("shot", 3)
    for _ in range(2):
        page.keyboard.press("ArrowDown")
    expect(page.get_by_role("radio", name="Ball 2", exact=True)).to_be_checked(checked=False)
    chosen = page.locator("table.shots tr.chosen")
    expect(chosen).to_have_count(1)
    place = chosen.get_attribute("data-place")
    page.keyboard.press("Enter")
    expect(page.locator(f"table.shots tr[data-place='{place}']")).to_contain_text("a phone rang")


def test_few_stops_lie_before_the_answer(page: Page, paths: dict[str, str]) -> None:
    page.goto(paths["lesson"])
    stops = 0
    while not page.evaluate("document.querySelector('main').contains(document.activeElement)"):
        page.keyboard.press("Tab")
        stops += 1
        assert stops < 12
    assert focused(page) == "Print the sheet, A4"


def test_focus_is_always_seen(page: Page, paths: dict[str, str]) -> None:
    page.goto(paths["lesson"])
    for _ in range(30):
        page.keyboard.press("Tab")
        seen = page.evaluate(
            """() => { const e = document.activeElement;
              const place = e.type === "radio" && e.parentElement.querySelector(".place");
              const s = getComputedStyle(place || e);
              return s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 2; }"""
        )
        assert seen, focused(page)


def test_the_look_changes_at_once_and_is_kept(page: Page, paths: dict[str, str]) -> None:
    page.goto(paths["lesson"])
    page.get_by_role("button", name="Slate").click()
    expect(page.locator("html")).to_have_attribute("data-look", "slate")
    expect(page.locator("body")).to_have_css("background-color", "rgb(28, 36, 34)")
    expect(page.locator("#pattern svg path[stroke='#56b4e9']").first).to_be_attached()
    page.reload()
    expect(page.locator("html")).to_have_attribute("data-look", "slate")
    page.get_by_role("button", name="Auto").click()
    page.emulate_media(color_scheme="light")
    expect(page.locator("body")).to_have_css("background-color", "rgb(246, 241, 228)")
    page.emulate_media(color_scheme="dark")
    expect(page.locator("body")).to_have_css("background-color", "rgb(28, 36, 34)")


def test_right_is_drawn_right_in_every_figure(page: Page, studio: Studio) -> None:
    given = give_lesson(studio.desk, name="Rita Right", n_before=5, n_with=5, seed=11)
    page.goto(f"/lessons/{given.lesson.id}")
    expect(page.locator("#pattern svg")).to_be_visible()
    expect(page.locator("#pattern")).to_contain_text(re.compile("left.*offline.*right"))
    page.get_by_role("radio", name="from above").check()
    expect(page.locator("#flights svg")).to_be_visible()
    flights = page.request.get(f"/lessons/{given.lesson.id}/flights").json()["flights"]
    drawn = page.locator("#flights circle.end").evaluate_all(
        "dots => dots.map(dot => Number(dot.getAttribute('cx')))"
    )
    ends = [flight["z"][-1] for flight in sorted(flights, key=lambda one: one["role"] != "before")]
    order = sorted(range(len(ends)), key=lambda k: ends[k])
    assert order == sorted(range(len(drawn)), key=lambda k: drawn[k])
    expect(page.locator("#flights svg")).to_contain_text("right")


def test_the_flights_turn_in_the_round_by_keyboard(
    page: Page, paths: dict[str, str], watch: Watch
) -> None:
    watch.expected.append("GL Driver Message")  # drawing by software is slow, and says so
    page.goto(paths["lesson"])
    page.locator("#flights").scroll_into_view_if_needed()
    expect(page.locator("#flights svg")).to_be_visible()
    page.get_by_role("radio", name="in the round").check()
    canvas = page.locator("#flights canvas")
    expect(canvas).to_be_visible()
    expect(page.locator("#flights .orbit-mark", has_text="right")).to_be_visible()
    at = page.locator("#flights .orbit-mark", has_text="right").bounding_box()
    left = page.locator("#flights .orbit-mark", has_text="left").bounding_box()
    assert at is not None
    assert left is not None
    assert left["x"] < at["x"]
    canvas.focus()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("+")
    moved = page.locator("#flights .orbit-mark", has_text="right").bounding_box()
    assert moved is not None
    assert moved["x"] != at["x"]
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


def test_without_webgl_the_flights_are_seen_from_the_side(
    page: Page, studio: Studio, paths: dict[str, str]
) -> None:
    here = page.context.browser
    assert here is not None
    # A browser of its own: whether there is WebGL is settled when it starts.
    browser = launch(here.browser_type, "--disable-3d-apis")
    other = browser.new_page(base_url=studio.address)
    other.goto(paths["lesson"])
    other.locator("#flights").scroll_into_view_if_needed()
    other.get_by_role("radio", name="in the round").check()
    expect(other.locator("#flights-note")).to_contain_text("This browser can't draw in space")
    expect(other.locator("#flights svg path.way").first).to_be_attached()
    expect(other.locator("#flights canvas")).to_have_count(0)
    browser.close()
