"""Open pages stay in step: shots from elsewhere, cuts and restarts, and nothing typed is lost."""

from collections.abc import Iterator

import numpy as np
import pytest
from playwright.sync_api import BrowserContext, Page, Route, expect

from leadfoot.desk import lesson as deeds
from tests.web.lessons import Given, ball, give_lesson, new_shot
from tests.web.studio import Studio, Watch

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]


@pytest.fixture
def given(studio: Studio) -> Given:
    return give_lesson(studio.desk, n_before=6, n_with=6)


def hit(studio: Studio, given: Given, gain_mph: float = 6.0) -> int:
    """One more ball with the change, written by this process, not by the server."""
    desk = studio.desk
    block = desk.book.blocks(given.lesson.id)[-1]
    rng = np.random.default_rng(len(desk.book.shots(given.lesson.id)))
    shot = desk.book.add_shot(block.id, new_shot(ball(rng, gain_mph)), at=desk.clock())
    deeds.judge_lesson(desk, given.lesson.id)
    return shot.place


def is_live(page: Page) -> None:
    expect(page.get_by_role("status", name="Link to the book")).to_have_text("live")


def test_a_shot_from_elsewhere_is_on_every_page(
    context: BrowserContext, studio: Studio, given: Given
) -> None:
    pages = [context.new_page() for _ in range(2)]
    for page in pages:
        page.goto(f"/lessons/{given.lesson.id}")
        is_live(page)
        page.evaluate("window.stayed = true")
    answers = [page.locator("#answer").text_content() for page in pages]
    assert answers[0] == answers[1]
    place = 0
    for _ in range(4):
        place = hit(studio, given)
    for page in pages:
        expect(page.locator(f"table.shots tr[data-place='{place}']")).to_be_visible()
        expect(page.locator("#blocks")).to_contain_text("10 balls")
        assert page.evaluate("window.stayed") is True
    after = deeds.lesson_view(studio.desk, given.lesson.id).answer
    assert after is not None
    for page in pages:
        expect(page.get_by_role("heading", level=1)).to_have_text(after.sentence)


def test_a_shot_that_arrives_takes_away_nothing_that_is_typed(
    page: Page, studio: Studio, given: Given
) -> None:
    page.goto(f"/lessons/{given.lesson.id}")
    is_live(page)
    page.get_by_label("One ball").fill("94 165")
    page.get_by_role("radio", name="Ball 5", exact=True).check()
    page.get_by_label("Leave the chosen ball out").select_option("something disturbed the swing")
    page.get_by_label("with the block", exact=False).select_option("neither")
    page.get_by_text("What this lesson is about").click()
    page.get_by_label("Notes").fill("first sentence")
    words = page.get_by_label("or in your own words")
    words.fill("the ball moved")
    words.evaluate("input => input.setSelectionRange(4, 8)")
    page.evaluate("window.scrollTo(0, 700)")
    scrolled = page.evaluate("window.scrollY")
    place = hit(studio, given)
    expect(page.locator(f"table.shots tr[data-place='{place}']")).to_be_visible()
    expect(page.get_by_label("One ball")).to_have_value("94 165")
    expect(page.get_by_label("Notes")).to_have_value("first sentence")
    expect(page.get_by_role("radio", name="Ball 5", exact=True)).to_be_checked()
    expect(page.get_by_label("Leave the chosen ball out")).to_have_value(
        "something disturbed the swing"
    )
    expect(page.get_by_label("with the block", exact=False)).to_have_value("other")
    expect(words).to_have_value("the ball moved")
    expect(words).to_be_focused()
    assert words.evaluate("input => [input.selectionStart, input.selectionEnd]") == [4, 8]
    assert page.evaluate("window.scrollY") == scrolled


def test_figures_keep_their_axes_and_widen_in_steps(
    page: Page, studio: Studio, given: Given
) -> None:
    page.goto(f"/lessons/{given.lesson.id}")
    is_live(page)
    labels = page.locator("#pattern svg text")
    expect(labels.first).to_be_visible()
    before = labels.all_text_contents()
    hit(studio, given, 5.0)
    expect(page.locator("#blocks")).to_contain_text("7 balls")
    assert labels.all_text_contents() == before
    block = studio.desk.book.blocks(given.lesson.id)[-1]
    far = new_shot({"club_speed": 110.0, "carry": 290.0, "offline": 5.0})
    studio.desk.book.add_shot(block.id, far, at=studio.desk.clock())
    expect(page.locator("#blocks")).to_contain_text("8 balls")
    assert labels.all_text_contents() != before


def test_the_first_page_hears_of_students_and_answers(page: Page, studio: Studio) -> None:
    page.goto("/")
    is_live(page)
    given = give_lesson(studio.desk, name="Quite New")
    expect(page.locator("#todays")).to_contain_text("Quite New")
    answer = deeds.lesson_view(studio.desk, given.lesson.id).answer
    assert answer is not None
    expect(page.locator("#students")).to_contain_text(answer.sentence)


def test_a_cut_of_the_network_is_caught_up(
    context: BrowserContext, page: Page, studio: Studio, given: Given, watch: Watch
) -> None:
    watch.expected += ["ERR_INTERNET_DISCONNECTED", "WebSocket connection to"]
    page.goto(f"/lessons/{given.lesson.id}")
    is_live(page)
    page.evaluate("window.stayed = true")
    context.set_offline(True)
    place = hit(studio, given)
    page.wait_for_timeout(500)
    context.set_offline(False)
    expect(page.locator(f"table.shots tr[data-place='{place}']")).to_be_visible(timeout=30_000)
    assert page.evaluate("window.stayed") is True


def test_a_page_that_could_not_be_fetched_is_fetched_again(
    page: Page, studio: Studio, given: Given, watch: Watch
) -> None:
    watch.expected += ["ERR_FAILED", "503"]
    page.goto(f"/lessons/{given.lesson.id}")
    is_live(page)
    page.evaluate("window.stayed = true")
    answers = [
        lambda one: one.abort(),
        lambda one: one.fulfill(status=503),
        lambda one: one.continue_(),
    ]

    def answer(route: Route) -> None:
        answers.pop(0)(route) if answers else route.continue_()

    page.route(f"**/lessons/{given.lesson.id}", answer)
    place = hit(studio, given)
    expect(page.locator(f"table.shots tr[data-place='{place}']")).to_be_visible(timeout=15_000)
    assert page.evaluate("window.stayed") is True


def test_nothing_is_replaced_under_a_press(page: Page, studio: Studio, given: Given) -> None:
    page.goto(f"/lessons/{given.lesson.id}")
    is_live(page)
    button = page.get_by_role("button", name="As usual")
    button.scroll_into_view_if_needed()
    button.hover()
    # The page is held from within: how long the test itself is kept waiting does not matter.
    page.evaluate("""() => {
      const real = globalThis.setTimeout;
      globalThis.setTimeout = (deed, ms, ...more) => (ms === 2000 ? 0 : real(deed, ms, ...more));
    }""")
    page.mouse.down()
    place = hit(studio, given)
    with page.expect_response(f"**/lessons/{given.lesson.id}"):
        pass
    page.wait_for_timeout(300)
    ball_there = page.locator(f"table.shots tr[data-place='{place}']")
    expect(ball_there).to_have_count(0)
    page.mouse.up()
    expect(button).to_have_attribute("aria-pressed", "true")
    expect(ball_there).to_be_visible()


@pytest.fixture
def restarting(studio: Studio) -> Iterator[Studio]:
    yield studio
    if studio.process is None:
        studio.start()


def test_a_restart_of_the_server_is_caught_up(
    page: Page, restarting: Studio, given: Given, watch: Watch
) -> None:
    watch.expected += ["ERR_CONNECTION_REFUSED", "WebSocket connection to", "ERR_CONNECTION_RESET"]
    page.goto(f"/lessons/{given.lesson.id}")
    is_live(page)
    page.evaluate("window.stayed = true")
    page.get_by_label("One ball").fill("94 165 2R")
    restarting.stop()
    expect(page.get_by_role("status", name="Link to the book")).to_have_text("waiting for the desk")
    page.get_by_label("One ball").press("Enter")
    expect(page.locator("#type-trouble")).to_contain_text("The desk does not answer.")
    place = hit(restarting, given)
    restarting.start()
    expect(page.locator(f"table.shots tr[data-place='{place}']")).to_be_visible(timeout=30_000)
    is_live(page)
    expect(page.get_by_label("One ball")).to_have_value("94 165 2R")
    assert page.evaluate("window.stayed") is True
    page.get_by_label("One ball").press("Enter")
    expect(page.get_by_label("One ball")).to_have_value("")
    expect(page.locator(f"table.shots tr[data-place='{place + 1}']")).to_be_visible()


def test_a_typed_ball_whose_answer_was_lost_is_sent_again_and_is_one_ball(
    page: Page, studio: Studio, given: Given, watch: Watch
) -> None:
    watch.expected += ["ERR_FAILED"]
    page.goto(f"/lessons/{given.lesson.id}")
    is_live(page)

    def lose_the_answer(route: Route) -> None:
        route.fetch()  # the desk has written it down
        route.abort()

    page.route(f"**/lessons/{given.lesson.id}/shots", lose_the_answer, times=1)
    line = page.get_by_label("One ball")
    line.fill("94 165 2R")
    line.press("Enter")
    expect(page.get_by_text("The desk does not answer.")).to_be_visible()
    expect(page.locator("table.shots tr[data-place='13']")).to_be_visible()
    line.press("Enter")
    expect(line).to_have_value("")
    line.fill("94 165 2R")  # the next ball, with the same numbers
    line.press("Enter")
    expect(page.locator("table.shots tr[data-place='14']")).to_be_visible()
    assert len(studio.desk.book.shots(given.lesson.id)) == 14


def test_a_form_sent_into_the_void_is_found_again_on_the_way_back(
    page: Page, restarting: Studio, watch: Watch
) -> None:
    watch.expected += ["ERR_CONNECTION_REFUSED", "WebSocket connection to", "ERR_CONNECTION_RESET"]
    page.goto("/")
    is_live(page)
    page.get_by_label("Name").fill("Vera Void")
    page.get_by_label("Goals").fill("To arrive")
    restarting.stop()
    page.get_by_role("button", name="Write into the book").click()
    page.wait_for_url("chrome-error://**")
    restarting.start()
    page.go_back()
    expect(page.get_by_label("Name")).to_have_value("Vera Void")
    expect(page.get_by_label("Goals")).to_have_value("To arrive")
    page.get_by_role("button", name="Write into the book").click()
    page.wait_for_url("**/students/*")
    page.goto("/")
    expect(page.get_by_label("Name")).to_have_value("")
