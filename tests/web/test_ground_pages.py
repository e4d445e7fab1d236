"""The pages of recordings and jumps over HTTP: given, corrected, linked, compared, taken along."""

import csv
import json
import re
from io import StringIO

import numpy as np
import pytest
from numpy.typing import NDArray
from starlette.testclient import TestClient

from leadfoot.desk.desk import Desk
from leadfoot.ground.made_swing import usual_swing
from leadfoot.ground.screening import QUESTIONS
from tests.desk.plates import OnPlates, ball, jump_file, on_plates, swing_file
from tests.ground.synthetic import swing_c3d, swing_table


@pytest.fixture
def given(desk: Desk) -> OnPlates:
    return on_plates(desk)


def words_and_rows(data: bytes) -> tuple[dict[str, object], NDArray[np.float32]]:
    length = int.from_bytes(data[:4], "little")
    words = json.loads(data[4 : 4 + length])
    rows = np.frombuffer(data[4 + length :], dtype="<f4").reshape(-1, words["n"])
    return words, rows


def test_an_empty_page_teaches(client: TestClient, desk: Desk) -> None:
    given = on_plates(desk, n_each=0)
    page = client.get(f"/lessons/{given.lesson_id}/ground")
    assert page.status_code == 200
    assert "No force recording yet" in page.text
    assert "drop its file below" in page.text


def test_a_recording_is_given_and_shown(client: TestClient, desk: Desk) -> None:
    given = on_plates(desk, n_each=1)
    data = swing_file(7)
    page = client.post(
        f"/lessons/{given.lesson_id}/recordings",
        files={"file": ("new.c3d", data)},
        data={"block": str(given.blocks[0].id)},
    )
    assert page.status_code == 200
    assert re.search(r"Body weight 680 ± [\d.]+ N .*\(69\.\d kg\)", page.text)
    stored = desk.book.recordings(given.lesson_id)[-1]
    assert stored.block_id == given.blocks[0].id
    assert client.get(f"/recordings/{stored.id}/file").content == data
    lesson = client.get(f"/lessons/{given.lesson_id}").text
    assert f'href="/lessons/{given.lesson_id}/ground"' in lesson
    assert "new.c3d" not in lesson, "a recording is no table of balls"


def test_what_is_no_recording_is_kept_and_named(client: TestClient, desk: Desk) -> None:
    given = on_plates(desk, n_each=0)
    address = f"/lessons/{given.lesson_id}/recordings"
    assert client.post(address, data={}).status_code == 422
    page = client.post(address, files={"file": ("x.c3d", b"\x02\x50\x00")})
    assert page.status_code == 200
    assert "gives no swing yet" in page.text
    assert len(desk.book.recordings(given.lesson_id)) == 1
    assert client.get("/recordings/1/traces").status_code == 422
    assert client.get("/recordings/1/swing.svg").status_code == 422
    assert client.get("/recordings/9/traces").status_code == 404


def test_traces_come_whole_and_in_a_window(client: TestClient, given: OnPlates) -> None:
    one = given.recordings[0].id
    whole, rows = words_and_rows(
        client.get(f"/recordings/{one}/traces?panels=vertical,moments&columns=50").content
    )
    assert whole["exact"] is False
    names = [(trace["panel"], trace["key"]) for trace in whole["traces"]]  # type: ignore[attr-defined]
    assert names[:3] == [("vertical", "lead"), ("vertical", "trail"), ("vertical", "both")]
    assert ("moments", "frontal") in names
    near, full = words_and_rows(
        client.get(f"/recordings/{one}/traces?panels=vertical&from=3&to=3.1&columns=500").content
    )
    assert near["exact"] is True
    assert near["step"] == pytest.approx(1.0 / 500.0)
    assert full.shape == (3, near["n"])
    assert full[2] == pytest.approx(full[0] + full[1], abs=1e-3)
    _, every = words_and_rows(client.get(f"/recordings/{one}/traces?columns=4000").content)
    assert np.nanmax(rows[2]) == np.nanmax(every[2]), "no peak is lost at any zoom"
    assert np.nanmin(rows[2]) == np.nanmin(every[2])


@pytest.mark.parametrize("query", ["from=99&to=100", "from=-5&to=-4", "from=3&to=2", "from=nan"])
def test_a_window_that_is_none_gives_no_error(
    client: TestClient, given: OnPlates, query: str
) -> None:
    one = given.recordings[0].id
    answer = client.get(f"/recordings/{one}/traces?{query}")
    assert answer.status_code == 200
    assert words_and_rows(answer.content)[1].size


def test_the_strike_is_set_and_says_by_whom(client: TestClient, given: OnPlates) -> None:
    address = f"/recordings/{given.recordings[0].id}/strike"
    page = client.post(address, data={"deed": "hand", "strike": "3,0120"})
    assert "Strike at" in page.text
    assert "3.0120 s</span>, set by hand, ± 10.0 ms" in page.text
    page = client.post(
        address, data={"deed": "clock", "monitor": "14:03:22.5", "first_sample": "14:03:19.4"}
    )
    assert "3.1000 s</span>, launch monitor, ± 20.0 ms" in page.text
    assert "trigger channel" in client.post(address, data={"deed": "clear"}).text
    refused = client.post(address, data={"deed": "hand", "strike": "soon"})
    assert refused.status_code == 422
    assert "The strike is &#39;soon&#39;, which is no number." in refused.text
    assert client.post(address, data={"strike": "99"}).status_code == 422


def test_choices_are_shown_and_corrected(client: TestClient, desk: Desk, given: OnPlates) -> None:
    one = given.recordings[0].id
    form = {
        "hand": "right",
        "foot": ["trail", "lead"],
        "stature": "180",
        "mat": "20",
        "mass": "69.4",
    }
    page = client.post(f"/recordings/{one}/choices", data=form)
    assert page.status_code == 200
    assert '"feet": ["trail", "lead"]' in desk.book.recording(one).choices_json
    assert '"stature_m": 1.8' in desk.book.recording(one).choices_json
    assert '<option value="trail" selected>trail foot</option>' in page.text
    refused = client.post(f"/recordings/{one}/choices", data={**form, "foot": ["lead", ""]})
    assert refused.status_code == 422
    assert "A foot is given for some plates and not for others" in refused.text
    refused = client.post(f"/recordings/{one}/choices", data={**form, "stature": "18"})
    assert "The height of the golfer is 18 cm" in refused.text
    refused = client.post(f"/recordings/{one}/choices", data={**form, "mass": "9000"})
    assert refused.status_code == 422


def test_the_columns_of_a_table_are_confirmed(client: TestClient, desk: Desk) -> None:
    given = on_plates(desk, n_each=0)
    text = swing_table(usual_swing(), 250.0).decode().replace("lead Fz (N)", "strange")
    client.post(f"/lessons/{given.lesson_id}/recordings", files={"file": ("a.csv", text.encode())})
    page = client.get(f"/lessons/{given.lesson_id}/ground")
    assert "strange" in page.text
    headers = re.findall(r'name="header-(\d+)" value="([^"]*)"', page.text)
    found = dict(re.findall(r'name="quantity-(\d+)".*?<option value="(\w*)" selected', page.text))
    form = {f"header-{k}": name for k, name in headers}
    for k, name in headers:
        form[f"quantity-{k}"] = "fz" if name == "strange" else found.get(k, "")
        form[f"plate-{k}"] = "1" if name == "strange" or name.startswith("lead") else "2"
        form[f"unit-{k}"] = "N" if name == "strange" else ""
    page = client.post("/recordings/1/choices", data={"hand": "right", **form})
    assert page.status_code == 200, page.text
    assert "Body weight 680" in page.text
    again = client.post(
        f"/lessons/{given.lesson_id}/recordings", files={"file": ("b.csv", (text + "\n").encode())}
    )
    assert "Body weight 680" in again.text, "the columns were remembered"


def test_recordings_are_linked_and_left_out(
    client: TestClient, desk: Desk, given: OnPlates
) -> None:
    page = client.post(f"/lessons/{given.lesson_id}/recordings/link", data={"deed": "order"})
    assert "6 recordings linked" in page.text
    one = given.recordings[0].id
    assert (
        "Ball 1</a>, linked by order"
        in client.get(f"/lessons/{given.lesson_id}/ground?recording={one}").text
    )
    client.post(f"/recordings/{one}/link", data={"shot": "", "block": str(given.blocks[1].id)})
    assert desk.book.recording(one).shot_id is None
    assert desk.book.recording(one).block_id == given.blocks[1].id
    taken = client.post(f"/recordings/{one}/link", data={"shot": str(given.shots[1].id)})
    assert taken.status_code == 422
    assert "is linked to recording 2 already" in taken.text
    client.post(f"/recordings/{one}/link", data={"shot": str(given.shots[0].id)})
    assert desk.book.recording(one).linked_by == "hand"
    assert client.post(f"/recordings/{one}/leave-out", data={}).status_code == 422
    client.post(f"/recordings/{one}/leave-out", data={"reason": "a slip"})
    assert desk.book.recording(one).left_out_reason == "a slip"
    client.post(f"/recordings/{one}/take-back")
    assert desk.book.recording(one).left_out_reason is None
    refused = client.post(f"/lessons/{given.lesson_id}/recordings/link", data={"deed": "time"})
    assert refused.status_code == 422


def test_two_blocks_are_compared_and_taken_along(client: TestClient, given: OnPlates) -> None:
    page = client.get(f"/lessons/{given.lesson_id}/ground").text
    assert "Block against block" in page
    assert "Fewer than five swings on a side say little" in page
    curves = json.loads(re.findall(r'id="compared" data-live>(.*?)</script>', page)[0])
    assert curves["curves"]["lead"]["before"]["n"] == 3
    base = f"/lessons/{given.lesson_id}/ground/blocks"
    svg = client.get(f"{base}-lead.svg")
    assert svg.content.startswith(b"<?xml")
    assert client.get(f"{base}-turning.png").content.startswith(b"\x89PNG")
    assert client.get(f"{base}-nothing.png").status_code == 422
    rows = list(csv.DictReader(StringIO(client.get(f"{base}.csv").text)))
    assert {row["block"] for row in rows} == {"before", "with the push"}
    assert float(next(row for row in rows if row["number"] == "weight")["value"]) > 600.0


@pytest.mark.parametrize(
    ("end", "start"), [("svg", b"<?xml"), ("png", b"\x89PNG"), ("csv", b'time, s"')]
)
def test_a_swing_is_taken_along(
    client: TestClient, given: OnPlates, end: str, start: bytes
) -> None:
    answer = client.get(f"/recordings/{given.recordings[0].id}/swing.{end}")
    assert answer.status_code == 200
    assert answer.content.lstrip(b'"').startswith(start)
    assert "attachment" in answer.headers["content-disposition"]


def test_push_and_speed_stand_beside_the_model(client: TestClient, given: OnPlates) -> None:
    client.post(f"/lessons/{given.lesson_id}/recordings/link", data={"deed": "order"})
    page = client.get(f"/lessons/{given.lesson_id}/ground?model=yes&club=driver").text
    assert "A link is no proof" in page
    assert "not measured, no promise" in page
    assert "Pushing hard and swinging at full effort" in page


def test_a_recording_that_comes_shows_on_the_live_page(
    client: TestClient, desk: Desk, given: OnPlates
) -> None:
    seen = desk.book.last_change()
    desk.book.add_shot(given.blocks[0].id, ball(43.0), at=desk.clock())
    page = client.get(f"/lessons/{given.lesson_id}/ground").text
    change = re.search(r'data-change="(\d+)"', page)
    assert change is not None
    assert int(change.group(1)) > seen


def jumps_of(desk: Desk) -> str:
    student = desk.book.add_student(
        name="Jo Nowhere", hand="right", goals="", cautions="", invented=True, at=desk.clock()
    )
    return f"/students/{student.id}/jumps"


NO = {question.key: "no" for question in QUESTIONS}


def test_no_jump_before_the_questions(client: TestClient, desk: Desk) -> None:
    address = jumps_of(desk)
    page = client.get(address)
    assert "Ask these questions first" in page.text
    assert "Measure it" not in page.text
    refused = client.post(f"{address}/file", files={"file": ("a.csv", jump_file())})
    assert refused.status_code == 422
    assert "Nobody asked today&#39;s questions yet" in refused.text


def test_a_yes_blocks_until_it_is_cleared(client: TestClient, desk: Desk) -> None:
    address = jumps_of(desk)
    page = client.post(f"{address}/answers", data={**NO, "back_pain_last_year": "yes"})
    assert "No maximal effort today" in page.text
    assert "Measure it" not in page.text
    day = desk.clock().date().isoformat()
    form = {"clinician": "Dr Nobody", "on_day": day, "covers": ["back_pain_last_year"]}
    refused = client.post(f"{address}/clearance", data={**form, "on_day": "soon"})
    assert refused.status_code == 422
    assert "Write it as 2026-03-14" in refused.text
    assert 'value="Dr Nobody"' in refused.text, "nothing typed is lost"
    page = client.post(f"{address}/clearance", data=form)
    assert "Dr Nobody" in page.text
    assert "Measure it" in page.text


def test_jumps_are_measured_typed_and_left_out(client: TestClient, desk: Desk) -> None:
    address = jumps_of(desk)
    client.post(f"{address}/answers", data=NO)
    page = client.post(f"{address}/file", files={"file": ("a.csv", jump_file())})
    assert "Height by impulse on force plates" in page.text
    page = client.post(
        f"{address}/typed", data={"by": "flight time", "flight": "520", "mass": "80"}
    )
    assert "33.1 cm" in page.text
    assert "estimate" in page.text
    client.post(f"{address}/typed", data={"by": "reach", "standing": "230", "jumping": "276"})
    refused = client.post(f"{address}/typed", data={"by": "flight time", "flight": "9000"})
    assert refused.status_code == 422
    assert client.post(f"{address}/typed", data={"by": "reach"}).status_code == 422
    assert client.post(f"{address}/leave-out/1", data={"reason": ""}).status_code == 422
    assert "a stumble" in client.post(f"{address}/leave-out/1", data={"reason": "a stumble"}).text
    client.post(f"{address}/leave-out/1", data={"deed": "back"})
    rows = list(csv.DictReader(StringIO(client.get(f"{address}/jumps.csv").text)))
    assert [row["kind"] for row in rows] == ["impulse", "flight time", "reach"]
    other = jumps_of(desk)
    assert client.post(f"{other}/leave-out/1", data={"reason": "x"}).status_code == 422


def test_the_weight_is_asked_for_before_anything_is_in_percent_of_it(
    client: TestClient, desk: Desk
) -> None:
    given = on_plates(desk, n_each=0)
    page = client.post(
        f"/lessons/{given.lesson_id}/recordings",
        files={"file": ("new.c3d", swing_file(7))},
        data={"block": str(given.blocks[0].id)},
    ).text
    assert re.search(r"Is 680 N \(69\.\d kg, with the club\) about right\?", page)
    assert "by the file alone" in page
    assert "peaks at 504 N" in page
    assert "peak of weight" not in page
    stored = desk.book.recordings(given.lesson_id)[-1]
    page = client.post(f"/recordings/{stored.id}/weight").text
    assert "about right?" not in page
    assert "peaks at 74 % of it" in page
    assert "lead foot, peak of weight" in page
    choices = f"/recordings/{stored.id}/choices"
    assert "about right?" not in client.post(choices, data={"confirmed": "69.4"}).text
    assert (
        "It is not the 726 N that were confirmed before"
        in client.post(choices, data={"confirmed": "74"}).text
    )


def test_blocks_are_not_compared_in_percent_of_an_unconfirmed_weight(
    client: TestClient, desk: Desk
) -> None:
    given = on_plates(desk)
    for stored in desk.book.recordings(given.lesson_id):
        client.post(f"/recordings/{stored.id}/choices", data={"hand": "right"})
    page = client.get(f"/lessons/{given.lesson_id}/ground").text
    assert "The weight of 6 recordings rests on the file alone" in page
    assert '"name": "lead foot, vertical force"' not in page


def test_a_mirrored_centre_of_pressure_is_repaired_and_the_page_says_so(
    client: TestClient, desk: Desk
) -> None:
    given = on_plates(desk, n_each=0)
    paths = []
    for depth_sign in (-1.0, 1.0):
        data = swing_c3d(usual_swing(), 500.0, kind=3, depth_sign=depth_sign)
        page = client.post(
            f"/lessons/{given.lesson_id}/recordings",
            files={"file": (f"{depth_sign:g}.c3d", data)},
            data={"block": str(given.blocks[0].id)},
        ).text
        said = "ORIGIN z of plate 1 is +52 mm where the standard has it negative: its depth alone"
        assert (said in page) == (depth_sign > 0.0)
        paths.append(re.findall(r'class="way way-after" d="([^"]+)"', page))
    assert paths[0] == paths[1] != []
