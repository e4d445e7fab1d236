"""What the desk needs of the book to know who comes in, and to write down what they did."""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from typing import Protocol

from leadfoot.desk.access_records import (
    Account,
    Line,
    LogFilter,
    NewLine,
    Role,
    Screen,
    SignIn,
    StudentLink,
    TryKey,
)


class AccessBook(Protocol):
    """The part of the client book that knows who may come in; see `leadfoot.desk.ports.Book`."""

    def has_accounts(self) -> bool:
        """Whether anyone has to sign in."""
        ...

    def accounts(self) -> tuple[Account, ...]:
        """All accounts, by name."""
        ...

    def account_named(self, folded_name: str) -> Account | None:
        """The account of a folded name; None where there is none."""
        ...

    def add_account(
        self,
        *,
        name: str,
        folded_name: str,
        role: Role,
        password_hash: str,
        at: datetime,
        as_first: bool = False,
    ) -> Account:
        """Add an account. Raises `InputError` where the name is taken.

        With `as_first` it is added only where there is none yet, else `InputError` is raised.
        """
        ...

    def change_role(self, account_id: int, role: Role) -> Account:
        """Give an account another role. Raises `InputError` where no owner would be left."""
        ...

    def change_password(self, account_id: int, password_hash: str, *, at: datetime) -> Account:
        """Keep a new password, and end every sign-in of the account."""
        ...

    def keep_hash(self, account_id: int, *, old: str, new: str) -> None:
        """Keep the same password under other costs, if it was not changed meanwhile."""
        ...

    def remove_account(self, account_id: int) -> None:
        """Remove an account with its sign-ins.

        Raises `InputError` where others would be left without an owner.
        """
        ...

    def begin_sign_in(
        self,
        *,
        digest: str,
        account_id: int | None,
        screen_id: int | None,
        at: datetime,
        expires_at: datetime,
        ends: str | None,
    ) -> SignIn:
        """Keep a sign-in by the digest of its token; the one with the digest `ends` ends."""
        ...

    def sign_in(self, digest: str) -> SignIn | None:
        """The sign-in with a digest; None where there is none."""
        ...

    def sign_ins(self) -> tuple[SignIn, ...]:
        """All sign-ins, the one used last first."""
        ...

    def note_seen(self, sign_in_id: int, *, at: datetime) -> None:
        """Write down that a sign-in was used; one that has ended stays ended."""
        ...

    def end_sign_in(self, sign_in_id: int) -> None:
        """End a sign-in; one that has ended stays ended."""
        ...

    def end_sign_ins_of(self, account_id: int) -> int:
        """End every sign-in of an account, and give their number."""
        ...

    def forget_old(self, *, at: datetime, tries_before: datetime) -> None:
        """Delete sign-ins that have expired, and failures last counted before a time."""
        ...

    def take_try(
        self, keys: Sequence[TryKey], wait_s: Callable[[int, int], float], *, at: datetime
    ) -> float:
        """Count one more failure under each key; or, where one must wait, count nothing.

        Parameters
        ----------
        keys
            Under what it is counted.
        wait_s
            Failures so far and free ones to the wait since the last. [s]
        at
            The time.

        Returns
        -------
        float
            How long to wait; 0 where the try was counted and may be made. [s]
        """
        ...

    def give_back_try(self, digest: str, *, wholly: bool) -> None:
        """Forget the failure counted last under a key, or all of them."""
        ...

    def screens(self) -> tuple[Screen, ...]:
        """All screens, those withdrawn or too old among them."""
        ...

    def screen_by_digest(self, digest: str) -> Screen | None:
        """The screen with a digest; None where there is none."""
        ...

    def add_screen(self, bay_id: int, *, digest: str, at: datetime, expires_at: datetime) -> Screen:
        """Keep the private address of a bay's screen by the digest of its secret."""
        ...

    def withdraw_screen(self, screen_id: int, *, at: datetime) -> Screen:
        """Withdraw a screen and end its sign-ins."""
        ...

    def student_links(self) -> tuple[StudentLink, ...]:
        """Every private link of every student, the newest first."""
        ...

    def settings(self) -> Mapping[str, str]:
        """How the desk is opened, by key."""
        ...

    def keep_setting(self, key: str, value: str) -> None:
        """Keep a setting in place of what was there."""
        ...

    def note(self, lines: Sequence[NewLine]) -> None:
        """Add lines to the log, all or none."""
        ...

    def log(self, which: LogFilter, *, most: int) -> tuple[Line, ...]:
        """Lines of the log, the newest first."""
        ...

    def people_in_log(self) -> tuple[str, ...]:
        """Everyone whom the log names, by name."""
        ...
