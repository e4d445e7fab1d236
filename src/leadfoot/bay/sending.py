"""Two ways for a ball into a lesson: straight into the book, or by HTTP with the bay's token."""

import json
import time
from collections.abc import Callable
from dataclasses import dataclass
from http.client import HTTPConnection, HTTPException
from typing import Any, Final, Protocol, cast, get_args
from urllib.parse import urlsplit

from leadfoot.desk.bay_records import Bay
from leadfoot.desk.bays import AnswerKeeper, arrive, running_role
from leadfoot.desk.desk import Desk
from leadfoot.desk.live_shots import LiveShot
from leadfoot.desk.records import Role
from leadfoot.errors import InputError

PATIENCE_S: Final = 60.0
"""How long a desk that does not answer is asked again (our own choice). [s]"""
_FIRST_WAIT_S, _LONGEST_WAIT_S = 0.1, 2.0
_TIMEOUT_S = 10.0
_ASK_AGAIN = (500, 502, 503, 504)


class Sending(Protocol):
    """Where the balls of a bay go."""

    def running(self) -> Role:
        """What the block is into which the next ball falls."""
        ...

    def send(self, shot: LiveShot) -> int:
        """Send a ball; give its place in the lesson. Sent again, it is there once."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StraightIn:
    """Into the book of this machine."""

    desk: Desk
    bay: Bay
    keeper: AnswerKeeper

    def running(self) -> Role:
        """What the block is into which the next ball falls."""
        return running_role(self.desk, self.bay)

    def send(self, shot: LiveShot) -> int:
        """Send a ball; give its place in the lesson."""
        came = arrive(self.desk, self.bay, shot)
        now_s = time.monotonic()
        self.keeper.keep_due(now_s)
        self.keeper.note([came.shot.lesson_id], now_s)
        return came.shot.place


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ByHttp:
    """To a desk that is open: ``http://127.0.0.1:8470``; asks again while it does not answer."""

    address: str
    bay: str
    token: str
    patience_s: float = PATIENCE_S
    sleep: Callable[[float], None] = time.sleep

    def running(self) -> Role:
        """What the block is into which the next ball falls."""
        said = self._ask("GET", None)["running"]
        return cast("Role", said) if said in get_args(Role) else "before"

    def send(self, shot: LiveShot) -> int:
        """Send a ball; give its place in the lesson."""
        answer = self._ask("POST", shot.as_json())
        return int(answer["shots"][0]["place"])

    def _ask(self, method: str, body: object) -> dict[str, Any]:
        wait_s = _FIRST_WAIT_S
        waited_s = 0.0
        while True:
            status, answer = self._once(method, body)
            if status < 400:
                return answer
            if status not in _ASK_AGAIN or waited_s >= self.patience_s:
                raise InputError(
                    str(answer.get("what", f"The desk answers {status}.")),
                    fix=str(answer.get("fix", "Look at the desk, then send it again.")),
                )
            self.sleep(wait_s)
            waited_s += wait_s
            wait_s = min(2.0 * wait_s, _LONGEST_WAIT_S)

    def _once(self, method: str, body: object) -> tuple[int, dict[str, Any]]:
        """Ask once; a desk that can't be reached counts as one that can't answer just now."""
        host, port = _place(self.address)
        connection = HTTPConnection(host, port, timeout=_TIMEOUT_S)
        headers = {"Authorization": f"Bearer {self.token}", "Content-Type": "application/json"}
        sent = None if body is None else json.dumps(body, allow_nan=False).encode()
        try:
            connection.request(method, f"/bays/{self.bay}/shots", body=sent, headers=headers)
            response = connection.getresponse()
            found = json.loads(response.read())
        except (OSError, HTTPException, ValueError) as error:
            return 503, {
                "what": f"The desk at {self.address} does not answer ({error}).",
                "fix": "Open it with: leadfoot open.",
            }
        finally:
            connection.close()
        return response.status, found.get("error", found)


def _place(address: str) -> tuple[str, int]:
    parts = urlsplit(address)
    try:
        host, port = parts.hostname, parts.port
    except ValueError:
        host, port = None, None
    if parts.scheme != "http" or host is None:
        raise InputError(
            f"{address!r} is no address of a desk.",
            fix="Give it as the desk says it when it opens, such as http://127.0.0.1:8470.",
        )
    return host, port or 80
