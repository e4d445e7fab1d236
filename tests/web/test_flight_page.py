"""The flight bench: its address, its numbers, what it refuses, and where a lesson begins on it."""

import re
from html import unescape
from urllib.parse import parse_qsl, urlencode, urlsplit

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from leadfoot.desk import lesson as deeds
from leadfoot.desk.bench_parts import Part
from leadfoot.desk.desk import Desk
from leadfoot.desk.flight_bench import BESIDE_THE_FACE, INPUTS, SLID, usual_bench
from leadfoot.physics.clubs import clubs
from leadfoot.physics.flight import FLAGS
from leadfoot.web.bench_fields import FIELDS, SYSTEMS
from leadfoot.web.bench_query import query_of, read_asked
from leadfoot.web.bench_words import BECAUSE, FLAG_WORDS, SAME, why
from tests.web.lessons import give_lesson

KEYS = ("units", "hand", "club", "lesson", "written", "from_club", "assumed", "keep", "drop")
FIELD_KEYS = tuple(FIELDS)
anything = st.text(max_size=12)
numbers = st.one_of(st.integers(-300, 300).map(str), st.floats().map(str), anything)
sound = {key: st.sampled_from(choices) for key, choices in {
    "units": tuple(SYSTEMS), "hand": ("left", "right"), "club": tuple(clubs()),
    "from_club": tuple(clubs()), "written": tuple(SYSTEMS), "lesson": ("1", "7"),
    "assumed": FIELD_KEYS, "keep": ("1",), "drop": ("1",),
}.items()}  # fmt: skip
pairs = st.one_of(
    st.tuples(anything, anything),
    st.sampled_from(KEYS).flatmap(lambda key: st.tuples(st.just(key), sound[key] | anything)),
    st.tuples(st.sampled_from(FIELD_KEYS), numbers),
    st.tuples(st.sampled_from(FIELD_KEYS).map("before.{}".format), numbers),
)


@given(query=st.lists(pairs, max_size=8))
@example(query=[("face_angle", "\x00")])
@example(query=[("lesson", "9" * 30)])
@example(query=[("club_speed", "1e400"), ("before.club", "")])
@example(query=[("attack_angle", "-15"), ("dynamic_loft", "0"), ("club_speed", "20")])
@settings(max_examples=80, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_query_is_a_page_or_a_refusal(client: TestClient, query: list[tuple[str, str]]) -> None:
    address = urlencode(query, errors="replace")
    answer = client.get(f"/flight?{address}")
    assert answer.status_code in {200, 422}
    assert answer.headers["content-type"].startswith("text/html")
    script = client.get(f"/flight/numbers?{address}")
    assert script.status_code in {200, 422}
    if script.status_code == 422:
        assert set(script.json()) == {"key", "what", "fix"}


@given(text=st.text(max_size=40))
@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_text_as_a_query_never_breaks_the_page(client: TestClient, text: str) -> None:
    address = text.encode("utf-8", "replace").decode("latin-1").replace("#", "")
    assert client.get("/flight", params=address).status_code in {200, 422}


def test_without_a_query_the_usual_drive_stands_there_assumed(client: TestClient) -> None:
    page = client.get("/flight")
    assert page.status_code == 200
    assert "This ball carries 207 yd and comes down on the line." in page.text
    assert page.text.count("slider is-assumed") == len(FIELDS)
    assert "generic, invented mid-range values" in page.text


def test_every_page_leads_to_it(client: TestClient) -> None:
    for path in ("/", "/method", "/flight", "/nowhere"):
        assert '<a class="quiet" href="/flight"' in client.get(path).text


@pytest.mark.parametrize(
    ("query", "key", "what", "fix"),
    [
        (
            "face_angle=much",
            "face_angle",
            "Face angle 'much' is no number.",
            "Type a number from −15 to 15°.",
        ),
        (
            "club_speed=300",
            "club_speed",
            "Club speed is 300 mph, more than this page can try.",
            "Choose a value from 20 to 140 mph.",
        ),
        (
            "units=m/s&wind_along=-30",
            "wind_along",
            "Wind along is −30 m/s, less than this page can try.",
            "Choose a value from −18 to 18 m/s.",
        ),
        (
            "club=spoon",
            "club",
            "Club 'spoon' is not known here.",
            "Use one of: driver, wood3, wood5, hybrid, iron4, iron5, iron6, iron7, iron8, iron9, "
            "pitching_wedge, gap_wedge, sand_wedge, lob_wedge.",
        ),
        (
            "units=knots",
            "units",
            "Units 'knots' is not known here.",
            "Use one of: mph, m/s, km/h.",
        ),
        ("hand=both", "hand", "Hand 'both' is not known here.", "Use one of: right, left."),
        (
            "before.dynamic_loft=nan",
            "before.dynamic_loft",
            "Dynamic loft 'nan' is no number.",
            "Type a number from 0 to 75°.",
        ),
        (
            "lesson=first",
            "lesson",
            "Lesson 'first' is no number of a lesson.",
            "Open the flight bench from a lesson's own page.",
        ),
    ],
)
def test_a_value_that_cannot_be_tried_is_named_with_what_is_allowed(
    client: TestClient, query: str, key: str, what: str, fix: str
) -> None:
    answer = client.get(f"/flight/numbers?{query}")
    assert answer.status_code == 422
    assert answer.json() == {"key": key, "what": what, "fix": fix}
    page = client.get(f"/flight?{query}")
    assert page.status_code == 422
    text = unescape(page.text)
    assert f"<strong data-what>{what}</strong> <span data-fix>{fix}</span>" in text


def test_a_wrong_value_stands_there_as_it_was_typed(client: TestClient) -> None:
    page = client.get("/flight?face_angle=much%20more&club_path=x").text
    field = re.search(r'<input type="text"[^>]*id="face_angle"[^>]*>', page)
    assert field is not None
    assert 'value="much more"' in field[0]
    assert 'aria-invalid="true"' in field[0]
    assert page.count('aria-invalid="true"') == 2


@pytest.mark.parametrize(("of", "tail"), [("", ""), ("before.", " (the flight before)")])
def test_a_face_that_looks_away_is_said_in_the_models_words(
    client: TestClient, of: str, tail: str
) -> None:
    steep = {"attack_angle": "-15", "dynamic_loft": "75", "face_angle": "15", "club_path": "-15"}
    page = client.get("/flight", params={f"{of}{key}": text for key, text in steep.items()})
    assert page.status_code == 422
    what = f"The face looks away from the ball: its spin loft is 92 deg.{tail}"
    assert f"<strong data-what>{what}</strong>" in page.text
    assert "Check attack angle, club path, face angle and dynamic loft." in page.text


def test_a_lesson_that_is_not_in_the_book_is_said(client: TestClient) -> None:
    refused = client.get("/flight?lesson=4711")
    assert refused.status_code == 422
    assert "The client book has no lesson 4711." in refused.text


def test_the_address_holds_the_whole_state(client: TestClient) -> None:
    query = (
        "units=km/h&hand=left&club=iron7&club_speed=130&face_angle=-2&wind_across=12"
        "&before.club=iron7&before.club_speed=125&before.altitude=800"
    )
    asked = read_asked(dict(parse_qsl(query)))
    assert asked.troubles == ()
    assert query_of(asked) == query
    answer = client.get(f"/flight/numbers?{query}").json()
    assert answer["query"] == query
    assert answer["schema"] == "leadfoot.flight_page/1"
    assert answer["basis"] == "computed"
    page = client.get(f"/flight?{query}").text
    assert answer["sentence"] in unescape(page)
    assert 'name="before.altitude" value="800"' in page


@given(
    units=st.sampled_from(sorted(SYSTEMS)),
    shares=st.lists(st.floats(0.0, 1.0), min_size=len(FIELDS), max_size=len(FIELDS)),
)
@settings(max_examples=50)
def test_what_is_written_is_read_again(units: str, shares: list[float]) -> None:
    query = {"units": units, "club": "iron5"}
    for (key, field), share in zip(FIELDS.items(), shares, strict=True):
        ends = field.ends_in(SYSTEMS[units])
        query[key] = f"{ends.low + share * (ends.high - ends.low):.2f}"
    once = query_of(read_asked(query))
    assert query_of(read_asked(dict(parse_qsl(once)))) == once
    # Written in other units, every value still lies between the ends.
    for other in SYSTEMS:
        turned = read_asked({**query, "written": units, "units": other})
        assert turned.troubles == ()
        assert read_asked(dict(parse_qsl(query_of(turned)))).troubles == ()


def test_the_numbers_are_those_of_the_models_in_the_units_asked_for(client: TestClient) -> None:
    yards = client.get("/flight/numbers?club=iron7").json()["numbers"]
    metres = client.get("/flight/numbers?club=iron7&units=m/s").json()["numbers"]
    assert [row["key"] for row in yards] == [
        "carry", "total", "offline", "apex", "landing_angle", "ball_speed", "launch_angle",
        "launch_direction", "spin_rate", "spin_axis",
    ]  # fmt: skip
    by_key = {row["key"]: row for row in metres}
    for row in yards:
        factor = {"yd": 0.9144, "mph": 0.44704}.get(row["unit"], 1.0)  # exact since 1959
        assert by_key[row["key"]]["now"] == pytest.approx(row["now"] * factor, abs=2e-3)


def test_before_and_now_stand_side_by_side_with_their_difference(client: TestClient) -> None:
    answer = client.get(
        "/flight/numbers?club=driver&club_speed=99&before.club=driver&before.club_speed=94"
    ).json()
    carry = next(row for row in answer["numbers"] if row["key"] == "carry")
    assert carry["now"] > carry["before"]
    assert carry["moved_text"] == f"+{carry['now'] - carry['before']:.1f}"
    assert [flight["role"] for flight in answer["flights"]["flights"]] == ["with_change", "before"]
    assert answer["why"] == (
        "Only the club speed differs. More club speed is more ball speed, and more spin with it."
    )
    same = client.get("/flight/numbers?club=driver&before.club=driver").json()
    assert same["why"] == SAME


def test_several_changes_are_told_apart() -> None:
    before = usual_bench("driver")
    now = before.having(club_speed_mps=45.0, face_angle_rad=0.03)
    found = (
        Part(name="club_speed_mps", carry_m=18.0, offline_m=0.1),
        Part(name="face_angle_rad", carry_m=-0.2, offline_m=9.144),
    )
    assert why(before, now, found, SYSTEMS["mph"]) == (
        "The club speed by itself makes 20 yd of carry more and the face angle by itself moves it "
        "10 yd right. More club speed is more ball speed, and more spin with it."
    )


def test_every_flag_and_every_change_has_its_words() -> None:
    assert set(FLAG_WORDS) == {*FLAGS, SLID, BESIDE_THE_FACE}
    grouped = set(INPUTS) - {"temperature_k", "altitude_m", "humidity_frac"}
    assert set(BECAUSE) == grouped | {"club", "air"}


def test_flags_are_said_gently_in_words(client: TestClient) -> None:
    page = client.get("/flight?club=sand_wedge").text
    assert "Now: it spins more, for its speed, than the balls that the flight model" in page


@pytest.mark.parametrize(
    ("hand", "face", "path"), [("right", "open", "out-to-in"), ("left", "closed", "in-to-out")]
)
def test_the_hand_changes_the_words_and_not_the_ball(
    client: TestClient, hand: str, face: str, path: str
) -> None:
    query = "club=iron7&face_angle=2&club_path=-3"
    answer = client.get(f"/flight/numbers?{query}&hand={hand}").json()
    assert answer["ways"]["face_angle"] == f"right, {face}"
    assert answer["ways"]["club_path"] == f"left, {path}"
    other = client.get(f"/flight/numbers?{query}").json()
    assert answer["numbers"] == other["numbers"]


def test_the_toe_of_a_left_hander_is_on_the_other_side(client: TestClient) -> None:
    offline = {}
    for hand in ("right", "left"):
        answer = client.get(f"/flight/numbers?strike_heel_toe=12&hand={hand}").json()
        assert answer["ways"]["strike_heel_toe"] == "toward the toe"
        offline[hand] = next(row["now"] for row in answer["numbers"] if row["key"] == "offline")
    assert offline["left"] == pytest.approx(-offline["right"], abs=2e-3)
    assert abs(offline["right"]) > 1.0


def form_of(page: str) -> dict[str, str]:
    """What the form would send without a script."""
    sent = {}
    for tag in re.findall(r"<input [^>]*>", page[page.index('id="bench"') :]):
        found = dict(re.findall(r'([\w-]+)="([^"]*)"', tag))
        if "name" in found and found.get("form") is None:
            if found.get("type") == "radio" and "checked" not in tag:
                continue
            sent[unescape(found["name"])] = unescape(found["value"])
    chosen = re.search(r'<option value="([^"]+)" selected', page)
    assert chosen is not None
    return {**sent, "club": chosen[1]}


def test_without_a_script_the_form_brings_the_flight(client: TestClient) -> None:
    form = form_of(client.get("/flight").text)
    shown = client.get("/flight", params={**form, "face_angle": "2"}, follow_redirects=False)
    assert shown.status_code == 303
    assert shown.headers["location"] == "/flight?units=mph&hand=right&club=driver&face_angle=2"
    page = client.get(shown.headers["location"]).text
    assert "right, open" in page
    kept = client.get("/flight", params={**form_of(page), "keep": "1"})
    assert urlsplit(str(kept.url)).query.endswith("before.club=driver&before.face_angle=2")
    again = {**form_of(kept.text), "face_angle": "-2,5"}
    against = client.get("/flight", params=again)
    assert "farther left" in against.text
    gone = client.get("/flight", params={**form_of(against.text), "drop": "1"})
    assert "before." not in str(gone.url)


def test_without_a_script_another_club_brings_its_usual_swing(client: TestClient) -> None:
    form = form_of(client.get("/flight?club_speed=99&face_angle=2").text)
    shown = client.get("/flight", params={**form, "club": "iron7"}, follow_redirects=False)
    assert shown.headers["location"] == "/flight?units=mph&hand=right&club=iron7&face_angle=2"


def test_without_a_script_the_units_are_turned(client: TestClient) -> None:
    page = client.get("/flight?club_speed=100&wind_along=10&before.club=driver").text
    shown = client.get("/flight", params={**form_of(page), "units": "m/s"}, follow_redirects=False)
    assert shown.headers["location"] == (
        "/flight?units=m/s&hand=right&club=driver&club_speed=44.7&wind_along=4.47"
        "&before.club=driver"
    )


def test_a_lesson_begins_with_its_medians(client: TestClient, desk: Desk) -> None:
    lesson = give_lesson(desk).lesson
    assert "See it on the flight bench" in client.get(f"/lessons/{lesson.id}").text
    page = client.get(f"/lessons/{lesson.id}/flight")
    query = dict(parse_qsl(urlsplit(str(page.url)).query))
    assert set(query) == {
        "units", "hand", "club", "club_speed", "before.club", "before.club_speed", "lesson",
    }  # fmt: skip
    assert float(query["club_speed"]) - float(query["before.club_speed"]) == pytest.approx(
        5.4, abs=1.0
    )
    assert (
        "Began with the medians of this lesson: 10 balls before and 12 balls with the change. "
        "Measured: club speed. All else is the usual of the club, square, from the middle and in "
        "still standard air: assumed."
    ) in page.text
    assert "made up by the program" in page.text
    assert f'href="/lessons/{lesson.id}"' in page.text


def test_a_lesson_without_speeds_says_why_it_cannot_begin(client: TestClient, desk: Desk) -> None:
    given_one = give_lesson(desk, n_with=0)
    assert "flight bench</a>" in client.get("/").text.lower()
    assert "See it on" not in client.get(f"/lessons/{given_one.lesson.id}").text
    page = client.get(f"/lessons/{given_one.lesson.id}/flight")
    assert page.status_code == 422
    assert (
        "This lesson has no delivery to try: that takes an answer, a club that is known, and club "
        "speeds."
    ) in page.text
    assert deeds.lesson_view(desk, given_one.lesson.id).answer is None


def test_the_look_comes_back_to_the_same_flight(client: TestClient) -> None:
    page = client.get("/flight?face_angle=2&club=iron7").text
    assert 'name="back" value="/flight?face_angle=2&amp;club=iron7"' in page


@pytest.mark.parametrize("text", ["70.21000000000001", "70,2", "+70", "70."])
def test_a_number_may_be_written_in_every_usual_way(client: TestClient, text: str) -> None:
    answer = client.get("/flight/numbers", params={"club_speed": text})
    assert answer.status_code == 200
    assert "at 70" in answer.json()["tries"]["now"]
