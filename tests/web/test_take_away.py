"""The figures of a lesson as files, and tables that no spreadsheet computes."""

import csv
import math
from io import StringIO

import pytest
from starlette.testclient import TestClient

from leadfoot.desk import lesson as deeds
from leadfoot.desk.desk import Desk
from tests.web.lessons import Given, give_lesson


@pytest.fixture
def given(desk: Desk) -> Given:
    return give_lesson(desk)


def rows_of(text: str) -> list[list[str]]:
    return list(csv.reader(StringIO(text)))


STARTS = {
    "svg": ("image/svg+xml", b"<?xml"),
    "png": ("image/png", b"\x89PNG"),
    "csv": ("text/csv", b""),
}


@pytest.mark.parametrize("figure", ["pattern", "run", "change"])
@pytest.mark.parametrize("kind", list(STARTS))
def test_every_figure_comes_as_a_file(
    client: TestClient, given: Given, figure: str, kind: str
) -> None:
    path = f"/lessons/{given.lesson.id}/figures/{figure}"
    found = client.get(f"{path}.{kind}")
    media, start = STARTS[kind]
    assert found.status_code == 200
    assert found.headers["content-type"].startswith(media)
    assert found.content.startswith(start)
    name = f'filename="lesson-{given.lesson.id}-{figure}.{kind}"'
    assert name in found.headers["content-disposition"]
    assert f'href="{path}.{kind}"' in client.get(f"/lessons/{given.lesson.id}").text


def test_the_numbers_behind_the_pattern_are_the_balls(
    client: TestClient, desk: Desk, given: Given
) -> None:
    shots = desk.book.shots(given.lesson.id)
    deeds.leave_out(desk, shots[2].id, "a bird")
    rows = rows_of(client.get(f"/lessons/{given.lesson.id}/figures/pattern.csv").text)
    assert rows[0][:3] == ["ball", "side", "carry (yd)"]
    assert [int(row[0]) for row in rows[1:]] == [s.place for s in shots if s is not shots[2]]
    assert float(rows[1][2]) == shots[0].values["carry"].value
    run = rows_of(client.get(f"/lessons/{given.lesson.id}/figures/run.csv").text)
    assert run[3][4] == "a bird"
    assert run[0][5] == "club speed (mph)"


def test_a_label_that_begins_a_formula_stays_a_text(client: TestClient, desk: Desk) -> None:
    given = give_lesson(desk)
    block = desk.book.blocks(given.lesson.id)[1]
    label = '=HYPERLINK("http://x","y")'
    desk.book.change_block(block.id, label=label, role=block.role)
    for figure in ("pattern", "run"):
        rows = rows_of(client.get(f"/lessons/{given.lesson.id}/figures/{figure}.csv").text)
        assert rows[-1][1] == f"'{label}"
        assert not any(cell.startswith(("=", "+", "@")) for row in rows for cell in row)


def test_the_change_is_that_of_the_answer(client: TestClient, given: Given) -> None:
    rows = rows_of(client.get(f"/lessons/{given.lesson.id}/figures/change.csv").text)
    answer = client.get(f"/lessons/{given.lesson.id}/answer.json").json()
    assert len(rows) - 1 == len(answer["outcomes"])
    change = float(rows[1][rows[0].index("change")])
    assert math.isclose(change, answer["outcomes"][0]["change"], abs_tol=1e-3)


def test_without_an_answer_there_is_no_picture_but_the_run_has_its_numbers(
    client: TestClient, desk: Desk
) -> None:
    given = give_lesson(desk, n_with=0)
    path = f"/lessons/{given.lesson.id}/figures"
    refused = client.get(f"{path}/pattern.svg")
    assert refused.status_code == 422
    assert "Now hit some balls with the change." in refused.text
    assert client.get(f"{path}/run.csv").status_code == 200
    assert client.get(f"{path}/nothing.svg").status_code == 422
