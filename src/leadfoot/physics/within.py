"""Refuses a number outside the range in which a model holds, by name, value and unit."""

from collections.abc import Mapping

from leadfoot.errors import OutOfRangeError

_SHOWN = {
    "m": "m",
    "mps": "m/s",
    "rad": "rad",
    "radps": "rad/s",
    "s": "s",
    "kg": "kg",
    "kgm2": "kg·m²",
    "nm": "N·m",
    "n": "N",
    "mps2": "m/s²",
    "per_m": "1/m",
    "per_mps": "s/m",
    "frac": "",
}


def check_within(name: str, value: float, low: float, high: float, *, of: str) -> None:
    """Refuse a value that is not from `low` to `high`; NaN and infinity never are.

    Parameters
    ----------
    name
        Name with its unit suffix, if it has a unit; the message says it without.
    value
        The value, in the unit of the suffix.
    low, high
        Ends of the range, both allowed.
    of
        What takes the number: ``the arc``.

    Raises
    ------
    OutOfRangeError
        With the name, the value, its unit and the range.

    Examples
    --------
    >>> check_within("radius_m", 1.6, 0.5, 3.0, of="the arc")
    """
    if low <= value <= high:
        return
    suffix = max((end for end in _SHOWN if name.endswith(f"_{end}")), key=len, default="")
    plain = name.removesuffix(f"_{suffix}")
    unit = f" {_SHOWN[suffix]}".rstrip() if suffix else ""
    raise OutOfRangeError(
        f"{plain.replace('_', ' ').capitalize()} is {value:g}{unit}; {of} takes "
        f"{low:g} to {high:g}{unit}.",
        fix="Check the value and its unit.",
    )


def check_all_within(record: object, ranges: Mapping[str, tuple[float, float]], *, of: str) -> None:
    """Refuse the first field of a record that is not within its range; see `check_within`.

    Parameters
    ----------
    record
        Has the fields; one that is None is not checked.
    ranges
        Ends of the range by the name of the field.
    of
        What takes the numbers.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> check_all_within(SimpleNamespace(radius_m=1.6), {"radius_m": (0.5, 3.0)}, of="the arc")
    """
    for name, (low, high) in ranges.items():
        value = getattr(record, name)
        if value is not None:
            check_within(name, value, low, high, of=of)
