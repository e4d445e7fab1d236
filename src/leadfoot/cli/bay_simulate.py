"""``leadfoot bay simulate``: an invented student hits, into a lesson or onto the screen."""

import json
import secrets
import time
from contextlib import ExitStack
from dataclasses import dataclass

import typer

from leadfoot.bay.sending import ByHttp, Sending, StraightIn
from leadfoot.bay.simulated import InventedBalls, InventedStudent
from leadfoot.cli.bay import opened
from leadfoot.desk import bays
from leadfoot.desk.records import Role
from leadfoot.errors import InputError
from leadfoot.units import parse_written, si_from


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """What was asked for on the command line."""

    name: str | None
    pace: str
    balls: int
    switch_after: int | None
    to: str | None
    token: str | None


def run(student: InventedStudent, asked: Run, *, book: str | None) -> None:
    """Hit the balls, one after the other."""
    pace_s = si_from(*parse_written(asked.pace, "time"))
    if pace_s < 0.0:
        raise InputError(f"The pace {asked.pace} is below zero.", fix="Give it such as 8s.")
    balls = student.hit(asked.balls)
    with ExitStack() as closing:
        sending = _sending(asked, book, closing)
        _hit(balls, asked, sending, pace_s)


def _sending(asked: Run, book: str | None, closing: ExitStack) -> Sending | None:
    if asked.name is None:
        return None
    if asked.to is not None:
        if not asked.token:
            raise InputError("The token is missing.", fix="Give it with --token.")
        return ByHttp(address=asked.to, bay=asked.name, token=asked.token)
    desk = closing.enter_context(opened(book))
    keeper = bays.AnswerKeeper(desk)
    closing.callback(keeper.keep_due)
    return StraightIn(desk=desk, bay=bays.bay_named(desk, asked.name), keeper=keeper)


def _hit(balls: InventedBalls, asked: Run, sending: Sending | None, pace_s: float) -> None:
    run_name = f"simulated-{secrets.token_hex(6)}"
    if sending is not None:
        typer.echo("These balls are invented; nobody hits them.")
    for number in range(asked.balls):
        if number:
            time.sleep(pace_s)
        shot = balls.shot(number, _role(number, asked, sending), run=run_name)
        if sending is None:
            typer.echo(json.dumps(shot.as_json()))
        else:
            carry = shot.values["carry"]
            place = sending.send(shot)
            typer.echo(f"Ball {place}: carry {carry.value:g} {carry.unit}")


def _role(number: int, asked: Run, sending: Sending | None) -> Role:
    """As it was asked for, else as the lesson says."""
    if asked.switch_after is not None:
        return "before" if number < asked.switch_after else "with_change"
    return "before" if sending is None else sending.running()
