"""Homework as a deed: given, filled in through a private link, looked at again."""

from datetime import timedelta

import pytest

from leadfoot.coaching.drills import drills
from leadfoot.coaching.homework import Week
from leadfoot.desk.desk import Desk
from leadfoot.desk.homework import (
    SECRET_BYTES,
    digest_of,
    give_homework,
    homework_by_secret,
    homework_view,
    log_session,
    make_link,
)
from leadfoot.errors import InputError, NotInBookError
from tests.desk.weeks import days_later

WEEK = Week(days=(0, 2, 5), minutes=45, balls=40, place="net")


@pytest.fixture
def homework_id(desk: Desk, lesson_id: int) -> int:
    return give_homework(
        desk, lesson_id, WEEK, cue="press the block", criterion="starts straight"
    ).id


def log(desk: Desk, homework_id: int, session: int, met: int, **more: object) -> None:
    said = {"n_balls": 40, "n_counted": 20, "pain": False, "notes": ""} | more
    log_session(
        desk,
        homework_id,
        session=session,
        n_met=met,
        logged_by="student",
        **said,  # type: ignore[arg-type]
    )


def test_a_plan_is_kept_with_its_cautions(desk: Desk, homework_id: int) -> None:
    view = homework_view(desk, homework_id)
    assert (view.plan.cue, len(view.plan.sessions), view.done) == ("press the block", 12, 0)
    assert any("net" in caution for caution in view.plan.cautions)
    first = view.plan.sessions[0]
    assert view.day_of(first) > view.lesson.held_on
    assert view.day_of(first).weekday() == first.day
    assert view.difficulty == "count_more"
    days = [view.day_of(session) for session in view.plan.sessions]
    assert days == sorted(days)
    assert (days[0] - view.lesson.held_on).days <= 7


def test_a_drill_of_the_catalogue_brings_its_cautions(desk: Desk, lesson_id: int) -> None:
    drill = drills()["push_block"]
    stored = give_homework(desk, lesson_id, WEEK, cue=drill.name.upper(), criterion="straight")
    assert set(drill.cautions) <= set(homework_view(desk, stored.id).plan.cautions)


@pytest.mark.parametrize(("cue", "criterion"), [("", "met"), ("press", " ")])
def test_a_plan_needs_a_cue_and_a_criterion(
    desk: Desk, lesson_id: int, cue: str, criterion: str
) -> None:
    with pytest.raises(InputError, match="The homework has no"):
        give_homework(desk, lesson_id, WEEK, cue=cue, criterion=criterion)
    assert desk.book.homework_of(1) == ()


def test_a_link_opens_its_plan_alone_until_it_is_withdrawn(desk: Desk, homework_id: int) -> None:
    secret, link = make_link(desk, homework_id)
    assert SECRET_BYTES * 8 >= 128
    assert len(secret) >= 32
    assert link.digest == digest_of(secret) != secret
    assert homework_by_secret(desk, secret).stored.id == homework_id
    other, _ = make_link(desk, homework_id)
    assert other != secret
    for wrong in ("", secret[:-1], secret.swapcase(), link.digest):
        with pytest.raises(NotInBookError):
            homework_by_secret(desk, wrong)
    desk.book.withdraw_link(link.id, at=desk.clock())
    with pytest.raises(NotInBookError):
        homework_by_secret(desk, secret)
    assert homework_by_secret(desk, other).links[0].id != link.id


def test_a_link_grows_too_old(desk: Desk, homework_id: int) -> None:
    secret, _ = make_link(desk, homework_id, days=30)
    assert homework_by_secret(days_later(desk, 29), secret).done == 0
    with pytest.raises(NotInBookError):
        homework_by_secret(days_later(desk, 30), secret)


def test_sessions_lead_to_easier_and_harder(desk: Desk, homework_id: int) -> None:
    log(desk, homework_id, 1, 5)
    assert homework_view(desk, homework_id).difficulty == "ease"
    log(desk, homework_id, 1, 19)
    view = homework_view(desk, homework_id)
    assert (view.done, view.difficulty) == (1, "harden")
    assert len(desk.book.homework_logs(homework_id)) == 2


def test_pain_and_a_jump_of_the_load_are_warned_of(desk: Desk, homework_id: int) -> None:
    log(desk, homework_id, 1, 10, done_on=(desk.clock() + timedelta(days=2)).date())
    log(desk, homework_id, 2, 10, done_on=(desk.clock() + timedelta(days=9)).date(), n_balls=200)
    log(desk, homework_id, 3, 10, done_on=(desk.clock() + timedelta(days=9)).date(), pain=True)
    view = homework_view(desk, homework_id)
    assert view.balls_by_week == (40, 240)
    jump, pain = view.warnings
    assert "240 balls this week after about 40" in jump
    assert pain.startswith("Pain was noted in session 3: no further practice before")


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"session": 13}, "The plan has no session 13. Choose 1 to 12."),
        (
            {"met": 21},
            "21 of 20 counted balls met it, of 40 in all: that does not fit. Counted balls are at "
            "most all balls, and those that met it at most the counted.",
        ),
        ({"n_balls": 5_000}, "5000 balls can't be. Type a number from 0 to 1000."),
        ({"notes": "x" * 2_001}, "The notes have 2001 letters. Write at most 2000."),
    ],
)
def test_what_does_not_fit_is_not_written(
    desk: Desk, homework_id: int, more: dict[str, object], says: str
) -> None:
    with pytest.raises(InputError) as caught:
        log(desk, homework_id, **({"session": 1, "met": 3} | more))  # type: ignore[arg-type]
    assert str(caught.value) == says
    assert desk.book.homework_logs(homework_id) == ()
