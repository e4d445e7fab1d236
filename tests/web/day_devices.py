"""The devices of a day of lessons: five browsers at their sizes, and what each showed when."""

import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from typing import Literal

from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.web.studio import Studio, Watch

Kind = Literal["tablet", "laptop", "bay screen"]

SIZES: dict[str, tuple[Kind, int, int]] = {
    "left tablet": ("tablet", 1180, 820),
    "right tablet": ("tablet", 820, 1180),
    "laptop": ("laptop", 1440, 900),
    "left screen": ("bay screen", 1920, 1080),
    "right screen": ("bay screen", 1920, 1080),
}
PATIENCE_MS = 60_000
BROKEN = [
    "ERR_INTERNET_DISCONNECTED",
    "ERR_CONNECTION_REFUSED",
    "ERR_CONNECTION_RESET",
    "ERR_EMPTY_RESPONSE",
    "ERR_CONTENT_LENGTH_MISMATCH",  # a desk that was killed in the middle of an answer
    "ERR_INCOMPLETE_CHUNKED_ENCODING",
    "ERR_NETWORK_CHANGED",
    "WebSocket connection to",
]
"""What a browser says of a network that is cut, and of a desk that is killed."""

# Tells after each paint how many balls the page shows, and on how many its answer rests.
_STOPWATCH = r"""
(() => {
  let asked = false, last = "";
  const all = (query) => [...document.querySelectorAll(query)];
  const text = (query) => document.querySelector(query)?.textContent ?? "";
  const add = (said) =>
    [...said.matchAll(/(\d+) balls?\b/g)].reduce((sum, one) => sum + Number(one[1]), 0);
  function look() {
    asked = false;
    const lesson = Number(document.body?.dataset.lesson);
    if (!lesson || !globalThis.noted) return;
    const now = text("#bay-words .label");
    let balls, judged;
    if (now) {
      balls = add(now);
      judged = now.includes("with the change") ? balls : 0;
    } else {
      balls = Math.max(0, ...all("table.shots tr[data-place]").map((row) => row.dataset.place));
      judged = add(text("#answer .compared"));
    }
    const found = `${lesson} ${balls} ${judged}`;
    if (found !== last) globalThis.noted(lesson, balls, judged, Date.now() / 1000);
    last = found;
  }
  const soon = () => {
    if (!asked) requestAnimationFrame(() => setTimeout(look));
    asked = true;
  };
  addEventListener("DOMContentLoaded", () => {
    const whole = {childList: true, subtree: true, characterData: true};
    new MutationObserver(soon).observe(document.documentElement, whole);
    soon();
  });
})();
"""


@dataclass
class Device:
    """One browser, and what its pages of lessons have shown since when."""

    name: str
    kind: Kind
    context: BrowserContext
    page: Page
    watch: Watch
    shown: dict[tuple[int, int], float] = field(default_factory=dict)
    """When a ball stood there first, by lesson and place; by the clock of the machine."""
    judged: dict[tuple[int, int], float] = field(default_factory=dict)
    """When an answer stood there first that rests on so many balls of a lesson."""
    lessons: list[int] = field(default_factory=list)
    """The lessons that it has shown."""
    disturbed: list[tuple[float, float]] = field(default_factory=list)
    """From when to when it was cut off, and had not caught up yet."""

    def note(self, lesson: int, n_balls: int, n_judged: int, at_s: float) -> None:
        """Take what the page tells of itself."""
        for found, upto in ((self.shown, n_balls), (self.judged, n_judged)):
            for place in range(upto, 0, -1):
                if (lesson, place) in found:
                    break
                found[lesson, place] = at_s

    @property
    def lesson_id(self) -> int:
        """The lesson that it shows now."""
        return self.lessons[-1]

    def is_live(self, page: Page | None = None) -> None:
        place = (page or self.page).get_by_role("status", name="Link to the book")
        expect(place).to_have_text("live", timeout=PATIENCE_MS)

    def show_ball(self, place: int) -> None:
        """Wait until a ball of the lesson stands on the page."""
        deadline = time.monotonic() + PATIENCE_MS / 1000
        while (self.lesson_id, place) not in self.shown:
            if time.monotonic() > deadline:
                raise TimeoutError(f"The {self.name} never showed ball {place}.")
            self.page.wait_for_timeout(10)


@contextmanager
def devices(browser: Browser, studio: Studio) -> Iterator[dict[str, Device]]:
    """Five devices, each with an empty page."""
    with ExitStack() as closing:
        yield {name: _device(browser, studio, name, closing) for name in SIZES}


def _device(browser: Browser, studio: Studio, name: str, closing: ExitStack) -> Device:
    kind, width, height = SIZES[name]
    context = browser.new_context(
        base_url=studio.address,
        viewport={"width": width, "height": height},
        has_touch=kind == "tablet",
        reduced_motion="reduce",
    )
    closing.callback(context.close)
    watch = Watch(own=studio.address, expected=list(BROKEN))
    watch.over(context)
    context.add_init_script(_STOPWATCH)
    device = Device(name=name, kind=kind, context=context, page=context.new_page(), watch=watch)
    context.expose_function("noted", device.note)
    return device
