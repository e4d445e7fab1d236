"""What the desk needs of a book that keeps the settings of a studio."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredSetting:
    """A setting as it stands in the book: its value as JSON, who saved it, and when."""

    value_json: str
    saved_by: str
    saved_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredMapping:
    """A column mapping that is in force for a header; ``header_key`` names the header."""

    id: int
    header_key: str
    mapping_json: str
    saved_at: datetime


class SettingsBook(Protocol):
    """The part of the client book that keeps what the studio has set; see `Book`."""

    def settings(self) -> Mapping[str, StoredSetting]:
        """The settings in force by key; one that was set back is not there."""
        ...

    def save_setting(self, key: str, value_json: str | None, *, by: str, at: datetime) -> None:
        """Save a setting, or with None set it back; the earlier ones stay in the book."""
        ...

    def mappings(self) -> tuple[StoredMapping, ...]:
        """The column mappings in force, the one saved last first."""
        ...

    def forget_mapping(self, mapping_id: int) -> None:
        """Forget what was confirmed for the header of a mapping, the earlier ones with it.

        Raises
        ------
        NotInBookError
            If there is no such mapping.
        """
        ...
