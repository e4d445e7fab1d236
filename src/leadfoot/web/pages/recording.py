"""One force recording: its traces, strike and ball, what was said of it, what to take along."""

import csv
import math
from io import StringIO
from typing import Annotated, Literal

from fastapi import APIRouter, Query, Request
from fastapi.responses import RedirectResponse, Response

from leadfoot.desk import linking, recordings
from leadfoot.desk.desk import Desk
from leadfoot.desk.recordings import Found
from leadfoot.desk.traces import PANELS, traces_of, window
from leadfoot.errors import InputError
from leadfoot.figures.ground import swing_picture
from leadfoot.figures.look import PRINT
from leadfoot.ground.recording import Recording
from leadfoot.web import force_form
from leadfoot.web.page import DeskHere, FormHere, RecordingsHere, said
from leadfoot.web.pages.ground import download, ground_page
from leadfoot.web.pages.lesson import FormTrouble
from leadfoot.web.trace_bytes import KIND, trace_bytes

router = APIRouter(prefix="/recordings/{recording_id}")


@router.get("/traces")
def give_traces(
    recordings_here: RecordingsHere,
    recording_id: int,
    *,
    panels: str = "vertical",
    from_s: Annotated[float, Query(alias="from")] = -math.inf,
    to_s: Annotated[float, Query(alias="to")] = math.inf,
    columns: int = 1000,
) -> Response:
    """The traces in a window, at full rate or by least and greatest."""
    found = recordings_here.of(recording_id)
    plates = _plates(found)
    wanted = [one for one in PANELS if one in panels.split(",")]
    cut = window(
        plates,
        traces_of(found, wanted),
        from_s=max(_known(from_s, -math.inf), float(plates.time_s[0])),
        to_s=min(_known(to_s, math.inf), float(plates.time_s[-1])),
        columns=columns,
    )
    return Response(trace_bytes(found, cut), media_type=KIND)


@router.post("/strike")
def set_strike(request: Request, desk: DeskHere, form: FormHere, recording_id: int) -> Response:
    """Set the strike by hand or by the launch monitor's time, or leave it to the file."""
    try:
        deed = said(form, "deed")
        if deed == "clear":
            recordings.set_strike(desk, recording_id, None)
        elif deed == "clock":
            recordings.strike_by_clock(
                desk,
                recording_id,
                monitor_s=force_form.clock_in(said(form, "monitor"), "The strike"),
                first_sample_s=force_form.clock_in(said(form, "first_sample"), "The first sample"),
            )
        else:
            at_s = force_form.number_in(said(form, "strike"), "The strike")
            recordings.set_strike(desk, recording_id, at_s)
    except InputError as error:
        return _refused(request, desk, recording_id, "strike", error)
    return _back(desk, recording_id, "traces")


@router.post("/choices")
def set_choices(request: Request, desk: DeskHere, form: FormHere, recording_id: int) -> Response:
    """Say what a recording is."""
    try:
        recordings.understand(
            desk, recording_id, force_form.said_in(form), mapping=force_form.mapping_in(form)
        )
    except InputError as error:
        return _refused(request, desk, recording_id, "choices", error)
    return _back(desk, recording_id, "found")


@router.post("/weight")
def confirm_weight(request: Request, desk: DeskHere, recording_id: int) -> Response:
    """Say that the weight is about right."""
    try:
        recordings.confirm_weight(desk, recording_id)
    except InputError as error:
        return _refused(request, desk, recording_id, "weight", error)
    return _back(desk, recording_id, "says")


@router.post("/link")
def link(request: Request, desk: DeskHere, form: FormHere, recording_id: int) -> Response:
    """Link a recording to a ball and put it into a block, by hand."""
    shot, block = said(form, "shot"), said(form, "block")
    stored = desk.book.recording(recording_id)
    try:
        shot_id = int(shot) if shot.isdecimal() else None
        if shot_id != stored.shot_id:
            linking.link_by_hand(desk, recording_id, shot_id)
        if shot_id is None:
            desk.book.put_recording(recording_id, int(block) if block.isdecimal() else None)
    except InputError as error:
        return _refused(request, desk, recording_id, "ball", error)
    return _back(desk, recording_id, "ball")


@router.post("/leave-out")
def leave_out(request: Request, desk: DeskHere, form: FormHere, recording_id: int) -> Response:
    """Leave a recording out of the averages."""
    try:
        reason = said(form, "own_words").strip() or said(form, "reason")
        recordings.leave_out(desk, recording_id, reason)
    except InputError as error:
        return _refused(request, desk, recording_id, "leave-out", error)
    return _back(desk, recording_id, "ball")


@router.post("/take-back")
def take_back(desk: DeskHere, recording_id: int) -> Response:
    """Let a recording count again."""
    desk.book.leave_out_recording(recording_id, None)
    return _back(desk, recording_id, "ball")


@router.get("/file")
def give_file(desk: DeskHere, recording_id: int) -> Response:
    """The file as it came."""
    file, data = desk.book.raw_file(desk.book.recording(recording_id).raw_file_id)
    end = file.name.rpartition(".")[2] if "." in file.name else "bin"
    safe = end if end.isalnum() and end.isascii() else "bin"
    return download(data, KIND, f"recording-{recording_id}.{safe}")


@router.get("/swing.csv")
def give_table(recordings_here: RecordingsHere, recording_id: int) -> Response:
    """All traces at full rate as a table."""
    found = recordings_here.of(recording_id)
    plates = _plates(found)
    traces = traces_of(found, PANELS)
    out = StringIO()
    table = csv.writer(out, lineterminator="\n")
    table.writerow(("time, s", *(f"{one.panel}, {one.key}" for one in traces)))
    for time_s, *row in zip(
        plates.time_s.tolist(), *(one.values.tolist() for one in traces), strict=True
    ):
        cells = ("" if math.isnan(value) else f"{value:.6g}" for value in row)
        table.writerow((f"{time_s:.6f}", *cells))
    return download(out.getvalue().encode(), "text/csv", f"recording-{recording_id}.csv")


@router.get("/swing.{kind}")
def give_picture(
    recordings_here: RecordingsHere, recording_id: int, kind: Literal["svg", "png"]
) -> Response:
    """The swing as a picture."""
    found = recordings_here.of(recording_id)
    if found.swing is None:
        raise InputError("There is no swing to draw yet.", fix=found.trouble)
    picture = swing_picture(found.swing, look=PRINT)
    name = f"recording-{recording_id}.{kind}"
    if kind == "svg":
        return download(picture.svg(), "image/svg+xml", name)
    return download(picture.png(), "image/png", name)


def _plates(found: Found) -> Recording:
    if found.recording is None:
        raise InputError("The recording is not understood yet.", fix=found.trouble)
    return found.recording


def _known(value: float, otherwise: float) -> float:
    return otherwise if math.isnan(value) else value


def _back(desk: Desk, recording_id: int, place: str) -> Response:
    lesson_id = desk.book.recording(recording_id).lesson_id
    address = f"/lessons/{lesson_id}/ground?recording={recording_id}#{place}"
    return RedirectResponse(address, status_code=303)


def _refused(
    request: Request, desk: Desk, recording_id: int, form: str, error: InputError
) -> Response:
    lesson_id = desk.book.recording(recording_id).lesson_id
    trouble = FormTrouble(form=form, error=error)
    return ground_page(request, lesson_id, recording_id=recording_id, trouble=trouble)
