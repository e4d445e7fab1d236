"""Puts the measured tables of docs/explain/evidence.md where the page on the method finds them.

``python -m tests.rates.promise_file`` after the page was brought up to date.
"""

import json
import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "explain" / "evidence.md"
FILE = ROOT / "src" / "leadfoot" / "evidence" / "promise.toml"

TITLES = {
    "No change at all, by day": "days",
    "No change at all, by plan": "plans",
    "Real changes": "truths",
    "Against other rules": "rules",
}
"""How the paragraph or the heading above each table begins, and the key of the table."""


def promise_text(page: str) -> str:
    """The data file for a state of the page."""
    parts = [
        "# The measured error rates, as docs/explain/evidence.md has them. Written by",
        "# python -m tests.rates.promise_file",
        f"promise = {_quoted(_promise(page))}",
    ]
    for title, key in TITLES.items():
        note, rows = _table(page, title)
        parts += ["", "[[table]]", f'key = "{key}"', f"title = {_quoted(title)}"]
        parts += [f"note = {_quoted(note)}", f"head = {json.dumps(rows[0][1:])}", "rows = ["]
        parts += [f"  {json.dumps(row, ensure_ascii=False)}," for row in rows[2:]]
        parts += ["]"]
    return "\n".join(parts) + "\n"


def _promise(page: str) -> str:
    found = re.search(r"## The promise\n(.*?\.)\s", page, re.DOTALL)
    if found is None:
        raise ValueError("docs/explain/evidence.md has no promise")
    return " ".join(found[1].split())


def _table(page: str, title: str) -> tuple[str, list[list[str]]]:
    """The words above a table, and its cells."""
    found = re.search(
        rf"^(?:\*\*|## ){re.escape(title)}(?:\*\*)?(.*?)\n\n?(\|.*?)(?:\n\n|\Z)",
        page,
        re.DOTALL | re.MULTILINE,
    )
    if found is None:
        raise ValueError(f"docs/explain/evidence.md has no table {title!r}")
    note = " ".join(found[1].split()).lstrip(",: ").rstrip(":")
    note = re.sub(r"\s*\([^()]*`[^()]*\)|`", "", note)
    cells = [
        [cell.strip() for cell in line.strip().strip("|").split("|")]
        for line in found[2].splitlines()
    ]
    return note, cells


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


if __name__ == "__main__":
    FILE.write_text(promise_text(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
