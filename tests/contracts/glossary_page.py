"""Writes ``docs/glossary.md`` from the glossary: ``python -m tests.contracts.glossary_page``."""

from pathlib import Path

from leadfoot.quantities import Quantity, glossary

HEAD = """# Glossary

Written from `src/leadfoot/glossary.toml`; a test keeps the two the same
(`python -m tests.contracts.glossary_page` writes this page anew).
Plausible ranges are wide on purpose: they catch a wrong unit or a slipped column, not a poor shot
(common practice, no source).

| quantity | in JSON | symbol | unit | what it is | sign | plausible, driver |
|---|---|---|---|---|---|---|
"""


def page() -> str:
    """The whole page."""
    return HEAD + "".join(_row(known) for known in glossary().values())


def _row(known: Quantity) -> str:
    low, high = known.plausible["driver"]
    unit = known.unit or "ratio"
    return (
        f"| {known.name} | `{known.key}` | {known.symbol} | {unit} | {known.plain} "
        f"| {known.sign} | {low:g} to {high:g} |\n"
    )


if __name__ == "__main__":
    Path("docs/glossary.md").write_text(page(), encoding="utf-8")
