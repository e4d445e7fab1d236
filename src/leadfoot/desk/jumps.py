"""Jumps of one student: asked first, then measured or typed, by day and over months."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import date
from typing import Any, Literal

from leadfoot.desk.desk import Desk
from leadfoot.desk.records import StoredClearance, StoredJump, StoredScreening, Student
from leadfoot.errors import InputError
from leadfoot.ground.choices import Choices
from leadfoot.ground.height_only import HeightOnlyJump, by_flight_time, by_reach
from leadfoot.ground.jump import Jump, jump_in
from leadfoot.ground.jump_days import (
    LIMITS,
    JumpChange,
    JumpDay,
    JumpTrend,
    Kind,
    change_of_days,
    trend,
)
from leadfoot.ground.read import read_recording
from leadfoot.ground.screening import (
    Clearance,
    Permit,
    Screening,
    falling,
    permit,
    require_permit,
)
from leadfoot.ground.swing_form import jump_json

KINDS: tuple[Kind, ...] = ("impulse", "flight time", "reach")
KIND_WORDS: Mapping[Kind, str] = {
    "impulse": "by impulse on force plates",
    "flight time": "by time in the air",
    "reach": "by reach to a mark",
}
ENOUGH_FOR_STOP = 4


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DayOfJumps:
    """The jumps of one day that were found in one way."""

    day: date
    jumps: tuple[StoredJump, ...]
    """Those left out among them."""
    summed: JumpDay | None
    """None where all were left out."""
    change: JumpChange | None
    """Of the mean, against the day of this kind before it; None for the first."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class KindOfJumps:
    """All days of one kind: they make one trend, and are never compared with another kind."""

    kind: Kind
    words: str
    days: tuple[DayOfJumps, ...]
    trend: JumpTrend | None
    trend_said: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class JumpView:
    """Everything the jump page of a student shows."""

    student: Student
    today: date
    asked: StoredScreening | None
    """The answers of today; None where nobody asked yet."""
    screening: Screening
    permit: Permit
    said: str
    clearances: tuple[StoredClearance, ...]
    kinds: tuple[KindOfJumps, ...]
    stop: bool
    """Whether the jumps of today fall, so that it is time to stop."""


def ask(desk: Desk, student_id: int, answers: Mapping[str, bool], *, junior: bool) -> Permit:
    """Keep what a student answered today, and say whether a maximal effort may be asked for.

    Raises
    ------
    InputError
        If a question is not known.
    """
    today = desk.clock().date()
    Screening(on_day=today.isoformat(), answers=answers, junior=junior)
    desk.book.add_screening(
        student_id, on_day=today, junior=junior, answers=answers, at=desk.clock()
    )
    return permit(screening_of_today(desk, student_id)[1])


def record_clearance(
    desk: Desk,
    student_id: int,
    *,
    clinician: str,
    on_day: date,
    until_day: date | None,
    covers: Sequence[str],
    limits: str = "",
) -> StoredClearance:
    """Keep a clinician's clearance: who, when, for which questions, with which limits.

    Raises
    ------
    InputError
        If it names no clinician, covers nothing, or ends before it began.
    """
    Clearance(clinician=clinician, on_day=on_day.isoformat(), covers=tuple(covers))
    if not covers:
        raise InputError(
            "The clearance covers no question.", fix="Mark what the clinician spoke to."
        )
    if on_day > desk.clock().date() or (until_day is not None and until_day < on_day):
        raise InputError(
            "The days of the clearance can't be: it begins after today, or ends before it begins.",
            fix="Check both days.",
        )
    return desk.book.add_clearance(
        student_id,
        clinician=clinician.strip(),
        on_day=on_day,
        until_day=until_day,
        covers=covers,
        limits=limits.strip(),
        at=desk.clock(),
    )


def add_measured(
    desk: Desk, student_id: int, *, name: str, data: bytes, scale_n: float | None = None
) -> StoredJump:
    """Keep a recording of a jump as it came, measure it, and keep its numbers with their method.

    Raises
    ------
    InputError
        If today's questions stand against it, the file holds no jump, or it is kept already.
    """
    require_today(desk, student_id)
    file = desk.book.keep_jump_file(student_id, name=name, data=data, at=desk.clock())
    for known in desk.book.jumps(student_id):
        if known.jump_file_id == file.id:
            raise InputError(
                f"{name!r} is here already, as a jump of {known.done_on.isoformat()}.",
                fix="Choose the file of another jump.",
            )
    jump = measured(data, scale_n=scale_n)
    return desk.book.add_jump(
        student_id,
        done_on=desk.clock().date(),
        kind="impulse",
        height_m=jump.height_m,
        values_json=json.dumps(jump_json(jump), sort_keys=True, allow_nan=False),
        jump_file_id=file.id,
        at=desk.clock(),
    )


def measured(data: bytes, *, scale_n: float | None = None) -> Jump:
    """The jump in a file, and its weight against that of a scale, if given.

    Raises
    ------
    InputError
        If it is not understood, or holds no jump.
    """
    reading = read_recording(data, choices=Choices(scale_n=scale_n))
    if reading.recording is None:
        raise InputError("The recording is not understood.", fix=" ".join(reading.questions))
    return jump_in(reading.recording, entered_n=scale_n)


def add_typed(
    desk: Desk,
    student_id: int,
    by: Literal["flight time", "reach"],
    *,
    flight_s: float = 0.0,
    standing_m: float = 0.0,
    jumping_m: float = 0.0,
    mass_kg: float | None = None,
) -> StoredJump:
    """Keep a jump of which only the time in the air, or the reach, is known.

    Raises
    ------
    InputError
        If today's questions stand against it.
    OutOfRangeError
        If the height or the mass can't be.
    """
    require_today(desk, student_id)
    jump = (
        by_flight_time(flight_s, mass_kg=mass_kg)
        if by == "flight time"
        else by_reach(standing_m, jumping_m, mass_kg=mass_kg)
    )
    return desk.book.add_jump(
        student_id,
        done_on=desk.clock().date(),
        kind=by,
        height_m=jump.height_m,
        values_json=json.dumps(typed_json(jump), sort_keys=True, allow_nan=False),
        jump_file_id=None,
        at=desk.clock(),
    )


def leave_out_jump(desk: Desk, jump_id: int, reason: str) -> StoredJump:
    """Leave a jump out with a reason; it stays in the book.

    Raises
    ------
    InputError
        If no reason is given.
    """
    if not reason.strip():
        raise InputError("A jump can't be left out without a reason.", fix="Type one.")
    return desk.book.leave_out_jump(jump_id, reason.strip())


def require_today(desk: Desk, student_id: int) -> Permit:
    """Give today's permit, or refuse.

    Raises
    ------
    InputError
        If today's questions were not asked, or a yes is not covered by a clearance.
    """
    asked, screening = screening_of_today(desk, student_id)
    if asked is None:
        raise InputError(
            "Nobody asked today's questions yet.", fix="Ask them before any maximal effort."
        )
    return require_permit(screening)


def jump_view(desk: Desk, student_id: int) -> JumpView:
    """Gather the jumps of a student; reading only."""
    asked, screening = screening_of_today(desk, student_id)
    found = permit(screening)
    jumps = desk.book.jumps(student_id)
    today = desk.clock().date()
    kinds = tuple(_kind(kind, jumps) for kind in KINDS if any(one.kind == kind for one in jumps))
    return JumpView(
        student=desk.book.student(student_id),
        today=today,
        asked=asked,
        screening=screening,
        permit=found if asked is not None else replace(found, allowed=False),
        said=found.said if asked is not None else "Ask these questions first; nothing is done yet.",
        clearances=desk.book.clearances(student_id),
        kinds=kinds,
        stop=any(_falls(one, today) for one in kinds),
    )


def screening_of_today(desk: Desk, student_id: int) -> tuple[StoredScreening | None, Screening]:
    """Today's answers, and the screening that they make with the clearances."""
    today = desk.clock().date()
    asked = [one for one in desk.book.screenings(student_id) if one.on_day == today]
    last = asked[-1] if asked else None
    clearances = tuple(
        Clearance(
            clinician=one.clinician,
            on_day=one.on_day.isoformat(),
            until_day=None if one.until_day is None else one.until_day.isoformat(),
            covers=one.covers,
            limits=one.limits,
        )
        for one in desk.book.clearances(student_id)
    )
    return last, Screening(
        on_day=today.isoformat(),
        answers={} if last is None else last.answers,
        junior=last is not None and last.junior,
        clearances=clearances,
    )


def _kind(kind: Kind, jumps: Sequence[StoredJump]) -> KindOfJumps:
    days: list[DayOfJumps] = []
    mine = [one for one in jumps if one.kind == kind]
    for day in dict.fromkeys(one.done_on for one in mine):
        tries = tuple(one for one in mine if one.done_on == day)
        summed = _summed(kind, day, tries)
        earlier = next((one.summed for one in reversed(days) if one.summed is not None), None)
        change = None if summed is None or earlier is None else _change(earlier, summed)
        days.append(DayOfJumps(day=day, jumps=tries, summed=summed, change=change))
    found, said = _trend([one.summed for one in days if one.summed is not None])
    return KindOfJumps(
        kind=kind, words=KIND_WORDS[kind], days=tuple(days), trend=found, trend_said=said
    )


def _change(earlier: JumpDay, later: JumpDay) -> JumpChange | None:
    """The change, where both were found with one threshold."""
    return change_of_days(earlier, later) if earlier.threshold_n == later.threshold_n else None


def _summed(kind: Kind, day: date, tries: Sequence[StoredJump]) -> JumpDay | None:
    heights = tuple(one.height_m for one in tries if one.left_out_reason is None)
    if not heights:
        return None
    threshold_n = None
    if kind == "impulse":
        known = [json.loads(one.values_json) for one in tries if one.left_out_reason is None]
        threshold_n = max(float(one["method"]["threshold_n"]) for one in known)
    return JumpDay(
        day=float(day.toordinal()), heights_m=heights, kind=kind, threshold_n=threshold_n
    )


def _trend(days: Sequence[JumpDay]) -> tuple[JumpTrend | None, str]:
    try:
        found = trend(days)
    except InputError as error:
        return None, str(error)
    if not found.enough:
        return found, "Too few days, or too close together, to speak of a trend."
    size = f"{100.0 * found.low:+.1f} to {100.0 * found.high:+.1f} % a month".replace("-", "−")
    odds = f"{100.0 * found.odds_rising:.0f} in 100 that it grows at all"
    return found, f"{100.0 * found.per_month:+.1f} % a month ({size}); {odds}.".replace("-", "−")


def _falls(one: KindOfJumps, today: date) -> bool:
    heights = [
        jump.height_m
        for day in one.days
        if day.day == today
        for jump in day.jumps
        if jump.left_out_reason is None
    ]
    return len(heights) >= ENOUGH_FOR_STOP and falling(heights)


def typed_json(jump: HeightOnlyJump) -> dict[str, Any]:
    """A jump by its height alone as plain values; what is estimated says so."""
    return {
        "schema": "leadfoot.jump/1",
        "method": {"name": jump.by, "threshold_n": None},
        "numbers": {"height": {"value": round(jump.height_m, 4), "unit": "m", "kind": "measured"}},
        "estimates": [asdict(one) for one in jump.power],
        "limit": LIMITS["height"],
    }
