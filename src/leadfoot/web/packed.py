"""A page that many browsers get, packed once; what is each browser's own is put in between.

The pieces between two keys are deflated on their own, each ended on a byte; the key goes between
them as it is, in a block that is only stored (RFC 1951, 3.2.4). So a page of 200 kB costs each
further browser a checksum, and the secret never lies in a window that is searched for repeats.
"""

import struct
import zlib

from starlette.responses import Response

LEVEL = 4
"""How hard it is packed: further levels take twice the time for some per cent (our own choice)."""

_HEAD = b"\x1f\x8b\x08\x00\x00\x00\x00\x00\x00\xff"
"""Header of a gzip member: deflated, no name, no time, of an unknown system (RFC 1952, 2.3)."""
_MOST_STORED = 65_535


class PackedPage:
    """A page with a stand-in where each browser's key goes.

    Parameters
    ----------
    text
        The page.
    stand_in
        What stands for the key; not empty.

    Examples
    --------
    >>> import gzip
    >>> page = PackedPage(b"<p>KEY</p> and KEY", b"KEY")
    >>> gzip.decompress(page.packed(b"mine")), page.plain(b"mine")
    (b'<p>mine</p> and mine', b'<p>mine</p> and mine')
    """

    def __init__(self, text: bytes, stand_in: bytes) -> None:
        self._parts = text.split(stand_in)
        self._packed = [_deflated(part) for part in self._parts]

    def plain(self, key: bytes) -> bytes:
        """The page with a key."""
        return key.join(self._parts)

    def packed(self, key: bytes) -> bytes:
        """The page with a key of at most 65,535 bytes, as one gzip member."""
        text = self.plain(key)
        trailer = struct.pack("<II", zlib.crc32(text), len(text) & 0xFFFFFFFF)
        return b"".join((_HEAD, _stored(key).join(self._packed), _END, trailer))

    def response(self, key: bytes, accepts: str) -> Response:
        """The page with a key, packed where the browser's ``Accept-Encoding`` has gzip."""
        headers = {"Vary": "Accept-Encoding"}
        if "gzip" not in accepts:
            return Response(self.plain(key), media_type="text/html", headers=headers)
        headers["Content-Encoding"] = "gzip"
        return Response(self.packed(key), media_type="text/html", headers=headers)


def _deflated(part: bytes) -> bytes:
    packing = zlib.compressobj(LEVEL, zlib.DEFLATED, -zlib.MAX_WBITS)
    return packing.compress(part) + packing.flush(zlib.Z_SYNC_FLUSH)


def _stored(key: bytes, *, last: bool = False) -> bytes:
    """A block of deflate that is stored as it is; it begins and ends on a byte."""
    if len(key) > _MOST_STORED:
        raise ValueError(f"A key of {len(key)} bytes does not go into one block.")
    return struct.pack("<BHH", int(last), len(key), len(key) ^ 0xFFFF) + key


_END = _stored(b"", last=True)
