"""Bays: who may send shots, for which lesson, and what becomes of a shot that arrives."""

import hashlib
import hmac
import re
import secrets
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import timedelta
from functools import partial

from leadfoot.desk.bay_records import Arrival, Bay
from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import judge_lesson
from leadfoot.desk.live_shots import LiveShot
from leadfoot.desk.records import NewShot, Role, StoredShot
from leadfoot.desk.running_plan import follow_plan
from leadfoot.errors import InputError, LeadfootError, NotInBookError

UNDONE = "undone"
"""The reason that stands beside a ball that was taken back out with one press."""

KEEP_AFTER_S = 4.0
"""Quiet after the last ball until the answer is kept in the book (our own choice). [s]"""

LOOK_BACK_DAYS = 2
"""Lessons of so many days are looked at for answers that were never kept (our own choice)."""

_TOKEN_BYTES = 32
_NAME = re.compile(r"[a-z0-9](?:[a-z0-9-]{0,38}[a-z0-9])?")


@dataclass(frozen=True, slots=True, kw_only=True)
class NewBay:
    """A bay just added, with the token that is shown this once."""

    bay: Bay
    token: str


def add_bay(desk: Desk, name: str, *, lesson_id: int | None = None) -> NewBay:
    """Let a new bay send shots; the name of a withdrawn one brings it back with a new token.

    Parameters
    ----------
    desk
        Where it is written.
    name
        Small letters, digits and hyphens, up to 40: it stands in addresses.
    lesson_id
        The lesson that it hits for; None: to be said later.

    Raises
    ------
    InputError
        If the name can't be used, or is in use.
    """
    if not _NAME.fullmatch(name):
        raise InputError(
            f"{name!r} can't be the name of a bay.",
            fix="Use up to 40 small letters, digits and hyphens, such as bay-1.",
        )
    if lesson_id is not None:
        desk.book.lesson(lesson_id)
    token = secrets.token_urlsafe(_TOKEN_BYTES)
    bay = desk.book.add_bay(name=name, token_digest=digest_of(token), at=desk.clock())
    if lesson_id is not None:
        bay = desk.book.point_bay(bay.id, lesson_id)
    return NewBay(bay=bay, token=token)


def digest_of(token: str) -> str:
    """What the book keeps of a token: it is long and random, so its plain SHA-256 is enough.

    Examples
    --------
    >>> digest_of("a")[:8]
    'ca978112'
    """
    return hashlib.sha256(token.encode("utf-8", "surrogatepass")).hexdigest()


def bay_named(desk: Desk, name: str) -> Bay:
    """The bay of this name, in use or withdrawn.

    Raises
    ------
    InputError
        If there is none.
    """
    for bay in desk.book.bays():
        if bay.name == name:
            return bay
    known = ", ".join(bay.name for bay in desk.book.bays() if bay.withdrawn_at is None)
    raise InputError(
        f"There is no bay {name!r}.",
        fix=f"Use one of: {known}." if known else f"Add it first: leadfoot bay add {name}.",
    )


def admitted(desk: Desk, name: str, token: str) -> Bay | None:
    """The bay that may send with this token; None where the name or the token is not right."""
    digest = digest_of(token)
    admitted_bay = None
    for bay in desk.book.bays():
        right = hmac.compare_digest(bay.token_digest, digest)
        if bay.name == name and right and bay.withdrawn_at is None:
            admitted_bay = bay
    return admitted_bay


def withdraw_bay(desk: Desk, name: str) -> Bay:
    """Let a bay send nothing more; its token is worth nothing from now on."""
    return desk.book.withdraw_bay(bay_named(desk, name).id, at=desk.clock())


def point_bay(desk: Desk, name: str, lesson_id: int | None) -> Bay:
    """Say for which lesson a bay hits; None: for none."""
    return desk.book.point_bay(bay_named(desk, name).id, lesson_id)


def bays_of(desk: Desk, lesson_id: int) -> tuple[Bay, ...]:
    """The bays that hit for a lesson."""
    return tuple(bay for bay in desk.book.bays() if bay.lesson_id == lesson_id)


def arrive(desk: Desk, bay: Bay, shot: LiveShot) -> Arrival:
    """Put a shot into the running block of the bay's lesson; a key that came before adds nothing.

    Raises
    ------
    InputError
        If the bay was withdrawn, hits for no lesson, or sent this key before with other values.
    """
    with desk.book.at_once():
        lesson_id = desk.book.bay(bay.id).lesson_id
        lesson = None if lesson_id is None else desk.book.lesson(lesson_id)
    club = shot.club or (lesson.club if lesson else None)
    if lesson_id is not None:
        follow_plan(desk, lesson_id)  # what a restart cut off is made up for
    arrival = desk.book.arrive(
        bay.id,
        shot.key,
        NewShot(club=club, values=shot.values),
        first_block=("before", "before"),
        at=desk.clock(),
    )
    if lesson_id is not None and arrival.is_new:
        follow_plan(desk, lesson_id)
    return arrival


def running_role(desk: Desk, bay: Bay) -> Role:
    """What the block is into which the next ball of a bay falls."""
    lesson_id = desk.book.bay(bay.id).lesson_id
    blocks = desk.book.blocks(lesson_id) if lesson_id is not None else ()
    return blocks[-1].role if blocks else "before"


def move_shot(desk: Desk, shot_id: int, block_id: int) -> StoredShot:
    """Put a ball into another block of its lesson; its place in the order stays.

    Raises
    ------
    InputError
        If the block belongs to another lesson.
    """
    return desk.book.move_shot(shot_id, block_id)


def undo_last(desk: Desk, lesson_id: int) -> StoredShot:
    """Leave the last ball that counts out, with the reason "undone"; it can be taken back.

    Raises
    ------
    InputError
        If no ball counts.
    """
    for shot in reversed(desk.book.shots(lesson_id)):
        if shot.left_out_reason is None:
            return desk.book.leave_out(shot.id, reason=UNDONE)
    raise InputError("There is no ball to undo.", fix="Hit or type one first.")


def lessons_behind(desk: Desk) -> tuple[int, ...]:
    """Lessons of these days with a ball later than the answer that was kept last.

    A desk that ends while balls arrive leaves them so; whoever opens it again keeps their answers.
    """
    since = desk.clock().date() - timedelta(days=LOOK_BACK_DAYS)
    recent = [lesson.id for lesson in desk.book.lessons() if lesson.held_on >= since]
    return tuple(lesson_id for lesson_id in recent if _is_behind(desk, lesson_id))


def _is_behind(desk: Desk, lesson_id: int) -> bool:
    with desk.book.at_once():
        shots, kept = desk.book.shots(lesson_id), desk.book.judgements(lesson_id)
    last_hit = max((shot.hit_at for shot in shots), default=None)
    return last_hit is not None and not (kept and kept[-1].made_at > last_hit)


class AnswerKeeper:
    """Keeps the answer of a lesson once no more balls arrive, not after each one.

    A page judges for itself whatever it shows; keeping every answer on the way would only make the
    pages judge twice.
    """

    def __init__(
        self,
        desk: Desk,
        *,
        after_s: float = KEEP_AFTER_S,
        keep: Callable[[int], object] | None = None,
    ) -> None:
        self._keep = keep or partial(judge_lesson, desk)
        self._after_s = after_s
        self._last: dict[int, float] = {}

    def note(self, lesson_ids: Iterable[int], now_s: float) -> None:
        """Say that balls arrived at a time of any steady clock."""
        self._last.update(dict.fromkeys(lesson_ids, now_s))

    def keep_due(self, now_s: float = float("inf")) -> int:
        """Keep the answers of lessons that are quiet; give their number.

        Raises
        ------
        LeadfootError
            If one could not be kept; it is due again the next time.
        """
        due = [one for one, last in self._last.items() if now_s - last >= self._after_s]
        for lesson_id in due:
            last = self._last.pop(lesson_id)  # before it is judged: a ball may come meanwhile
            try:
                self._keep(lesson_id)
            except NotInBookError:
                continue  # the lesson was erased
            except LeadfootError:
                self._last.setdefault(lesson_id, last)
                raise
        return len(due)
