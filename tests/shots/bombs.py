"""Files that are small and want much: for the tests of what a stranger's table can do."""

import zlib
from collections.abc import Mapping
from io import BytesIO
from struct import pack
from zipfile import ZIP_DEFLATED, ZipFile

HEAD = b'<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
TAIL = b"</sheetData></worksheet>"
_RELS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PARTS: Mapping[str, str] = {
    "[Content_Types].xml": (
        '<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/'
        'content-types"><Default Extension="xml" ContentType="application/xml"/></Types>'
    ),
    "_rels/.rels": (
        '<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/'
        f'relationships"><Relationship Id="rId1" Type="{_RELS}/officeDocument" '
        'Target="xl/workbook.xml"/></Relationships>'
    ),
    "xl/workbook.xml": (
        '<?xml version="1.0"?><workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/'
        f'main" xmlns:r="{_RELS}"><sheets><sheet name="S" sheetId="1" r:id="rId1"/></sheets>'
        "</workbook>"
    ),
    "xl/_rels/workbook.xml.rels": (
        '<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/'
        f'relationships"><Relationship Id="rId1" Type="{_RELS}/worksheet" '
        f'Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="{_RELS}/sharedStrings" '
        'Target="sharedStrings.xml"/></Relationships>'
    ),
}
_SHARED = (
    '<?xml version="1.0"?><sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
    "<si><t>{}</t></si></sst>"
)


def workbook(rows: bytes, *, text: str = "Carry") -> bytes:
    """A workbook with one sheet of these rows and one shared text."""
    out = BytesIO()
    with ZipFile(out, "w", ZIP_DEFLATED) as packed:
        for name, part in _PARTS.items():
            packed.writestr(name, part)
        packed.writestr("xl/sharedStrings.xml", _SHARED.format(text))
        packed.writestr("xl/worksheets/sheet1.xml", HEAD + rows + TAIL)
    return out.getvalue()


def packed_to_nothing(n_bytes: int) -> bytes:
    """A workbook whose sheet is mostly blanks: a thousandth of its size when packed."""
    return workbook(b" " * n_bytes)


def many_cells(n_cells: int) -> bytes:
    """A workbook with cells that say nothing of their place."""
    row = b"<row>" + b"<c><v>1</v></c>" * 1000 + b"</row>"
    return workbook(row * (n_cells // 1000))


def far_corner(mark: bytes) -> bytes:
    """A workbook with two cells that span a whole sheet, written with single or double quotes."""
    cell = b"<x:row r=Q1048576Q><x:c r=QXFD1048576Q><x:v>1</x:v></x:c></x:row>"
    return workbook(cell.replace(b"Q", mark))


def long_text_often(n_letters: int, n_cells: int) -> bytes:
    """A workbook that names one long text in many cells."""
    rows = b"".join(
        b'<row r="%d"><c r="A%d" t="s"><v>0</v></c></row>' % (k, k) for k in range(1, n_cells + 1)
    )
    return workbook(rows, text="x" * n_letters)


def lying_size(n_bytes: int) -> bytes:
    """A workbook whose sheet unpacks to far more than it says; the check sum fits the lie."""
    sheet = HEAD + b" " * n_bytes
    said = 100
    data = bytearray(workbook(b"#" * 7))
    honest, lie = zlib.compressobj(9, zlib.DEFLATED, -15), zlib.crc32(sheet[:said])
    body = honest.compress(sheet) + honest.flush()
    name = b"xl/worksheets/sheet1.xml"
    with ZipFile(BytesIO(bytes(data))) as packed:
        info = packed.getinfo(name.decode())
        start = packed.start_dir
    entry = pack("<IHHHHHIIIHH", 0x04034B50, 20, 0, 8, 0, 33, lie, len(body), said, len(name), 0)
    before = bytes(data[: info.header_offset]) + entry + name + body
    listing = bytearray(data[start:])
    at = listing.index(name) - 46
    listing[at + 16 : at + 28] = pack("<III", lie, len(body), said)
    end = listing.rindex(b"PK\x05\x06")
    listing[end + 16 : end + 20] = pack("<I", len(before))
    return before + bytes(listing)


def repeated(rows: int, columns: int) -> bytes:
    """A workbook of the open format: one cell, said to stand there a billion times."""
    space = "urn:oasis:names:tc:opendocument:xmlns"
    content = (
        f'<?xml version="1.0"?><office:document-content xmlns:office="{space}:office:1.0" '
        f'xmlns:table="{space}:table:1.0" xmlns:text="{space}:text:1.0"><office:body>'
        '<office:spreadsheet><table:table table:name="S">'
        f'<table:table-row table:number-rows-repeated="{rows}"><table:table-cell '
        f'office:value-type="float" office:value="1" table:number-columns-repeated="{columns}">'
        "<text:p>1</text:p></table:table-cell></table:table-row></table:table>"
        "</office:spreadsheet></office:body></office:document-content>"
    )
    manifest = (
        f'<?xml version="1.0"?><manifest:manifest xmlns:manifest="{space}:manifest:1.0">'
        '<manifest:file-entry manifest:full-path="/" '
        'manifest:media-type="application/vnd.oasis.opendocument.spreadsheet"/></manifest:manifest>'
    )
    out = BytesIO()
    with ZipFile(out, "w", ZIP_DEFLATED) as packed:
        packed.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        packed.writestr("content.xml", content)
        packed.writestr("META-INF/manifest.xml", manifest)
    return out.getvalue()
