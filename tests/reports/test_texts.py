from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.desk.days import day_in_words
from leadfoot.evidence.judgement import Decision
from leadfoot.reports.advice import CAUTIONS, advice
from leadfoot.reports.content import content, sentence_size_pt
from leadfoot.reports.letters import (
    STAND_IN,
    breakable,
    clean,
    every_text,
    foreign,
    shorten,
    stand_in,
)
from leadfoot.reports.numbers import MOST_TILES, change_range, plain, signed, table_rows, tiles
from tests.reports import answers
from tests.reports.answers import outcome


@given(st.text())
def test_any_text_becomes_one_clean_line(text: str) -> None:
    once = clean(text)
    assert "\n" not in once
    assert once == clean(once)
    assert not foreign(stand_in(once))


@given(st.text(), st.integers(3, 80))
def test_a_shortened_text_is_no_longer_than_asked(text: str, most: int) -> None:
    short = shorten(text, most)
    assert len(short) <= most
    if len(text) > most:
        assert short.endswith(" …")
        assert text.startswith(short[:-2])
    else:
        assert short == text


@given(st.text(alphabet="abc defgh", max_size=80))
def test_places_to_break_do_not_change_the_text(text: str) -> None:
    assert breakable(text).replace("\u200b", "") == text


def test_texts_are_changed_wherever_they_stand() -> None:
    data = {"a": ["x", {"b": "y", "n": 1.5}], "c": None, "d": True}
    assert every_text(data, str.upper) == {"a": ["X", {"b": "Y", "n": 1.5}], "c": None, "d": True}


def test_the_stand_in_can_be_printed() -> None:
    assert not foreign(STAND_IN)


@given(st.text(max_size=600), st.text(max_size=600))
def test_a_longer_sentence_is_never_set_larger(one: str, other: str) -> None:
    short, long = sorted((one, other), key=len)
    assert sentence_size_pt(long) <= sentence_size_pt(short)
    assert sentence_size_pt(long) >= 11.0


def test_dates_are_written_out() -> None:
    written = [day_in_words(date(2026, month, 1)) for month in range(1, 13)]
    assert written[0] == "1 January 2026"
    assert written[11] == "1 December 2026"
    assert len(set(written)) == 12


@pytest.mark.parametrize("decision", ["keep", "drop", "hit_more"])
@pytest.mark.parametrize("n_more", [None, 0, 1, 30])
def test_advice_keeps_the_mind_on_the_flight_and_heals_nobody(
    decision: Decision, n_more: int | None
) -> None:
    given_advice = advice(decision, n_more)
    text = " ".join((given_advice.title, *given_advice.steps)).lower()
    assert 2 <= len(given_advice.steps) <= 4
    for word in ("pain", "injur", "stretch", "muscle", "hips", "shoulder", "spine", "therapy"):
        assert word not in text


def test_more_balls_are_counted_in_words() -> None:
    assert advice("hit_more", 1).title == "Hit about 1 more ball"
    assert advice("hit_more", 12).title == "Hit about 12 more balls"
    assert advice("hit_more", None).title == "Leave it open"


def test_the_usual_cautions_stand_there() -> None:
    text = " ".join(CAUTIONS)
    for word in ("hurts", "Warm up", "All-out", "room", "net", "Back pain", "doctor"):
        assert word in text


def test_a_direction_is_told_by_its_side() -> None:
    bias = outcome("offline", kind="bias", unit="yd", low=-2.0, high=2.0, change=-1.04)
    assert plain(bias, 6.52) == "6.5 right"
    assert plain(bias, -6.52) == "6.5 left"
    assert plain(bias, 0.04) == "on the line"
    assert change_range(bias) == "2.0 left to 2.0 right"
    assert change_range(replace(bias, low=1.0)) == "1.0 to 2.0 right"
    assert change_range(replace(bias, high=-1.0)) == "1.0 to 2.0 left"


@pytest.mark.parametrize(
    ("unit", "low", "high", "told"),
    [
        ("mph", 3.6, 6.6, "+5.1"),
        ("yd", 1.0, 12.0, "+5"),
        ("rpm", -200.0, 300.0, "+5"),
        (None, 0.01, 0.03, "+5.12"),
        ("mph", float("nan"), 6.0, "+5"),
    ],
)
def test_numbers_are_no_finer_than_their_range(
    unit: str | None, low: float, high: float, told: str
) -> None:
    assert signed(outcome("club_speed", unit=unit, low=low, high=high), 5.12) == told


def test_nought_has_no_sign() -> None:
    assert signed(outcome("club_speed"), -0.01) == "0.0"


def test_at_most_five_numbers_with_the_headline_among_them() -> None:
    kept = answers.keep()
    many = replace(kept, outcomes=kept.outcomes + tuple(kept.outcomes[:1]) * 6)
    shown = tiles(many)
    assert len(shown) == MOST_TILES
    assert shown[0]["name"] == "ball speed"
    assert [tile["name"] for tile in shown[-3:]] == [
        "offline, average",
        "offline, spread",
        "mishits",
    ]
    assert (
        tiles(replace(kept, outcomes=(), headline=None, bias=None, spread=None, mishits=None)) == []
    )


def test_every_outcome_has_a_row() -> None:
    rows = table_rows(answers.keep().outcomes)
    assert len(rows) == 6
    assert {len(row) for row in rows} == {8}


def test_a_range_keeps_together_on_a_line() -> None:
    texts = content(
        answers.keep(), student=None, held_on=None, change=None, invented=False, paper="a4"
    )
    assert "(4\u00a0to\u00a07)" in texts["sentence"]
    assert "5\u00a0mph" in texts["sentence"]
