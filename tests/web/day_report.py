"""What a day of lessons has shown: faults in words, and times by kind of device."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

from tests.web.day_bays import Sent
from tests.web.day_devices import Device


@dataclass(kw_only=True)
class Day:
    """What came of a day."""

    faults: list[str] = field(default_factory=list)
    """All that was lost, doubled or wrong."""
    n_balls: int = 0
    to_screen_s: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    """From before a ball was sent until it stood there, by kind of device; no cut between."""
    to_answer_s: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    """The same until the answer rested on it."""
    n_disturbed: int = 0
    """Balls that met a cut or the restart on the way to a device."""
    caught_up_s: dict[str, float] = field(default_factory=dict)
    """From the end of a cut or of the restart until all stood there."""

    def measure(self, device: Device, sent: Iterable[Sent]) -> None:
        """Take the times of one device; a ball that it never showed is a fault."""
        for ball in sent:
            if ball.lesson_id not in device.lessons:
                continue
            place = (ball.lesson_id, ball.place)
            self._take(device, ball, device.shown.get(place), self.to_screen_s)
            if ball.role == "with_change":
                self._take(device, ball, device.judged.get(place), self.to_answer_s)

    def _take(
        self, device: Device, ball: Sent, at_s: float | None, times: dict[str, list[float]]
    ) -> None:
        what = f"{device.name}: ball {ball.place} of lesson {ball.lesson_id}"
        if at_s is None:
            self.faults.append(f"{what} was never there")
        elif any(begun <= at_s and ball.at_s <= ended for begun, ended in device.disturbed):
            self.n_disturbed += times is self.to_screen_s
        else:
            times[device.kind].append(at_s - ball.at_s)
