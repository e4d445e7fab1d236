"""What all second opinions ask of their numbers."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from leadfoot.errors import InputError


def finite_numbers(values: ArrayLike, name: str, *, fewest: int) -> NDArray[np.float64]:
    """One row of numbers, refused where it holds none or too few.

    Parameters
    ----------
    values
        Shape (n,), finite.
    name
        What it is called in the message.
    fewest
        Least n.

    Raises
    ------
    InputError
        If the shape is another, a value is no number, or there are too few.

    Examples
    --------
    >>> finite_numbers([1, 2], "before", fewest=1)
    array([1., 2.])
    """
    found = np.asarray(values, dtype=np.float64)
    if found.ndim != 1 or len(found) < fewest:
        raise InputError(
            f"{name} has shape {found.shape}.",
            fix=f"Give one row of at least {fewest} numbers.",
        )
    if not np.isfinite(found).all():
        raise InputError(
            f"{name} holds a value that is no number.", fix="Leave out balls without a value."
        )
    return found
