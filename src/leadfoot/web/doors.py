"""How the desk is opened: on which port, beyond this machine or not, and under which names."""

import ipaddress
import socket
from dataclasses import dataclass

from leadfoot.desk.accounts import LOOPBACK

LOOPBACK_NAMES = ("127.0.0.1", "localhost", "[::1]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Doors:
    """Where the desk listens, as the pages need to know it.

    Attributes
    ----------
    port
        The port in the addresses of pages.
    beyond
        Whether other machines reach it; then nobody gets in without signing in.
    names
        Further names under which it answers.
    https
        Whether pages are served encrypted.
    address
        The address of this machine for others, to stand in links; empty where there is none.
    """

    port: int
    beyond: bool = False
    names: tuple[str, ...] = ()
    https: bool = False
    address: str = ""

    @property
    def scheme(self) -> str:
        """What addresses begin with."""
        return "https" if self.https else "http"

    def answers_to(self, host: str, reached_at: str | None) -> bool:
        """Tell whether a request named this desk.

        A name that leads here without being the desk's own belongs to another site, which would
        read the pages in the name of a visitor. An address in digits can't be such a name.

        Parameters
        ----------
        host
            What the request asked for, with its port.
        reached_at
            The address of this machine at which it came in.

        Examples
        --------
        >>> Doors(port=8470).answers_to("localhost:8470", "127.0.0.1")
        True
        >>> Doors(port=8470).answers_to("evil.example:8470", "127.0.0.1")
        False
        >>> Doors(port=8470, beyond=True).answers_to("192.0.2.7:8470", "192.0.2.7")
        True
        """
        return any(host == known for known in self._hosts(reached_at))

    def is_own_origin(self, origin: str, reached_at: str | None) -> bool:
        """Tell whether an origin is one of the desk's own."""
        scheme, _, host = origin.partition("://")
        return scheme == self.scheme and self.answers_to(host, reached_at)

    def link_host(self, asked: str) -> str:
        """The host for a link that another machine opens, from the one that this page was asked by.

        Examples
        --------
        >>> Doors(port=8470, beyond=True, address="192.0.2.7").link_host("127.0.0.1:8470")
        '192.0.2.7:8470'
        """
        own = {name + self._port_mark() for name in LOOPBACK_NAMES}
        if not self.beyond or asked.lower() not in own:
            return asked
        for name in (*self.names, self.address):
            if name:
                return name + self._port_mark()
        return asked

    def _hosts(self, reached_at: str | None) -> tuple[str, ...]:
        names = [*LOOPBACK_NAMES]
        if self.beyond:
            names += [*self.names, *_own_names(), self.address]
            names += [_in_host(reached_at)] if reached_at else []
        marks = {self._port_mark(), f":{self.port}"}
        return tuple(name + mark for name in names if name for mark in marks)

    def _port_mark(self) -> str:
        """A browser leaves the port away where it is the usual one."""
        return "" if self.port == (443 if self.https else 80) else f":{self.port}"


def is_loopback(host: str) -> bool:
    """Tell whether a host is this machine alone.

    Examples
    --------
    >>> is_loopback("127.0.0.1"), is_loopback("localhost"), is_loopback("0.0.0.0")
    (True, True, False)
    """
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return False


def address_for_others() -> str:
    """The address of this machine in its network; nothing is sent to find it out."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # an address for documentation (RFC 5737)
            found = str(probe.getsockname()[0])
        except OSError:
            return ""
    return "" if found == LOOPBACK else found


def _in_host(address: str) -> str:
    return f"[{address}]" if ":" in address else address


def _own_names() -> tuple[str, ...]:
    name = socket.gethostname().lower()
    return (name, f"{name}.local") if name else ()
