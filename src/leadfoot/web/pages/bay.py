"""The bay's big screen: one sentence, one picture, at most five numbers, and nothing private."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from leadfoot.desk.lesson import LessonView
from leadfoot.desk.records import Role
from leadfoot.quantities import glossary
from leadfoot.shots.shot import Reading
from leadfoot.web.page import FormHere, page, said
from leadfoot.web.pages.look import YEAR_S, own_path
from leadfoot.web.pictures import pictures
from leadfoot.web.shared_pages import shared_page
from leadfoot.web.views import Views
from leadfoot.web.visitor import doors_of, keep_choice
from leadfoot.web.words import SIDED, cell, unit_shown

router = APIRouter(prefix="/lessons/{lesson_id}/bay")

MOST_NUMBERS = 5
USUAL_NUMBERS = ("club_speed", "carry", "offline")
_SAYS: dict[Role, str] = {"before": "as usual", "with_change": "with the change", "other": "other"}


@dataclass(frozen=True, slots=True, kw_only=True)
class BigNumber:
    """One number of the last ball."""

    name: str
    text: str
    unit: str


@router.get("")
async def show_bay(request: Request, lesson_id: int) -> Response:
    """The big screen of a lesson; no name, no goals, no cautions stand on it."""
    return await shared_page(request, lesson_id, _rendered)


def bay_page(request: Request, views: Views, lesson_id: int) -> HTMLResponse:
    """The big screen of a lesson."""
    return _rendered(request, *views.of(lesson_id))


def _rendered(request: Request, change: int, view: LessonView) -> HTMLResponse:
    chosen = chosen_numbers(request)
    return page(
        request,
        "bay.html",
        change=change,
        lesson_id=view.lesson.id,
        answer=view.answer,
        waiting_for=view.waiting_for,
        invented=view.student.invented,
        running=_running(view),
        last=last_numbers(view, chosen),
        plan=view.plan,
        n_balls=sum(shot.left_out_reason is None for shot in view.shots),
        chosen=chosen,
        choices=[(key, found.name) for key, found in glossary().items()],
        most_numbers=MOST_NUMBERS,
        pictures=pictures(view),
    )


@router.post("/numbers")
def choose_numbers(request: Request, form: FormHere, lesson_id: int) -> Response:
    """Remember in this browser which numbers the big screen shows."""
    named = [said(form, f"number{k}") for k in range(MOST_NUMBERS)]
    kept = dict.fromkeys(key for key in named if key in glossary())
    back = own_path(said(form, "back", f"/lessons/{lesson_id}/bay"))
    response = RedirectResponse(back, status_code=303)
    keep_choice(response, doors_of(request), "bay", ".".join(kept) or "-", for_s=YEAR_S)
    return response


def chosen_numbers(request: Request) -> tuple[str, ...]:
    """What this browser's big screen shows of the last ball."""
    kept = request.cookies.get("bay")
    if kept is None:
        return USUAL_NUMBERS
    return tuple(key for key in dict.fromkeys(kept.split(".")) if key in glossary())[:MOST_NUMBERS]


def last_numbers(view: LessonView, chosen: tuple[str, ...]) -> tuple[BigNumber, ...]:
    """The chosen numbers of the last ball that counts, those that it has."""
    counted = [shot for shot in view.shots if shot.left_out_reason is None]
    if not counted:
        return ()
    values = counted[-1].values
    return tuple(_big(key, values[key]) for key in chosen if key in values)


def _big(key: str, reading: Reading) -> BigNumber:
    """A number as it is read from afar: the side stands beside it as a word."""
    text, unit = cell(reading.value, key, reading.unit), unit_shown(reading.unit)
    if key in SIDED and text[0] in "+−":
        unit = f"{unit} {'right' if text[0] == '+' else 'left'}".strip()
        text = text[1:]
    return BigNumber(name=glossary()[key].name, text=text, unit=unit)


def _running(view: LessonView) -> str:
    """What the block that is being hit is."""
    return _SAYS[view.blocks[-1].role] if view.blocks else ""
