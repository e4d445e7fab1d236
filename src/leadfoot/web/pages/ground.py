"""The ground page of a lesson: recordings dropped, linked, and one block against another."""

import csv
from io import StringIO
from typing import Annotated, Literal

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from leadfoot.desk import linking, recordings
from leadfoot.desk.ground_view import LEAD_KEYS, GroundView, ground_view
from leadfoot.desk.linking import LinkReport
from leadfoot.desk.push import model_estimate, push_view
from leadfoot.desk.recordings import Found
from leadfoot.desk.settings import studio_of
from leadfoot.errors import InputError
from leadfoot.figures.ground_blocks import blocks_picture
from leadfoot.figures.look import PRINT
from leadfoot.ground.aligned import CURVES, Curve
from leadfoot.ground.swing_numbers import numbers_of
from leadfoot.physics.clubs import clubs
from leadfoot.web import force_form
from leadfoot.web.ground_words import compared_json, ground_sentence, model_club
from leadfoot.web.page import DeskHere, FormHere, desk_of, given_file, page, recordings_of, said
from leadfoot.web.pages.lesson import FormTrouble
from leadfoot.web.pressure_path import pressure_path
from leadfoot.web.trouble import status_of

router = APIRouter(prefix="/lessons/{lesson_id}")

LEAVE_OUT_REASONS = (
    "the golfer stepped off a plate",
    "something disturbed the swing",
    "the plates recorded it badly",
)
FIRST_KEYS = ("weight", "trail_peak_share", *LEAD_KEYS)
"""Numbers of a swing that stand first; the others follow in a fold."""
FIRST_IN_NEWTON = ("lead_peak", "trail_peak")
"""Those that stand first too while the weight rests on the file alone."""
BlockId = Annotated[int | None, Query()]


@router.get("/ground")
def show_ground(request: Request, lesson_id: int) -> HTMLResponse:
    """The page of the recordings of a lesson."""
    return ground_page(request, lesson_id)


@router.post("/recordings")
def receive(request: Request, desk: DeskHere, form: FormHere, lesson_id: int) -> Response:
    """Keep a recording, and show it."""
    desk.book.lesson(lesson_id)
    try:
        name, data = given_file(form, recordings.NOT_A_RECORDING)
        block = said(form, "block")
        stored = recordings.receive(
            desk,
            lesson_id,
            name=name,
            data=data,
            block_id=int(block) if block.isdecimal() else None,
        )
    except InputError as error:
        return ground_page(request, lesson_id, trouble=FormTrouble(form="file", error=error))
    return RedirectResponse(f"/lessons/{lesson_id}/ground?recording={stored.id}", status_code=303)


@router.post("/recordings/link")
def link(request: Request, desk: DeskHere, form: FormHere, lesson_id: int) -> Response:
    """Link the recordings to the balls by order or by time."""
    chosen = _number(said(form, "recording"))
    try:
        by_time = said(form, "deed") == "time"
        report = (linking.link_by_time if by_time else linking.link_by_order)(desk, lesson_id)
    except InputError as error:
        trouble = FormTrouble(form="link", error=error)
        return ground_page(request, lesson_id, recording_id=chosen, trouble=trouble)
    return ground_page(request, lesson_id, recording_id=chosen, report=report)


@router.get("/ground/blocks.csv")
def give_table(
    request: Request, lesson_id: int, before: BlockId = None, after: BlockId = None
) -> Response:
    """Every number of every recording that counts, and the changes from block to block."""
    view = _view(request, lesson_id, before, after)
    out = StringIO()
    table = csv.writer(out, lineterminator="\n")
    table.writerow(("block", "recording", "ball", "number", "value", "unit", "standard doubt"))
    places = {shot.id: shot.place for shot in view.shots}
    for group in view.groups:
        for found in group.founds:
            if found.swing is None or not found.counts:
                continue
            ball = places.get(found.stored.shot_id or 0, "")
            for one in numbers_of(found.swing):
                doubt = "" if one.doubt is None else f"{one.doubt:.6g}"
                row = (group.label, found.stored.place, ball, one.label)
                table.writerow((*row, f"{one.value:.6g}", one.unit, doubt))
    return download(out.getvalue().encode(), "text/csv", f"ground-{lesson_id}.csv")


@router.get("/ground/blocks-{curve}.{kind}")
def give_picture(
    request: Request,
    lesson_id: int,
    curve: Curve,
    kind: Literal["svg", "png"],
    *,
    before: BlockId = None,
    after: BlockId = None,
) -> Response:
    """One curve of the two blocks as a picture."""
    compared = _view(request, lesson_id, before, after).comparison
    if compared is None:
        raise InputError("There are no two blocks to compare.", fix="Record swings in two blocks.")
    picture = blocks_picture(compared, curve, look=PRINT)
    name = f"ground-{lesson_id}-{curve}.{kind}"
    if kind == "svg":
        return download(picture.svg(), "image/svg+xml", name)
    return download(picture.png(), "image/png", name)


def download(data: bytes, kind: str, name: str) -> Response:
    """A file to be kept."""
    return Response(
        data, media_type=kind, headers={"Content-Disposition": f'attachment; filename="{name}"'}
    )


def ground_page(
    request: Request,
    lesson_id: int,
    *,
    recording_id: int | None = None,
    trouble: FormTrouble | None = None,
    report: LinkReport | None = None,
) -> HTMLResponse:
    """Render the page; with `trouble`, what is wrong stands in its form."""
    desk, query = desk_of(request), request.query_params
    change = desk.book.last_change()
    view = _view(request, lesson_id, _number(query.get("before")), _number(query.get("after")))
    chosen = _chosen(view, recording_id or _number(query.get("recording")))
    estimate, estimate_trouble = None, None
    club = model_club(view.lesson.club, query.get("club"))
    ball = linking.shot_in(view.shots, chosen.stored.shot_id) if chosen else None
    if chosen is not None and query.get("model") == "yes":
        try:
            estimate = model_estimate(chosen, ball, club_key=club)
        except InputError as error:
            estimate_trouble = error
    compared = view.comparison
    return page(
        request,
        "ground.html",
        status=200 if trouble is None else status_of(trouble.error),
        change=change,
        lesson_id=lesson_id,
        view=view,
        lesson=view.lesson,
        student=view.student,
        chosen=chosen,
        ball=ball,
        numbers=numbers_of(chosen.swing) if chosen is not None and chosen.swing else (),
        first_keys=(*FIRST_KEYS, *(() if _is_known(chosen) else FIRST_IN_NEWTON)),
        asked_weight=None if _is_known(chosen) or chosen is None else chosen.swing,
        n_unconfirmed=sum(not _is_known(one) for one in view.founds),
        remarks=_remarks(chosen),
        sentence=ground_sentence(chosen),
        typed=force_form.typed_of(chosen) if chosen is not None else None,
        form_words=force_form,
        way=None
        if chosen is None
        else pressure_path([chosen], label=f"Pressure of recording {chosen.stored.place}"),
        paths=None
        if compared is None
        else pressure_path(
            [one for one in compared.after.founds if one.counts],
            [one for one in compared.before.founds if one.counts],
            label=f"Pressure, {compared.before.label} dashed and {compared.after.label} solid",
        ),
        compared=compared,
        compared_json=compared_json(compared),
        curves=CURVES,
        push=push_view(view.founds, view.shots),
        estimate=estimate,
        estimate_trouble=estimate_trouble,
        clubs=clubs(),
        units=studio_of(desk).units,
        club=club,
        reasons=LEAVE_OUT_REASONS,
        free_shots=_free_shots(view, chosen),
        trouble=trouble,
        report=report,
        invented=view.student.invented,
        crumbs=(
            ("/", "Today"),
            (f"/students/{view.student.id}", view.student.name),
            (f"/lessons/{lesson_id}", "Lesson"),
        ),
    )


def _view(request: Request, lesson_id: int, before: int | None, after: int | None) -> GroundView:
    look = recordings_of(request).look
    return ground_view(desk_of(request), lesson_id, look, before=before, after=after)


def _chosen(view: GroundView, recording_id: int | None) -> Found | None:
    found = next((one for one in view.founds if one.stored.id == recording_id), None)
    return found or (view.founds[-1] if view.founds else None)


def _is_known(chosen: Found | None) -> bool:
    """Whether somebody stands for the weight; True where there is none."""
    return chosen is None or chosen.swing is None or chosen.swing.basis.is_known


def _free_shots(view: GroundView, chosen: Found | None) -> list[tuple[int, str]]:
    """Balls to which the chosen recording may be linked: id and words."""
    taken = {
        one.stored.shot_id
        for one in view.founds
        if chosen is None or one.stored.id != chosen.stored.id
    }
    labels = {block.id: block.label for block in view.blocks}
    return [
        (shot.id, f"ball {shot.place}, {labels[shot.block_id]}")
        for shot in view.shots
        if shot.id not in taken
    ]


def _remarks(chosen: Found | None) -> list[tuple[str, str, str]]:
    """What was found: how much it matters, the text, and what to do; the worst first."""
    if chosen is None or chosen.recording is None:
        return []
    remarks = chosen.swing.remarks if chosen.swing is not None else chosen.recording.remarks
    order = {"fault": 0, "doubt": 1, "note": 2}
    return sorted(
        ((one.weight, one.text, one.fix) for one in remarks), key=lambda one: order[one[0]]
    )


def _number(text: str | None) -> int | None:
    return int(text) if text is not None and text.isdecimal() else None
