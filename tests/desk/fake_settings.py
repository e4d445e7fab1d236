"""The part of the book in memory that holds settings and column mappings."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from leadfoot.desk.settings_port import StoredMapping, StoredSetting
from leadfoot.errors import NotInBookError


@dataclass
class FakeSettings:
    """Keeps the latest of each key."""

    all_settings: dict[str, StoredSetting | None] = field(default_factory=dict)
    all_mappings: dict[str, str] = field(default_factory=dict)
    touched: list[int] = field(default_factory=list)

    def settings(self) -> Mapping[str, StoredSetting]:
        return {key: one for key, one in self.all_settings.items() if one is not None}

    def save_setting(self, key: str, value_json: str | None, *, by: str, at: datetime) -> None:
        assert at.tzinfo is not None
        kept = (
            None
            if value_json is None
            else StoredSetting(value_json=value_json, saved_by=by, saved_at=at)
        )
        self.all_settings[key] = kept
        self.touched.append(0)

    def mappings(self) -> tuple[StoredMapping, ...]:
        moment = datetime.fromisoformat("2026-03-02T12:00:00+00:00")
        return tuple(
            StoredMapping(id=number, header_key=key, mapping_json=text, saved_at=moment)
            for number, (key, text) in enumerate(self.all_mappings.items(), start=1)
        )[::-1]

    def forget_mapping(self, mapping_id: int) -> None:
        if not 0 < mapping_id <= len(self.all_mappings):
            raise NotInBookError("column mapping", mapping_id)
        del self.all_mappings[list(self.all_mappings)[mapping_id - 1]]
        self.touched.append(0)
