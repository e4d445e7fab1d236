"""What a studio has set, and what it confirmed of columns, in the client book in SQL."""

from collections.abc import Mapping
from datetime import datetime

from sqlalchemy import delete, func, select

from leadfoot.book.settings_tables import StudioSettingRow
from leadfoot.book.tables import MappingRow
from leadfoot.book.transactions import Transactions, found
from leadfoot.desk.settings_port import StoredMapping, StoredSetting


class SettingsShelf(Transactions):
    """See `leadfoot.desk.settings_port.SettingsBook` for the promises."""

    def settings(self) -> Mapping[str, StoredSetting]:
        """The settings in force by key; one that was set back is not there."""
        last = select(func.max(StudioSettingRow.id)).group_by(StudioSettingRow.key)
        query = select(StudioSettingRow).where(StudioSettingRow.id.in_(last))
        with self.reading() as session:
            return {
                row.key: StoredSetting(
                    value_json=row.value_json, saved_by=row.saved_by, saved_at=row.saved_at
                )
                for row in session.scalars(query.order_by(StudioSettingRow.key))
                if row.value_json is not None
            }

    def save_setting(self, key: str, value_json: str | None, *, by: str, at: datetime) -> None:
        """Save a setting, or with None set it back; the earlier ones stay in the book."""
        row = StudioSettingRow(key=key, value_json=value_json, saved_by=by, saved_at=at)
        with self.writing() as session:
            self.added(session, row, None)

    def mappings(self) -> tuple[StoredMapping, ...]:
        """The column mappings in force, the one saved last first."""
        last = select(func.max(MappingRow.id)).group_by(MappingRow.header_digest)
        query = select(MappingRow).where(MappingRow.id.in_(last)).order_by(MappingRow.id.desc())
        with self.reading() as session:
            return tuple(
                StoredMapping(
                    id=row.id,
                    header_key=row.header_key,
                    mapping_json=row.mapping_json,
                    saved_at=row.saved_at,
                )
                for row in session.scalars(query)
            )

    def forget_mapping(self, mapping_id: int) -> None:
        """Forget what was confirmed for the header of a mapping, the earlier ones with it."""
        with self.writing() as session:
            row = found(session, MappingRow, mapping_id, "column mapping")
            of_header = MappingRow.header_digest == row.header_digest
            session.execute(delete(MappingRow).where(of_header))
            self.note_change(session, None)
