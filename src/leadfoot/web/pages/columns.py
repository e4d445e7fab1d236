"""A table on its way into a lesson: given, looked at, its columns confirmed."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, cast, get_args

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.datastructures import FormData, UploadFile

from leadfoot.desk import importing
from leadfoot.desk.desk import Desk
from leadfoot.desk.importing import Look
from leadfoot.desk.records import Role
from leadfoot.errors import InputError
from leadfoot.quantities import glossary
from leadfoot.shots.columns import SCHEMA, TABLE_UNITS, Column, units_of
from leadfoot.shots.read import RowBlock
from leadfoot.web.page import DeskHere, FormHere, ViewsHere, page, said
from leadfoot.web.pages.lesson import FormTrouble, lesson_page
from leadfoot.web.trouble import status_of
from leadfoot.web.words import lesson_name

router = APIRouter()

OTHER_ROLES = (
    ("club", "the club"),
    ("block", "the block"),
    ("ball", "the number of the ball"),
    ("time", "the time"),
    ("ignored", "leave it aside"),
)
"""What a column can be that holds no quantity, as the page says it."""

N_ROW_BLOCKS = 4
"""Blocks that can be given by rows: A-B-A with a warm-up before it (our own choice)."""

N_SAMPLES = 8
"""Rows of the table that the page shows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnLine:
    """One column as the page asks about it."""

    column: Column
    what: str
    """``quantity:carry``, or a role."""
    unit: str
    left_is_positive: bool
    samples: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RowLine:
    """One block given by rows, as typed."""

    first: str = ""
    last: str = ""
    label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What the form said."""

    mapping_json: str
    row_lines: tuple[RowLine, ...]
    roles: Mapping[str, Role]


@router.post("/lessons/{lesson_id}/files")
def receive(request: Request, desk: DeskHere, form: FormHere, lesson_id: int) -> Response:
    """Keep a file, or a table that was pasted, and go on to its columns."""
    desk.book.lesson(lesson_id)
    try:
        name, data = _given(form)
        raw_file = importing.receive(desk, lesson_id, name=name, data=data)
        importing.look(desk, raw_file.id)
    except InputError as error:
        trouble = FormTrouble(form="file", error=error, typed={"pasted": said(form, "pasted")})
        return lesson_page(request, lesson_id, trouble=trouble)
    return RedirectResponse(f"/files/{raw_file.id}/columns", status_code=303)


@router.get("/files/{raw_file_id}/columns")
def show_columns(request: Request, desk: DeskHere, raw_file_id: int) -> HTMLResponse:
    """What was understood of a file, to be confirmed."""
    return _columns(request, desk, importing.look(desk, raw_file_id))


@router.post("/files/{raw_file_id}/columns")
def confirm_columns(
    request: Request, desk: DeskHere, views: ViewsHere, form: FormHere, raw_file_id: int
) -> Response:
    """Look again with other choices, or put the shots into the lesson."""
    asked = _asked(form)
    try:
        row_blocks = _row_blocks(asked.row_lines)
        seen = importing.look(
            desk, raw_file_id, mapping_json=asked.mapping_json, row_blocks=row_blocks
        )
        if said(form, "deed") != "confirm":
            return _columns(request, desk, seen, asked=asked)
        report = importing.confirm(
            desk,
            raw_file_id,
            mapping_json=asked.mapping_json,
            roles=asked.roles,
            row_blocks=row_blocks,
        )
    except InputError as error:
        seen = importing.look(desk, raw_file_id)
        return _columns(request, desk, seen, asked=asked, error=error)
    lesson_id = seen.raw_file.lesson_id
    views.keep_answer(lesson_id)
    done = f"added={report.n_added}&already={report.n_already}&problems={len(report.problems)}"
    return RedirectResponse(f"/lessons/{lesson_id}?{done}", status_code=303)


@router.post("/files/{raw_file_id}/withdraw")
def withdraw(desk: DeskHere, views: ViewsHere, raw_file_id: int) -> Response:
    """Take the balls of a file out of the lesson again, and go back to its columns."""
    raw_file, _ = desk.book.raw_file(raw_file_id)
    importing.withdraw(desk, raw_file_id)
    views.keep_answer(raw_file.lesson_id)
    return RedirectResponse(f"/files/{raw_file_id}/columns", status_code=303)


def _columns(
    request: Request,
    desk: Desk,
    seen: Look,
    *,
    asked: Asked | None = None,
    error: InputError | None = None,
) -> HTMLResponse:
    lesson = desk.book.lesson(seen.raw_file.lesson_id)
    student = desk.book.student(lesson.student_id)
    row_lines = asked.row_lines if asked is not None else ()
    blanks = (RowLine(),) * (N_ROW_BLOCKS - len(row_lines))
    return page(
        request,
        "columns.html",
        status=200 if error is None else status_of(error),
        seen=seen,
        reading=seen.reading,
        lines=_lines(seen, asked),
        row_numbers=[row for row, _ in seen.reading.preview[:N_SAMPLES]],
        roles=_roles_shown(seen, asked),
        row_lines=(*row_lines, *blanks),
        quantities=[(key, known.name) for key, known in glossary().items()],
        units_by_quantity={key: list(units_of(key)) for key in glossary()},
        usual_units={key: known.unit or "" for key, known in glossary().items()},
        table_units=TABLE_UNITS,
        other_roles=OTHER_ROLES,
        error=error,
        student=student,
        lesson=lesson,
        invented=student.invented,
        crumbs=(
            ("/", "Today"),
            (f"/students/{student.id}", student.name),
            (f"/lessons/{lesson.id}", lesson_name(lesson)),
        ),
    )


def _lines(seen: Look, asked: Asked | None) -> list[ColumnLine]:
    rules = json.loads(asked.mapping_json)["columns"] if asked is not None else []
    return [
        _line(column, seen, rules[k] if k < len(rules) else None)
        for k, column in enumerate(seen.reading.columns)
    ]


def _line(column: Column, seen: Look, rule: Mapping[str, Any] | None) -> ColumnLine:
    """One column; what the coach chose stands, even where it was refused."""
    role = rule["role"] if rule is not None else column.role
    quantity = rule["quantity"] if rule is not None else column.quantity
    unit = rule["unit"] if rule is not None else column.unit
    sign = rule["sign"] if rule is not None else column.sign
    return ColumnLine(
        column=column,
        what=f"quantity:{quantity}" if role == "quantity" else role,
        unit=unit or "",
        left_is_positive=sign == -1,
        samples=_samples(seen, column),
    )


def _samples(seen: Look, column: Column) -> tuple[str, ...]:
    rows = seen.reading.cells(N_SAMPLES)
    return tuple(row[column.index] if column.index < len(row) else "" for row in rows)


def _roles_shown(seen: Look, asked: Asked | None) -> Mapping[str, Role]:
    chosen = asked.roles if asked is not None else MappingProxyType({})
    return {label: chosen.get(label, role) for label, role in seen.roles.items()}


def _given(form: FormData) -> tuple[str, bytes]:
    """Name and bytes of what was given: a file, else what was pasted."""
    upload = form.get("file")
    if isinstance(upload, UploadFile) and upload.filename:
        data = upload.file.read()
        if not data:
            raise InputError(f"{upload.filename!r} is empty.", fix="Choose another file.")
        return upload.filename, data
    pasted = said(form, "pasted")
    if not pasted.strip():
        raise InputError("No table was given.", fix="Choose a file, or paste a table.")
    return "pasted.tsv", pasted.encode()


def _asked(form: FormData) -> Asked:
    columns = [_rule(form, k) for k in _numbered(form, "header-")]
    roles = {
        said(form, f"role-label-{k}"): cast("Role", said(form, f"role-{k}"))
        for k in _numbered(form, "role-label-")
        if said(form, f"role-{k}") in get_args(Role)
    }
    lines = tuple(
        RowLine(
            first=said(form, f"first-{k}").strip(),
            last=said(form, f"last-{k}").strip(),
            label=said(form, f"label-{k}").strip(),
        )
        for k in range(N_ROW_BLOCKS)
    )
    return Asked(
        mapping_json=json.dumps({"schema": SCHEMA, "columns": columns}, ensure_ascii=False),
        row_lines=lines,
        roles=roles,
    )


def _numbered(form: FormData, prefix: str) -> Sequence[int]:
    ends = (name.removeprefix(prefix) for name in form if name.startswith(prefix))
    return sorted(int(end) for end in ends if end.isdecimal())


def _rule(form: FormData, k: int) -> Mapping[str, Any]:
    """What the form says of one column; an answered question has the last word on its unit."""
    role, _, quantity = said(form, f"what-{k}", "ignored").partition(":")
    unit: str | None = said(form, f"unit-{k}") or None
    taken, _, suggested = said(form, "take").partition(":")
    if taken == str(k):
        unit = suggested
    if role != "quantity" or not units_of_known(quantity):
        unit = None
    return {
        "header": said(form, f"header-{k}"),
        "role": role,
        "quantity": quantity or None,
        "unit": unit,
        "sign": -1 if said(form, f"left-{k}") and role == "quantity" else 1,
    }


def units_of_known(quantity: str) -> tuple[str, ...]:
    """Units of a quantity; none for a ratio and for what the glossary does not know.

    Examples
    --------
    >>> units_of_known("spin_rate"), units_of_known("smash_factor"), units_of_known("luck")
    (('rpm',), (), ())
    """
    return units_of(quantity) if quantity in glossary() else ()


def _row_blocks(lines: Sequence[RowLine]) -> tuple[RowBlock, ...]:
    blocks = []
    for line in lines:
        if not (line.first or line.last or line.label):
            continue
        if not (line.first.isdecimal() and line.last.isdecimal() and line.label):
            raise InputError(
                f"The block {line.label or 'without a name'!r} from row {line.first or '?'} to row "
                f"{line.last or '?'} is not whole.",
                fix="Give its first row, its last row and its name, or leave all three empty.",
            )
        blocks.append(
            RowBlock(label=line.label, first_row=int(line.first), last_row=int(line.last))
        )
    return tuple(blocks)
