"""Reads a plan for home back from its published form."""

import json
from typing import Any, cast

from leadfoot.coaching.homework import HomeBlock, HomePlan, HomeSession, Place
from leadfoot.coaching.homework_rules import Rule
from leadfoot.errors import InputError
from leadfoot.language.say import Message

SCHEMA = "leadfoot.homework/1"


def homework_from_json(text: str) -> HomePlan:
    """Read a plan.

    Parameters
    ----------
    text
        What `HomePlan.as_json` gave, as JSON.

    Raises
    ------
    InputError
        If it is no such plan.

    Examples
    --------
    >>> from leadfoot.coaching.homework import Week, plan_homework
    >>> plan = plan_homework(Week(days=(1,), minutes=30, balls=30, place="net"), cue="press",
    ...                      criterion="starts straight")
    >>> homework_from_json(json.dumps(plan.as_json())) == plan
    True
    """
    try:
        form: dict[str, Any] = json.loads(text)
        return _plan({SCHEMA: form}[form["schema"]])
    except (KeyError, TypeError, ValueError) as error:
        raise InputError(
            "This is no plan for home.", fix=f"Give one in the form {SCHEMA}."
        ) from error


def _plan(form: dict[str, Any]) -> HomePlan:
    return HomePlan(
        cue=str(form["cue"]),
        criterion=str(form["criterion"]),
        place=cast("Place", form["place"]),
        minutes=int(form["minutes"]),
        n_weeks=int(form["n_weeks"]),
        sessions=tuple(_session(one) for one in form["sessions"]),
        rules=tuple(Rule(**one) for one in form["rules"]),
        notes=_notes(form),
        cautions=tuple(form["cautions"]),
    )


def _notes(form: dict[str, Any]) -> tuple[Message, ...]:
    """What does not fit; a plan of an older version has it in English alone."""
    if "notes_to_say" not in form:
        return tuple(Message(str(note)) for note in form["notes"])
    return tuple(Message(str(one["text"]), dict(one["values"])) for one in form["notes_to_say"])


def _session(form: dict[str, Any]) -> HomeSession:
    return HomeSession(
        number=int(form["number"]),
        week=int(form["week"]),
        day=int(form["day"]),
        blocks=tuple(HomeBlock(**block) for block in form["blocks"]),
    )
