"""How loops are compiled: the one place with compiler flags."""

from collections.abc import Callable, Mapping
from typing import Any, TypeVar

import numba
from numba import extending

from leadfoot.kernels import cache

F = TypeVar("F", bound=Callable[..., Any])

_FLAGS: dict[str, Any] = {
    # Sums may be reordered and products fused, so that loops pack into vector registers. NaN and
    # infinity stay what they are: rows that cannot be flown are told apart by them.
    "fastmath": {"contract", "reassoc", "arcp", "nsz", "afn"},
    "error_model": "numpy",  # a division by zero is an infinity, not a branch
    "boundscheck": False,
}

_config = vars(numba.config)
COMPILES = not _config["DISABLE_JIT"]
"""False where `NUMBA_DISABLE_JIT` is set: the loops run as plain Python, right but slow."""

if cache.folder() is not None:
    _config["CACHE_DIR"] = cache.folder()


def compiled(loop: F) -> F:
    """Compile a loop that Python calls; it lets other threads run and is kept for the next start.

    Examples
    --------
    >>> import inspect
    >>> inspect.signature(compiled).parameters["loop"].name
    'loop'
    """
    made: F = numba.njit(nogil=True, cache=cache.folder() is not None, **_FLAGS)(loop)
    return made


def inlined(part: F) -> F:
    """Compile a part of a loop into the loop itself, so that the whole packs into vectors.

    Examples
    --------
    >>> @inlined
    ... def double(x: float) -> float:
    ...     return 2.0 * x
    >>> double(4.0)
    8.0
    """
    made: F = numba.njit(forceinline=True, **_FLAGS)(part)
    return made


def chosen_by_type(stub: Callable[..., Any], choices: Mapping[type, Callable[..., Any]]) -> None:
    """Let a compiled loop pick one of several parts by the type of its first argument.

    Parameters
    ----------
    stub
        The function that loops call; as plain Python it must pick by itself.
    choices
        For every type of record, the function to compile in its place; same arguments.
    """
    options: Any = {"forceinline": True, **_FLAGS}

    @extending.overload(stub, jit_options=options, strict=False)
    def pick(record: Any, *_: Any) -> Callable[..., Any] | None:
        return choices.get(getattr(record, "instance_class", type(None)))


def vector_level() -> str:
    """The widest vectors of this machine that the compiler uses, in the compiler's words."""
    features = numba.core.registry.cpu_target.target_context.codegen().magic_tuple()[2]
    for level in ("avx512f", "avx2", "avx"):
        if f"+{level}" in features.split(","):
            return level
    return "no wide vectors"
