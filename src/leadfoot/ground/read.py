"""Read a force recording from any file: C3D, or a table of any shape; bytes in, a reading out."""

from leadfoot.ground.c3d import is_c3d, read_c3d
from leadfoot.ground.choices import Choices
from leadfoot.ground.table import ForceReading, read_force_table
from leadfoot.ground.table_columns import ForceMapping

__all__ = ["ForceReading", "read_recording"]


def read_recording(
    data: bytes, *, choices: Choices | None = None, mapping: ForceMapping | None = None
) -> ForceReading:
    r"""Read a force recording.

    Parameters
    ----------
    data
        The file as it came: C3D, a text table in any encoding, or a workbook.
    choices
        What is known beside the file: hand, target, feet, units, sign, weight.
    mapping
        What the columns of a table mean, as a person confirmed.

    Raises
    ------
    InputError
        If the file can't be read; the message says what to do.
    MappingError
        If the mapping fits no column.

    Notes
    -----
    Nothing is repaired without a remark: ``recording.remarks`` has all that was found. Without a
    known vertical force or rate the recording is None, and ``questions`` says what to answer.

    Examples
    --------
    >>> reading = read_recording("\n".join(["Fz", *["800"] * 20]).encode())
    >>> reading.questions
    ('The table has no column of time and says no rate; give the samples a second.',)
    """
    if is_c3d(data):
        return ForceReading(
            recording=read_c3d(data, choices),
            columns=(),
            questions=(),
            problems=(),
            header_key="",
            source="C3D",
        )
    return read_force_table(data, choices=choices, mapping=mapping)
