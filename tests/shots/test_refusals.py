"""Files that are no tables: refused in words that say what to do."""

from io import BytesIO

import openpyxl
import pytest

from leadfoot.errors import InputError
from leadfoot.shots.read import read_table

NO_HEADER = (
    "letter.txt has no header that names a quantity, and no columns of numbers. "
    "Give a table with a header such as: Club, Ball speed [mph], Carry [yd]."
)
EMPTY = "The file is empty. Export or save the table again."
DAMAGED = (
    "The workbook can't be opened: it is damaged or of an unknown kind. "
    "Save it again as XLSX or CSV and give that file."
)
NO_TEXT = (
    "The file is not a table: its bytes are no text. "
    "Save the table as CSV or XLSX and give that file."
)


def empty_workbook() -> bytes:
    out = BytesIO()
    openpyxl.Workbook().save(out)
    return out.getvalue()


@pytest.mark.parametrize(
    ("data", "text"),
    [
        (b"", EMPTY),
        (b" \n\t\n", EMPTY),
        (b"\xef\xbb\xbf\n", EMPTY),
        (b"Dear coach,\nit was a good lesson.\n", NO_HEADER),
        (b"PK\x03\x04 and then nothing", DAMAGED),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 and then nothing", DAMAGED),
        (bytes(range(256)) * 8, NO_TEXT),
        (b"\x00\x01\x02\x03" * 99, NO_TEXT),
        (empty_workbook(), "The workbook has no cells. Save the table again."),
    ],
    ids=range(9),
)
def test_what_is_no_table_is_refused(data: bytes, text: str) -> None:
    with pytest.raises(InputError) as caught:
        read_table(data, name="letter.txt")
    assert str(caught.value) == text


def test_a_file_beyond_the_limit_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        read_table(b"1" * (65 * 1024 * 1024))
    assert str(caught.value) == (
        "The file has 65.0 MB; the program reads up to 64 MB. Split the table and read the parts."
    )


def test_a_workbook_with_a_cell_at_the_far_corner_is_refused() -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet["A1"], sheet["A2"], sheet["XFD1048576"] = "Carry [m]", 200, 1
    out = BytesIO()
    book.save(out)
    with pytest.raises(InputError) as caught:
        read_table(out.getvalue())
    assert str(caught.value) == (
        "The workbook spans too many cells. "
        "Delete what stands far from the table, or save the table as CSV."
    )


def test_an_unnamed_file_is_called_the_file() -> None:
    with pytest.raises(InputError) as caught:
        read_table(b"hello")
    assert caught.value.what.startswith("The file has no header")
