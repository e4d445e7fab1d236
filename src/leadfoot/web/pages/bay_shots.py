"""Shots by HTTP: a program posts them as JSON, with the token of its bay."""

import json
import time
from typing import TYPE_CHECKING, Any

from fastapi import APIRouter, Request
from fastapi.openapi.utils import get_openapi
from fastapi.responses import JSONResponse, Response
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException

from leadfoot.desk.bay_records import Arrival, Bay
from leadfoot.desk.bays import AnswerKeeper, admitted, arrive, running_role
from leadfoot.desk.desk import Desk
from leadfoot.desk.live_shots import MOST_SHOTS, LiveShot, read_shots, shot_schema
from leadfoot.errors import InputError
from leadfoot.web.page import desk_of
from leadfoot.web.trouble import trouble_page

if TYPE_CHECKING:
    from leadfoot.web.live import Feed

router = APIRouter()

MOST_BODY_BYTES = 4 * 2**20
"""A thousand shots of forty values each take some 2 MB (our own choice)."""

_ERROR = {
    "type": "object",
    "required": ["error"],
    "properties": {
        "error": {
            "type": "object",
            "required": ["what", "fix"],
            "properties": {
                "what": {"type": "string", "description": "What is wrong, with its place."},
                "fix": {"type": "string", "description": "What to do next."},
            },
        }
    },
}
_ROLE = {"type": "string", "enum": ["before", "with_change", "other"]}
_ARRIVED = {
    "type": "object",
    "required": ["shots"],
    "properties": {
        "shots": {
            "type": "array",
            "items": {
                "type": "object",
                "required": ["key", "shot", "lesson", "place", "role", "new"],
                "properties": {
                    "key": {"type": "string"},
                    "shot": {"type": "integer", "description": "Its number in the book."},
                    "lesson": {"type": "integer"},
                    "place": {"type": "integer", "description": "Its order in the lesson."},
                    "role": _ROLE,
                    "new": {"type": "boolean", "description": "False: it had come before."},
                },
            },
        }
    },
}
_RUNNING = {
    "type": "object",
    "required": ["bay", "lesson", "running"],
    "properties": {
        "bay": {"type": "string"},
        "lesson": {"type": ["integer", "null"]},
        "running": {**_ROLE, "description": "Into what block the next ball falls."},
    },
}


def _says(words: str, schema: dict[str, Any]) -> dict[str, Any]:
    return {"description": words, "content": {"application/json": {"schema": schema}}}


_REFUSALS: dict[int | str, dict[str, Any]] = {
    401: _says("The bay is not known, or the token is not its own.", _ERROR),
}
_SEND_ANSWERS: dict[int | str, dict[str, Any]] = {
    200: _says("All of them had come before.", _ARRIVED),
    201: _says("They are in the book; pages show them.", _ARRIVED),
    **_REFUSALS,
    409: _says("The bay hits for no lesson yet; send them again once it does.", _ERROR),
    413: _says("The body is too large.", _ERROR),
    422: _says("Something in the body can't be used; nothing of it was taken.", _ERROR),
    503: _says("The book can't be written just now; send them again.", _ERROR),
}
_BODY = {
    "requestBody": {
        "required": True,
        "content": {
            "application/json": {
                "schema": {
                    "oneOf": [
                        {"$ref": "#/components/schemas/Shot"},
                        {
                            "type": "array",
                            "minItems": 1,
                            "maxItems": MOST_SHOTS,
                            "items": {"$ref": "#/components/schemas/Shot"},
                        },
                    ]
                },
                "example": {
                    "key": "monitor-0001",
                    "club": "driver",
                    "values": {
                        "club_speed": {"value": 94.0, "unit": "mph"},
                        "carry": {"value": 215.0, "unit": "yd"},
                        "offline": {"value": -8.5, "unit": "yd"},
                    },
                },
            }
        },
    },
    "security": [{"token": []}],
}


@router.post(
    "/bays/{name}/shots",
    summary="Send one shot or a list of shots",
    response_class=JSONResponse,
    status_code=201,
    responses=_SEND_ANSWERS,
    openapi_extra=_BODY,
)
async def send_shots(request: Request, name: str) -> Response:
    """Put shots into the running block of the lesson that the bay hits for, all or none.

    A key that came before adds nothing, so a shot may be sent again whenever the sender does not
    know whether it arrived. Directions: right of the target, up, toe and high are positive.
    """
    desk = desk_of(request)
    bay = await run_in_threadpool(admitted, desk, name, _token(request))
    if bay is None:
        return _not_admitted(request)
    shots = read_shots(_json(await _body(request)))
    if bay.lesson_id is None:
        return trouble_page(
            request,
            status=409,
            what=f"Bay {bay.name!r} hits for no lesson.",
            fix="Choose its lesson on the page of the bays, then send the shots again.",
        )
    came = await run_in_threadpool(_arrive_all, desk, bay, shots)
    keeper: AnswerKeeper = request.app.state.keeper
    keeper.note({one.shot.lesson_id for one in came if one.is_new}, time.monotonic())
    feed: Feed = request.app.state.feed
    await feed.look()
    return JSONResponse(
        {"shots": [_as_json(one) for one in came]},
        status_code=201 if any(one.is_new for one in came) else 200,
    )


@router.get(
    "/bays/{name}/shots",
    summary="Ask where the next ball falls",
    response_class=JSONResponse,
    responses={200: _says("The lesson and the running block.", _RUNNING), **_REFUSALS},
    openapi_extra={"security": [{"token": []}]},
)
def show_running(request: Request, name: str) -> Response:
    """Say for which lesson the bay hits, and what the running block is."""
    desk = desk_of(request)
    bay = admitted(desk, name, _token(request))
    if bay is None:
        return _not_admitted(request)
    return JSONResponse(
        {"bay": bay.name, "lesson": bay.lesson_id, "running": running_role(desk, bay)}
    )


@router.get("/openapi.json", include_in_schema=False)
def describe(request: Request) -> JSONResponse:
    """The OpenAPI description of the addresses that are for programs."""
    found = get_openapi(
        title="Leadfoot bays",
        version=request.app.version,
        description="Send shots to a lesson while they are hit. The desk answers on its own "
        "machine unless an owner opened it to the network. Get the token of a bay on its page or "
        "by: leadfoot bay add NAME.",
        routes=router.routes,
    )
    parts = found.setdefault("components", {})
    parts.setdefault("schemas", {})["Shot"] = shot_schema()
    parts["securitySchemes"] = {"token": {"type": "http", "scheme": "bearer"}}
    return JSONResponse(found)


def _arrive_all(desk: Desk, bay: Bay, shots: tuple[LiveShot, ...]) -> list[Arrival]:
    return [arrive(desk, bay, shot) for shot in shots]


async def _body(request: Request) -> bytes:
    """The body, if it is no larger than so many shots can be: as objects it takes far more."""
    body = await request.body()
    if len(body) > MOST_BODY_BYTES:
        raise HTTPException(413)
    return body


def _json(body: bytes) -> object:
    try:
        return json.loads(body)
    except (ValueError, RecursionError) as error:
        raise InputError(
            "The body is no JSON.", fix="Send one JSON object, or a list of at least one."
        ) from error


def _token(request: Request) -> str:
    kind, _, token = request.headers.get("authorization", "").partition(" ")
    return token.strip() if kind.lower() == "bearer" else ""


def _not_admitted(request: Request) -> Response:
    answer = trouble_page(
        request,
        status=401,
        what="The bay is not known, or the token is not its own.",
        fix="Send the header Authorization: Bearer TOKEN with the token of this bay; a lost one "
        "is replaced by withdrawing the bay and adding it again.",
    )
    answer.headers["WWW-Authenticate"] = "Bearer"
    return answer


def _as_json(one: Arrival) -> dict[str, Any]:
    return {
        "key": one.key,
        "shot": one.shot.id,
        "lesson": one.shot.lesson_id,
        "place": one.shot.place,
        "role": one.role,
        "new": one.is_new,
    }
