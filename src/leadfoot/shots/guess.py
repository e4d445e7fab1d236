"""The headers of a table to its columns: one column for each quantity, with the reason."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from leadfoot.errors import MappingError
from leadfoot.quantities import glossary
from leadfoot.shots.columns import ColumnMapping, ColumnRule, Role
from leadfoot.shots.header import EXACT, LOOSE, Meaning, header_key_part, understand
from leadfoot.shots.layout import Layout, is_made_up
from leadfoot.shots.sides import Hand
from leadfoot.shots.terms import squeezed, terms
from leadfoot.tables.grid import Cell, text_of
from leadfoot.tables.split import is_number
from leadfoot.units import UNITS

_MAPPED = EXACT + 1
_SAMPLED = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class Guess:
    """What one column is taken for, before its values are looked at."""

    index: int
    header: str
    role: Role
    quantity: str | None = None
    unit: str | None = None
    """The unit that the table states or the mapping gives; None where neither does."""
    unit_from: Literal["mapping", "header", "units row"] | None = None
    sign: Literal[1, -1] = 1
    strength: int = 0
    choices: tuple[str, ...] = ()
    reason: str = ""
    sure: bool = False
    twin_of: int | None = None
    """Place of the column that was taken for the same quantity instead."""
    asks: str = ""
    """A doubt about the quantity that only the coach can settle."""

    def ignored(self, reason: str, *, sure: bool) -> "Guess":
        """Give the same column, left aside for a reason."""
        return replace(
            self, role="ignored", quantity=None, unit=None, reason=reason, sure=sure, choices=()
        )


def guess_columns(
    layout: Layout,
    body: Sequence[Sequence[Cell]],
    mapping: ColumnMapping | None,
    hand: Hand,
    block_column: str | None,
) -> list[Guess]:
    """Tell what each column is by its header, the coach's mapping first.

    Raises
    ------
    MappingError
        If the mapping fits no column, or the block column is not there.
    """
    guesses = [_by_header(layout, index, hand) for index in range(len(layout.headers))]
    guesses = _by_mapping(guesses, mapping)
    guesses = _with_block_column(guesses, block_column)
    filled = _filled(body, len(guesses))
    guesses = _settle_doubtful(guesses)
    guesses = _one_for_each(guesses, filled)
    guesses = [_looked_at(guess, filled[guess.index], body) for guess in guesses]
    return _find_blocks(guesses, body)


def _by_header(layout: Layout, index: int, hand: Hand) -> Guess:
    header = layout.headers[index]
    if not layout.header_rows:
        return Guess(index=index, header=header, role="ignored", reason="it has no header")
    meaning = understand(header, hand)
    unit, unit_from = meaning.unit, "header" if meaning.unit else None
    below = layout.units[index]
    if below and not unit and meaning.quantity and _fits(meaning.quantity, below):
        unit, unit_from = below, "units row"
    return Guess(
        index=index,
        header=header,
        role=meaning.role,
        quantity=meaning.quantity,
        unit=unit,
        unit_from="units row" if unit_from == "units row" else "header" if unit else None,
        sign=meaning.sign or 1,
        strength=meaning.strength,
        choices=meaning.choices,
        reason=meaning.reason,
        sure=_is_sure(meaning),
    )


def _is_sure(meaning: Meaning) -> bool:
    return meaning.strength > LOOSE or "something else" in meaning.reason


def _fits(key: str, unit: str) -> bool:
    return glossary()[key].dimension == UNITS[unit].dimension


def _by_mapping(guesses: list[Guess], mapping: ColumnMapping | None) -> list[Guess]:
    if mapping is None:
        return guesses
    waiting: dict[str, list[ColumnRule]] = {}
    for rule in mapping.columns:
        waiting.setdefault(header_key_part(rule.header), []).append(rule)
    mapped = [_mapped(guess, waiting.get(header_key_part(guess.header))) for guess in guesses]
    if mapping.columns and not any(guess.strength == _MAPPED for guess in mapped):
        raise MappingError(
            f"The mapping fits no column: the table has "
            f"{', '.join(repr(guess.header) for guess in guesses[:6])}.",
            fix="Use the mapping that was made for this header, or none.",
        )
    return mapped


def _mapped(guess: Guess, rules: list[ColumnRule] | None) -> Guess:
    if not rules:
        return guess
    rule = rules.pop(0)
    asks = ""
    if rule.unit and guess.unit and guess.unit != rule.unit and guess.quantity == rule.quantity:
        asks = (
            f"The mapping reads {guess.header!r} in {rule.unit}, and the table says {guess.unit}."
        )
    return replace(
        guess,
        role=rule.role,
        quantity=rule.quantity,
        unit=rule.unit,
        unit_from="mapping",
        sign=rule.sign,
        strength=_MAPPED,
        choices=(),
        reason="as confirmed in the mapping",
        sure=not asks,
        asks=asks,
    )


def _with_block_column(guesses: list[Guess], block_column: str | None) -> list[Guess]:
    if block_column is None:
        return guesses
    wanted = header_key_part(block_column)
    hit = next((g for g in guesses if header_key_part(g.header) == wanted), None)
    hit = hit or next((g for g in guesses if squeezed(g.header) == squeezed(block_column)), None)
    if hit is None or not wanted:
        raise MappingError(
            f"The table has no column {block_column!r} for the blocks.",
            fix=f"Use one of: {', '.join(repr(guess.header) for guess in guesses)}.",
        )
    chosen = replace(
        hit.ignored("", sure=True), role="block", strength=_MAPPED, reason="chosen for the blocks"
    )
    return [
        chosen
        if guess.index == hit.index
        else guess.ignored(f"{hit.header!r} was chosen for the blocks", sure=True)
        if guess.role == "block"
        else guess
        for guess in guesses
    ]


def _filled(body: Sequence[Sequence[Cell]], width: int) -> list[int]:
    """Count the cells with a digit in each column, over the first rows."""
    counts = [0] * width
    for row in body[:_SAMPLED]:
        for index, cell in enumerate(row[:width]):
            if not isinstance(cell, str) or any(map(str.isdecimal, cell[:40])):
                counts[index] += 1
    return counts


def _settle_doubtful(guesses: list[Guess]) -> list[Guess]:
    """Give each header of several meanings the first that no clearer column has."""
    taken = {guess.quantity for guess in guesses if guess.quantity and not guess.choices}
    settled: list[Guess] = []
    for guess in guesses:
        free = [key for key in guess.choices if key not in taken]
        if not guess.choices:
            settled.append(guess)
        elif not free:
            reason = f"{guess.reason}; other columns say that more clearly"
            settled.append(guess.ignored(reason, sure=True))
        else:
            taken.add(free[0])
            settled.append(_settled(guess, free[0], has_choice=len(free) > 1))
    return settled


def _settled(guess: Guess, key: str, *, has_choice: bool) -> Guess:
    name = glossary()[key].name
    reason = f"{guess.reason}; taken for {name}"
    asks = (
        f"{guess.header!r} may mean several things; it is taken for {name}." if has_choice else ""
    )
    return replace(guess, quantity=key, reason=reason, sure=False, asks=asks)


def _one_for_each(guesses: list[Guess], filled: Sequence[int]) -> list[Guess]:
    """Keep one column for each quantity and one for the clubs, the balls and the times."""
    best: dict[str, Guess] = {}
    for guess in guesses:
        key = _claim(guess)
        if key is not None:
            now = best.get(key)
            if now is None or _worth(guess, filled) > _worth(now, filled):
                best[key] = guess
    return [_kept(guess, best.get(_claim(guess) or "")) for guess in guesses]


def _claim(guess: Guess) -> str | None:
    if guess.role == "quantity":
        return guess.quantity
    return guess.role if guess.role in {"club", "block"} else None


def _worth(guess: Guess, filled: Sequence[int]) -> tuple[int, bool, int, bool]:
    has_any = filled[guess.index] > 0 or guess.role != "quantity"
    mapped = guess.strength if guess.strength == _MAPPED else 0
    return mapped, has_any, guess.strength, guess.unit is not None


def _kept(guess: Guess, best: Guess | None) -> Guess:
    if best is None or best.index == guess.index:
        return guess
    what = glossary()[guess.quantity].name if guess.quantity else f"the {guess.role}"
    reason = f"it says {what} as well, and column {best.header!r} says it more clearly"
    if best.strength == guess.strength:
        reason = f"it says {what} as well, and column {best.header!r} was taken for it"
    twin = best.index if guess.role == "quantity" else None
    return replace(guess.ignored(reason, sure=best.strength > guess.strength), twin_of=twin)


def _looked_at(guess: Guess, filled: int, body: Sequence[Sequence[Cell]]) -> Guess:
    """Settle what only the cells tell: a column without numbers needs no look."""
    if is_made_up(guess.header, guess.index) and guess.role == "ignored":
        return guess.ignored("it has no header", sure=filled == 0)
    if guess.role == "ignored" and guess.strength == 0 and filled == 0:
        return guess.ignored(guess.reason, sure=True)
    if guess.role == "ball" and _has_fractions(body, guess.index):
        reason = f"{guess.reason}, but its cells are no counting numbers"
        return guess.ignored(reason, sure=False)
    return guess


def _has_fractions(body: Sequence[Sequence[Cell]], index: int) -> bool:
    """Tell whether most cells of a column are numbers with decimals."""
    cells = [row[index] for row in body[:_SAMPLED] if index < len(row) and is_number(row[index])]
    parts = [cell for cell in cells if not text_of(cell).lstrip("+-").isdecimal()]
    return len(cells) > 0 and 2 * len(parts) >= len(cells)


def _find_blocks(guesses: list[Guess], body: Sequence[Sequence[Cell]]) -> list[Guess]:
    """Find a column that holds labels such as before and after, where no header says so."""
    if any(guess.role == "block" for guess in guesses):
        return guesses
    for guess in guesses:
        if guess.role == "ignored" and guess.strength == 0:
            labels = {_label(row, guess.index) for row in body[:_SAMPLED]} - {""}
            if len(labels) >= 2 and labels <= terms().block_values:
                reason = "its cells are labels of blocks"
                found = replace(guess, role="block", reason=reason, sure=False)
                return [found if other is guess else other for other in guesses]
    return guesses


def _label(row: Sequence[Cell], index: int) -> str:
    cell = row[index] if index < len(row) else ""
    return squeezed(cell) if isinstance(cell, str) else "a number"
