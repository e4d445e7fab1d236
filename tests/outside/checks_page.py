"""Writes ``docs/explain/checks.md`` from the tests: ``python -m tests.outside.checks_page``."""

import inspect
import tomllib
from collections.abc import Iterator
from importlib import import_module
from typing import Any, get_args

from tests.outside.checks import CLAIMS, HERE, Claim, Model, sources

PAGE = HERE.parents[1] / "docs" / "explain" / "checks.md"
MODULES = (
    "test_air_outside",
    "test_flight_outside",
    "test_bounce_outside",
    "test_impact_outside",
    "test_inverse_outside",
    "test_arc",
    "test_swing",
)

INTRO = """\
# What the program is checked against

Physics first, then [the evidence](#the-evidence-row-by-row) and
[force recordings](#force-recordings-row-by-row). Made from the tests by
`python -m tests.outside.checks_page`; a test fails if it is out of date.

{cases} checks in {tests} tests hold the models of air, ball, flight, bounce, impact, arc and swing
to something outside this project. The number of a row is that of a list which was drawn up before
the code; its tolerances were set then. *How known* says how the source's number was come by:
**read** (the source's own text), **second-hand** (a transcription that cites it), **derived**
(computed from a stated formula), **memory**. A **regression** value was computed once from the
stated formulas, by another program, and shows only that the code still does the same.

What no check can show: whether a carry is right to better than the spread between published models,
3 % for a drive and 7 % for an iron with much spin. No set of carry, apex, time and landing angle
measured for one and the same shot was found.

## Row by row
| # | what | expected | source | how known | test |
|---|---|---|---|---|---|
"""

EVIDENCE = """
## The evidence, row by row
Rows of a list of their own, drawn up before the code; values and sources stand at the tests, or in
`tests/outside/data/evidence_opinions.csv` where a number of values is given. **Open** rows belong
to a part of the program that is not there.

| # | what | values | test |
|---|---|---|---|
"""
GROUND = """
## Force recordings, row by row
As above; open recordings and their programs are named in `tests/outside/recordings.toml`.

| # | what | expected | test |
|---|---|---|---|
"""


def claims() -> dict[str, Claim]:
    """All claims on the physics, in the order of the modules."""
    for module in MODULES:
        import_module(f"tests.outside.{module}")
    order = {module: k for k, module in enumerate(MODULES)}
    found = {name: claim for name, claim in CLAIMS.items() if name.partition(".")[0] in order}
    return dict(sorted(found.items(), key=lambda item: order[item[0].partition(".")[0]]))


def list_of_checks() -> dict[int, dict[str, str]]:
    """What the list asks for, by the number of the row."""
    text = (HERE / "check_table.toml").read_text(encoding="utf-8")
    return {int(number): row for number, row in tomllib.loads(text).items()}


def page() -> str:
    """The whole page."""
    found = claims()
    cases = sum(claim.cases for claim in found.values())
    lines = [INTRO.format(cases=cases, tests=len(found)).rstrip("\n"), *_rows(found)]
    notes = [f"- {number}: {row['note']}." for number, row in _noted()]
    lines += ["", "Notes:", "", *notes, "", "## Model by model"]
    lines += ["| model | checks | kinds |", "|---|---|---|", *_models(found)]
    lines += ["", "## What the trade says", *_trade(found)]
    lines += ["", EVIDENCE.strip(), *_evidence(), "", GROUND.strip(), *_ground(), ""]
    lines += ["## Sources of the physics", *_sources(found)]
    return "\n".join(lines) + "\n"


def kinds_of(model: Model) -> set[str]:
    """The kinds of check that stand behind a model."""
    known = sources()
    return {
        known[source]["kind"]
        for claim in claims().values()
        if claim.model == model
        for source in claim.sources
    }


def _noted() -> list[tuple[int, dict[str, str]]]:
    return [(number, row) for number, row in list_of_checks().items() if "note" in row]


def _rows(found: dict[str, Claim]) -> Iterator[str]:
    known = sources()
    for number, row in list_of_checks().items():
        mine = {name: claim for name, claim in found.items() if number in claim.rows}
        used = list(dict.fromkeys(source for claim in mine.values() for source in claim.sources))
        how = dict.fromkeys(word for source in used for word in _how(known[source]))
        tests = ", ".join(f"`{name}`" for name in mine)
        names = ", ".join(f"`{source}`" for source in used)
        cells = (number, row["what"], row["expected"], names, ", ".join(how), tests)
        yield f"| {' | '.join(str(cell) for cell in cells)} |"


def _how(source: dict[str, str]) -> list[str]:
    read = {"original": "read"}.get(source["read"], source["read"])
    return [read, "regression"] if source["kind"] == "regression" else [read]


def _models(found: dict[str, Claim]) -> Iterator[str]:
    for model in get_args(Model):
        cases = sum(claim.cases for claim in found.values() if claim.model == model)
        yield f"| {model} | {cases} | {', '.join(sorted(kinds_of(model)))} |"


def _claimed(kind: str) -> list[dict[str, Any]]:
    text = (HERE / f"{kind}_claims.toml").read_text(encoding="utf-8")
    found: list[dict[str, Any]] = tomllib.loads(text)["row"]
    return found


def _evidence() -> Iterator[str]:
    for number, row in enumerate(_claimed("evidence"), start=1):
        where = f"`{_named(row['test'])}`" if "test" in row else f"**open**: {row['later']}"
        yield f"| E{number} | {row['check']} | {len(row.get('checks', ())) or ''} | {where} |"


def _ground() -> Iterator[str]:
    rows = list(enumerate(_claimed("ground"), start=1))
    for number, row in rows:
        tests = ", ".join(f"`{_named(test)}`" for test in row["test"])
        yield f"| G{number} | {row['check']} | {row['expected']} | {tests} |"
    yield ""
    yield from (f"- G{number}: {row['note']}." for number, row in rows if "note" in row)


def _named(test: str) -> str:
    return test.replace(".py::", ".")


def _trade(found: dict[str, Claim]) -> Iterator[str]:
    """What the trade says, in the words that stand at the tests."""
    yield "Common practice, no source; what is common may be wrong, so the bounds are wide."
    yield ""
    for name, claim in found.items():
        if "trade" in claim.sources:
            lines = inspect.getsource(claim.test).partition("# source: trade")[2].splitlines()
            said = [lines[0].lstrip(":,")]
            for line in lines[1:]:
                if not line.strip().startswith("#"):
                    break
                said.append(line.strip("# "))
            yield f"- {' '.join(' '.join(said).split())} (`{name}`)"


def _sources(found: dict[str, Claim]) -> Iterator[str]:
    used = {source for claim in found.values() for source in claim.sources}
    for key, source in sources().items():
        if key in used:
            yield f"- `{key}`: {source['citation']} ({source['kind']}; {_how(source)[0]})."


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
