"""The columns of quantities from their cells: decimal marks, numbers, sides, units."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leadfoot.quantities import glossary
from leadfoot.shots.cell import CellRule, is_missing
from leadfoot.shots.columns import Column, Question
from leadfoot.shots.doubts import Measured, settle_units
from leadfoot.shots.guess import Guess
from leadfoot.shots.numbers import Numbers, read_numbers
from leadfoot.shots.ranges import Clubs, share_plausible
from leadfoot.shots.sides import Hand, is_signed, side_sign
from leadfoot.tables.grid import Cell, text_of
from leadfoot.tables.marks import (
    Mark,
    MarkChoice,
    choose_mark,
    column_marks,
    other_mark,
    table_mark,
)

_PLAUSIBLE = 0.8
"""Share of plausible values from which a way to read a mark makes sense. Our own choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Amount:
    """One quantity column: its guess, its cells, its numbers, its decimal mark."""

    guess: Guess
    key: str
    cells: Sequence[Cell]
    numbers: Numbers
    mark: MarkChoice
    sides_from: str = ""
    """Header of the column that gives the sides, where another does."""

    def measured(self) -> Measured:
        """Start settling the unit by what the header and the cells state."""
        stated, by = self.guess.unit, f"by the {self.guess.unit_from}"
        if stated is None and self.numbers.main_unit() is not None:
            stated, by = self.numbers.main_unit(), "in the cells"
        doubtful = self.mark.asks or self.numbers.brackets_negative
        return Measured(
            key=self.key,
            header=self.guess.header,
            values=self.guess.sign * self.numbers.in_unit(stated),
            stated=stated,
            stated_by=by,
            sure=self.guess.sure and not doubtful,
        )

    def column(self, measured: Measured) -> Column:
        """Say what the column was taken for, and why."""
        told = [
            self.guess.reason,
            *measured.reasons,
            self.mark.reason,
            "numbers in brackets are read as minus" if self.numbers.brackets_negative else "",
            f"sides from column {self.sides_from!r}" if self.sides_from else "",
            self.guess.asks,
        ]
        return Column(
            index=self.guess.index,
            header=self.guess.header,
            role="quantity",
            quantity=self.key,
            unit=measured.unit,
            reason="; ".join(dict.fromkeys(part.rstrip(".") for part in told if part)),
            sure=measured.sure and not self.guess.asks,
            sign=self.guess.sign,
        )

    def questions(self) -> list[Question]:
        """List the doubts of header and marks."""
        return [
            Question(
                column=self.guess.header,
                quantity=self.key,
                unit=self.guess.unit,
                suggested_unit=None,
                text=text,
            )
            for text in (self.guess.asks, self.mark.asks)
            if text
        ]


def read_amounts(
    guesses: Sequence[Guess], cells: Sequence[Sequence[Cell]], clubs: Clubs, hand: Hand
) -> list[Amount]:
    """Read the numbers of every quantity column, its decimal mark chosen first.

    Parameters
    ----------
    guesses
        All columns of the table.
    cells
        The cells of the shots, column by column.
    clubs
        Class of club of each shot.
    hand
        The student's hand.
    """
    chosen = [guess for guess in guesses if guess.role == "quantity" and guess.quantity]
    evidence = [column_marks(cells[guess.index]) for guess in chosen]
    whole = table_mark(evidence)
    amounts: list[Amount] = []
    for guess, marks in zip(chosen, evidence, strict=True):
        column = cells[guess.index]
        fits = (False, False)
        if marks.open_mark is not None:
            fits = (
                _is_plausible(guess, column, marks.open_mark, clubs, hand),
                _is_plausible(guess, column, other_mark(marks.open_mark), clubs, hand),
            )
        mark = choose_mark(marks, whole, *fits)
        numbers = read_numbers(column, _rule(guess, mark.decimal, hand))
        key = guess.quantity or ""
        amounts.append(Amount(guess=guess, key=key, cells=column, numbers=numbers, mark=mark))
    return amounts


def _rule(guess: Guess, decimal: Mark, hand: Hand) -> CellRule:
    key = guess.quantity or ""
    return CellRule(quantity=key, dimension=glossary()[key].dimension, decimal=decimal, hand=hand)


def _is_plausible(
    guess: Guess, cells: Sequence[Cell], decimal: Mark, clubs: Clubs, hand: Hand
) -> bool:
    key = guess.quantity or ""
    numbers = read_numbers(cells, _rule(guess, decimal, hand))
    unit = guess.unit or numbers.main_unit() or glossary()[key].unit
    return share_plausible(numbers.values, unit, key, clubs) >= _PLAUSIBLE


def settle(amounts: Sequence[Amount], clubs: Clubs) -> tuple[dict[str, Measured], list[Question]]:
    """Settle the unit of every quantity; give the doubts as well."""
    measured = {amount.key: amount.measured() for amount in amounts}
    is_metric = any(amount.mark.decimal == "," for amount in amounts)
    questions = settle_units(measured, clubs, is_metric=is_metric)
    asked = [question for amount in amounts for question in amount.questions()]
    return measured, [*asked, *questions]


def with_sides(
    amounts: Sequence[Amount],
    guesses: Sequence[Guess],
    cells: Sequence[Sequence[Cell]],
    hand: Hand,
) -> tuple[list[Amount], list[Guess]]:
    """Let a column of sides (R, L) sign the unsigned quantity beside it."""
    by_index = {amount.guess.index: amount for amount in amounts}
    kept = list(guesses)
    for place, guess in enumerate(guesses):
        near = [by_index.get(guess.index + step) for step in (-1, 1)]
        unsigned = next((a for a in near if a is not None and _is_unsigned(a)), None)
        if guess.role != "ignored" or unsigned is None:
            continue
        signs = _side_signs(cells[guess.index], unsigned.key, hand)
        if signs is None:
            continue
        numbers = replace(unsigned.numbers, values=unsigned.numbers.values * signs)
        by_index[unsigned.guess.index] = replace(unsigned, numbers=numbers, sides_from=guess.header)
        reason = f"its words give the sides of column {unsigned.guess.header!r}"
        kept[place] = guess.ignored(reason, sure=True)
    return list(by_index.values()), kept


def _is_unsigned(amount: Amount) -> bool:
    values = amount.numbers.values
    held = np.isfinite(values)
    return is_signed(amount.key) and bool(held.any()) and bool((values[held] >= 0).all())


def _side_signs(cells: Sequence[Cell], key: str, hand: Hand) -> NDArray[np.float64] | None:
    """Give the sign that each cell of a column means; None where a cell means none."""
    texts = {cell: text_of(cell) for cell in set(cells)}
    signs = {
        cell: 1 if is_missing(text) else side_sign(text, key, hand) for cell, text in texts.items()
    }
    if None in signs.values() or all(is_missing(text) for text in texts.values()):
        return None
    return np.array([float(signs[cell] or 1) for cell in cells])
