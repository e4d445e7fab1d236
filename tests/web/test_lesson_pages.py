"""The page of a lesson: the answer, the balls, leaving out and taking back, the sheet."""

import json
import re

import pytest
from starlette.testclient import TestClient

from leadfoot.desk import lesson as deeds
from leadfoot.desk.desk import Desk
from leadfoot.desk.records import StoredShot
from tests.web.lessons import Given, give_lesson


@pytest.fixture
def given(desk: Desk) -> Given:
    return give_lesson(desk)


def page_of(client: TestClient, given: Given) -> str:
    return client.get(f"/lessons/{given.lesson.id}").text


def first_shot(desk: Desk, given: Given) -> StoredShot:
    return desk.book.shots(given.lesson.id)[0]


def test_the_answer_stands_on_top_with_its_odds(
    client: TestClient, desk: Desk, given: Given
) -> None:
    text = page_of(client, given)
    answer = deeds.lesson_view(desk, given.lesson.id).answer
    assert answer is not None
    assert answer.decision == "keep"
    heading = re.search(r'<h1 class="sentence[^>]*>(.*?)</h1>', text, re.DOTALL)
    assert heading is not None
    assert re.sub(r"<[^>]+>", "", heading[1]) == answer.sentence
    assert "over 99 in 100" in text
    for claim in ("Longer", "Straighter", "Both"):
        assert f"<dt>{claim}</dt>" in text


def test_measured_and_computed_look_different(client: TestClient, desk: Desk) -> None:
    given = give_lesson(desk)
    assert 'class="basis-measured"' in page_of(client, given)
    lesson = deeds.add_lesson(desk, given.student.id, change="tee height", club="driver")
    for role in ("before", "with_change"):
        block = deeds.add_block(desk, lesson.id, label=role, role=role)
        for n in range(6):
            fields = ("ball_speed", "launch_angle", "spin_rate")
            deeds.type_shot(desk, block.id, f"{130 + n} 12 2600", fields)
    text = client.get(f"/lessons/{lesson.id}").text
    assert '<tr class="basis-modelled">' in text
    assert "computed, yd" in text


def test_the_picture_holds_the_judged_balls(client: TestClient, desk: Desk, given: Given) -> None:
    found = re.search(r'id="pictures" data-live>(.*?)</script>', page_of(client, given), re.DOTALL)
    assert found is not None
    pictures = json.loads(found[1])
    shots = desk.book.shots(given.lesson.id)
    assert pictures["pattern"]["places"] == [shot.place for shot in shots]
    assert pictures["pattern"]["offline"][0] == shots[0].values["offline"].value
    assert pictures["run"]["roles"].count("with_change") == 12
    loop = pictures["pattern"]["loops"]["after"]
    assert len(loop["ring"]) == 73
    assert loop["ring"][0] == pytest.approx(loop["ring"][-1])


def test_a_ball_is_left_out_with_a_reason_and_taken_back(
    client: TestClient, desk: Desk, given: Given
) -> None:
    shot = first_shot(desk, given)
    page = client.post(
        f"/lessons/{given.lesson.id}/leave-out",
        data={"shot": str(shot.id), "reason": "the instrument misread it", "own_words": ""},
    )
    assert desk.book.shot(shot.id).left_out_reason == "the instrument misread it"
    assert 'class="left-out"' in page.text
    page = client.post(f"/lessons/{given.lesson.id}/take-back/{shot.id}")
    assert desk.book.shot(shot.id).left_out_reason is None
    assert 'class="left-out"' not in page.text


def test_a_very_long_lesson_shows_its_last_balls_and_all_on_request(
    client: TestClient, desk: Desk, monkeypatch: pytest.MonkeyPatch, given: Given
) -> None:
    monkeypatch.setattr("leadfoot.web.shot_table.MOST_ROWS", 5)
    text = page_of(client, given)
    assert text.count("data-place=") == 5
    assert 'data-place="22"' in text
    assert "17 earlier balls not shown here" in text
    whole = client.get(f"/lessons/{given.lesson.id}?balls=all").text
    assert whole.count("data-place=") == 22
    assert "not shown here" not in whole


def test_own_words_come_before_the_list(client: TestClient, desk: Desk, given: Given) -> None:
    shot = first_shot(desk, given)
    client.post(
        f"/lessons/{given.lesson.id}/leave-out",
        data={"shot": str(shot.id), "reason": "the instrument misread it", "own_words": "a horn"},
    )
    assert desk.book.shot(shot.id).left_out_reason == "a horn"


def test_nothing_is_left_out_without_a_reason(client: TestClient, desk: Desk, given: Given) -> None:
    shot = first_shot(desk, given)
    page = client.post(
        f"/lessons/{given.lesson.id}/leave-out",
        data={"shot": str(shot.id), "reason": "", "own_words": ""},
    )
    assert page.status_code == 422
    assert "A shot can&#39;t be left out without a reason." in page.text
    assert re.search(rf'name="shot" value="{shot.id}" checked', page.text)
    assert desk.book.shot(shot.id).left_out_reason is None


def test_a_ball_of_another_lesson_is_not_touched(
    client: TestClient, desk: Desk, given: Given
) -> None:
    other = give_lesson(desk, name="Otto Other", n_before=1, n_with=1)
    foreign = first_shot(desk, other)
    page = client.post(
        f"/lessons/{given.lesson.id}/leave-out",
        data={"shot": str(foreign.id), "reason": "the instrument misread it"},
    )
    assert page.status_code == 422
    assert "No ball was chosen." in page.text
    taken = client.post(f"/lessons/{given.lesson.id}/take-back/{foreign.id}")
    assert taken.status_code == 422
    assert desk.book.shot(foreign.id).left_out_reason is None


def test_leaving_out_keeps_a_new_answer(client: TestClient, desk: Desk, given: Given) -> None:
    n_kept = len(desk.book.judgements(given.lesson.id))
    client.post(
        f"/lessons/{given.lesson.id}/leave-out",
        data={"shot": str(first_shot(desk, given).id), "reason": "something disturbed the swing"},
    )
    assert len(desk.book.judgements(given.lesson.id)) == n_kept + 1


def test_a_ball_is_typed_into_a_block(client: TestClient, desk: Desk, given: Given) -> None:
    block = desk.book.blocks(given.lesson.id)[1]
    page = client.post(
        f"/lessons/{given.lesson.id}/shots",
        data={
            "block": str(block.id),
            "line": "98 205 4L",
            "field": ["club_speed:mph", "carry:yd", "offline:yd", "", ""],
        },
    )
    shot = desk.book.shots(given.lesson.id)[-1]
    assert (shot.block_id, shot.values["offline"].value, shot.source) == (block.id, -4.0, "typed")
    assert page.url.path == f"/lessons/{given.lesson.id}"
    assert client.cookies["fields"] == "club_speed:mph.carry:yd.offline:yd"


def test_a_typed_ball_that_is_sent_again_is_no_second_ball(
    client: TestClient, desk: Desk, given: Given
) -> None:
    address = f"/lessons/{given.lesson.id}/shots"
    sent = {"line": "94 165 2R", "block": "new:other", "once": "ab12",
            "field": ["club_speed:mph", "carry:yd", "offline:yd"]}  # fmt: skip
    before = len(desk.book.blocks(given.lesson.id))
    for _ in range(2):
        page = client.post(address, data=sent)
        assert page.status_code == 200
    assert page.text.count("data-place=") == 23
    assert len(desk.book.blocks(given.lesson.id)) == before + 1
    client.post(address, data={**sent, "once": "cd34"})
    client.post(address, data={**sent, "once": ""})
    client.post(address, data={**sent, "once": ""})
    assert len(desk.book.shots(given.lesson.id)) == 26


def test_the_first_typed_ball_begins_a_block(client: TestClient, desk: Desk) -> None:
    given = give_lesson(desk, n_before=0, n_with=0)
    address = f"/lessons/{given.lesson.id}/shots"
    fields = ["ball_speed:km/h", "launch_angle:deg"]
    client.post(address, data={"block": "new:before", "line": "210 12", "field": fields})
    client.post(address, data={"block": "new:with_change", "line": "215 12", "field": fields})
    labels = [(block.label, block.role) for block in desk.book.blocks(given.lesson.id)]
    assert labels == [("before", "before"), (given.lesson.change, "with_change")]
    assert desk.book.shots(given.lesson.id)[0].values["ball_speed"].unit == "km/h"


def test_a_line_that_cannot_be_read_begins_no_block(client: TestClient, desk: Desk) -> None:
    given = give_lesson(desk, n_before=0, n_with=0)
    page = client.post(
        f"/lessons/{given.lesson.id}/shots",
        data={"block": "new:before", "line": "nine & <b>", "field": ["club_speed:mph"]},
    )
    assert page.status_code == 422
    assert 'value="nine &amp; &lt;b&gt;"' in page.text
    assert desk.book.blocks(given.lesson.id) == ()


def test_roles_of_blocks_can_be_changed(client: TestClient, desk: Desk, given: Given) -> None:
    first, second = desk.book.blocks(given.lesson.id)
    page = client.post(
        f"/lessons/{given.lesson.id}/roles",
        data={f"role-{first.id}": "other", f"role-{second.id}": "before"},
    )
    assert [block.role for block in desk.book.blocks(given.lesson.id)] == ["other", "before"]
    assert "Now hit some balls with the change." in page.text
    refused = client.post(f"/lessons/{given.lesson.id}/roles", data={f"role-{first.id}": "best"})
    assert refused.status_code == 422
    assert "Choose before, with the change, or neither." in refused.text


def test_the_lesson_can_be_described_anew(client: TestClient, desk: Desk, given: Given) -> None:
    client.post(
        f"/lessons/{given.lesson.id}",
        data={"title": "", "change": "tee higher", "club": "", "notes": "line one\r\nline two"},
    )
    lesson = desk.book.lesson(given.lesson.id)
    assert (lesson.title, lesson.change, lesson.club, lesson.notes) == (
        "Lesson",
        "tee higher",
        None,
        "line one\nline two",
    )


@pytest.mark.parametrize("paper", ["a4", "us-letter"])
def test_the_sheet_prints(client: TestClient, given: Given, paper: str) -> None:
    sheet = client.get(f"/lessons/{given.lesson.id}/sheet.pdf", params={"paper": paper})
    assert sheet.headers["content-type"] == "application/pdf"
    assert sheet.text.startswith(f"%PDF {given.student.name} 2026-03-02")
    assert f"True {paper}" in sheet.text
    assert f'href="/lessons/{given.lesson.id}/sheet.pdf?paper={paper}"' in page_of(client, given)


def test_a_paper_that_nobody_has_is_refused(client: TestClient, given: Given) -> None:
    assert client.get(f"/lessons/{given.lesson.id}/sheet.pdf?paper=a0").status_code == 422


def test_without_an_answer_there_is_no_sheet(client: TestClient, desk: Desk) -> None:
    given = give_lesson(desk, n_with=0)
    for name in ("sheet.pdf", "answer.json"):
        page = client.get(f"/lessons/{given.lesson.id}/{name}")
        assert page.status_code == 422
        assert "Now hit some balls with the change." in page.text


def test_the_answer_comes_as_json_too(client: TestClient, given: Given) -> None:
    answer = client.get(f"/lessons/{given.lesson.id}/answer.json").json()
    assert answer["schema"] == "leadfoot.judge/1"
    assert answer["decision"] == "keep"


def test_flights_stand_in_the_frame_of_the_ball(
    client: TestClient, desk: Desk, given: Given
) -> None:
    got = client.get(f"/lessons/{given.lesson.id}/flights").json()
    assert (got["unit"], got["missing"], got["assumed"]) == ("yd", 0, [])
    assert len(got["flights"]) == 22
    shots = desk.book.shots(given.lesson.id)
    for flight, shot in zip(got["flights"], shots, strict=True):
        assert flight["x"][0] == flight["y"][0] == flight["z"][0] == 0.0
        assert flight["y"][-1] == pytest.approx(0.0, abs=0.02)
        # Right is positive: a ball that starts right and curves right ends right.
        start, curve = (shot.values[key].value for key in ("launch_direction", "spin_axis"))
        if start > 0.3 and curve > 0.3:
            assert flight["z"][-1] > 0.0
        if start < -0.3 and curve < -0.3:
            assert flight["z"][-1] < 0.0


def test_flights_say_what_is_assumed_and_missing(client: TestClient, desk: Desk) -> None:
    given = give_lesson(desk, n_before=0, n_with=0)
    block = deeds.add_block(desk, given.lesson.id, label="before", role="before")
    deeds.type_shot(desk, block.id, "130 12 2600", ("ball_speed", "launch_angle", "spin_rate"))
    deeds.type_shot(desk, block.id, "130", ("ball_speed",))
    got = client.get(f"/lessons/{given.lesson.id}/flights").json()
    assert (len(got["flights"]), got["missing"]) == (1, 1)
    assert got["assumed"] == [
        "started at the target where no launch direction was measured",
        "no curve where no spin axis was measured",
    ]


@pytest.mark.parametrize("path", ["/lessons/77", "/students/77", "/lessons/77/flights"])
def test_what_is_not_in_the_book_is_a_page(client: TestClient, path: str) -> None:
    page = client.get(path)
    assert page.status_code == 404
    assert "The client book has no" in page.text
    assert "To the first page" in page.text


def balls_before(desk: Desk, given: Given) -> int:
    """A lesson that begins: its balls as usual, of the same student."""
    lesson = deeds.add_lesson(desk, given.student.id, change="push", club="driver")
    for line in ("92 205 4R", "91 203 2L", "92.5 207 9R", "91.4 201 3L", "92.2 206 1R"):
        block = deeds.block_for(desk, lesson.id, "before")
        deeds.type_shot(desk, block.id, line, ("club_speed", "carry", "offline"))
    return lesson.id


def test_before_the_change_stands_a_plan(client: TestClient, desk: Desk, given: Given) -> None:
    lesson_id = balls_before(desk, given)
    text = client.get(f"/lessons/{lesson_id}").text
    assert 'id="planner-title"' in text
    assert "to show 8 yd more carry." in text
    assert text.count("<tr") == text.count("</tr>")
    asked = client.get(f"/lessons/{lesson_id}?gain=3&unit=mph&balls=20").text
    assert "to show 3 mph more club speed." in asked
    assert 'value="20"' in asked


@pytest.mark.parametrize(
    ("query", "says"),
    [
        ("gain=much&unit=yd&balls=30", "&#39;much&#39; is not a gain."),
        ("gain=8&unit=yd&balls=500", "500 balls can&#39;t be planned."),
        ("gain=8&unit=yd&balls=nan", "&#39;nan&#39; is not a number of balls."),
        ("gain=8&unit=deg&balls=30", "No ball before the change has anything measured in deg."),
        ("gain=8&unit=cubits&balls=30", "Unit &#39;cubits&#39; is not known."),
    ],
)
def test_a_plan_that_cannot_be_says_why_and_keeps_what_was_typed(
    client: TestClient, desk: Desk, given: Given, query: str, says: str
) -> None:
    answer = client.get(f"/lessons/{balls_before(desk, given)}?{query}")
    assert answer.status_code == 200
    assert says in answer.text
    assert f'value="{query.split("=")[1].split("&", maxsplit=1)[0]}"' in answer.text


def test_without_any_ball_there_is_no_plan_yet(client: TestClient, desk: Desk) -> None:
    student = deeds.add_student(desk, name="Nell New", hand="right")
    lesson = deeds.add_lesson(desk, student.id, club="driver")
    assert 'id="planner-title"' not in client.get(f"/lessons/{lesson.id}").text


def test_once_there_is_an_answer_the_plan_makes_room(client: TestClient, given: Given) -> None:
    assert 'id="planner-title"' not in page_of(client, given)


def test_while_nothing_is_decided_the_next_step_is_said(
    client: TestClient, desk: Desk, given: Given
) -> None:
    lesson_id = balls_before(desk, given)
    for line in ("92 206 4R", "91.4 207 2L", "92.8 205 9R", "92.4 209 3L", "91.6 203 1R"):
        block = deeds.block_for(desk, lesson_id, "with_change")
        deeds.type_shot(desk, block.id, line, ("club_speed", "carry", "offline"))
    answer = deeds.lesson_view(desk, lesson_id).answer
    assert answer is not None
    assert answer.decision == "hit_more"
    assert answer.next_step is not None
    assert 'class="next-step"' in client.get(f"/lessons/{lesson_id}").text
