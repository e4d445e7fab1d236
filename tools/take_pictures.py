"""Pictures of every page of the desk, at four sizes and in both looks, for docs/guide/pages.md.

``python tools/take_pictures.py`` makes the demo book, opens the desk on it, and writes one picture
a page: above by day, below in a dark room; from left to right phone, tablet, laptop, big screen.
"""

import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from io import BytesIO
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, sync_playwright

from leadfoot.bootstrap import open_desk
from leadfoot.coaching.homework import Week
from leadfoot.desk import bays, importing
from leadfoot.desk.homework import give_homework, make_link
from leadfoot.desk.signing_in import make_screen

ROOT = Path(__file__).parents[1]
PICTURES = ROOT / "docs" / "pictures" / "pages"
PAGE = ROOT / "docs" / "guide" / "pages.md"
PORT = 8391
SIZES = ((390, 844), (820, 1180), (1280, 800), (1920, 1080))
HIGH, GAP = 420, 12

PAGES = {
    "today": ("/", "Today: the lessons, who is due for a test, where to go on."),
    "lesson": ("/lessons/6", "A lesson: the answer, the picture, the numbers with their ranges."),
    "why": ("/lessons/6/why", "Why it changed: the share of each part, with its range."),
    "find": ("/lessons/6/find", "What costs most now, and what would confirm or refute it."),
    "try": ("/lessons/6/try", "Try it: move the delivery, see the pattern."),
    "ground": ("/lessons/6/ground", "Ground: force, pressure and moments, aligned at impact."),
    "lesson-flight": ("/lessons/6/flight", "The flight bench with a lesson's own deliveries."),
    "bay": ("/lessons/6/bay", "The bay's big screen: one sentence, one picture, few numbers."),
    "columns": ("/files/{file}/columns", "A table that came in: its columns, to be confirmed."),
    "after": ("/lessons/6/after", "After the lesson: tests to come, and what lasted."),
    "student": ("/students/1", "A student's story, and the season of each quantity."),
    "homework": ("/students/1/homework", "Homework for the student's real week."),
    "plan": ("/students/1/homework/{plan}", "A plan of practice: how it went, what came back."),
    "phone": ("/h/{link}", "The student's private page of a plan, by its link."),
    "erase": ("/students/1/erase", "Erasing a student: what goes, and which backups hold it."),
    "jumps": ("/students/1/jumps", "Jumps, with the questions asked before any of them."),
    "clubs": ("/students/1/clubs", "Clubs: how far each goes, with its spread, gaps and overlap."),
    "speed": ("/students/1/speed", "Faster against straighter, over all lessons."),
    "works": ("/works", "What works for whom, over all students."),
    "drills": ("/drills", "Drills and cues: the program's, and the coach's own."),
    "flight": ("/flight", "The flight bench."),
    "bays": ("/bays", "Bays: where balls arrive, with a token each."),
    "screen": ("/screen/{screen}", "A machine that is asked to be a bay's big screen."),
    "book": ("/book", "The book: backups, export, import, archive."),
    "settings": ("/settings", "Settings: units, air, monitor, own clubs, columns, backup."),
    "access": ("/access", "Who may come in."),
    "access-log": ("/access/log", "The log: who saw and changed what."),
    "method": ("/method", "The method: what is assumed, promised and measured."),
}


TABLE = (
    b"Ball,Block,Speed,Carry,Side\n1,before,91,201,4 R\n2,before,93,206,2 L\n3,with it,95,214,1 R\n"
)
"""Shots whose speed may be the club's or the ball's: the page of columns asks."""


def more_pages(book: str) -> dict[str, object]:
    """What some pages need and the demo book has not: a file to confirm, a plan, links, a bay."""
    desk = open_desk(book)
    try:
        plan = give_homework(
            desk,
            6,
            Week(days=(0, 2, 5), minutes=45, balls=40, place="range"),
            cue="Push into the ground with the lead foot",
            criterion="starts between the posts",
        )
        bay = bays.add_bay(desk, "bay-1", lesson_id=6).bay
        return {
            "file": importing.receive(desk, 6, name="shots.csv", data=TABLE).id,
            "plan": plan.id,
            "link": make_link(desk, plan.id)[0],
            "screen": make_screen(desk, bay.id)[0],
        }
    finally:
        desk.book.close()


def wait_for(address: str, patience_s: float = 120.0) -> None:
    """Wait until the desk answers."""
    end = time.monotonic() + patience_s
    while True:
        try:
            urllib.request.urlopen(address, timeout=5.0).close()  # noqa: S310 - our own desk
        except (urllib.error.URLError, TimeoutError):
            if time.monotonic() > end:
                raise
            time.sleep(0.5)
        else:
            return


def take(browser: Browser, address: str) -> Image.Image:
    """One page at all sizes in both looks, in one picture."""
    rows = [
        [shot(browser, address, size, scheme) for size in SIZES] for scheme in ("light", "dark")
    ]
    wide = sum(one.width for one in rows[0]) + GAP * (len(SIZES) + 1)
    sheet = Image.new("RGB", (wide, 2 * HIGH + 3 * GAP), (128, 128, 128))
    for k, row in enumerate(rows):
        x = GAP
        for one in row:
            sheet.paste(one, (x, GAP + k * (HIGH + GAP)))
            x += one.width + GAP
    return sheet


def shot(browser: Browser, address: str, size: tuple[int, int], scheme: str) -> Image.Image:
    """What one screen shows first, scaled to the height of the row."""
    width, height = size
    context = browser.new_context(
        viewport={"width": width, "height": height},
        color_scheme="dark" if scheme == "dark" else "light",
    )
    try:
        page = context.new_page()
        page.goto(address)
        page.wait_for_timeout(700)
        whole = Image.open(BytesIO(page.screenshot())).convert("RGB")
    finally:
        context.close()
    return whole.resize((round(width * HIGH / height), HIGH), Image.Resampling.LANCZOS)


def take_for_readme(browser: Browser, address: str) -> None:
    """The lesson on a laptop by day, as it stands on the first page of the project."""
    context = browser.new_context(viewport={"width": 1280, "height": 800}, color_scheme="light")
    try:
        page = context.new_page()
        page.goto(address)
        page.wait_for_timeout(700)
        page.screenshot(path=PICTURES.parent / "lesson.png")
    finally:
        context.close()


def write_page() -> None:
    """The page of the docs that shows them all."""
    lines = [
        "# Every page, at four sizes, in both looks",
        "",
        "Phone, tablet, laptop and big screen; above by day, below in a dark room. The",
        "students, lessons and balls are the demo book's: invented. Taken anew by",
        "`python tools/take_pictures.py`.",
    ]
    for name, (_, says) in PAGES.items():
        lines += ["", f"## {says.split(':')[0].rstrip('.')}", "", says, ""]
        lines += [f"![{says}](../pictures/pages/{name}.webp)"]
    PAGE.write_text("\n".join(lines) + "\n", encoding="utf-8")


def main() -> None:
    """Take all pictures, or those named."""
    names = sys.argv[1:] or list(PAGES)
    PICTURES.mkdir(parents=True, exist_ok=True)
    leadfoot = [sys.executable, "-m", "leadfoot.cli"]
    # A folder with a plain name: some pages say where the book lies.
    with tempfile.TemporaryDirectory(prefix="leadfoot-") as folder:
        book = str(Path(folder) / "demo.book")
        subprocess.run([*leadfoot, "demo", "--book", book], check=True)  # noqa: S603 - ourselves
        gaps = more_pages(book)
        desk = subprocess.Popen(  # noqa: S603 - ourselves
            [*leadfoot, "open", "--book", book, "--port", str(PORT), "--no-browser"]
        )
        try:
            wait_for(f"http://127.0.0.1:{PORT}/")
            with sync_playwright() as playwright:
                browser = playwright.chromium.launch(
                    executable_path="/usr/bin/chromium", args=["--no-sandbox"]
                )
                for name in names:
                    sheet = take(browser, f"http://127.0.0.1:{PORT}{PAGES[name][0].format(**gaps)}")
                    sheet.save(PICTURES / f"{name}.webp", quality=72, method=6)
                if "lesson" in names:
                    take_for_readme(browser, f"http://127.0.0.1:{PORT}{PAGES['lesson'][0]}")
                browser.close()
        finally:
            desk.terminate()
            desk.wait(20)
    write_page()


if __name__ == "__main__":
    main()
