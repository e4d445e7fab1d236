"""A lesson from beginning to end in a real browser: import, confirm, judge, leave out, print."""

import re

import pypdfium2
import pytest
from playwright.sync_api import Page, expect

from tests.web.lessons import give_lesson, table_text
from tests.web.studio import Studio, Watch

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("browser")]

DROP = """([name, text]) => {
  const carried = new DataTransfer();
  carried.items.add(new File([text], name, { type: "text/csv" }));
  for (const kind of ["dragenter", "dragover", "drop"]) {
    document.body.dispatchEvent(
      new DragEvent(kind, { dataTransfer: carried, bubbles: true, cancelable: true }));
  }
}"""


def new_lesson(page: Page, name: str) -> None:
    page.goto("/")
    page.get_by_label("Name").fill(name)
    page.get_by_label("Cautions").fill("Lower back")
    page.get_by_role("button", name="Write into the book").click()
    page.get_by_label("What you change").fill("soft block under the lead foot")
    page.get_by_label("Club").fill("driver")
    page.get_by_role("button", name="Begin the lesson").click()
    expect(page.get_by_role("heading", level=1)).to_have_text(
        "Hit some balls as usual first: they are what the change is compared with."
    )
    page.wait_for_load_state("load")


def test_a_dropped_file_becomes_an_answer_and_a_sheet(page: Page) -> None:
    new_lesson(page, "Dora Dropper")
    page.evaluate(DROP, ["tuesday.csv", table_text(n_before=10, n_with=12)])
    page.wait_for_url("**/columns")
    expect(page.get_by_label("What Carry (yd) is")).to_have_value("quantity:carry")
    expect(page.get_by_label("Unit of Carry (yd)")).to_have_value("yd")
    page.get_by_role("button", name="Put 22 balls into the lesson").click()
    page.wait_for_url("**/lessons/*")
    sentence = page.get_by_role("heading", level=1)
    expect(sentence).to_contain_text("Keep it:")
    expect(page.locator("#pattern svg")).to_be_visible()
    expect(page.locator("#run canvas")).to_be_visible()
    for name, width_pt in (("Print the sheet, A4", 595), ("Letter", 612)):
        address = page.get_by_role("link", name=name).get_attribute("href")
        assert address is not None
        sheet = page.request.get(address)
        assert sheet.ok
        pdf = pypdfium2.PdfDocument(sheet.body())
        assert round(pdf[0].get_width()) == width_pt
        text = " ".join(pdf[0].get_textpage().get_text_bounded().split())
        assert "Dora Dropper" in text
        assert (sentence.text_content() or "").split(":")[0] in text
        pdf.close()


def test_a_pasted_table_with_a_wrong_unit_is_put_right(page: Page) -> None:
    new_lesson(page, "Pia Paster")
    page.get_by_text("Or paste a table").click()
    table = table_text().replace("Club speed (mph)", "Club speed").replace("Block", "Part")
    page.get_by_label("Rows as they were copied").fill(table.replace(",", "\t"))
    page.get_by_role("button", name="Look at the table").click()
    page.wait_for_url("**/columns")
    unit = page.get_by_label("Unit of Club speed")
    expect(unit).to_have_value("mph")
    # Only units of the quantity are offered.
    offered = unit.locator("option:not([hidden])").all_text_contents()
    assert [text.strip() for text in offered] == ["mph", "km/h", "m/s", "ft/s"]
    page.get_by_label("What Part is").select_option("the block")
    page.get_by_label("What Club speed is").select_option("ball speed")
    expect(unit).to_have_value("mph")
    page.get_by_role("button", name="Look again with these choices").click()
    expect(page.get_by_label("What Club speed is")).to_have_value("quantity:ball_speed")
    page.get_by_label("What Club speed is").select_option("club speed")
    page.get_by_role("button", name=re.compile("Put 18 balls")).click()
    page.wait_for_url("**/lessons/*")
    expect(page.get_by_role("status", name="What the import did")).to_contain_text(
        "18 balls came in"
    )
    expect(page.get_by_role("heading", level=1)).to_contain_text("Keep it:")


def test_a_ball_is_left_out_and_taken_back_without_leaving(page: Page, studio: Studio) -> None:
    given = give_lesson(studio.desk)
    page.goto(f"/lessons/{given.lesson.id}")
    page.evaluate("window.stayed = true")
    before = page.locator("table.shots tr[data-place='3']")
    page.get_by_role("radio", name="Ball 3", exact=True).check()
    page.get_by_label("Leave the chosen ball out").select_option("the instrument misread it")
    page.get_by_role("button", name="Leave it out").click()
    expect(before).to_have_class(re.compile("left-out"))
    expect(before).to_contain_text("the instrument misread it")
    expect(page.locator("#outcomes")).to_contain_text("Left out, ball 3")
    page.get_by_role("button", name="Take ball 3 back").click()
    expect(before).not_to_have_class(re.compile("left-out"))
    assert page.evaluate("window.stayed") is True
    shot = studio.desk.book.shots(given.lesson.id)[2]
    assert shot.left_out_reason is None


def test_leaving_out_without_a_reason_says_so_and_keeps_the_choice(
    page: Page, studio: Studio, watch: Watch
) -> None:
    watch.expected.append("status of 422")
    given = give_lesson(studio.desk)
    page.goto(f"/lessons/{given.lesson.id}")
    page.get_by_role("radio", name="Ball 2", exact=True).check()
    page.get_by_role("button", name="Leave it out").click()
    expect(page.locator("#leave-out-trouble")).to_contain_text(
        "A shot can't be left out without a reason."
    )
    expect(page.get_by_role("radio", name="Ball 2", exact=True)).to_be_checked()
    page.get_by_label("or in your own words").fill("a door slammed")
    page.get_by_role("button", name="Leave it out").click()
    expect(page.locator("#leave-out-trouble")).to_be_hidden()
    expect(page.locator("table.shots")).to_contain_text("a door slammed")


def test_balls_typed_one_by_one_lead_to_an_answer(page: Page, watch: Watch) -> None:
    watch.expected.append("status of 422")
    new_lesson(page, "Tia Typist")
    line = page.get_by_label("One ball")
    for text in ("92 190 2R", "91 188 6L", "93 192 1R"):
        line.fill(text)
        line.press("Enter")
        expect(line).to_have_value("")
        expect(line).to_be_focused()
    expect(page.get_by_role("heading", level=1)).to_have_text("Now hit some balls with the change.")
    expect(page.get_by_label("Into")).to_have_value(re.compile(r"^\d+$"))
    page.get_by_label("Into").select_option("a new block: with the change")
    line.fill("97 ninety")
    line.press("Enter")
    expect(page.locator("#type-trouble")).to_contain_text("'ninety' is not a value of carry.")
    expect(line).to_have_value("97 ninety")
    for text in ("97 204 3R", "98 206 0", "97 203 4R"):
        line.fill(text)
        line.press("Enter")
        expect(line).to_have_value("")
    expect(page.locator("table.shots tbody tr")).to_have_count(6)
    expect(page.locator("table.shots tbody .key-after")).to_have_count(3)
    expect(page.locator("#pattern svg")).to_be_visible()
    expect(page.get_by_role("heading", level=1)).not_to_contain_text("Now hit some balls")


def test_a_ball_clicked_in_the_picture_is_chosen_in_the_table(page: Page, studio: Studio) -> None:
    given = give_lesson(studio.desk)
    page.goto(f"/lessons/{given.lesson.id}")
    expect(page.locator("#pattern svg")).to_be_visible()
    page.evaluate("dispatchEvent(new CustomEvent('ball', { detail: 7 }))")
    expect(page.get_by_role("radio", name="Ball 7", exact=True)).to_be_checked()


def test_a_file_that_is_too_large_is_refused_before_it_is_sent(page: Page) -> None:
    new_lesson(page, "Lea Large")
    page.evaluate("document.getElementById('drop').dataset.limit = '1000'")
    page.locator("#file").set_input_files(
        {"name": "big.csv", "mimeType": "text/csv", "buffer": b"1" * 2000}
    )
    page.get_by_role("button", name="Look at the table").click()
    expect(page.locator("#file-trouble")).to_contain_text("Split the table into several files")


def test_what_was_typed_survives_a_reload(page: Page, studio: Studio) -> None:
    page.goto("/")
    page.get_by_label("Name").fill("Half a na")
    page.get_by_label("Goals").fill("Twenty yards")
    page.reload()
    expect(page.get_by_label("Name")).to_have_value("Half a na")
    expect(page.get_by_label("Goals")).to_have_value("Twenty yards")
    page.get_by_role("button", name="Write into the book").click()
    page.wait_for_url("**/students/*")
    page.goto("/")
    expect(page.get_by_label("Name")).to_have_value("")


def test_the_whole_path_goes_without_scripts(page: Page, studio: Studio) -> None:
    browser = page.context.browser
    assert browser is not None
    context = browser.new_context(base_url=studio.address, java_script_enabled=False)
    plain = context.new_page()
    new_lesson(plain, "Nora Noscript")
    plain.get_by_text("Or paste a table").click()
    plain.get_by_label("Rows as they were copied").fill(table_text())
    plain.get_by_role("button", name="Look at the table").click()
    plain.get_by_role("button", name="Put 18 balls into the lesson").click()
    expect(plain.get_by_role("heading", level=1)).to_contain_text("Keep it:")
    plain.get_by_role("radio", name="Ball 1", exact=True).check()
    plain.get_by_label("or in your own words").fill("a bird")
    plain.get_by_role("button", name="Leave it out").click()
    expect(plain.locator("table.shots")).to_contain_text("a bird")
    plain.get_by_role("button", name="Take ball 1 back").click()
    expect(plain.locator("table.shots")).not_to_contain_text("a bird")
    plain.get_by_role("button", name="Slate").click()
    expect(plain.locator("html")).to_have_attribute("data-look", "slate")
    context.close()
