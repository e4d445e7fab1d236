"""Students over the years: found, archived, merged, exported, erased; consent and guardians."""

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Final, Literal

from leadfoot.desk.desk import Desk
from leadfoot.desk.exports import sweep
from leadfoot.desk.keeping_records import Backup, Brought, Erased, Exported
from leadfoot.desk.records import Student
from leadfoot.errors import InputError
from leadfoot.language.catalogue import language

InBackups = Literal["leave", "rewrite", "delete"]
"""What becomes of the backups that hold one who is erased."""

# Letters that Unicode does not take apart into a plain letter and a mark.
_PLAIN: Final = str.maketrans(
    {"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i"}
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Parting:
    """One who was erased, and what became of the backups."""

    name: str
    erased: Erased
    rewritten: tuple[Backup, ...]
    deleted: tuple[Backup, ...]
    still_in: tuple[Backup, ...]


def folded(text: str) -> str:
    """A text as it is searched: without case, accents and doubled blanks.

    Examples
    --------
    >>> folded("Zoë  Łuc STRASSE"), folded("Straße")
    ('zoe luc strasse', 'strasse')
    """
    apart = unicodedata.normalize("NFKD", text.casefold())
    bare = "".join(letter for letter in apart if not unicodedata.combining(letter))
    return " ".join(bare.casefold().translate(_PLAIN).split())


def find_students(
    students: Iterable[Student], words: str = "", *, archived: bool = False
) -> tuple[Student, ...]:
    """The students in whose name or goals all the words stand, in the order given.

    Parameters
    ----------
    students
        Where to look.
    words
        Beginnings or parts of words; none for all.
    archived
        Whether those out of the daily lists are looked for as well.
    """
    wanted = folded(words).split()
    return tuple(
        student
        for student in students
        if (archived or student.archived_at is None)
        and all(word in folded(f"{student.name} {student.goals}") for word in wanted)
    )


def archive(desk: Desk, student_id: int) -> Student:
    """Take a student out of the daily lists; nothing is lost."""
    return desk.book.archive_student(student_id, at=desk.clock())


def bring_back(desk: Desk, student_id: int) -> Student:
    """Take an archived student into the daily lists again."""
    return desk.book.archive_student(student_id, at=None)


def set_language(desk: Desk, student_id: int, code: str) -> Student:
    """Choose the language of a student's sheets and private pages.

    Raises
    ------
    InputError
        If there are no texts in it.
    """
    return desk.book.set_language(student_id, language(code).code)


def note_consent(
    desk: Desk, student_id: int, *, consent_on: str, consent_words: str, minor: bool, guardian: str
) -> Student:
    """Write down what was agreed, when, and who speaks for a minor.

    Parameters
    ----------
    desk
        Where it is written.
    student_id
        The student.
    consent_on
        The day such as 2026-03-01; empty: nothing was agreed.
    consent_words
        What was agreed, and how.
    minor
        Whether somebody else has to agree.
    guardian
        Who that is, and how to reach them.

    Raises
    ------
    InputError
        If the day is none or still to come, or a minor has no guardian.
    """
    day = _day(consent_on.strip())
    if day is not None and day > desk.clock().date():
        raise InputError(f"{day} is still to come.", fix="Give the day on which it was agreed.")
    if minor and not guardian.strip():
        raise InputError(
            "A minor needs a guardian, who agrees to what is kept.",
            fix="Write down who that is, and how to reach them.",
        )
    return desk.book.note_consent(
        student_id,
        consent_on=day,
        consent_words=consent_words.strip(),
        minor=minor,
        guardian=guardian.strip(),
    )


def merge(desk: Desk, student_id: int, other_id: int) -> Student:
    """Make one of two students who are the same person; all of the other's moves to this one."""
    return desk.book.merge_students(student_id, other_id, at=desk.clock())


def export_to(desk: Desk, path: Path, *, student_id: int | None = None) -> Exported:
    """Export one student, or everything, into a new ZIP file."""
    return desk.book.file.export_to(path, student_id=student_id, version=desk.version)


def import_from(desk: Desk, path: Path) -> Brought:
    """Bring an export into the book."""
    return desk.book.file.import_from(path)


def erase(desk: Desk, student_id: int, *, typed_name: str, in_backups: InBackups) -> Parting:
    """Erase a student for good, and as chosen from the backups too.

    Parameters
    ----------
    desk
        Where the student is.
    student_id
        The student.
    typed_name
        The student's name, typed by the coach as the confirmation.
    in_backups
        Whether backups are left as they are, written anew without the student, or deleted.

    Raises
    ------
    InputError
        If the name is another; nothing is erased then.
    """
    student = desk.book.student(student_id)
    if folded(typed_name) != folded(student.name):
        raise InputError(
            f"Nothing was erased: the name typed is not {student.name!r}.",
            fix="Type the name of the student to erase.",
        )
    file = desk.book.file
    erased = file.erase(student_id)
    sweep(desk)  # every export that waits may hold the student
    held = erased.still_in
    names = [one.name for one in held]
    if in_backups == "rewrite":
        file.erase_from_backups(erased.who, names)
    elif in_backups == "delete":
        file.delete_backups(names)
    return Parting(
        name=student.name,
        erased=erased,
        rewritten=held if in_backups == "rewrite" else (),
        deleted=held if in_backups == "delete" else (),
        still_in=held if in_backups == "leave" else (),
    )


def _day(text: str) -> date | None:
    if not text:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise InputError(
            f"{text!r} is no day.", fix="Give it as year-month-day, such as 2026-03-01."
        ) from error
