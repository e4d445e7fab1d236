"""Write shots in any shape that the reader supports: the other half of the round trips.

Written without the reader's code: only the glossary's terms and plain string work.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import Literal

import openpyxl
from hypothesis import strategies as st

from leadfoot.quantities import glossary
from leadfoot.shots.columns import units_of

Language = Literal["en", "es", "de", "fr", "sv", "ja", "ko"]
LANGUAGES: tuple[Language, ...] = ("en", "es", "de", "fr", "sv", "ja", "ko")

TYPICAL: Mapping[str, tuple[float, float, int]] = {
    "club_speed": (75.0, 82.0, 1),
    "ball_speed": (100.0, 112.0, 1),
    "smash_factor": (1.3, 1.4, 2),
    "attack_angle": (-6.0, 2.0, 1),
    "club_path": (-8.0, 8.0, 1),
    "face_angle": (-6.0, 6.0, 1),
    "dynamic_loft": (18.0, 30.0, 1),
    "launch_angle": (14.0, 22.0, 1),
    "launch_direction": (-6.0, 6.0, 1),
    "spin_rate": (4500.0, 7500.0, 0),
    "spin_axis": (-15.0, 15.0, 1),
    "carry": (140.0, 155.0, 1),
    "apex": (24.0, 32.0, 1),
    "hang_time": (5.2, 6.4, 2),
    "landing_angle": (42.0, 50.0, 1),
    "offline": (-25.0, 25.0, 1),
    "low_point": (-2.0, 5.0, 1),
    "strike_heel_toe": (-14.0, 14.0, 0),
    "strike_high_low": (-10.0, 10.0, 0),
}
"""A 7 iron in the glossary's units: lowest, highest, decimals. Invented; common practice."""

METRIC_UNITS: Mapping[str, str] = {
    **dict.fromkeys(("club_speed", "ball_speed"), "km/h"),
    **dict.fromkeys(("carry", "apex", "offline"), "m"),
    "low_point": "cm",
}
PER_GLOSSARY_UNIT: Mapping[str, float] = {"km/h": 1.609344, "m": 0.9144, "cm": 2.54}

SIDES: Mapping[str, tuple[str, str]] = {
    "offline": ("R", "L"),
    "launch_direction": ("right", "left"),
    "spin_axis": ("R", "L"),
    "face_angle": ("open", "closed"),
    "club_path": ("in-to-out", "out-to-in"),
    "attack_angle": ("up", "down"),
    "low_point": ("ahead", "behind"),
    "strike_heel_toe": ("toe", "heel"),
    "strike_high_low": ("high", "low"),
}

UnitStyle = Literal["[]", "()", "/", ",", "suffix", "row below", "in cells"]
SignStyle = Literal["minus", "plus and minus", "true minus", "word after", "word before"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """What stands in a table, whatever its shape; values as typed, NaN where nothing stands."""

    units: Mapping[str, str | None]
    values: Mapping[str, Sequence[float]]
    clubs: Sequence[str | None]
    blocks: Sequence[str | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """How a table is written."""

    mark: str
    decimal: str
    encoding: str
    newline: str
    unit_style: UnitStyle
    sign_style: SignStyle
    thousands: str
    missing: str
    language: Language
    term: int
    n_above: int
    repeats_header: bool
    has_summary: bool
    is_workbook: bool
    quotes_all: bool


@st.composite
def tables(draw: st.DrawFn) -> Table:
    keys = draw(st.lists(st.sampled_from(sorted(TYPICAL)), min_size=2, max_size=8, unique=True))
    count = draw(st.integers(3, 12))
    metric = draw(st.booleans())
    units = {
        key: METRIC_UNITS.get(key, glossary()[key].unit) if metric else glossary()[key].unit
        for key in keys
    }
    values: dict[str, list[float]] = {}
    for key in keys:
        low, high, decimals = TYPICAL[key]
        factor = PER_GLOSSARY_UNIT.get(units[key] or "", 1.0) if metric else 1.0
        numbers = rounded(low * factor, high * factor, decimals)
        cells = st.one_of(numbers, numbers, numbers, st.just(math.nan))
        values[key] = draw(st.lists(cells, min_size=count, max_size=count))
        values[key][draw(st.integers(0, count - 1))] = draw(numbers)
    values[keys[0]] = [low_if_nan(value, keys[0], units[keys[0]]) for value in values[keys[0]]]
    blocks: list[str | None] = [None] * count
    if draw(st.booleans()):
        change = draw(st.integers(1, count - 1))
        blocks = [*["before"] * change, *["soft block"] * (count - change)]
    return Table(units=units, values=values, clubs=["7 iron"] * count, blocks=blocks)


def low_if_nan(value: float, key: str, unit: str | None) -> float:
    """Keep one column full, so that every row is a shot."""
    if not math.isnan(value):
        return value
    low, high, decimals = TYPICAL[key]
    factor = PER_GLOSSARY_UNIT.get(unit or "", 1.0)
    return round((low + 0.3 * (high - low)) * factor, decimals)


def rounded(low: float, high: float, decimals: int) -> st.SearchStrategy[float]:
    return st.floats(low, high).map(lambda value: round(value, decimals) + 0.0)


@st.composite
def shapes(draw: st.DrawFn) -> Shape:
    decimal = draw(st.sampled_from(".,"))
    language = draw(st.sampled_from(LANGUAGES))
    codecs = ["utf-8", "utf-8-sig", "utf-16", "utf-16-le"]
    codecs += {"ja": ["cp932"], "ko": ["cp949"]}.get(language, ["cp1252"])
    encoding = draw(st.sampled_from(codecs))
    unit_styles: list[UnitStyle] = ["[]", "()", "/", ",", "suffix", "row below", "in cells"]
    sign_styles: list[SignStyle] = ["minus", "plus and minus", "word after", "word before"]
    if encoding.startswith("utf"):
        sign_styles.append("true minus")
    return Shape(
        mark=draw(st.sampled_from([";", "\t", "|"] + ([","] if decimal == "." else []))),
        decimal=decimal,
        encoding=encoding,
        newline=draw(st.sampled_from(["\n", "\r\n", "\r"])),
        unit_style=draw(st.sampled_from(unit_styles)),
        sign_style=draw(st.sampled_from(sign_styles)),
        thousands=draw(st.sampled_from(["", "'", " ", "." if decimal == "," else ","])),
        missing=draw(st.sampled_from(["", "-", "--", "n/a", "N/A"])),
        language=language,
        term=draw(st.integers(0, 99)),
        n_above=draw(st.integers(0, 19)),
        repeats_header=draw(st.booleans()),
        has_summary=draw(st.booleans()),
        is_workbook=draw(st.booleans()),
        quotes_all=draw(st.booleans()),
    )


CLUB_WORDS: Mapping[Language, tuple[str, str]] = {
    "en": ("Club", "7 iron"), "es": ("Palo", "Hierro 7"), "de": ("Schläger", "Eisen 7"),
    "fr": ("Club", "Fer 7"), "sv": ("Klubba", "järn 7"), "ja": ("番手", "7番アイアン"),
    "ko": ("클럽", "7번 아이언"),
}  # fmt: skip
BLOCK_WORDS: Mapping[Language, str] = {
    "en": "Block", "es": "Bloque", "de": "Block", "fr": "Série", "sv": "Block", "ja": "ブロック",
    "ko": "블록",
}  # fmt: skip
MEAN_WORDS: Mapping[Language, str] = {
    "en": "Average", "es": "Promedio", "de": "Mittelwert", "fr": "Moyenne", "sv": "Medel",
    "ja": "平均", "ko": "평균",
}  # fmt: skip


def grid_of(table: Table, shape: Shape) -> list[list[str]]:
    """Write a table as rows of cells."""
    keys = list(table.values)
    head = [CLUB_WORDS[shape.language][0], *(header_of(key, table, shape) for key in keys)]
    has_blocks = any(table.blocks)
    if has_blocks:
        head.insert(0, BLOCK_WORDS[shape.language])
    rows = [["Tuesday on the range"] for _ in range(shape.n_above)]
    top = [head]
    if shape.unit_style == "row below":
        units = [table.units[key] or "-" for key in keys]
        top.append([""] * (len(head) - len(keys)) + units)
    rows += top
    for place, block in enumerate(table.blocks):
        if shape.repeats_header and place == len(table.blocks) // 2:
            rows += top
        cells = [cell_of(key, table.values[key][place], table, shape) for key in keys]
        club = CLUB_WORDS[shape.language][1]
        rows.append([*([block or ""] if has_blocks else []), club, *cells])
    if shape.has_summary:
        means = [cell_of(key, first_number(table.values[key]), table, shape) for key in keys]
        rows.append([MEAN_WORDS[shape.language], *([""] if has_blocks else []), *means])
    return rows


def first_number(values: Sequence[float]) -> float:
    return next((value for value in values if not math.isnan(value)), math.nan)


def header_of(key: str, table: Table, shape: Shape) -> str:
    terms = glossary()[key].terms[shape.language]
    term = terms[shape.term % len(terms)]
    unit = table.units[key]
    if unit is None or shape.unit_style in {"row below", "in cells"}:
        return term
    return {
        "[]": f"{term} [{unit}]",
        "()": f"{term} ({unit})",
        "/": f"{term}/{unit}",
        ",": f"{term}, {unit}",
        "suffix": f"{term} {unit}",
    }[shape.unit_style]


def cell_of(key: str, value: float, table: Table, shape: Shape) -> str:
    if math.isnan(value):
        return shape.missing
    unit = table.units[key] if shape.unit_style == "in cells" else None
    text = digits_of(abs(value), TYPICAL[key][2], shape)
    words = SIDES.get(key) if shape.sign_style.startswith("word") and value else None
    if words:
        word = words[0] if value > 0 else words[1]
        unit_text = f" {unit}" if unit else ""
        before = f"{word} {text}{unit_text}"
        return before if shape.sign_style == "word before" else f"{text}{unit_text} {word}"
    sign = "−" if shape.sign_style == "true minus" else "-"
    if value >= 0:
        sign = "+" if shape.sign_style == "plus and minus" and value else ""
    return f"{sign}{text}" + (f" {unit}" if unit else "")


def digits_of(value: float, decimals: int, shape: Shape) -> str:
    whole, _, part = f"{value:.{decimals}f}".partition(".")
    if len(whole) > 3:
        whole = f"{whole[:-3]}{shape.thousands}{whole[-3:]}"
    return f"{whole}{shape.decimal}{part}" if part else whole


def bytes_of(table: Table, shape: Shape) -> bytes:
    """Write a table as a file."""
    rows = grid_of(table, shape)
    if shape.is_workbook:
        return workbook_of_rows(rows, shape)
    text = shape.newline.join(shape.mark.join(quoted(c, shape) for c in row) for row in rows)
    return text.encode(shape.encoding)


def quoted(cell: str, shape: Shape) -> str:
    if shape.quotes_all or shape.mark in cell:
        return '"' + cell.replace('"', '""') + '"'
    return cell


def workbook_of_rows(rows: Sequence[Sequence[str]], shape: Shape) -> bytes:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    for place, row in enumerate(rows, 1):
        for column, cell in enumerate(row, 1):
            if cell:
                sheet.cell(row=place, column=column, value=number_or_text(cell, shape))
    out = BytesIO()
    book.save(out)
    return out.getvalue()


def number_or_text(cell: str, shape: Shape) -> str | float:
    if shape.decimal == "," and "." in cell:
        return cell
    try:
        return float(cell)
    except ValueError:
        return cell


def first_shot_row(shape: Shape) -> int:
    return shape.n_above + 2 + (shape.unit_style == "row below")


def known_units(table: Table) -> bool:
    return all(unit is None or unit in units_of(key) for key, unit in table.units.items())
