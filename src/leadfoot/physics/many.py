"""The compiled flight: hands batches to the loops in `leadfoot.kernels`, one thread a core.

The compiler takes half a second to load and many seconds to compile a loop for the first time. So
nothing of it is touched when this file is loaded, and `use_loop` says when it is worth it.
"""

import os
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from functools import lru_cache
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from leadfoot.kernels import cache
from leadfoot.physics.air import STANDARD_AIR, Air
from leadfoot.physics.ball import (
    AIR_MODELS,
    DIAMETER_LIMIT_M,
    SPIN_DECAY,
    STANDARD_BALL,
    TABLE_RE5_PER_MPS,
    AirModel,
    Ball,
)
from leadfoot.physics.bounce import (
    FAST_LANDING_MPS,
    FASTEST_LANDING_MPS,
    FLATTEST_KNOWN_RAD,
    MEDIUM_TURF,
    MOST_BOUNCES,
    MOST_GIVEN_BACK,
    SLOWEST_BOUNCE_MPS,
    STEEPEST_WALL_RAD,
    Turf,
)
from leadfoot.physics.integrate import LONGEST_FLIGHT_S
from leadfoot.physics.launch import GIVEN_RANGES
from leadfoot.physics.motion import ROUGHNESS_M, WIND_HEIGHT_M

if TYPE_CHECKING:
    from leadfoot.kernels import push

Series = NDArray[np.float64]

WORTH_COMPILING = 5_000
"""From so many flights on, a loop that was never compiled is compiled; fewer are flown in NumPy."""

WORTH_THREADS = 4_096
"""From so many flights on, all cores fly."""

STEPS_CALM = (0.37, 1.5, 1.0)
"""Share, longest [s] and last: see `leadfoot.kernels.pacing.Steps`. Chosen so that all boxes of the
tests land within 5 mm of a reference at 1e-11."""

STEPS_WIND = (0.225, 1.2, 1.0)
"""The same with wind: within 2 mm, and 10 mm in the wide box."""

NEAR_GROUND = (0.05, 4.0, 5.0, 0.5, 3.0, 10.0)
"""Steps near the ground in wind, see `leadfoot.kernels.push.LogWind`: near [m], slow [√m], first
[m], first [s], growth [-], last [m]. Chosen with `STEPS_WIND`."""

Progress = Callable[[int, int], None]
"""Called with how many loops are ready and how many there are."""

_ready: set[str] = set()
_mine = threading.local()


def loop_name(model: AirModel, *, windy: bool) -> str | None:
    """Name of the compiled loop for a model; None if there is none.

    Examples
    --------
    >>> loop_name(AIR_MODELS["regression"], windy=True)
    'regression-wind'
    """
    return None if model.loop is None else f"{model.loop}-{'wind' if windy else 'calm'}"


def use_loop(model: AirModel, *, windy: bool, n: int) -> bool:
    """Whether to fly with the compiled loop: at hand, or worth the wait for the compiler.

    Parameters
    ----------
    model, windy
        Which loop.
    n
        How many flights.
    """
    name = loop_name(model, windy=windy)
    if name is None or os.environ.get("NUMBA_DISABLE_JIT", "0") not in {"", "0"}:
        return False
    return name in _ready or n >= WORTH_COMPILING or _is_kept(name)


@lru_cache(maxsize=16)
def _is_kept(name: str) -> bool:
    return cache.is_kept(name)


def fly_given(
    given: Series,
    *,
    air: Air,
    ball: Ball,
    model: AirModel,
    turf: Turf | None,
    trace: Series | None = None,
) -> tuple[Series, NDArray[np.uint8], int]:
    """Fly a batch with the compiled loop.

    Parameters
    ----------
    given
        Shape (8, n): the five numbers of a launch, wind along and across, height of the landing, in
        the order of `GIVEN_RANGES`.
    air, ball, model, turf
        The same for all; without turf totals are NaN.
    trace
        Shape (k, 7): takes time, place and velocity at the steps, for a batch of one ball.

    Returns
    -------
    tuple
        Numbers, shape (9, n), NaN where there is no flight; flag bits, shape (n,); how many rows of
        ``trace`` were written.
    """
    windy = bool(given[5:7].any())
    loop = _loop()
    records = _records(air, ball, model, turf, windy)
    n = given.shape[1]
    out = np.empty((9, n))
    bits = np.empty(n, dtype=np.uint8)
    steps = _NO_TRACE if trace is None else trace
    noted = 0
    if n < WORTH_THREADS:
        noted = loop(*records, _ranges(), given, out, bits, 0, n, _work(), steps)
    else:
        _fly_in_threads(loop, records, given, out, bits)
    _note_ready(str(loop_name(model, windy=windy)))
    return out, bits, noted


def _fly_in_threads(
    loop: Callable[..., int],
    records: tuple[Any, ...],
    given: Series,
    out: Series,
    bits: NDArray[np.uint8],
) -> None:
    """Share a batch among threads, in pieces, so that none waits long for another."""
    n, threads = given.shape[1], _cores()
    piece = max(1024, -(-n // (8 * threads)) // 1024 * 1024)

    def fly_piece(start: int) -> None:
        stop = min(start + piece, n)
        loop(*records, _ranges(), given, out, bits, start, stop, _work(), _NO_TRACE)

    with ThreadPoolExecutor(threads) as pool:
        list(pool.map(fly_piece, range(0, n, piece)))


_NO_TRACE = np.empty((0, 7))


def _cores() -> int:
    """Cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _loop() -> Callable[..., int]:
    from leadfoot.kernels import flight as loops  # noqa: PLC0415  # loads the compiler

    return loops.fly


def _work() -> Series:
    """The workspace of this thread, on the boundary of a cache line."""
    if not hasattr(_mine, "work"):
        from leadfoot.kernels.block import WORK_SIZE  # noqa: PLC0415

        raw = np.zeros(WORK_SIZE + 8)
        skip = (-raw.ctypes.data // 8) % 8
        _mine.work = raw[skip : skip + WORK_SIZE]
    work: Series = _mine.work
    return work


@lru_cache(maxsize=1)
def _ranges() -> Series:
    return np.array(list(GIVEN_RANGES.values()), dtype=np.float64)


@lru_cache(maxsize=64)
def _records(
    air: Air, ball: Ball, model: AirModel, turf: Turf | None, windy: bool
) -> tuple[Any, ...]:
    """The records that the loop takes: model, wind, body, steps, limits, turf."""
    from leadfoot.kernels import flight, ground, pacing, push  # noqa: PLC0415

    density = air.density_kgm3
    re5_per_mps = density * ball.diameter_m / air.viscosity_pas * 1e-5
    pressure = 0.5 * density * ball.area_m2 / ball.mass_kg
    body = push.Body(
        pressure * ball.drag_factor,
        pressure * ball.lift_factor,
        re5_per_mps,
        ball.radius_m,
        SPIN_DECAY / ball.radius_m,
    )
    share, longest_s, last = STEPS_WIND if windy else STEPS_CALM
    low_spin, high_spin = model.spin_parameter_range
    limits = flight.Limits(
        low_spin,
        high_spin,
        model.reynolds_range[0] * 1e-5 / re5_per_mps,
        LONGEST_FLIGHT_S,
        FLATTEST_KNOWN_RAD,
        FASTEST_LANDING_MPS,
    )
    asked, turf = turf is not None, turf or MEDIUM_TURF
    surface = ground.Turf(
        turf.friction,
        turf.rolling,
        turf.bounce_factor,
        turf.give_factor,
        turf.bobble_per_m,
        turf.bobble_from_mps,
        ball.radius_m,
        STEEPEST_WALL_RAD,
        MOST_GIVEN_BACK,
        FAST_LANDING_MPS,
        FASTEST_LANDING_MPS,
        SLOWEST_BOUNCE_MPS,
        MOST_BOUNCES if asked else ground.NOT_ASKED,
    )
    steps = pacing.Steps(share / model.finer, longest_s / model.finer, last / model.finer)
    return _model(model), _wind(windy), body, steps, limits, surface


def _model(model: AirModel) -> "push.Model":
    from leadfoot.kernels import push  # noqa: PLC0415  # loads the compiler

    if model.loop == "regression":
        return push.Regression()
    if model.loop == "power_law":
        return push.PowerLaw()
    krpm = 30.0 / np.pi / 1000.0 / (0.5 * DIAMETER_LIMIT_M)
    return push.Grid(1.0 / TABLE_RE5_PER_MPS, float(krpm))


def _wind(windy: bool) -> "push.Wind":
    from leadfoot.kernels import push  # noqa: PLC0415

    if not windy:
        return push.Calm()
    per_log = 1.0 / float(np.log1p(WIND_HEIGHT_M / ROUGHNESS_M))
    return push.LogWind(1.0 / ROUGHNESS_M, per_log, *NEAR_GROUND)


def _note_ready(name: str) -> None:
    if name not in _ready:
        _ready.add(name)
        cache.note_kept(name)


def is_warm() -> bool:
    """Whether the loops of the default model need no compiling any more.

    Nothing is loaded to find out.
    """
    names = [loop_name(AIR_MODELS["regression"], windy=windy) for windy in (False, True)]
    return all(name in _ready or (name and cache.is_kept(name)) for name in names)


def warm(progress: Progress | None = None, *, models: tuple[str, ...] = ("regression",)) -> None:
    """Load the compiled loops, and compile those that were never compiled on this machine.

    Loading takes well under a second, compiling some forty seconds a loop; it can run in a thread
    beside other work, which meanwhile flies in NumPy.

    Parameters
    ----------
    progress
        Called before the first loop and after each.
    models
        Names in `AIR_MODELS`.

    Examples
    --------
    >>> warm(models=())
    """
    chosen = [(AIR_MODELS[name], windy) for name in models for windy in (False, True)]
    for k, (model, windy) in enumerate(chosen):
        if progress is not None:
            progress(k, len(chosen))
        given = np.zeros((8, 1))
        given[:, 0] = 60.0, 0.2, 0.0, 300.0, 0.0, 1.0 if windy else 0.0, 0.0, 0.0
        fly_given(given, air=STANDARD_AIR, ball=STANDARD_BALL, model=model, turf=MEDIUM_TURF)
    if progress is not None:
        progress(len(chosen), len(chosen))
