"""The flight bench in a real browser: sliders by keyboard, before against now, no script, axe."""

import re
from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, Route, expect

from tests.web.lessons import give_lesson
from tests.web.studio import Studio, Watch

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]

SIZES = {"laptop": (1280, 800), "tablet": (820, 1180), "phone": (390, 844), "wall": (1920, 1080)}
BOTH = "/flight?club=iron7&face_angle=3&before.club=iron7"


@pytest.fixture
def bench(page: Page) -> Page:
    page.goto("/flight")
    expect(page.locator("#flights svg path.way-after")).to_have_count(1)
    return page


def ends(page: Page) -> dict[str, float]:
    """Where the drawn flights end, from the left."""
    found: dict[str, float] = page.locator("#flights circle.end").evaluate_all(
        """dots => Object.fromEntries(dots.map(dot => [
             dot.classList.contains("way-before") ? "before" : "now",
             Number(dot.getAttribute("cx"))]))"""
    )
    return found


def carry(page: Page, column: int) -> float:
    text = page.locator("tr[data-row=carry] td").nth(column).text_content() or ""
    return float(text.replace("≈", "").replace("−", "-"))


def test_a_slider_moved_by_keyboard_answers_everywhere(bench: Page) -> None:
    slider = bench.get_by_role("slider", name="Face angle")
    slider.focus()
    for _ in range(4):
        bench.keyboard.press("ArrowRight")
    expect(bench.get_by_label("Face angle", exact=True)).to_have_value("2")
    expect(bench.locator("#face_angle-way")).to_contain_text("right, open")
    expect(bench.locator("tr[data-row=offline] td").nth(1)).to_contain_text("right")
    expect(bench.get_by_role("heading", level=1)).to_contain_text("right")
    expect(slider).to_have_attribute("aria-valuetext", "2 ° right, open")
    bench.wait_for_url("**/flight?units=mph&hand=right&club=driver&face_angle=2")
    bench.reload()
    expect(bench.get_by_label("Face angle", exact=True)).to_have_value("2")
    expect(bench.locator("#flights svg path.way-after")).to_have_count(1)


def test_what_is_kept_as_before_is_hollow_and_what_is_now_solid(bench: Page) -> None:
    bench.get_by_role("button", name="Keep this as before").click()
    expect(bench.locator("#flights path.way-before")).to_have_count(1)
    speed = bench.get_by_label("Club speed", exact=True)
    speed.fill("104")
    expect(bench.locator("tr[data-row=carry] td").nth(2)).to_contain_text("+")
    expect(bench.get_by_role("heading", level=1)).to_contain_text("farther")
    expect(bench.locator("#why")).to_contain_text("Only the club speed differs.")
    assert carry(bench, 1) > carry(bench, 0)
    assert ends(bench)["now"] > ends(bench)["before"]
    bench.wait_for_url("**before.club=driver*")
    before, now = (bench.locator(f"#flights path.way-{side}") for side in ("before", "after"))
    expect(before).not_to_have_css("stroke-dasharray", "none")
    expect(now).to_have_css("stroke-dasharray", "none")
    bench.get_by_role("button", name="Let the one before go").click()
    expect(bench.locator("#flights path.way-before")).to_have_count(0)
    expect(bench.get_by_role("button", name="Keep this as before")).to_be_focused()


def test_right_is_drawn_right_from_above_and_in_the_round(page: Page, watch: Watch) -> None:
    watch.expected.append("GL Driver Message")  # drawing by software is slow, and says so
    page.goto(BOTH)
    page.get_by_role("radio", name="from above").check()
    expect(page.locator("#flights svg")).to_contain_text("target line")
    assert ends(page)["now"] > ends(page)["before"]
    page.get_by_role("radio", name="in the round").check()
    canvas = page.locator("#flights canvas")
    expect(canvas).to_have_attribute("aria-label", re.compile("^2 flights in the round"))
    canvas.evaluate("canvas => { canvas.dataset.same = 'yes'; }")
    page.get_by_label("Face angle", exact=True).fill("-3")
    expect(page.locator("#face_angle-way")).to_contain_text("left, closed")
    # Another ball is drawn as the view stands: it is the same canvas.
    expect(page.locator("#flights canvas[data-same=yes]")).to_have_count(1)


def test_the_axes_stay_while_a_slider_moves(bench: Page) -> None:
    marks = bench.locator("#flights .mark-text")
    first = marks.all_text_contents()
    bench.get_by_label("Club speed", exact=True).fill("93")
    expect(bench.locator("#club_speed-way")).not_to_contain_text("assumed", use_inner_text=True)
    bench.wait_for_url("**club_speed=93*")
    assert marks.all_text_contents() == first


def test_another_club_brings_its_usual_swing(bench: Page) -> None:
    bench.get_by_label("Dynamic loft", exact=True).fill("15")
    bench.get_by_label("Club generic").select_option("7 iron")
    expect(bench.get_by_label("Dynamic loft", exact=True)).to_have_value("26")
    expect(bench.locator("#dynamic_loft-way .assumed-mark")).to_be_visible()
    expect(bench.locator("#try-now dd")).to_contain_text("7 iron")
    bench.wait_for_url("**/flight?units=mph&hand=right&club=iron7")


def test_a_wrong_value_is_named_and_nothing_is_lost(bench: Page, watch: Watch) -> None:
    watch.expected.append("422")  # a refusal is an answer; the browser writes it down all the same
    before = carry(bench, 1)
    field = bench.get_by_label("Face angle", exact=True)
    field.fill("40")
    alert = bench.get_by_role("alert")
    expect(alert).to_contain_text("Face angle is 40°, more than this page can try.")
    expect(alert).to_contain_text("Choose a value from −15 to 15°.")
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(field).to_have_value("40")
    assert carry(bench, 1) == before
    field.fill("4")
    expect(alert).to_be_hidden()
    expect(bench.locator("#face_angle-way")).to_contain_text("open")


def test_arrows_step_a_number_too(bench: Page) -> None:
    field = bench.get_by_label("Attack angle", exact=True)
    field.focus()
    bench.keyboard.press("ArrowDown")
    bench.keyboard.press("ArrowDown")
    expect(field).to_have_value("-1")
    expect(bench.locator("#attack_angle-way")).to_contain_text("down")
    field.press("Enter")
    expect(bench.get_by_role("heading", level=1)).to_contain_text("This ball carries")


def test_the_left_hand_turns_the_words(bench: Page) -> None:
    bench.get_by_label("Face angle", exact=True).fill("2")
    expect(bench.locator("#face_angle-way")).to_contain_text("right, open")
    drawn = bench.locator("#flights path.way-after").get_attribute("d")
    bench.get_by_role("radio", name="left-handed").check()
    expect(bench.locator("#face_angle-way")).to_contain_text("right, closed")
    assert bench.locator("#flights path.way-after").get_attribute("d") == drawn


def test_the_units_are_turned_and_the_flight_is_the_same(bench: Page) -> None:
    bench.get_by_label("Club speed", exact=True).fill("100")
    bench.wait_for_url("**club_speed=100*")
    yards = carry(bench, 1)
    bench.get_by_role("button", name="km/h, m").click()
    expect(bench.get_by_label("Club speed", exact=True)).to_have_value("160.93")
    expect(bench.get_by_role("button", name="km/h, m")).to_have_attribute("aria-pressed", "true")
    assert carry(bench, 1) == pytest.approx(yards * 0.9144, abs=0.15)


def test_an_answer_that_was_overtaken_is_dropped(bench: Page) -> None:
    held: list[Route] = []

    def hold(route: Route) -> None:
        if "face_angle=9" in route.request.url and not held:
            held.append(route)
        else:
            route.continue_()

    bench.route("**/flight/numbers**", hold)
    field = bench.get_by_label("Face angle", exact=True)
    field.fill("9")
    while not held:
        bench.wait_for_timeout(20)
    field.fill("1")
    bench.wait_for_url("**face_angle=1")
    said = bench.locator("tr[data-row=launch_direction] td").nth(1)
    expect(said).to_contain_text("0.8 right")
    with bench.expect_response(lambda response: "face_angle=9" in response.url):
        held[0].continue_()
    bench.wait_for_timeout(100)
    expect(said).to_contain_text("0.8 right")
    expect(field).to_have_value("1")


def test_the_flight_follows_a_slider_that_is_dragged(bench: Page) -> None:
    slider = bench.get_by_role("slider", name="Face angle")
    box = slider.bounding_box()
    assert box is not None
    middle = box["y"] + box["height"] / 2.0
    bench.mouse.move(box["x"] + box["width"] / 2.0, middle)
    bench.mouse.down()
    seen = set()
    for step in range(1, 25):
        bench.mouse.move(box["x"] + box["width"] * (0.5 + step / 60.0), middle)
        bench.wait_for_timeout(25)
        seen.add(bench.locator("tr[data-row=offline] td").nth(1).text_content())
    bench.mouse.up()
    assert len(seen) > 3  # not only where it came to rest


def test_a_lost_desk_is_said_and_comes_back(bench: Page, watch: Watch) -> None:
    watch.expected.append("ERR_FAILED")
    bench.route("**/flight/numbers**", lambda route: route.abort())
    bench.get_by_label("Face angle", exact=True).fill("3")
    expect(bench.get_by_role("alert")).to_contain_text("The desk does not answer.")
    bench.unroute("**/flight/numbers**")
    bench.get_by_label("Face angle", exact=True).fill("2")
    expect(bench.get_by_role("alert")).to_be_hidden()
    expect(bench.locator("#face_angle-way")).to_contain_text("open")


def test_a_lesson_stands_on_the_bench(page: Page, studio: Studio) -> None:
    given = give_lesson(studio.desk, name="Bea Bench")
    page.goto(f"/lessons/{given.lesson.id}")
    page.get_by_role("link", name="See it on the flight bench").click()
    expect(page.locator("#started")).to_contain_text("10 balls before and 12 balls with the change")
    expect(page.locator("#flights path.way-before")).to_have_count(1)
    expect(page.locator("#why")).to_contain_text("Only the club speed differs.")
    expect(page.locator("#attack_angle-way .assumed-mark")).to_be_visible()
    expect(page.locator("#club_speed-way .assumed-mark")).to_be_hidden()


@pytest.fixture
def plain(browser: Browser, studio: Studio) -> Iterator[Page]:
    """A page in a browser that runs no script."""
    context = browser.new_context(base_url=studio.address, java_script_enabled=False)
    yield context.new_page()
    context.close()


def test_without_a_script_it_is_a_form(plain: Page) -> None:
    plain.goto("/flight")
    plain.get_by_label("Face angle", exact=True).fill("2")
    plain.get_by_role("button", name="Show this flight").click()
    expect(plain.locator("#face_angle-way")).to_contain_text("right, open")
    plain.get_by_role("button", name="Keep this as before").click()
    plain.get_by_label("Face angle", exact=True).fill("-2")
    plain.get_by_label("Face angle", exact=True).press("Enter")
    expect(plain.get_by_role("heading", level=1)).to_contain_text("farther left")
    assert "face_angle=-2&before.club=driver&before.face_angle=2" in plain.url


@pytest.mark.parametrize("look", ["paper", "slate"])
@pytest.mark.parametrize("path", [BOTH, "/flight", "/flight?club=lob_wedge&units=m/s"])
def test_axe_finds_nothing(page: Page, studio: Studio, path: str, look: str) -> None:
    page.context.add_cookies([{"name": "look", "value": look, "url": studio.address}])
    page.goto(path)
    expect(page.locator("#flights svg")).to_be_visible()
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


@pytest.mark.parametrize("look", ["paper", "slate"])
def test_axe_finds_nothing_in_a_refusal(
    page: Page, studio: Studio, watch: Watch, look: str
) -> None:
    watch.expected.append("422")
    page.context.add_cookies([{"name": "look", "value": look, "url": studio.address}])
    page.goto("/flight?face_angle=x&club_path=99")
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


@pytest.mark.parametrize("size", list(SIZES))
def test_it_is_never_wider_than_its_screen(page: Page, size: str) -> None:
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})
    page.goto(BOTH)
    expect(page.locator("#flights svg")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
    leaf, table = (page.locator(part).bounding_box() for part in (".bench-numbers", ".bench-table"))
    assert leaf is not None
    assert table is not None
    assert table["x"] + table["width"] <= leaf["x"] + leaf["width"] - 8.0


@pytest.mark.parametrize("size", list(SIZES))
def test_the_flight_is_in_sight_at_every_slider(page: Page, size: str) -> None:
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})
    page.goto(BOTH)
    expect(page.locator("#flights svg")).to_be_visible()
    for name in ("Club speed", "Wind across"):
        slider = page.get_by_role("slider", name=name)
        slider.focus()
        slider.scroll_into_view_if_needed()
        picture, control = page.locator("#flights").bounding_box(), slider.bounding_box()
        assert picture is not None
        assert control is not None
        assert picture["y"] >= 0.0, name
        assert picture["y"] + picture["height"] <= height, name
        apart = picture["x"] >= control["x"] + control["width"]
        assert apart or control["y"] >= picture["y"] + picture["height"], name
