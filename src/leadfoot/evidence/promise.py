"""The promise of the judging and the error rates that were measured for it, as data."""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files


@dataclass(frozen=True, slots=True, kw_only=True)
class RateRow:
    """One kind of lesson, or one rule: percent of lessons, as printed."""

    name: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RateTable:
    """One table of simulated lessons; ``key`` is ``days``, ``plans``, ``truths`` or ``rules``."""

    key: str
    title: str
    note: str
    head: tuple[str, ...]
    rows: tuple[RateRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise:
    """What is promised, in one sentence, and the tables that say how far it holds."""

    sentence: str
    tables: tuple[RateTable, ...]


@cache
def promise() -> Promise:
    """The promise with its tables; they are those of docs/explain/evidence.md.

    Examples
    --------
    >>> [table.key for table in promise().tables]
    ['days', 'plans', 'truths', 'rules']
    """
    text = files("leadfoot.evidence").joinpath("promise.toml").read_text(encoding="utf-8")
    data = tomllib.loads(text)
    return Promise(
        sentence=data["promise"],
        tables=tuple(
            RateTable(
                key=one["key"],
                title=one["title"],
                note=one["note"],
                head=tuple(one["head"]),
                rows=tuple(RateRow(name=name, cells=tuple(cells)) for name, *cells in one["rows"]),
            )
            for one in data["table"]
        ),
    )
