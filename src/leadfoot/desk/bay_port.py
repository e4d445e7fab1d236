"""What the desk needs of the book for bays: who may send shots, and what has arrived."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Protocol

from leadfoot.desk.bay_records import Arrival, Bay, WatchedFile
from leadfoot.desk.records import NewShot, Role, StoredShot


class BayBook(Protocol):
    """The part of the client book that holds bays; see `leadfoot.desk.ports.Book`."""

    def bays(self) -> tuple[Bay, ...]:
        """All bays by name, those withdrawn among them."""
        ...

    def bay(self, bay_id: int) -> Bay:
        """One bay."""
        ...

    def add_bay(self, *, name: str, token_digest: str, at: datetime) -> Bay:
        """Add a bay; the name of a withdrawn one brings that one back, with the new token.

        Raises `InputError` where a bay of this name is in use.
        """
        ...

    def withdraw_bay(self, bay_id: int, *, at: datetime) -> Bay:
        """Let a bay send nothing more; what it has sent stays."""
        ...

    def point_bay(self, bay_id: int, lesson_id: int | None) -> Bay:
        """Say for which lesson a bay hits, or that it hits for none."""
        ...

    def arrive(
        self, bay_id: int, key: str, shot: NewShot, *, first_block: tuple[str, Role], at: datetime
    ) -> Arrival:
        """Put a shot into the running block of the bay's lesson, once for each key.

        The running block is the last one; `first_block` is begun where there is none. A key that
        came before gives the shot that it brought, and writes nothing. Raises `InputError` where
        the bay was withdrawn, hits for no lesson, or sent this key before with other values.
        """
        ...

    def note_past(self, bay_id: int, keys: Sequence[str], *, at: datetime) -> None:
        """Note keys of balls hit before anyone watched: they have come, and are in no lesson."""
        ...

    def arrived(self, bay_id: int) -> Mapping[str, int | None]:
        """Key of all that came from a bay to its shot; None for balls from before."""
        ...

    def move_shot(self, shot_id: int, block_id: int) -> StoredShot:
        """Put a shot into another block of its lesson; its place in the order stays."""
        ...

    def watched_files(self, bay_id: int) -> tuple[WatchedFile, ...]:
        """Files that a bay watches, as they were last seen."""
        ...

    def keep_watched(self, bay_id: int, file: WatchedFile) -> None:
        """Keep how a file was seen; the same identity replaces what was kept of it."""
        ...
