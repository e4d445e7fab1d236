"""The settings of the studio: units, air, errors of the monitor, clubs, columns, access, backup."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, get_args

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.datastructures import FormData

from leadfoot.desk import settings as deeds
from leadfoot.desk.own_clubs import own_clubs, remove_club, save_club
from leadfoot.desk.settings_port import StoredMapping
from leadfoot.desk.studio import UNIT_CHOICES, Studio
from leadfoot.errors import InputError, LeadfootError
from leadfoot.physics.club_file import NUMBERS, TRIPLES
from leadfoot.physics.clubs import clubs
from leadfoot.physics.conditions import STUDIO
from leadfoot.physics.monitor import USUAL_ERRORS
from leadfoot.quantities import ClubClass, quantity
from leadfoot.shots.columns import ColumnMapping
from leadfoot.web.page import DeskHere, FormHere, desk_of, page, said
from leadfoot.web.pages.book import backup_line
from leadfoot.web.trouble import status_of
from leadfoot.web.visitor import Visitor, visitor_of
from leadfoot.web.words import unit_shown

router = APIRouter(prefix="/settings")

UNIT_WORDS: Final[Mapping[str, tuple[str, str]]] = {
    "speed": ("Speed", "of club, ball and wind"),
    "distance": ("Distance", "carry, total, offline, apex"),
    "small": ("Small lengths", "the place on the face, the low point"),
    "temperature": ("Temperature", "of the air"),
    "altitude": ("Altitude", "of a place"),
    "pressure": ("Pressure", "of the air"),
}
AS_READ: Final[Mapping[str, str]] = {
    "speed": "as read",
    "distance": "as read",
    "small": "as read",
    "temperature": "with distance",
    "altitude": "with distance",
    "pressure": "hPa",
}
"""What the first choice of each kind is called."""
SHORT_CLUB: Final = ("loft_deg", "head_mass_kg", "length_m", "lie_deg", "restitution")
"""Numbers of a club that stand in the open; the others are behind a fold."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """A form that was refused: which one, why, and all that was typed into it."""

    form: str
    error: LeadfootError
    typed: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class MappingLine:
    """What the book remembers for one header."""

    id: int
    when: str
    columns: str
    """What each column was taken for, in words."""


@router.get("")
def show_settings(request: Request, club: str = "") -> HTMLResponse:
    """The page; with a club, the form has what is written of it."""
    return _page(request, club_key=club)


@router.post("/units")
def choose_units(request: Request, desk: DeskHere, form: FormHere) -> Response:
    """Choose the units of the studio."""
    typed = _typed(form, UNIT_CHOICES)
    return _done(
        request, "units", typed, lambda: deeds.save_units(desk, typed, by=visitor_of(request).who)
    )


@router.post("/air")
def set_air(request: Request, desk: DeskHere, form: FormHere) -> Response:
    """Say what the air of the studio is like."""
    typed = _typed(form, ("temperature", "altitude", "pressure", "humidity"))
    return _done(
        request, "air", typed, lambda: deeds.save_air(desk, typed, by=visitor_of(request).who)
    )


@router.post("/monitor")
def set_errors(request: Request, desk: DeskHere, form: FormHere) -> Response:
    """Say what the monitor may be off by."""
    typed = _typed(form, deeds.ERROR_BOUNDS)
    return _done(
        request,
        "monitor",
        typed,
        lambda: deeds.save_errors(desk, typed, by=visitor_of(request).who),
    )


@router.post("/usual")
def set_back(request: Request, desk: DeskHere, form: FormHere) -> Response:
    """Set the units, the air or the monitor back to what is usual."""
    key = said(form, "key")
    return _done(request, key, {}, lambda: deeds.set_back(desk, key, by=visitor_of(request).who))


@router.post("/clubs")
def keep_club(request: Request, desk: DeskHere, form: FormHere) -> Response:
    """Write a club of the studio, new or anew."""
    typed = _typed(form, ("key", "name", "class", "like", *NUMBERS, *TRIPLES))
    visitor = visitor_of(request)

    def keep() -> None:
        save_club(
            desk,
            _club_fields(typed),
            typed["key"] or None,
            by=visitor.who,
            all_clubs=visitor.standing == "owner",
        )

    return _done(request, "clubs", typed, keep)


@router.post("/clubs/remove")
def take_club_away(request: Request, desk: DeskHere, form: FormHere) -> Response:
    """Take a club of the studio away."""
    visitor, key = visitor_of(request), said(form, "key")
    return _done(
        request,
        "clubs",
        {},
        lambda: remove_club(desk, key, by=visitor.who, all_clubs=visitor.standing == "owner"),
    )


@router.post("/columns/forget")
def forget_columns(desk: DeskHere, form: FormHere) -> Response:
    """Forget what was confirmed for the columns of one header."""
    number = said(form, "mapping")
    if not number.isdecimal() or not number.isascii() or len(number) > 18:
        raise InputError("No columns were chosen.", fix="Choose one from the list.")
    desk.book.forget_mapping(int(number))
    return RedirectResponse("/settings?done=columns#columns-title", status_code=303)


def _done(request: Request, form: str, typed: Mapping[str, str], deed: Any) -> Response:
    """Do it and go back to the page; where it is refused, all that was typed stays."""
    try:
        deed()
    except LeadfootError as error:
        return _page(request, refused=Refused(form=form, error=error, typed=typed))
    return RedirectResponse(f"/settings?done={form}#{form}-title", status_code=303)


def _typed(form: FormData, names: Any) -> dict[str, str]:
    return {name: said(form, name).strip() for name in names}


def _club_fields(typed: Mapping[str, str]) -> dict[str, Any]:
    """What was typed of a club, as the catalogue has it: texts, numbers, three numbers."""
    fields: dict[str, Any] = {
        name: typed[name] for name in ("name", "class", "like") if typed[name]
    }
    fields |= {name: _number(name, typed[name]) for name in NUMBERS if typed[name]}
    return fields | {
        name: [_number(name, one) for one in typed[name].split()] for name in TRIPLES if typed[name]
    }


def _number(name: str, text: str) -> float:
    try:
        return float(text.replace("−", "-").replace(",", "."))
    except ValueError:
        raise InputError(
            f"{name} {text[:40]!r} is no number.",
            fix=f"Type {_fix_for(name)}, in the unit that stands there.",
        ) from None


def _fix_for(name: str) -> str:
    if name in NUMBERS:
        low, high = NUMBERS[name]
        return f"{low:g} to {high:g}"
    return "three numbers, blanks between"


def _page(request: Request, *, refused: Refused | None = None, club_key: str = "") -> HTMLResponse:
    desk, visitor = desk_of(request), visitor_of(request)
    change = desk.book.last_change()
    studio, saved = deeds.studio_of(desk), deeds.saved_settings(desk)
    zone = desk.clock().tzinfo
    state = desk.book.file.state()
    written = {one.key: one for one in own_clubs(desk)}
    return page(
        request,
        "settings.html",
        status=200 if refused is None else status_of(refused.error),
        change=change,
        studio=studio,
        refused=refused,
        done=request.query_params.get("done", ""),
        may_all=visitor.standing == "owner",
        kinds=_unit_rows(studio, refused),
        air_fields=_air_rows(studio, refused),
        error_fields=_error_rows(studio, refused),
        saved={
            key: {
                "by": one.setting.saved_by,
                "when": _when(one.setting.saved_at.astimezone(zone)),
                "trouble": one.trouble,
            }
            for key, one in saved.items()
        },
        standard_air=studio.conditions == STUDIO,
        own=[(one, _mine(one.by, visitor)) for one in written.values()],
        club=_club_typed(written, club_key, refused),
        club_fields=[(name, _club_label(name), _fix_for(name)) for name in (*NUMBERS, *TRIPLES)],
        short_club=SHORT_CLUB,
        classes=get_args(ClubClass),
        generic=clubs(),
        mappings=[_mapping_line(one, zone) for one in desk.book.mappings()],
        state=state,
        last=backup_line(state.backups[0], zone) if state.backups else None,
        crumbs=(("/", "Today"),),
    )


def _when(at: Any) -> str:
    return f"{at.day} {at:%b %Y}, {at:%H:%M}"


def _mine(by: str, visitor: Visitor) -> bool:
    return visitor.standing == "owner" or by == visitor.who


def _unit_rows(studio: Studio, refused: Refused | None) -> list[dict[str, Any]]:
    typed = refused.typed if refused and refused.form == "units" else {}
    return [
        {
            "kind": kind,
            "label": UNIT_WORDS[kind][0],
            "hint": UNIT_WORDS[kind][1],
            "first": AS_READ[kind],
            "units": [(unit, unit_shown(unit)) for unit in units],
            "chosen": typed.get(kind, getattr(studio.units, kind) or ""),
        }
        for kind, units in UNIT_CHOICES.items()
    ]


def _air_rows(studio: Studio, refused: Refused | None) -> list[dict[str, Any]]:
    typed = refused.typed if refused and refused.form == "air" else {}
    now, units = studio.conditions, studio.units
    rows = (
        ("temperature", units.heat, now.temperature_k),
        ("altitude", units.height, now.altitude_m),
        ("pressure", units.weight_of_air, now.pressure_pa),
        ("humidity", "%", now.humidity_frac),
    )
    return [
        {
            "name": name,
            "bounds": bounds,
            "text": typed.get(name, "" if value is None else bounds.shown(value)),
        }
        for name, unit, value in rows
        for bounds in [deeds.AIR_BOUNDS[unit]]
    ]


def _error_rows(studio: Studio, refused: Refused | None) -> list[dict[str, Any]]:
    typed = refused.typed if refused and refused.form == "monitor" else {}
    return [
        {
            "name": name,
            "bounds": bounds,
            "usual": bounds.shown(getattr(USUAL_ERRORS, name)),
            "text": typed.get(name, bounds.shown(getattr(studio.errors, name))),
            "own": getattr(studio.errors, name) != getattr(USUAL_ERRORS, name),
        }
        for name, bounds in deeds.ERROR_BOUNDS.items()
    ]


def _club_typed(written: Mapping[str, Any], key: str, refused: Refused | None) -> dict[str, str]:
    names = ("key", "name", "class", "like", *NUMBERS, *TRIPLES)
    if refused is not None and refused.form == "clubs" and refused.typed:
        return {name: refused.typed.get(name, "") for name in names}
    typed = dict.fromkeys(names, "")
    if key in written:
        fields = written[key].fields
        typed |= {"key": key} | {name: _text(fields[name]) for name in names if name in fields}
    return typed


def _text(value: Any) -> str:
    if isinstance(value, list | tuple):
        return " ".join(f"{one:g}" for one in value)
    return value if isinstance(value, str) else f"{value:g}"


def _club_label(name: str) -> str:
    """Name of a field with its unit apart: ``head_mass_kg`` as ``head mass, kg``.

    Examples
    --------
    >>> _club_label("head_mass_kg"), _club_label("restitution"), _club_label("inertia_gcm2")
    ('Head mass, kg', 'Restitution', 'Inertia, g cm²')
    """
    words, _, unit = name.rpartition("_")
    units = {"kg": "kg", "deg": "°", "mm": "mm", "m": "m", "gcm2": "g cm²"}
    if unit not in units:
        return name.replace("_", " ").capitalize()
    return (
        f"{words.replace('_', ' ').replace('com', 'centre of mass,').capitalize()}, {units[unit]}"
    )


def _mapping_line(stored: StoredMapping, zone: Any) -> MappingLine:
    return MappingLine(
        id=stored.id,
        when=_when(stored.saved_at.astimezone(zone)),
        columns=_columns_words(stored.mapping_json),
    )


def _columns_words(text: str) -> str:
    try:
        rules = ColumnMapping.from_json(text).columns
    except LeadfootError:
        return json.dumps(text)[:200]
    said_of = []
    for rule in rules:
        if rule.quantity is not None:
            unit = f" in {unit_shown(rule.unit)}" if rule.unit else ""
            said_of.append(f"{rule.header}: {quantity(rule.quantity).name}{unit}")
        else:
            said_of.append(f"{rule.header}: {rule.role}")
    return "; ".join(said_of) or "no column"
