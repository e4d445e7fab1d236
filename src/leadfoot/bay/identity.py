"""Which file a watched file is: the same one under another name, or a new one under the same."""

from collections import Counter
from collections.abc import Collection, Sequence

from leadfoot.desk.bay_records import WatchedFile

SURELY_A_COPY = 3
"""Rows that a file has to share with a known one to be a copy of it beside it (our own choice)."""


def identity_of(
    name: str,
    device: str,
    digests: Sequence[str],
    known: Sequence[WatchedFile],
    names_there: Collection[str],
) -> str:
    """Give the identity of a file: that of a file seen before, or a new one.

    A file goes on where it shares rows with one that was seen under this name or at this place on
    the disk: it was appended to, replaced, rolled on or renamed. One that holds all the rows of a
    known one is a copy of it. A file that shares nothing with what was there under its name was
    begun anew.

    Parameters
    ----------
    name, device
        What it is called, and where it lies on the disk.
    digests
        Its rows, at least one.
    known
        The files seen so far.
    names_there
        Names of all files that are there now.

    Examples
    --------
    >>> first = WatchedFile(name="a.csv", device="1:7", identity="a.csv 1", rows=("0", "1"))
    >>> identity_of("b.csv", "1:7", ["0", "1", "2"], [first], ["b.csv"])
    'a.csv 1'
    >>> identity_of("a.csv", "1:8", ["5"], [first], ["a.csv"])
    'a.csv 2'
    """
    now = Counter(digests)
    best, most = None, 0
    for file in known:
        shared = sum((now & Counter(file.rows)).values())
        same_place = file.name == name or file.device == device
        holds_all = shared == len(file.rows) and (
            shared >= SURELY_A_COPY or file.name not in names_there
        )
        # The latest of equals: an earlier one was left behind when the file was begun anew.
        if (same_place or holds_all) and 0 < shared >= most:
            best, most = file.identity, shared
    if best is not None:
        return best
    taken = {file.identity for file in known}
    number = 1
    while f"{name} {number}" in taken:
        number += 1
    return f"{name} {number}"
