"""A table on its way into a lesson: given, looked at, confirmed; and nothing lost on the way."""

import re
from collections.abc import Callable

import pytest
from starlette.testclient import TestClient

from leadfoot.desk.desk import Desk
from leadfoot.web.guard import LIMIT_BYTES
from tests.web.lessons import Given, give_lesson, table_text


@pytest.fixture
def given(desk: Desk) -> Given:
    return give_lesson(desk, n_before=0, n_with=0)


@pytest.fixture
def paste(client: TestClient, given: Given) -> Callable[[str], str]:
    """Pastes a table into the lesson, and gives the address of its columns."""

    def _paste(text: str) -> str:
        page = client.post(
            f"/lessons/{given.lesson.id}/files", data={"pasted": text}, follow_redirects=False
        )
        assert page.status_code == 303, page.text
        return page.headers["location"]

    return _paste


def form_of(text: str) -> dict[str, str]:
    """What a browser would send of the page of columns, as it stands."""
    form: dict[str, str] = {}
    for name, value in re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)">', text):
        form[name] = value.replace("&amp;", "&").replace("&#39;", "'")
    for name, body in re.findall(r'<select[^>]* name="([^"]+)".*?>(.*?)</select>', text, re.DOTALL):
        chosen = re.search(r'<option(?: value="([^"]*)")? selected>([^<]*)', body)
        form[name] = (chosen[1] or chosen[2]) if chosen else ""
    form.pop("look", None)
    form.pop("back", None)
    return form


def test_a_file_is_kept_looked_at_and_confirmed(
    client: TestClient, desk: Desk, given: Given
) -> None:
    page = client.post(
        f"/lessons/{given.lesson.id}/files",
        files={"file": ("tuesday.csv", table_text().encode(), "text/csv")},
    )
    assert page.status_code == 200
    assert "18 balls in 2 blocks" in page.text
    assert desk.book.shots(given.lesson.id) == ()
    form = form_of(page.text)
    assert form["what-2"] == "quantity:carry"
    assert form["unit-2"] == "yd"
    done = client.post(page.url.path, data={**form, "deed": "confirm"})
    assert done.url.path == f"/lessons/{given.lesson.id}"
    assert "18 balls came in" in done.text
    assert [block.role for block in desk.book.blocks(given.lesson.id)] == ["before", "with_change"]
    assert len(desk.book.judgements(given.lesson.id)) == 1


def test_the_same_table_twice_adds_nothing(
    client: TestClient, desk: Desk, given: Given, paste: Callable[[str], str]
) -> None:
    for _ in range(2):
        address = paste(table_text())
        page = client.get(address)
        done = client.post(address, data={**form_of(page.text), "deed": "confirm"})
    assert "18 balls were here already" in done.text
    assert len(desk.book.shots(given.lesson.id)) == 18


def test_a_confirmed_header_is_remembered(client: TestClient, paste: Callable[[str], str]) -> None:
    address = paste(table_text())
    client.post(address, data={**form_of(client.get(address).text), "deed": "confirm"})
    again = client.get(paste(table_text(seed=8)))
    assert "This header was confirmed before" in again.text


def test_looking_again_applies_other_choices_and_writes_nothing(
    client: TestClient, desk: Desk, given: Given, paste: Callable[[str], str]
) -> None:
    address = paste(table_text())
    form = form_of(client.get(address).text)
    page = client.post(address, data={**form, "unit-2": "m", "deed": "look"})
    assert page.status_code == 200
    assert form_of(page.text)["unit-2"] == "m"
    assert desk.book.shots(given.lesson.id) == ()


def test_two_columns_of_one_quantity_are_refused_and_the_choice_stands(
    client: TestClient, desk: Desk, given: Given, paste: Callable[[str], str]
) -> None:
    address = paste(table_text())
    form = form_of(client.get(address).text)
    wrong = {**form, "what-1": "quantity:carry", "unit-1": "yd", "deed": "confirm"}
    page = client.post(address, data=wrong)
    assert page.status_code == 422
    assert "are both mapped to carry" in page.text
    assert form_of(page.text)["what-1"] == "quantity:carry"
    assert desk.book.shots(given.lesson.id) == ()


def test_an_answered_question_sets_the_unit(
    client: TestClient, paste: Callable[[str], str]
) -> None:
    address = paste(table_text())
    form = form_of(client.get(address).text)
    page = client.post(address, data={**form, "take": "2:m"})
    assert form_of(page.text)["unit-2"] == "m"


def test_blocks_can_be_given_by_rows(
    client: TestClient, desk: Desk, given: Given, paste: Callable[[str], str]
) -> None:
    rows = table_text().splitlines()
    plain = "\n".join(row.partition(",")[2] for row in rows)
    address = paste(plain)
    form = form_of(client.get(address).text)
    spans = {
        "first-0": "2",
        "last-0": "9",
        "label-0": "own swing",
        "first-1": "10",
        "last-1": "19",
        "label-1": "with the cue",
    }
    page = client.post(address, data={**form, **spans, "deed": "look"})
    assert "own swing" in page.text
    client.post(address, data={**form_of(page.text), **spans, "deed": "confirm"})
    labels = [block.label for block in desk.book.blocks(given.lesson.id)]
    assert labels == ["own swing", "with the cue"]


def test_half_a_block_by_rows_is_refused_and_stays_typed(
    client: TestClient, paste: Callable[[str], str]
) -> None:
    address = paste(table_text())
    form = form_of(client.get(address).text)
    page = client.post(address, data={**form, "first-0": "2", "label-0": "A & B", "deed": "look"})
    assert page.status_code == 422
    assert "from row 2 to row ? is not whole." in page.text
    assert 'name="label-0" value="A &amp; B"' in page.text


def test_roles_said_on_the_page_are_those_of_the_lesson(
    client: TestClient, desk: Desk, given: Given, paste: Callable[[str], str]
) -> None:
    address = paste(table_text())
    form = form_of(client.get(address).text)
    swapped = {"role-0": "with_change", "role-1": "before", "deed": "confirm"}
    client.post(address, data={**form, **swapped})
    assert [block.role for block in desk.book.blocks(given.lesson.id)] == ["with_change", "before"]


def test_problems_come_with_row_column_text_and_reason(
    client: TestClient, paste: Callable[[str], str]
) -> None:
    rows = table_text().splitlines()
    rows[3] = "before,ninety<i>,200,1"
    page = client.get(paste("\n".join(rows)))
    row = re.search(
        r'<table class="figures problems">.*?<tbody>(.*?)</tbody>', page.text, re.DOTALL
    )
    assert row is not None
    assert re.search(r'<td class="num">4</td><td>Club speed \(mph\)</td>', row[1])
    assert "ninety&lt;i&gt;" in row[1]


@pytest.mark.parametrize(
    ("data", "what"),
    [({"pasted": "  "}, "No table was given."), ({}, "No table was given.")],
)
def test_nothing_given_is_said(
    client: TestClient, given: Given, data: dict[str, str], what: str
) -> None:
    page = client.post(f"/lessons/{given.lesson.id}/files", data=data)
    assert page.status_code == 422
    assert what in page.text


def test_what_is_no_table_is_kept_as_typed_and_said(
    client: TestClient, desk: Desk, given: Given
) -> None:
    text = "Dear coach,\nthank you for <today>."
    page = client.post(f"/lessons/{given.lesson.id}/files", data={"pasted": text})
    if page.url.path.endswith("/columns"):  # read as a table without any shot: said there
        assert "0 balls" in page.text
        done = client.post(page.url.path, data={**form_of(page.text), "deed": "confirm"})
        assert done.status_code == 422
    else:
        assert page.status_code == 422
        assert "thank you for &lt;today&gt;." in page.text
    assert desk.book.shots(given.lesson.id) == ()


def test_an_empty_file_is_said(client: TestClient, given: Given) -> None:
    page = client.post(
        f"/lessons/{given.lesson.id}/files", files={"file": ("empty.csv", b"", "text/csv")}
    )
    assert page.status_code == 422
    assert "&#39;empty.csv&#39; is empty." in page.text


def test_a_pasted_table_may_be_larger_than_a_form_usually_is(
    client: TestClient, paste: Callable[[str], str]
) -> None:
    text = "Carry (yd),Note\n" + f"200.5,{'x' * 100}\n" * 12_000
    assert len(text) > 2**20
    assert "12000 balls" in client.get(paste(text)).text


def test_more_than_the_limit_is_refused_with_a_page(client: TestClient, given: Given) -> None:
    page = client.post(
        f"/lessons/{given.lesson.id}/files",
        files={"file": ("huge.csv", b"1" * (LIMIT_BYTES + 1), "text/csv")},
    )
    assert page.status_code == 413
    assert "That is more than 20 MB" in page.text
    assert "Split the table into several files" in page.text


def test_a_table_taken_for_another_unit_is_taken_out_and_confirmed_anew(
    client: TestClient, desk: Desk, given: Given, paste: Callable[[str], str]
) -> None:
    address = paste(table_text())
    wrong = {**form_of(client.get(address).text), "unit-2": "m", "deed": "confirm"}
    lesson = client.post(address, data=wrong)
    assert {s.values["carry"].unit for s in desk.book.shots(given.lesson.id)} == {"m"}
    assert "take its balls out again" in lesson.text
    columns = client.post(address.replace("columns", "withdraw"))
    assert columns.url.path == address
    assert desk.book.shots(given.lesson.id) == ()
    right = {**form_of(columns.text), "unit-2": "yd", "deed": "confirm"}
    again = client.post(address, data=right)
    assert "18 balls came in" in again.text
    assert {s.values["carry"].unit for s in desk.book.shots(given.lesson.id)} == {"yd"}
    assert [block.role for block in desk.book.blocks(given.lesson.id)] == ["before", "with_change"]


def test_taking_out_a_file_that_is_not_there_says_so(client: TestClient) -> None:
    page = client.post("/files/99/withdraw")
    assert page.status_code == 404
    assert "has no file 99" in page.text
