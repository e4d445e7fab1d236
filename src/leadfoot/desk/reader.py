"""In which language a student's sheet or page is said."""

from leadfoot.desk.records import Student
from leadfoot.language.catalogue import ENGLISH, language, languages


def language_for(student: Student, asked: str | None = None) -> str:
    """The language asked for this once, else the student's, else English.

    Parameters
    ----------
    student
        Who reads. A language that this program lacks, such as one from an export of a newer
        version, stays in the book and counts as English here.
    asked
        Code of another language for this once.

    Raises
    ------
    InputError
        If there are no texts in the language that was asked for.
    """
    if asked:
        return language(asked).code
    return student.language if student.language in languages() else ENGLISH
