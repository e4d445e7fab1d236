"""Who may come in, in SQL: accounts, sign-ins, tries and screens."""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime, timedelta
from typing import cast

from sqlalchemy import delete, exists, func, select, update
from sqlalchemy.orm import Session

from leadfoot.book.access_tables import (
    AccountRow,
    ScreenRow,
    SettingRow,
    SignInRow,
    TryRow,
)
from leadfoot.book.columns import storable
from leadfoot.book.homework_tables import HomeworkRow, LinkRow
from leadfoot.book.shelf_access_log import AccessLog
from leadfoot.book.tables import BayRow, LessonRow
from leadfoot.book.transactions import found, kept
from leadfoot.desk.access_records import (
    Account,
    Role,
    Screen,
    SignIn,
    StudentLink,
    TryKey,
)
from leadfoot.errors import InputError

_NO_OWNER = "Nobody would be left who may open the door: this is the last owner."
_NO_OWNER_FIX = "Make another account an owner first."


class AccessShelf(AccessLog):
    """Who may come in; see `leadfoot.desk.access_port.AccessBook` for the promises."""

    # Accounts

    def has_accounts(self) -> bool:
        """Whether anyone has to sign in."""
        with self._book.reading() as session:
            return bool(session.scalar(select(exists().select_from(AccountRow))))

    def accounts(self) -> tuple[Account, ...]:
        """All accounts, by name."""
        query = select(AccountRow).order_by(AccountRow.folded_name)
        with self._book.reading() as session:
            return tuple(_account(row) for row in session.scalars(query))

    def account_named(self, folded_name: str) -> Account | None:
        """The account of a folded name; None where there is none."""
        with self._book.reading() as session:
            row = _named(session, folded_name)
            return None if row is None else _account(row)

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
        """Add an account.

        Raises
        ------
        InputError
            If the name is taken, or it was to be the first and is not.
        """
        with self._book.writing() as session:
            if as_first and session.scalar(select(exists().select_from(AccountRow))):
                raise InputError(
                    "There is an owner already.", fix="Sign in, or let an owner add an account."
                )
            if _named(session, folded_name) is not None:
                raise InputError(
                    f"There is an account {name!r} already.", fix="Choose another name."
                )
            row = AccountRow(
                name=name,
                folded_name=storable(folded_name),
                role=role,
                password_hash=password_hash,
                added_at=at,
                password_at=at,
            )
            session.add(row)
            return _account(kept(session, row))

    def change_role(self, account_id: int, role: Role) -> Account:
        """Give an account another role.

        Raises
        ------
        InputError
            If no owner would be left.
        """
        with self._book.writing() as session:
            row = found(session, AccountRow, account_id, "account")
            if role != "owner":
                _refuse_last_owner(session, row)
            row.role = role
            return _account(kept(session, row))

    def change_password(self, account_id: int, password_hash: str, *, at: datetime) -> Account:
        """Keep a new password, and end every sign-in of the account."""
        with self._book.writing() as session:
            row = found(session, AccountRow, account_id, "account")
            row.password_hash, row.password_at = password_hash, at
            session.execute(delete(SignInRow).where(SignInRow.account_id == account_id))
            return _account(kept(session, row))

    def keep_hash(self, account_id: int, *, old: str, new: str) -> None:
        """Keep the same password under other costs, if it was not changed meanwhile."""
        with self._book.writing() as session:
            session.execute(
                update(AccountRow)
                .where(AccountRow.id == account_id, AccountRow.password_hash == old)
                .values(password_hash=new)
            )

    def remove_account(self, account_id: int) -> None:
        """Remove an account with its sign-ins.

        Raises
        ------
        InputError
            If others would be left without an owner.
        """
        with self._book.writing() as session:
            row = found(session, AccountRow, account_id, "account")
            if session.scalar(select(func.count()).select_from(AccountRow)) != 1:
                _refuse_last_owner(session, row)
            session.execute(delete(SignInRow).where(SignInRow.account_id == account_id))
            session.delete(row)

    # Sign-ins

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
        with self._book.writing() as session:
            if ends is not None:
                session.execute(delete(SignInRow).where(SignInRow.digest == ends))
            row = SignInRow(
                digest=digest,
                account_id=account_id,
                screen_id=screen_id,
                begun_at=at,
                seen_at=at,
                expires_at=expires_at,
            )
            session.add(row)
            return _sign_in(session, kept(session, row))

    def sign_in(self, digest: str) -> SignIn | None:
        """The sign-in with a digest; None where there is none."""
        with self._book.reading() as session:
            row = session.scalar(select(SignInRow).where(SignInRow.digest == digest))
            return None if row is None else _sign_in(session, row)

    def sign_ins(self) -> tuple[SignIn, ...]:
        """All sign-ins, the one used last first."""
        query = select(SignInRow).order_by(SignInRow.seen_at.desc(), SignInRow.id.desc())
        with self._book.reading() as session:
            return tuple(_sign_in(session, row) for row in session.scalars(query))

    def note_seen(self, sign_in_id: int, *, at: datetime) -> None:
        """Write down that a sign-in was used; one that has ended stays ended."""
        with self._book.writing() as session:
            session.execute(update(SignInRow).where(SignInRow.id == sign_in_id).values(seen_at=at))

    def end_sign_in(self, sign_in_id: int) -> None:
        """End a sign-in; one that has ended stays ended."""
        with self._book.writing() as session:
            session.execute(delete(SignInRow).where(SignInRow.id == sign_in_id))

    def end_sign_ins_of(self, account_id: int) -> int:
        """End every sign-in of an account, and give their number."""
        theirs = SignInRow.account_id == account_id
        with self._book.writing() as session:
            n_there = session.scalar(select(func.count()).select_from(SignInRow).where(theirs))
            session.execute(delete(SignInRow).where(theirs))
            return n_there or 0

    def forget_old(self, *, at: datetime, tries_before: datetime) -> None:
        """Delete sign-ins that have expired, and failures last counted before a time."""
        with self._book.writing() as session:
            session.execute(delete(SignInRow).where(SignInRow.expires_at <= at))
            session.execute(delete(TryRow).where(TryRow.last_at < tries_before))

    # Tries

    def take_try(
        self, keys: Sequence[TryKey], wait_s: Callable[[int, int], float], *, at: datetime
    ) -> float:
        """Count one more failure under each key; or, where one must wait, count nothing."""
        with self._book.writing() as session:
            rows = [_tries(session, key.digest) for key in keys]
            waits = [
                _left_s(row, wait_s(row.n_failed, key.n_free), at)
                for row, key in zip(rows, keys, strict=True)
                if row is not None
            ]
            longest = max(waits, default=0.0)
            if longest > 0.0:
                return longest
            for row, key in zip(rows, keys, strict=True):
                if row is None:
                    session.add(TryRow(digest=key.digest, n_failed=1, last_at=at))
                else:
                    row.n_failed, row.last_at = row.n_failed + 1, at
            return 0.0

    def give_back_try(self, digest: str, *, wholly: bool) -> None:
        """Forget the failure counted last under a key, or all of them."""
        with self._book.writing() as session:
            row = _tries(session, digest)
            if row is None:
                return
            if wholly or row.n_failed <= 1:
                session.delete(row)
            else:
                row.n_failed -= 1

    # Screens and private links

    def screens(self) -> tuple[Screen, ...]:
        """All screens, those withdrawn or too old among them."""
        with self._book.reading() as session:
            rows = session.scalars(select(ScreenRow).order_by(ScreenRow.id))
            return tuple(_screen(row) for row in rows)

    def screen_by_digest(self, digest: str) -> Screen | None:
        """The screen with a digest; None where there is none."""
        with self._book.reading() as session:
            row = session.scalar(select(ScreenRow).where(ScreenRow.digest == digest))
            return None if row is None else _screen(row)

    def add_screen(self, bay_id: int, *, digest: str, at: datetime, expires_at: datetime) -> Screen:
        """Keep the private address of a bay's screen by the digest of its secret."""
        with self._book.writing() as session:
            found(session, BayRow, bay_id, "bay")
            row = ScreenRow(bay_id=bay_id, digest=digest, made_at=at, expires_at=expires_at)
            session.add(row)
            return _screen(kept(session, row))

    def withdraw_screen(self, screen_id: int, *, at: datetime) -> Screen:
        """Withdraw a screen and end its sign-ins."""
        with self._book.writing() as session:
            row = found(session, ScreenRow, screen_id, "screen")
            row.withdrawn_at = row.withdrawn_at or at
            session.execute(delete(SignInRow).where(SignInRow.screen_id == screen_id))
            return _screen(kept(session, row))

    def student_links(self) -> tuple[StudentLink, ...]:
        """Every private link of every student, the newest first."""
        query = (
            select(LinkRow, LessonRow.student_id)
            .join(HomeworkRow, HomeworkRow.id == LinkRow.homework_id)
            .join(LessonRow, LessonRow.id == HomeworkRow.lesson_id)
            .order_by(LinkRow.id.desc())
        )
        with self._book.reading() as session:
            return tuple(
                StudentLink(
                    id=row.id,
                    homework_id=row.homework_id,
                    student_id=student_id,
                    made_at=row.made_at,
                    expires_at=row.expires_at,
                    withdrawn_at=row.withdrawn_at,
                )
                for row, student_id in session.execute(query)
            )

    # Settings

    def settings(self) -> Mapping[str, str]:
        """How the desk is opened, by key."""
        with self._book.reading() as session:
            return {row.key: row.value for row in session.scalars(select(SettingRow))}

    def keep_setting(self, key: str, value: str) -> None:
        """Keep a setting in place of what was there."""
        with self._book.writing() as session:
            row = session.scalar(select(SettingRow).where(SettingRow.key == key))
            if row is None:
                session.add(SettingRow(key=key, value=value))
            else:
                row.value = value


def _named(session: Session, folded_name: str) -> AccountRow | None:
    there = AccountRow.folded_name == storable(folded_name)
    return session.scalar(select(AccountRow).where(there))


def _refuse_last_owner(session: Session, row: AccountRow) -> None:
    # The owners are locked while they are counted, where the database writes side by side.
    owners = select(AccountRow.id).where(AccountRow.role == "owner").with_for_update()
    if session.scalars(owners).all() == [row.id]:
        raise InputError(_NO_OWNER, fix=_NO_OWNER_FIX)


def _tries(session: Session, digest: str) -> TryRow | None:
    return session.scalar(select(TryRow).where(TryRow.digest == digest).with_for_update())


def _left_s(row: TryRow, wait_s: float, at: datetime) -> float:
    """What is left of a wait; a clock that was set back makes it no longer than it was."""
    left = (row.last_at + timedelta(seconds=wait_s) - at).total_seconds()
    return min(max(left, 0.0), wait_s)


def _account(row: AccountRow) -> Account:
    return Account(
        id=row.id,
        name=row.name,
        role=cast("Role", row.role),
        password_hash=row.password_hash,
        added_at=row.added_at,
        password_at=row.password_at,
    )


def _screen(row: ScreenRow) -> Screen:
    return Screen(
        id=row.id,
        bay_id=row.bay_id,
        made_at=row.made_at,
        expires_at=row.expires_at,
        withdrawn_at=row.withdrawn_at,
    )


def _sign_in(session: Session, row: SignInRow) -> SignIn:
    account = None if row.account_id is None else session.get(AccountRow, row.account_id)
    screen = None if row.screen_id is None else session.get(ScreenRow, row.screen_id)
    return SignIn(
        id=row.id,
        account=None if account is None else _account(account),
        screen=None if screen is None else _screen(screen),
        begun_at=row.begun_at,
        seen_at=row.seen_at,
        expires_at=row.expires_at,
    )
