"""Invented students, lessons and shots for the tests of the book."""

from datetime import UTC, date, datetime

from leadfoot.desk.ports import Book
from leadfoot.desk.records import Block, Lesson, NewShot, Role, Student
from leadfoot.shots.shot import Reading

AT = datetime(2026, 3, 1, 10, 0, tzinfo=UTC)


def some_student(book: Book, name: str = "Ana Example") -> Student:
    return book.add_student(
        name=name, hand="left", goals="Longer", cautions="Back", invented=True, at=AT
    )


def some_lesson(book: Book) -> Lesson:
    return book.add_lesson(
        student_id=some_student(book).id,
        held_on=date(2026, 3, 1),
        title="Driver",
        change="Press the lead foot",
        club="Driver",
    )


def some_block(book: Book, label: str = "before", role: Role = "before") -> Block:
    return book.add_block(some_lesson(book).id, label=label, role=role)


def carried(carry_yd: float, row: int | None = None, club: str | None = "Driver") -> NewShot:
    """A shot of which only the carry is known."""
    return NewShot(club=club, values={"carry": Reading(value=carry_yd, unit="yd")}, row=row)


def table(*carries_yd: float, first_row: int = 2) -> list[NewShot]:
    """Shots as they stand in a table, one a row."""
    return [carried(one, row) for row, one in enumerate(carries_yd, start=first_row)]
