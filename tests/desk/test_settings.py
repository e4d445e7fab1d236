"""The settings of a studio: kept with who kept them, refused with their bounds, used everywhere."""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import lesson_view, question_of
from leadfoot.desk.own_clubs import own_clubs, remove_club, save_club
from leadfoot.desk.planning import plan_for_lesson
from leadfoot.desk.settings import (
    AIR_BOUNDS,
    ERROR_BOUNDS,
    save_air,
    save_errors,
    save_units,
    saved_settings,
    set_back,
    studio_of,
)
from leadfoot.desk.studio import UNIT_CHOICES, Studio, UnitChoice, in_unit
from leadfoot.desk.why import Why, why_for
from leadfoot.errors import InputError
from leadfoot.physics.air import STANDARD_AIR, altitude_m_at, pressure_pa_at
from leadfoot.physics.conditions import Conditions
from leadfoot.physics.monitor import MonitorErrors
from leadfoot.shots.shot import Reading
from tests.desk.fake_book import FakeBook
from tests.web.lessons import give_lesson

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)


@pytest.fixture
def desk() -> Desk:
    return Desk(
        book=FakeBook(),
        clock=lambda: NOON,
        printer=lambda *_, **__: b"",
        version="0.0.test",
    )


def test_a_studio_that_set_nothing_is_the_usual_one(desk: Desk) -> None:
    assert studio_of(desk) == Studio()
    assert studio_of(desk).air == STANDARD_AIR
    assert saved_settings(desk) == {}


def test_units_are_kept_with_who_and_when_and_set_back(desk: Desk) -> None:
    save_units(desk, {"speed": "km/h", "distance": "m", "small": ""}, by="Olga Owner")
    assert studio_of(desk).units == UnitChoice(speed="km/h", distance="m")
    stored = saved_settings(desk)["units"]
    assert (stored.setting.saved_by, stored.setting.saved_at, stored.trouble) == (
        "Olga Owner", NOON, "",
    )  # fmt: skip
    change = desk.book.last_change()
    save_units(desk, {"speed": "km/h", "distance": "m"}, by="Olga Owner")
    assert desk.book.last_change() == change  # nothing new was said
    set_back(desk, "units", by="Olga Owner")
    assert studio_of(desk).units == UnitChoice()


def test_a_unit_that_is_none_is_refused(desk: Desk) -> None:
    with pytest.raises(InputError) as caught:
        save_units(desk, {"speed": "knots"}, by="x")
    assert str(caught.value) == ("'knots' is no unit of speed here. Choose one of: mph, km/h, m/s.")
    with pytest.raises(InputError, match="No unit is chosen for 'colour'"):
        save_units(desk, {"colour": "red"}, by="x")
    with pytest.raises(InputError, match="'secret' is no setting"):
        set_back(desk, "secret", by="x")


def test_the_air_is_taken_in_the_units_of_the_studio(desk: Desk) -> None:
    save_units(desk, {"distance": "m"}, by="x")
    save_air(desk, {"temperature": "28", "altitude": "600", "humidity": "0"}, by="x")
    studio = studio_of(desk)
    assert studio.conditions == Conditions(
        temperature_k=301.15, altitude_m=600.0, humidity_frac=0.0
    )
    assert studio.air_words == "the still air of the studio (28 °C, 600 m up, humidity 0 %)"
    save_units(desk, {"temperature": "degF", "altitude": "ft"}, by="x")
    assert studio_of(desk).air_words == (
        "the still air of the studio (82 °F, 1969 ft up, humidity 0 %)"
    )
    save_air(desk, {"pressure": "980"}, by="x")
    assert "980 hPa" in studio_of(desk).air_words
    save_air(desk, {"temperature": "68", "humidity": "50"}, by="x")
    assert "air" not in desk.book.settings()  # standard air is no setting


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        (
            {"temperature": "300"},
            "Temperature is 300 °F; it lies between -4 and 122 °F. Type a number from -4 to 122, "
            "in °F.",
        ),
        (
            {"humidity": "damp"},
            "Humidity 'damp' is no number. Type a number from 0 to 100, in %.",
        ),
        (
            {"altitude": "100", "pressure": "1000"},
            "Both an altitude and a pressure were given; one follows from the other. Give the "
            "pressure alone where a barometer shows it, else the altitude.",
        ),
        ({"temperature": "nan"}, None),
    ],
)
def test_air_that_can_not_be_is_refused(
    desk: Desk, typed: dict[str, str], said: str | None
) -> None:
    with pytest.raises(InputError) as caught:
        save_air(desk, typed, by="x")
    if said is not None:
        assert str(caught.value) == said
    assert "air" not in desk.book.settings()


def test_errors_of_the_monitor_are_kept_where_they_are_not_the_usual(desk: Desk) -> None:
    save_errors(desk, {"face_angle_sd_rad": "2,5", "club_speed_share": "0.8"}, by="x")
    assert studio_of(desk).errors == MonitorErrors(face_angle_sd_rad=np.radians(2.5))
    with pytest.raises(InputError) as caught:
        save_errors(desk, {"spin_rate_share": "90"}, by="x")
    assert str(caught.value) == (
        "Spin is 90 %; it lies between 0.1 and 50 %. Type a number from 0.1 to 50, in %."
    )
    save_errors(desk, {"face_angle_sd_rad": ""}, by="x")
    assert studio_of(desk).errors == MonitorErrors()


def test_every_bound_takes_the_usual_and_its_own_ends() -> None:
    usual = MonitorErrors()
    for name, bounds in ERROR_BOUNDS.items():
        assert bounds.si(bounds.shown(getattr(usual, name))) == pytest.approx(getattr(usual, name))
        MonitorErrors(**{name: bounds.si(str(bounds.low))})
        MonitorErrors(**{name: bounds.si(str(bounds.high))})
    for name, unit in (("temperature_k", "degC"), ("altitude_m", "m"), ("pressure_pa", "hPa")):
        for end in (AIR_BOUNDS[unit].low, AIR_BOUNDS[unit].high):
            studio = Studio(conditions=Conditions(**{name: AIR_BOUNDS[unit].si(str(end))}))
            assert studio.weather.air.pressure_pa == pytest.approx(studio.air.pressure_pa)


@given(st.floats(-440.0, 5_500.0))
def test_an_altitude_comes_back_from_its_pressure(altitude_m: float) -> None:
    assert altitude_m_at(pressure_pa_at(altitude_m)) == pytest.approx(altitude_m, abs=1e-6)


@given(st.floats(1.0, 400.0), st.sampled_from(UNIT_CHOICES["speed"]))
def test_a_unit_changes_how_a_ball_is_said_and_nothing_of_it(value: float, unit: str) -> None:
    read = Reading(value=value, unit="mph")
    assert in_unit(read, unit).si == pytest.approx(read.si, rel=1e-12)
    assert in_unit(in_unit(read, unit), "mph").value == pytest.approx(value, rel=1e-12)


def test_a_lesson_is_said_in_the_units_of_the_studio_and_judged_the_same(desk: Desk) -> None:
    given_lesson = give_lesson(desk)
    lesson_id = given_lesson.lesson.id
    before = lesson_view(desk, lesson_id)
    raw = desk.book.shots(lesson_id)
    save_units(desk, {"speed": "km/h", "distance": "m"}, by="x")
    after = lesson_view(desk, lesson_id)
    assert before.answer is not None
    assert after.answer is not None
    assert (before.answer.decision, after.answer.decision) == ("keep", "keep")
    assert after.answer.longer.odds == pytest.approx(before.answer.longer.odds, abs=1e-9)
    told = {one.quantity: one.unit for one in after.answer.outcomes}
    assert (told["club_speed"], told["carry"], told["offline"]) == ("km/h", "m", "m")
    assert (after.answer.pattern.unit, after.answer.pattern.speed_unit) == ("m", "km/h")
    assert after.shots[0].values["carry"].unit == "m"
    assert desk.book.shots(lesson_id) == raw  # what was read stays as it was read
    assert plan_for_lesson(desk, lesson_id).wanted.unit == "m"


def why_of(desk: Desk, lesson_id: int) -> Why:
    lesson = desk.book.lesson(lesson_id)
    return why_for(
        question_of(desk, lesson, desk.book.blocks(lesson_id), desk.book.shots(lesson_id))
    )


def test_the_air_and_the_monitor_reach_the_models(desk: Desk) -> None:
    lesson_id = give_lesson(desk).lesson.id
    first = why_of(desk, lesson_id)
    save_air(desk, {"altitude": "6000", "temperature": "90"}, by="x")
    thin = why_of(desk, lesson_id)
    assert thin.splits["carry"].before > first.splits["carry"].before + 2.0
    assert "the still air of the studio (90 °F, 6000 ft up" in thin.notes[0]
    save_errors(desk, {"spin_axis_sd_rad": "12", "launch_direction_sd_rad": "3"}, by="x")
    poor = why_of(desk, lesson_id)
    assert poor.wide is not None
    assert thin.wide is not None
    assert poor.wide.offline_sd < 0.8 * thin.wide.offline_sd


def test_what_an_other_version_wrote_is_told_and_not_used(desk: Desk) -> None:
    desk.book.save_setting("units", '{"speed":"knots"}', by="x", at=NOON)
    desk.book.save_setting("air", "[1]", by="x", at=NOON)
    desk.book.save_setting("monitor_errors", '{"spin_rate_share":-1}', by="x", at=NOON)
    desk.book.save_setting("club/own_a", "{", by="x", at=NOON)
    desk.book.save_setting("of tomorrow", "1", by="x", at=NOON)
    assert studio_of(desk) == Studio()
    troubles = {key: one.trouble for key, one in saved_settings(desk).items()}
    assert troubles["units"] == "'knots' is no unit of speed here."
    assert troubles["air"] == "It is not written as this program writes it."
    assert "Spin rate share is -1" in troubles["monitor_errors"]
    assert "has no name" in troubles["club/own_a"]
    assert troubles["of tomorrow"] == ""


MINE = {"name": "old driver", "like": "driver", "loft_deg": 9.0}


def test_an_own_club_is_one_of_the_clubs_and_stands_for_its_name(desk: Desk) -> None:
    key = save_club(desk, MINE, by="Carl Coach", all_clubs=False)
    (one,) = own_clubs(desk)
    assert (one.key, one.by, one.trouble) == (key, "Carl Coach", "")
    assert key.startswith("own_old_driver_")
    club = studio_of(desk).clubs[key]
    assert (club.name, round(np.degrees(club.loft_rad), 6)) == ("old driver", 9.0)
    lesson_id = give_lesson(desk).lesson.id
    book = desk.book
    assert isinstance(book, FakeBook)
    for number, shot in book.all_shots.items():
        book.all_shots[number] = replace(shot, club="Old  Driver")
    assert why_of(desk, lesson_id).model_club == key
    save_club(desk, {**MINE, "loft_deg": 8.0}, key, by="Olga Owner", all_clubs=True)
    assert round(np.degrees(studio_of(desk).clubs[key].loft_rad), 6) == 8.0
    remove_club(desk, key, by="Olga Owner", all_clubs=True)
    assert own_clubs(desk) == ()


def test_a_club_of_another_coach_is_not_touched(desk: Desk) -> None:
    key = save_club(desk, MINE, by="Carl Coach", all_clubs=False)
    with pytest.raises(InputError) as caught:
        save_club(desk, {**MINE, "loft_deg": 7.0}, key, by="Cora Coach", all_clubs=False)
    assert str(caught.value) == (
        "This club was written by Carl Coach. Ask them or an owner to change it, or write one of "
        "your own."
    )
    with pytest.raises(InputError, match="written by Carl Coach"):
        remove_club(desk, key, by="Cora Coach", all_clubs=False)
    with pytest.raises(InputError, match="There is no club of your own called 'own_x'"):
        remove_club(desk, "own_x", by="Cora Coach", all_clubs=False)


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"name": "Driver", "like": "driver"}, "There is a club called 'Driver' already."),
        ({"name": "mine", "class": "iron"}, "has no head_mass_kg"),
        ({"name": "mine", "like": "driver", "loft_deg": 95.0}, "lies between 0 and 75"),
        ({"name": "mine", "like": "spoon"}, "is like 'spoon', which is not in the program's"),
        ({"name": "a\n[b]\nname = 'c'", "like": "driver", "inertia_gcm2": [1.0]}, "three numbers"),
    ],
)
def test_a_club_that_can_not_be_is_refused(
    desk: Desk, fields: dict[str, object], said: str
) -> None:
    with pytest.raises(InputError) as caught:
        save_club(desk, fields, by="x", all_clubs=True)
    assert said in str(caught.value)
    assert own_clubs(desk) == ()
