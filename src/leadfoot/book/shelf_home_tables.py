"""Tables of shots from practice in the client book, in SQL."""

import hashlib
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from leadfoot.book.homework_rows import home_table_from
from leadfoot.book.homework_tables import HomeTableRow, HomeworkRow
from leadfoot.book.transactions import Transactions, found, kept
from leadfoot.desk.homework_records import HomeTable, NewHomeTable


class HomeTableShelf(Transactions):
    """What was hit at home, ball by ball; see `leadfoot.desk.homework_port` for the promises."""

    def home_tables(self, homework_id: int) -> tuple[HomeTable, ...]:
        """Tables of shots that were given for a plan, in order of giving, all of them."""
        query = select(HomeTableRow).where(HomeTableRow.homework_id == homework_id)
        with self.reading() as session:
            found(session, HomeworkRow, homework_id, "homework")
            rows = session.scalars(query.order_by(HomeTableRow.id))
            return tuple(home_table_from(row) for row in rows)

    def home_table(self, table_id: int) -> tuple[HomeTable, bytes]:
        """One table of shots with its bytes as they came."""
        with self.reading() as session:
            row = found(session, HomeTableRow, table_id, "table from home")
            return home_table_from(row), row.data

    def keep_home_table(
        self, homework_id: int, new: NewHomeTable, *, at: datetime
    ) -> tuple[HomeTable, bool]:
        """Keep a table; the same bytes again give the one there. True where it is new."""
        digest = hashlib.sha256(new.data).hexdigest()
        same = select(HomeTableRow).where(
            HomeTableRow.homework_id == homework_id, HomeTableRow.digest == digest
        )
        with self.writing() as session:
            plan = found(session, HomeworkRow, homework_id, "homework")
            there = session.scalar(same)
            if there is not None:
                return home_table_from(there), False
            row = HomeTableRow(
                homework_id=homework_id,
                session=new.session,
                done_on=new.done_on,
                place=new.place,
                name=new.name,
                digest=digest,
                size_bytes=len(new.data),
                shots_json=new.shots_json,
                n_shots=new.n_shots,
                problems_json=new.problems_json,
                given_by=new.given_by,
                given_at=at,
                data=new.data,
            )
            return home_table_from(self.added(session, row, plan.lesson_id)), True

    def read_home_table_anew(
        self, table_id: int, *, shots_json: str, n_shots: int, problems_json: str
    ) -> HomeTable:
        """Put what is read of a kept table in the place of what was read of it before."""
        with self.writing() as session:
            row = found(session, HomeTableRow, table_id, "table from home")
            row.shots_json, row.n_shots, row.problems_json = shots_json, n_shots, problems_json
            return self._table_changed(session, row)

    def leave_home_table_out(self, table_id: int, *, reason: str | None) -> HomeTable:
        """Leave a table out with a reason; None: it counts again."""
        with self.writing() as session:
            row = found(session, HomeTableRow, table_id, "table from home")
            row.left_out_reason = reason
            return self._table_changed(session, row)

    def _table_changed(self, session: Session, row: HomeTableRow) -> HomeTable:
        plan = found(session, HomeworkRow, row.homework_id, "homework")
        self.note_change(session, plan.lesson_id)
        return home_table_from(kept(session, row))
