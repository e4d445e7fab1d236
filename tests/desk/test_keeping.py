"""Students over the years on a desk without a store: found, archived, agreed, erased."""

from pathlib import Path

import pytest

from leadfoot.desk import keeping
from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import add_student
from leadfoot.errors import InputError


def names(desk: Desk, words: str = "", *, archived: bool = False) -> list[str]:
    found = keeping.find_students(desk.book.students(), words, archived=archived)
    return [one.name for one in found]


def test_a_student_is_found_without_case_and_accents(desk: Desk) -> None:
    for name, goals in (
        ("Zoë Müller", "Break 90"),
        ("Søren Ångström", "longer drives"),
        ("Łucja Straße", "STRAIGHTER"),
    ):
        add_student(desk, name=name, hand="right", goals=goals)
    assert names(desk, "zoe") == ["Zoë Müller"]
    assert names(desk, "MULLER z") == ["Zoë Müller"]
    assert names(desk, "soren") == ["Søren Ångström"]
    assert names(desk, "angstro\u0308m") == ["Søren Ångström"]
    assert names(desk, "lucja strasse") == ["Łucja Straße"]
    assert names(desk, "Straighter") == ["Łucja Straße"]
    assert names(desk, "longer zoe") == []
    assert len(names(desk, "  ")) == 3


def test_who_is_archived_is_found_on_request(desk: Desk) -> None:
    student = add_student(desk, name="Ana", hand="right")
    assert keeping.archive(desk, student.id).archived_at == desk.clock()
    assert names(desk) == []
    assert names(desk, archived=True) == ["Ana"]
    assert keeping.bring_back(desk, student.id) == student
    assert names(desk, "an") == ["Ana"]


def test_consent_is_noted_with_its_day(desk: Desk) -> None:
    student = add_student(desk, name="Ana", hand="right")
    today = desk.clock().date().isoformat()
    noted = keeping.note_consent(
        desk,
        student.id,
        consent_on=f" {today} ",
        consent_words=" by letter ",
        minor=True,
        guardian=" Gro Example ",
    )
    assert (noted.consent_on, noted.consent_words) == (desk.clock().date(), "by letter")
    assert (noted.minor, noted.guardian) == (True, "Gro Example")
    cleared = keeping.note_consent(
        desk, student.id, consent_on="", consent_words="", minor=False, guardian=""
    )
    assert cleared == student


@pytest.mark.parametrize(
    ("consent_on", "minor", "said"),
    [
        ("1 March", False, "'1 March' is no day. Give it as year-month-day, such as 2026-03-01."),
        ("9999-01-01", False, "9999-01-01 is still to come. Give the day on which it was agreed."),
        (
            "",
            True,
            "A minor needs a guardian, who agrees to what is kept. "
            "Write down who that is, and how to reach them.",
        ),
    ],
)
def test_consent_that_can_not_be_is_refused(
    desk: Desk, consent_on: str, minor: bool, said: str
) -> None:
    student = add_student(desk, name="Ana", hand="right")
    with pytest.raises(InputError) as caught:
        keeping.note_consent(
            desk, student.id, consent_on=consent_on, consent_words="", minor=minor, guardian=" "
        )
    assert str(caught.value) == said
    assert desk.book.student(student.id) == student


def test_nobody_is_erased_by_a_slip(desk: Desk) -> None:
    student = add_student(desk, name="Zoë Gone", hand="right")
    with pytest.raises(InputError) as caught:
        keeping.erase(desk, student.id, typed_name="Zoe", in_backups="delete")
    assert str(caught.value) == (
        "Nothing was erased: the name typed is not 'Zoë Gone'. "
        "Type the name of the student to erase."
    )
    assert desk.book.students() == (student,)


@pytest.mark.parametrize("choice", ["leave", "rewrite", "delete"])
def test_the_backups_that_hold_the_erased_are_named(desk: Desk, choice: keeping.InBackups) -> None:
    student = add_student(desk, name="Zoë Gone", hand="right")
    backup = desk.book.file.back_up()
    parting = keeping.erase(desk, student.id, typed_name="zoe gone", in_backups=choice)
    became = {
        "leave": parting.still_in,
        "rewrite": parting.rewritten,
        "delete": parting.deleted,
    }
    assert [name for name, found in became.items() if found] == [choice]
    assert became[choice] == (backup,)
    assert desk.book.students() == ()
    assert len(desk.book.file.state().backups) == (0 if choice == "delete" else 1)


def test_two_who_are_one_become_one(desk: Desk, tmp_path: Path) -> None:
    one, two = (add_student(desk, name=name, hand="right") for name in ("Ana", "Anna"))
    assert keeping.merge(desk, one.id, two.id).id == one.id
    assert desk.book.students() == (one,)
    exported = keeping.export_to(desk, tmp_path / "a.zip", student_id=one.id)
    assert exported.rows["students"] == 1
    assert keeping.import_from(desk, tmp_path / "a.zip").n_added == 0
