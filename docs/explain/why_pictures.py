"""Draws the figure of the page on why, into this folder.

Run it as ``python docs/explain/why_pictures.py``; it writes the same bytes each time.
"""

from pathlib import Path

from leadfoot.desk.file_question import question_for_file
from leadfoot.desk.why import why_for
from leadfoot.figures.picture import Picture
from leadfoot.figures.why import why_picture

HERE = Path(__file__).parent
EXAMPLE = HERE.parents[1] / "examples" / "lesson.csv"
FIGURES = ("why_carry.svg",)


def picture(name: str) -> Picture:
    """One of the figures, ready to be drawn."""
    if name not in FIGURES:
        raise KeyError(name)
    return why_picture(why_for(question_for_file(EXAMPLE.read_bytes())), "carry")


def main() -> None:
    """Draw all of them."""
    for name in FIGURES:
        (HERE / name).write_bytes(picture(name).svg())


if __name__ == "__main__":
    main()
