"""The balls of many lessons at once, as plain numbers: one query, and no row becomes an object."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import chain, groupby
from operator import itemgetter
from typing import Any

import numpy as np
import orjson
from sqlalchemy import Text, select, type_coerce

from leadfoot.book.tables import BlockRow, ShotRow
from leadfoot.book.transactions import Transactions
from leadfoot.desk.pooling_port import CountedBalls, LessonBalls
from leadfoot.units import UNITS

_SI = {None: (1.0, 0.0)} | {
    name: (unit.si_per_unit, unit.si_offset) for name, unit in UNITS.items()
}


class PoolingShelf(Transactions):
    """What is read many lessons at a time; see `leadfoot.desk.pooling_port` for the promises."""

    def balls_of(
        self, lesson_ids: Sequence[int], quantities: Sequence[str]
    ) -> Mapping[int, LessonBalls]:
        """The balls of some lessons by the number of the lesson; one without balls is not there."""
        query = (
            select(
                ShotRow.lesson_id,
                BlockRow.role,
                ShotRow.left_out_reason,
                ShotRow.club,
                type_coerce(ShotRow.readings, Text),
            )
            .join(BlockRow, BlockRow.id == ShotRow.block_id)
            .where(ShotRow.lesson_id.in_(lesson_ids))
            .order_by(ShotRow.lesson_id, ShotRow.place)
        )
        with self.reading() as session:
            rows = session.execute(query).all()
        return {
            lesson_id: _balls(list(those), quantities)
            for lesson_id, those in groupby(rows, key=itemgetter(0))
        }

    def counted_of(self, lesson_ids: Sequence[int]) -> Mapping[int, CountedBalls]:
        """Every value of the balls that count; a lesson without balls is not there."""
        query = (
            select(
                ShotRow.lesson_id,
                ShotRow.block_id,
                BlockRow.role,
                ShotRow.club,
                type_coerce(ShotRow.readings, Text),
            )
            .join(BlockRow, BlockRow.id == ShotRow.block_id)
            .where(ShotRow.lesson_id.in_(lesson_ids), ShotRow.left_out_reason.is_(None))
            .order_by(ShotRow.lesson_id, ShotRow.place)
        )
        with self.reading() as session:
            rows = session.execute(query).all()
        return {
            lesson_id: _counted(list(those))
            for lesson_id, those in groupby(rows, key=itemgetter(0))
        }


def _counted(rows: Sequence[Any]) -> CountedBalls:
    readings = orjson.loads(f"[{','.join(row[4] for row in rows)}]")
    column = {key: n for n, key in enumerate(dict.fromkeys(chain.from_iterable(readings)))}
    values = np.full((len(rows), len(column)), np.nan)
    for row, pairs in zip(values, readings, strict=True):
        for key, (value, unit) in pairs.items():
            per_unit, offset = _SI[unit]
            row[column[key]] = value * per_unit + offset
    return CountedBalls(
        block_ids=np.array([row[1] for row in rows], dtype=np.int64),
        roles=tuple(row[2] for row in rows),
        clubs=tuple(row[3] for row in rows),
        quantities=tuple(column),
        values=values,
    )


def _balls(rows: Sequence[Any], quantities: Sequence[str]) -> LessonBalls:
    counted = [row for row in rows if row[2] is None and row[1] != "other"]
    values = np.array([list(_in_si(row[4], quantities)) for row in counted], dtype=np.float64)
    return LessonBalls(
        n_shots=len(rows),
        with_change=np.array([row[1] == "with_change" for row in counted], dtype=bool),
        clubs=tuple(row[3] for row in counted),
        values=values.reshape(len(counted), len(quantities)),
    )


def _in_si(readings: str, quantities: Sequence[str]) -> Iterable[float]:
    pairs = orjson.loads(readings)
    for key in quantities:
        if key not in pairs:
            yield np.nan
            continue
        value, unit = pairs[key]
        per_unit, offset = _SI[unit]
        yield value * per_unit + offset
