"""Refuses a number outside the range in which a model holds, by name, value and unit."""

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
    "frac": "",
}


def check_within(name: str, value: float, low: float, high: float, *, of: str) -> None:
    """Refuse a value that is not from `low` to `high`; NaN and infinity never are.

    Parameters
    ----------
    name
        Name with its unit suffix; the message says it without.
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
    plain, suffix = name.rsplit("_", 1)
    unit = f" {_SHOWN[suffix]}".rstrip()
    raise OutOfRangeError(
        f"{plain.replace('_', ' ').capitalize()} is {value:g}{unit}; {of} takes "
        f"{low:g} to {high:g}{unit}.",
        fix="Check the value and its unit.",
    )
