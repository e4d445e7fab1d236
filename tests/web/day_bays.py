"""The bays of a day of lessons: who hits there, what was sent when, and whether the book has it."""

import threading
import time
from collections.abc import Sequence
from dataclasses import dataclass, field

from leadfoot.bay.sending import ByHttp
from leadfoot.bay.simulated import InventedBalls
from leadfoot.desk.bay_records import Bay
from leadfoot.desk.desk import Desk
from leadfoot.desk.live_shots import LiveShot
from leadfoot.desk.records import Role

SENT_AGAIN = 3
"""Every third ball is sent once more, as by a sender that did not hear the answer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """A ball that a bay has sent, and was told to be in the book."""

    lesson_id: int
    place: int
    role: Role
    shot: LiveShot
    at_s: float
    """When it was about to be sent the first time, by the clock of the machine."""


@dataclass
class Hitter:
    """Hits in one bay by the desk's HTTP door, half a lesson at a time, in a thread of its own."""

    bay: Bay
    sending: ByHttp
    sent: list[Sent] = field(default_factory=list)
    n_begun: int = 0
    """Balls that are or were on their way."""
    faults: list[str] = field(default_factory=list)
    thread: threading.Thread | None = None

    def hit(self, lesson_id: int, balls: InventedBalls, numbers: range, pace_s: float) -> None:
        """Begin to hit these balls of a student."""
        words = (lesson_id, balls, numbers, pace_s)
        self.thread = threading.Thread(target=self._hit, args=words, daemon=True)
        self.thread.start()

    @property
    def is_hitting(self) -> bool:
        return self.thread is not None and self.thread.is_alive()

    def _hit(self, lesson_id: int, balls: InventedBalls, numbers: range, pace_s: float) -> None:
        try:
            role: Role = self.sending.running()
            next_s = time.monotonic()
            for number in numbers:
                shot = balls.shot(number, role, run=f"{self.bay.name}-{lesson_id}")
                self._send(lesson_id, role, shot)
                next_s += pace_s
                time.sleep(max(0.0, next_s - time.monotonic()))
        except Exception as error:  # noqa: BLE001  (it is told in the thread that drives the day)
            self.faults.append(f"{self.bay.name}: {error!r}")

    def _send(self, lesson_id: int, role: Role, shot: LiveShot) -> None:
        at_s = time.time()
        self.n_begun += 1
        place = self.sending.send(shot)
        if len(self.sent) % SENT_AGAIN == 0 and self.sending.send(shot) != place:
            self.faults.append(f"{shot.key} is there twice")
        self.sent.append(Sent(lesson_id=lesson_id, place=place, role=role, shot=shot, at_s=at_s))


def book_faults(desk: Desk, hitters: Sequence[Hitter], n_typed: dict[int, int]) -> list[str]:
    """What is lost, doubled or altered in the book, ball by ball; `n_typed` by lesson."""
    faults = []
    for hitter in hitters:
        faults += hitter.faults
        arrived = desk.book.arrived(hitter.bay.id)
        keys = [one.shot.key for one in hitter.sent]
        faults += [f"{key} is in the book, and was not sent" for key in arrived.keys() - set(keys)]
        faults += [f"{key} was sent twice under one key" for key in keys if keys.count(key) > 1]
        for one in hitter.sent:
            faults += _ball_faults(desk, one, arrived.get(one.shot.key))
    sent = [one.lesson_id for hitter in hitters for one in hitter.sent]
    for lesson_id in sorted(set(sent)):
        wanted = sent.count(lesson_id) + n_typed.get(lesson_id, 0)
        places = [shot.place for shot in desk.book.shots(lesson_id)]
        if places != list(range(1, wanted + 1)):
            faults.append(f"lesson {lesson_id} has the balls {places}, not 1 to {wanted}")
    return faults


def _ball_faults(desk: Desk, sent: Sent, shot_id: int | None) -> list[str]:
    there = {shot.id: shot for shot in desk.book.shots(sent.lesson_id)}
    shot = None if shot_id is None else there.get(shot_id)
    if shot is None:
        return [f"{sent.shot.key} is lost"]
    faults = []
    if shot.place != sent.place:
        faults.append(f"{sent.shot.key} is ball {shot.place}, and was told to be {sent.place}")
    if dict(shot.values) != dict(sent.shot.values):
        faults.append(f"{sent.shot.key} has other values: {shot.values}, not {sent.shot.values}")
    return faults
