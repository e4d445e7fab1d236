"""A page packed once for many browsers: each unpacks it with its own key."""

import gzip
import zlib

from hypothesis import given
from hypothesis import strategies as st

from leadfoot.web.packed import PackedPage

KEYS = st.binary(max_size=64)


@given(parts=st.lists(st.binary(max_size=400), min_size=1, max_size=6), key=KEYS)
def test_it_unpacks_to_the_page_with_the_key(parts: list[bytes], key: bytes) -> None:
    stand_in = b"\x00stand-in\xff"
    page = PackedPage(stand_in.join(parts), stand_in)
    text = page.plain(key)
    assert text == stand_in.join(parts).replace(stand_in, key)
    assert gzip.decompress(page.packed(key)) == text
    reading = zlib.decompressobj(wbits=31)  # one member, and nothing after it
    assert reading.decompress(page.packed(key)) == text
    assert (reading.eof, reading.unused_data) == (True, b"")


def test_a_page_gets_smaller_and_the_key_is_not_packed() -> None:
    page = PackedPage(b"<tr><td>94.3</td></tr>" * 5000 + b"KEY" + b"<p>" * 50, b"KEY")
    packed = page.packed(b"a secret that stays whole")
    assert len(packed) < 2000
    assert b"a secret that stays whole" in packed


def test_a_browser_gets_what_it_takes() -> None:
    page = PackedPage(b"<p>KEY</p>", b"KEY")
    packed, plain = page.response(b"k", "br, gzip"), page.response(b"k", "")
    assert packed.headers["content-encoding"] == "gzip"
    assert gzip.decompress(bytes(packed.body)) == bytes(plain.body) == b"<p>k</p>"
    assert "content-encoding" not in plain.headers
    assert packed.headers["vary"] == plain.headers["vary"] == "Accept-Encoding"
    assert packed.headers["content-type"] == "text/html; charset=utf-8"
