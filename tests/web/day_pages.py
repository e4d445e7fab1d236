"""What open pages show, compared with the book row by row, in words of what is wrong."""

from collections.abc import Mapping
from typing import Any

from playwright.sync_api import Page

from leadfoot.desk import lesson as deeds
from leadfoot.desk.answer import Answer
from leadfoot.desk.desk import Desk
from leadfoot.desk.lesson import LessonView
from leadfoot.desk.records import StoredShot
from leadfoot.quantities import glossary
from leadfoot.web.pages.bay import USUAL_NUMBERS
from leadfoot.web.words import VERDICT_WORDS, odds_words

_ROWS = """() => ({
  columns: [...document.querySelectorAll("table.shots thead th.basis-measured")].map(
    (head) => [head.firstChild.textContent, head.querySelector(".th-unit").textContent]),
  rows: [...document.querySelectorAll("table.shots tbody tr")].map((row) => ({
    place: Number(row.dataset.place),
    shot: Number(row.querySelector("input[name=shot]").value),
    block: row.cells[1].textContent,
    club: row.cells[2].textContent,
    values: [...row.querySelectorAll("td.num")].map((one) => one.textContent),
    why: row.querySelector(".why").firstChild?.textContent.trim() ?? "",
  })),
  blocks: [...document.querySelectorAll("#blocks .hint")].map((one) => parseInt(one.textContent)),
  sentence: document.querySelector("h1").textContent,
  claims: [...document.querySelectorAll(".claim dd")].map((claim) => [
    claim.querySelector(".claim-verdict").textContent,
    claim.querySelector(".claim-odds").textContent]),
})"""


def plain(text: str) -> str:
    """A text without the spaces that keep words together."""
    return " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())


def lesson_faults(page: Page, desk: Desk, lesson_id: int) -> list[str]:
    """What is wrong on an open page of a lesson: its balls and blocks, its answer."""
    shown: dict[str, Any] = page.evaluate(_ROWS)
    view = deeds.lesson_view(desk, lesson_id)
    faults = []
    places = [row["place"] for row in shown["rows"]]
    if places != [shot.place for shot in view.shots]:
        return [f"balls {places}, the book has {len(view.shots)}"]
    labels = {block.id: block.label for block in view.blocks}
    keys = {known.name: key for key, known in glossary().items()}
    columns = [(keys[name], unit) for name, unit in shown["columns"]]
    for row, shot in zip(shown["rows"], view.shots, strict=True):
        wanted = (shot.id, labels[shot.block_id], shot.club or "", shot.left_out_reason or "")
        if (row["shot"], row["block"], row["club"], row["why"]) != wanted:
            faults.append(f"ball {shot.place} stands there as {row}, not as {wanted}")
        faults += _value_faults(shot, columns, row["values"])
    in_blocks = [sum(one.block_id == block.id for one in view.shots) for block in view.blocks]
    if shown["blocks"] != in_blocks:
        faults.append(f"blocks of {shown['blocks']} balls, not {in_blocks}")
    return faults + _answer_faults(shown, view)


def _value_faults(shot: StoredShot, columns: list[tuple[str, str]], cells: list[str]) -> list[str]:
    """The book's values against what is written, to the last digit that is written."""
    shown = {key: text for (key, _), text in zip(columns, cells, strict=False) if text != "–"}
    if shown.keys() != shot.values.keys():
        return [f"ball {shot.place} shows {sorted(shown)}, not {sorted(shot.values)}"]
    faults = []
    for key, text in shown.items():
        decimals = len(text.partition(".")[2])
        value = float(text.replace("−", "-"))
        if abs(value - shot.values[key].value) > 0.5000001 * 10.0**-decimals:
            faults.append(f"ball {shot.place} has {key} {shot.values[key].value}, shown {text}")
    units = {key: unit.partition(",")[0] for key, unit in columns}
    faults += [
        f"ball {shot.place} has {key} in {reading.unit}, shown in {units[key]}"
        for key, reading in shot.values.items()
        if units[key].strip() != (reading.unit or "") and reading.unit is not None
    ]
    return faults


def _answer_faults(shown: Mapping[str, Any], view: LessonView) -> list[str]:
    sentence = view.waiting_for if view.answer is None else view.answer.sentence
    faults = []
    if plain(shown["sentence"]) != plain(sentence):
        faults.append(f"it says {shown['sentence']!r}, not {sentence!r}")
    claims = [[plain(one) for one in claim] for claim in shown["claims"]]
    if claims != _claims(view.answer):
        faults.append(f"its claims are {claims}, not {_claims(view.answer)}")
    return faults


def _claims(answer: Answer | None) -> list[list[str]]:
    if answer is None:
        return []
    claims = (answer.longer, answer.straighter, answer.both)
    return [[VERDICT_WORDS[one.verdict], odds_words(one.odds)] for one in claims]


def screen_faults(page: Page, desk: Desk, lesson_id: int) -> list[str]:
    """What is wrong on the big screen of a bay."""
    view = deeds.lesson_view(desk, lesson_id)
    last = view.shots[-1].values
    wanted = {
        "lesson": str(lesson_id),
        "balls": f"{len(view.shots)} balls",
        "sentence": plain(view.waiting_for if view.answer is None else view.answer.sentence),
        "numbers": [glossary()[key].name for key in USUAL_NUMBERS if key in last],
    }
    shown = {
        "lesson": page.locator("body").get_attribute("data-lesson"),
        "balls": (page.locator("#bay-words .label").text_content() or "").split("·")[1].strip(),
        "sentence": plain(page.locator("h1").text_content() or ""),
        "numbers": page.locator(".bay-numbers dt").all_text_contents(),
    }
    return [
        f"{key} {shown[key]!r}, not {wanted[key]!r}" for key in wanted if shown[key] != wanted[key]
    ]


def first_page_faults(page: Page, desk: Desk) -> list[str]:
    """What is wrong on the first page: every lesson of the day, with the answer that it has."""
    entries = page.locator("#todays .entry")
    shown = {
        (name, plain(says))
        for name, says in zip(
            entries.locator(".entry-name").all_text_contents(),
            entries.locator(".entry-says").all_text_contents(),
            strict=True,
        )
    }
    day = desk.clock().date()
    wanted = set()
    for lesson in desk.book.lessons():
        if lesson.held_on == day:
            answer = deeds.lesson_view(desk, lesson.id).answer
            says = "No answer yet." if answer is None else answer.sentence
            wanted.add((desk.book.student(lesson.student_id).name, plain(says)))
    return [f"{one} is missing" for one in wanted - shown] + [
        f"{one} is not in the book" for one in shown - wanted
    ]
