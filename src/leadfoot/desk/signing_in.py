"""Signing in and out: tries that must wait, tokens that expire, screens that show one bay."""

import hashlib
import ipaddress
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from leadfoot.desk.access_records import Account, Screen, SignIn, TryKey
from leadfoot.desk.bays import digest_of
from leadfoot.desk.desk import Desk
from leadfoot.desk.keeping import folded
from leadfoot.desk.passwords import is_dated, is_right, rehashed
from leadfoot.errors import InputError, NotInBookError

TOKEN_BYTES: Final = 32
"""256 random bits: nobody guesses a token, so its plain SHA-256 is enough for the book."""
LASTS: Final = timedelta(days=14)
"""After this a sign-in ends however much it was used. Like all times here our own choice."""
IDLE: Final = timedelta(hours=12)
"""A sign-in that was not used for so long ends: longer than a day at the range."""
SCREEN_LASTS: Final = timedelta(days=180)
SCREEN_IDLE: Final = timedelta(days=30)
SCREEN_LINK_LASTS: Final = timedelta(days=1)
"""How long the address of a screen can be opened; the screen itself goes on after that."""

FREE_BY_NAME: Final = 5
FREE_BY_ADDRESS: Final = 20
"""Failures before waits begin: a studio shares one address."""
FIRST_WAIT_S: Final = 5.0
LONGEST_WAIT_S: Final = 900.0
FORGOTTEN_AFTER: Final = timedelta(days=1)
"""Failures are forgotten a day after the last one."""

_WRONG: Final = "Name or password is not right."


class WaitError(InputError):
    """Too many tries have failed; for ``wait_s`` seconds no other is made."""

    def __init__(self, wait_s: float) -> None:
        super().__init__(
            "Signing in has failed too often under this name or from this place.",
            fix=f"Wait {in_words(wait_s)}, then try again.",
        )
        self.wait_s = wait_s


@dataclass(frozen=True, slots=True, kw_only=True)
class Entered:
    """Someone just signed in, with the token that only their browser keeps."""

    token: str
    sign_in: SignIn


def wait_after_s(n_failed: int, n_free: int) -> float:
    """How long to wait after so many failures: twice as long each time, up to a quarter of an hour.

    Parameters
    ----------
    n_failed
        Failures so far.
    n_free
        How many cost nothing.

    Returns
    -------
    float
        The wait. [s]

    Examples
    --------
    >>> [wait_after_s(n, 5) for n in (4, 5, 6, 7, 30)]
    [0.0, 5.0, 10.0, 20.0, 900.0]
    """
    if n_failed < n_free:
        return 0.0
    # The power is bounded first: 2 to the hundred-thousandth is no float.
    return min(FIRST_WAIT_S * 2.0 ** min(n_failed - n_free, 30), LONGEST_WAIT_S)


def in_words(seconds: float) -> str:
    """A wait in words.

    Examples
    --------
    >>> in_words(0.3), in_words(20.0), in_words(130.0)
    ('1 second', '20 seconds', '3 minutes')
    """
    whole = max(1, round(seconds + 0.49))
    number, unit = (whole, "second") if whole < 60 else (-(-whole // 60), "minute")
    return f"{number} {unit}" if number == 1 else f"{number} {unit}s"


def sign_in(
    desk: Desk, name: str, password: str, *, address: str, ends_token: str | None = None
) -> Entered:
    """Sign in with name and password; the token is always a new one.

    A name that nobody has takes as long and hears the same as a wrong password. A try is counted
    as a failure before it is made and taken back when it was right, so that a hundred at once are
    a hundred failures.

    Parameters
    ----------
    desk, name, password
        Who.
    address
        The network address of the browser.
    ends_token
        A token that the browser had; it is worth nothing afterwards.

    Raises
    ------
    WaitError
        If it was tried too often.
    InputError
        If the name or the password is wrong: which of them is not told.
    """
    access, now = desk.book.access, desk.clock()
    key = folded(" ".join(name.split()))[:200]
    by_name = TryKey(digest=_digest("name", key), n_free=FREE_BY_NAME)
    by_address = TryKey(digest=_digest("address", network_of(address)), n_free=FREE_BY_ADDRESS)
    access.forget_old(at=now, tries_before=now - FORGOTTEN_AFTER)
    wait_s = access.take_try((by_name, by_address), wait_after_s, at=now)
    if wait_s > 0.0:
        raise WaitError(wait_s)
    account = access.account_named(key)
    if not is_right(password, account.password_hash if account else None) or account is None:
        raise InputError(_WRONG, fix="Type both again. An owner can set a new password.")
    access.give_back_try(by_name.digest, wholly=True)
    access.give_back_try(by_address.digest, wholly=False)
    if is_dated(account.password_hash):
        access.keep_hash(account.id, old=account.password_hash, new=rehashed(password))
    return let_in(desk, account, ends_token=ends_token)


def let_in(desk: Desk, account: Account, *, ends_token: str | None = None) -> Entered:
    """Begin a sign-in of an account whose password was just checked or made."""
    return _begin(desk, account_id=account.id, lasts=LASTS, ends_token=ends_token)


def sign_in_of(desk: Desk, token: str) -> SignIn | None:
    """The sign-in of a token, if it is still good."""
    found = desk.book.access.sign_in(digest_of(token))
    return found if found is not None and is_good(found, desk.clock()) else None


def is_good(one: SignIn, now: datetime) -> bool:
    """Tell whether a sign-in is neither too old nor too long unused, nor its screen withdrawn."""
    idle = IDLE if one.screen is None else SCREEN_IDLE
    withdrawn = one.screen is not None and one.screen.withdrawn_at is not None
    return one.expires_at > now and now - one.seen_at < idle and not withdrawn


def sign_out(desk: Desk, one: SignIn) -> None:
    """End a sign-in."""
    desk.book.access.end_sign_in(one.id)


def make_screen(desk: Desk, bay_id: int) -> tuple[str, Screen]:
    """Make the private address of a bay's screen.

    Returns
    -------
    tuple
        The secret, which is told this once, and the screen as the book keeps it.
    """
    secret, now = secrets.token_urlsafe(TOKEN_BYTES), desk.clock()
    screen = desk.book.access.add_screen(
        bay_id, digest=digest_of(secret), at=now, expires_at=now + SCREEN_LINK_LASTS
    )
    return secret, screen


def screen_of(desk: Desk, secret: str) -> Screen:
    """The screen behind a private address.

    Raises
    ------
    NotInBookError
        If there is none, or it is withdrawn or too old: which of them is not told.
    """
    screen = desk.book.access.screen_by_digest(digest_of(secret))
    gone = screen is None or screen.withdrawn_at is not None
    if screen is None or gone or screen.expires_at <= desk.clock():
        raise NotInBookError("screen", 0)
    return screen


def become_screen(desk: Desk, secret: str, *, ends_token: str | None = None) -> Entered:
    """Make a browser the screen of a bay."""
    screen = screen_of(desk, secret)
    return _begin(desk, screen_id=screen.id, lasts=SCREEN_LASTS, ends_token=ends_token)


def network_of(address: str) -> str:
    """Under what an address is counted: a whole /64 of IPv6, which one machine may have.

    Examples
    --------
    >>> network_of("192.0.2.7"), network_of("2001:db8::1:2"), network_of("testclient")
    ('192.0.2.7', '2001:db8::/64', 'testclient')
    """
    try:
        found = ipaddress.ip_address(address)
    except ValueError:
        return address
    if isinstance(found, ipaddress.IPv6Address):
        if found.ipv4_mapped is not None:
            return str(found.ipv4_mapped)
        return str(ipaddress.ip_network((found, 64), strict=False))
    return str(found)


def _begin(
    desk: Desk,
    *,
    lasts: timedelta,
    ends_token: str | None,
    account_id: int | None = None,
    screen_id: int | None = None,
) -> Entered:
    token, now = secrets.token_urlsafe(TOKEN_BYTES), desk.clock()
    begun = desk.book.access.begin_sign_in(
        digest=digest_of(token),
        account_id=account_id,
        screen_id=screen_id,
        at=now,
        expires_at=now + lasts,
        ends=None if ends_token is None else digest_of(ends_token),
    )
    return Entered(token=token, sign_in=begun)


def _digest(kind: str, text: str) -> str:
    return hashlib.sha256(f"{kind}:{text}".encode("utf-8", "surrogatepass")).hexdigest()
