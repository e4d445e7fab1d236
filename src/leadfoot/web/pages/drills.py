"""The coach's own cues, aids and drills: a list and a form, checked as the catalogue is."""

from collections.abc import Mapping
from typing import Any, Final, get_args

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.datastructures import FormData

from leadfoot.coaching.drills import GROUND, ClubNeed, Drill, Focus, Kind, Place, drills
from leadfoot.coaching.rules import rules
from leadfoot.desk.desk import Desk
from leadfoot.desk.own_drills import not_understood, own_drills, save_drill, take_away
from leadfoot.errors import InputError
from leadfoot.quantities import glossary
from leadfoot.web.page import DeskHere, FormHere, page, said

router = APIRouter(prefix="/drills")

TEXTS: Final = ("name", "kind", "setup", "feel", "focus", "easier", "harder", "club", "place")
LINES: Final = ("cautions", "things")
MANY: Final = ("changes", "answers")
EMPTY: Final[Mapping[str, Any]] = {
    **dict.fromkeys((*TEXTS, *LINES, "source"), ""),
    **dict.fromkeys(MANY, ()),
    "kind": "cue",
    "focus": "external",
    "club": "club",
    "place": "hitting area",
    "maximal": False,
}
"""What the form offers first."""
_GROUND_WORDS: Final = {
    "ground_push": "push into the ground",
    "balance": "balance",
    "tempo": "tempo",
}


@router.get("")
def show_own(request: Request, desk: DeskHere, key: str = "") -> HTMLResponse:
    """The list and the form; with a key the form has what is written there."""
    written = own_drills(desk)
    typed = _typed_of(written[key]) if key in written else EMPTY
    return _page(request, desk, typed, key if key in written else "")


@router.post("")
def save(request: Request, desk: DeskHere, form: FormHere) -> Response:
    """Write one of the coach's own; where something is wrong, all that was typed stays."""
    fields, key = _fields(form), said(form, "key")
    try:
        save_drill(desk, fields, key or None)
    except InputError as error:
        return _page(request, desk, {**EMPTY, **fields, **_lines(form)}, key, error)
    return RedirectResponse("/drills", status_code=303)


@router.post("/remove")
def remove(desk: DeskHere, form: FormHere) -> Response:
    """Take one of the coach's own away."""
    take_away(desk, said(form, "key"))
    return RedirectResponse("/drills", status_code=303)


def _fields(form: FormData) -> dict[str, Any]:
    fields: dict[str, Any] = {name: said(form, name).strip() for name in TEXTS}
    fields |= {name: _split(said(form, name)) for name in LINES}
    fields |= {name: [str(one) for one in form.getlist(name)] for name in MANY}
    if source := said(form, "source").strip():
        fields["source"] = source
    return fields | {"maximal": said(form, "maximal") == "yes"}


def _split(text: str) -> list[str]:
    return [line.strip() for line in text.splitlines() if line.strip()]


def _lines(form: FormData) -> dict[str, str]:
    return {name: said(form, name) for name in LINES}


def _typed_of(drill: Drill) -> dict[str, Any]:
    typed = {name: getattr(drill, name) for name in (*TEXTS, *MANY, "source", "maximal")}
    return typed | {name: "\n".join(getattr(drill, name)) for name in LINES}


def _page(
    request: Request,
    desk: Desk,
    typed: Mapping[str, Any],
    key: str,
    error: InputError | None = None,
) -> HTMLResponse:
    changed = {one for drill in drills().values() for one in drill.changes} - set(GROUND)
    known = glossary()
    return page(
        request,
        "drills.html",
        status=422 if error else 200,
        own=own_drills(desk),
        not_understood=not_understood(desk),
        typed=typed,
        key=key,
        error=error,
        kinds=get_args(Kind),
        foci=get_args(Focus),
        club_needs=get_args(ClubNeed),
        places=get_args(Place),
        changes=_GROUND_WORDS | {one: known[one].name for one in known if one in changed},
        answers={rule.key: rule.name for rule in rules().values()},
        n_shipped=len(drills()),
        crumbs=(("/", "Today"),),
    )
