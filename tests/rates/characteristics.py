"""The operating characteristics of "longer", written into docs/explain/evidence.md.

``python -m tests.rates.characteristics 4000`` simulates so many lessons a cell and replaces the
tables between the marks of the page; `test_characteristics.py` sees that their shape is not stale.
"""

import sys
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from tests.rates.distance import DESIGNS, Said, both_heard_of, covered, heard_of
from tests.rates.earlier import (
    EARLIER_DAYS,
    EARLIER_N_ERRORS,
    EARLIER_N_POWER,
    EARLIER_POWER,
    earlier_errors,
)
from tests.rates.forecast import by_quarter, predicted_and_come
from tests.rates.lessons import DAYS, NO_CHANGE, REFERENCE, Plan, Truth

PAGE = Path(__file__).parents[2] / "docs" / "explain" / "evidence.md"
SEED = 20_261
HARDER: Mapping[str, str] = MappingProxyType(
    {
        "clean": "clean",
        "reference": "reference",
        "new student": "new student",
        "drift +.02 sd a ball": "drift +.02",
        "memory .3": "memory .3",
        "spread 1.3 x usual": "spread 1.3 x",
        "15 % mishits": "15 % mishits",
        "t3 tails": "heavy tails",
    }
)
"""Days and how their columns are headed."""
GAINS: Mapping[str, tuple[str, Truth]] = MappingProxyType(
    {
        "1 mph": ("club_speed", Truth(club_speed_mph=1.0)),
        "2 mph": ("club_speed", Truth(club_speed_mph=2.0)),
        "4 mph": ("club_speed", Truth(club_speed_mph=4.0)),
        "4 yd": ("carry", Truth(carry_yd=4.0)),
        "8 yd": ("carry", Truth(carry_yd=8.0)),
        "12 yd": ("carry", Truth(carry_yd=12.0)),
        "16 yd": ("carry", Truth(carry_yd=16.0)),
    }
)


def plan_of(
    design: str,
    key: str,
    *,
    beside_speed: bool = False,
    first_ball: int = 8,
    said_before: bool = True,
) -> Plan:
    """A planned design with one declared distance; unless said, eight balls to get warm."""
    return Plan(
        blocks=DESIGNS[design],
        quantities=(key, "club_speed") if beside_speed else (key,),
        declared_distance=key,
        declared_direction=None,
        first_ball=first_ball,
        said_before=said_before,
    )


def percent(told: NDArray[np.bool_]) -> str:
    return f"{100 * float(told.mean()):.1f}"


def pair(said: Said) -> str:
    return f"{percent(said.longer)} / {percent(said.worse)}"


@cache
def errors(
    n: int, design: str, day: str, first_ball: int = 8, *, said_before: bool = True
) -> list[Said]:
    """Lessons without any change: carry as the only claim, and with club speed beside it.

    Without balls to get warm, carry as the only claim alone.
    """
    place = 100 * list(DESIGNS).index(design) + list(DAYS).index(day) + 1000 * (first_ball == 0)
    plan = plan_of(
        design,
        "carry",
        beside_speed=first_ball > 0 and said_before,
        first_ball=first_ball,
        said_before=said_before,
    )
    return both_heard_of(n, SEED + place, plan, DAYS[day], NO_CHANGE)


def rows_of_errors(
    n: int, *, beside_speed: bool = False, first_ball: int = 8, said_before: bool = True
) -> Iterator[list[str]]:
    """False "longer" / false "shorter" by design and day."""
    yield ["design", *HARDER.values()]
    for design in DESIGNS:
        yield [
            design,
            *(
                pair(errors(n, design, day, first_ball, said_before=said_before)[beside_speed])
                for day in HARDER
            ),
        ]


@cache
def found(n: int, design: str, gain: str, first_ball: int = 8, *, said_before: bool = True) -> Said:
    """Lessons with a real gain, club speed or carry as the only claim."""
    key, truth = GAINS[gain]
    place = 100 * list(DESIGNS).index(design) + list(GAINS).index(gain)
    plan = plan_of(design, key, first_ball=first_ball, said_before=said_before)
    return heard_of(n, SEED + 5000 + place + 1000 * (first_ball == 0), plan, REFERENCE, truth)


def rows_of_power(n: int, *, said_before: bool = True) -> Iterator[list[str]]:
    """How often a real gain is found, and the median ball at which it is."""
    yield ["design", *GAINS, "median ball, 2 mph"]
    for design in DESIGNS:
        first = found(n, design, "2 mph", said_before=said_before).first
        middle = f"{np.median(first[first > 0]):.0f}"
        told = [found(n, design, gain, said_before=said_before).longer for gain in GAINS]
        yield [design, *map(percent, told), middle]


def rows_of_earlier() -> Iterator[list[str]]:
    """Ours beside the earlier design, cell by cell, and where ours is behind by more than chance.

    False "longer" by day, then real gains, as the tables "errors alone" and "power" of the page
    have them; the earlier design had no balls to get warm.
    """
    errors_told, n = on_page("errors alone")
    power_told, _ = on_page("power")
    days = list(EARLIER_DAYS)
    yield ["design", *(HARDER[day] for day in days), *GAINS, "behind in"]
    for design in DESIGNS:
        ours = {HARDER[day]: float(errors_told[design, HARDER[day]].split("/")[0]) for day in days}
        ours |= {gain: float(power_told[design, gain]) for gain in GAINS}
        before = dict(zip(ours, (*earlier_errors(design), *EARLIER_POWER[design]), strict=True))
        behind = [
            name for name in ours if _behind(ours[name], before[name], n, power=name in GAINS)
        ]
        yield [
            design,
            *(f"{told:.1f} ({before[name]:g})" for name, told in ours.items()),
            ", ".join(behind) or "none",
        ]


def on_page(name: str) -> tuple[dict[tuple[str, str], str], int]:
    """The cells of a table by row and heading, and how many lessons stand behind each."""
    page = PAGE.read_text(encoding="utf-8")
    text = page.split(f"<!-- {name}: made by tests.rates.characteristics -->\n")[1]
    text = text.split(f"<!-- end {name} -->")[0]
    rows = [line.strip("|").split("|") for line in text.splitlines() if line.startswith("|")]
    head, _, *body = [[cell.strip() for cell in row] for row in rows]
    found = {
        (row[0], what): cell for row in body for what, cell in zip(head[1:], row[1:], strict=True)
    }
    return found, int(text.splitlines()[len(rows) + 1].split()[0])


def _behind(ours: float, before: float, n: int, *, power: bool) -> bool:
    """Worse by more than two standard errors of the difference."""
    n_before = EARLIER_N_POWER if power else EARLIER_N_ERRORS
    se = np.sqrt(ours * (100 - ours) / n + before * (100 - before) / n_before)
    return bool((before - ours if power else ours - before) > 2.0 * se)


def rows_of_cold(n: int) -> Iterator[list[str]]:
    """A cold start of one spread: without and with the notice, and after balls to get warm."""
    day = DAYS["cold start 1 sd"]
    heads = ["nobody minds", "noticed", "held back in", "4 to get warm", "8", "12"]
    yield ["design", *heads, "2 mph, reference: nobody minds", "noticed"]
    for place, design in enumerate(DESIGNS):
        seed = SEED + 9000 + 100 * place
        cold = heard_of(n, seed, plan_of(design, "carry", first_ball=0), day, NO_CHANGE)
        warm = [
            heard_of(n, seed + k, plan_of(design, "carry", first_ball=k), day, NO_CHANGE)
            for k in (4, 8, 12)
        ]
        real = found(n, design, "2 mph", 0)
        told = [cold.unwarned, cold.longer, cold.cold, *(one.longer for one in warm)]
        yield [design, *map(percent, [*told, real.unwarned, real.longer])]


def rows_of_cover(n: int) -> Iterator[list[str]]:
    """How often the 95 % interval of the change holds the truth, at single looks."""
    looks: dict[str, tuple[int, ...]] = {
        "10 + 5": (10, 5),
        "10 + 10": (10, 10),
        "10 + 15": (10, 15),
    }
    looks |= {name: blocks for name, blocks in DESIGNS.items() if len(blocks) > 2}
    truths = {"no change": NO_CHANGE, "8 yd": Truth(carry_yd=8.0), "16 yd": Truth(carry_yd=16.0)}
    yield ["balls", *truths]
    for place, (name, blocks) in enumerate(looks.items()):
        told = [
            covered(n, SEED + 20_000 + 10 * place + i, blocks, truth)
            for i, truth in enumerate(truths.values())
        ]
        yield [name, *map(percent, told)]


def rows_of_forecast(n: int) -> Iterator[list[str]]:
    """The chance that fifteen more balls tell, against what came, by quarter of the chance."""
    yield ["quarter", "predicted", "came"]
    for place, (chance, came) in enumerate(by_quarter(*predicted_and_come(n, SEED + 30_000))):
        yield [f"{place + 1}", f"{100 * chance:.1f}", f"{100 * came:.1f}"]


TABLES: Mapping[str, str] = MappingProxyType(
    {
        "errors alone": "carry is the only claim",
        "errors unwarmed": "the same without balls to get warm",
        "errors beside speed": "carry is declared, club speed may claim beside it",
        "power": "real gains",
        "errors unplanned": "carry is the only claim, and no plan was given",
        "power unplanned": "real gains, and no plan was given",
        "earlier": "beside the earlier design",
        "cold": "a cold start",
        "cover": "intervals",
        "forecast": "the chance that more balls tell",
    }
)


def table(name: str, n: int) -> str:
    """One table with the line that says how it was made."""
    rows = {
        "errors alone": lambda: rows_of_errors(n),
        "errors unwarmed": lambda: rows_of_errors(n, first_ball=0),
        "errors beside speed": lambda: rows_of_errors(n, beside_speed=True),
        "power": lambda: rows_of_power(n),
        "errors unplanned": lambda: rows_of_errors(n, said_before=False),
        "power unplanned": lambda: rows_of_power(n, said_before=False),
        "earlier": lambda: rows_of_earlier(),  # noqa: PLW0108 - one kind of call for all
        "cold": lambda: rows_of_cold(n),
        "cover": lambda: rows_of_cover(n),
        "forecast": lambda: rows_of_forecast(n),
    }[name]()
    lines = []
    for place, row in enumerate(rows):
        lines.append("| " + " | ".join(row) + " |")
        if place == 0:
            lines.append("|---" * len(row) + "|")
        sys.stderr.write(f"{name}: {lines[-1]}\n")
    return "\n".join(lines) + f"\n\n{how_many(name, n)}, seed {SEED}.\n"


def how_many(name: str, n: int) -> str:
    """How many lessons stand behind the numbers of a table."""
    if name == "forecast":
        return f"{n} lessons, of which those count that were still open"
    return f"{on_page('power')[1] if name == 'earlier' else n} lessons a cell"


def put(page: str, name: str, text: str, by: str = "tests.rates.characteristics") -> str:
    """The page with one table replaced."""
    start, end = f"<!-- {name}: made by {by} -->\n", f"<!-- end {name} -->"
    before, rest = page.split(start)
    _, after = rest.split(end)
    return f"{before}{start}{text}{end}{after}"


def main() -> None:
    """Simulate and write the tables asked for, or all of them."""
    n = int(sys.argv[1]) if len(sys.argv) > 1 else 4000
    for name in sys.argv[2:] or TABLES:
        text = table(name, n)
        page = PAGE.read_text(encoding="utf-8")
        PAGE.write_text(put(page, name, text), encoding="utf-8")


if __name__ == "__main__":
    main()
