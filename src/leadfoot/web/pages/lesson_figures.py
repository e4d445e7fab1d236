"""The figures of a lesson to take along: as SVG, as PNG, and the numbers behind them as CSV."""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Literal

from fastapi import APIRouter
from fastapi.responses import Response

from leadfoot.desk.answer import Answer
from leadfoot.desk.figure_tables import change_table, pattern_table, run_table
from leadfoot.desk.lesson import LessonView
from leadfoot.errors import InputError
from leadfoot.figures.change import change_picture
from leadfoot.figures.look import Look
from leadfoot.figures.pattern import pattern_picture
from leadfoot.figures.picture import Picture
from leadfoot.figures.run import run_picture
from leadfoot.web.download import LOOKS, LookName, PictureKind, csv_file, picture_file
from leadfoot.web.page import ViewsHere

router = APIRouter(prefix="/lessons/{lesson_id}/figures")

Figure = Literal["pattern", "run", "change"]
_DRAWN: Mapping[Figure, Callable[[Answer, Look], Picture]] = MappingProxyType(
    {
        "pattern": lambda answer, look: pattern_picture(answer, look=look),
        "run": lambda answer, look: run_picture(answer, look=look),
        "change": lambda answer, look: change_picture(answer, look=look),
    }
)


@router.get("/{figure}.csv")
def give_numbers(views: ViewsHere, lesson_id: int, figure: Figure) -> Response:
    """The numbers behind a figure; those of the run are there before there is an answer."""
    view = views.of(lesson_id)[1]
    if figure == "run":
        table = run_table(view)
    else:
        table = {"pattern": pattern_table, "change": change_table}[figure](_answer(view))
    return csv_file(table.csv(), f"lesson-{lesson_id}-{figure}")


@router.get("/{figure}.{kind}")
def give_picture(
    views: ViewsHere,
    lesson_id: int,
    figure: Figure,
    kind: PictureKind,
    look: LookName = "print",
) -> Response:
    """A figure as it stands on the printed sheet."""
    answer = _answer(views.of(lesson_id)[1])
    return picture_file(_DRAWN[figure](answer, LOOKS[look]), kind, f"lesson-{lesson_id}-{figure}")


def _answer(view: LessonView) -> Answer:
    if view.answer is None:
        raise InputError("There is no picture yet.", fix=view.waiting_for)
    return view.answer
