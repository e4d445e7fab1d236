"""Try it: one student's pattern of two hundred swings, and what it becomes when a part is changed.

The student is a middle and a covariance of the delivery, monitor error taken off. The same two
hundred draws are used for every trial, so that a moved slider shows the slider and not luck.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri
from scipy.stats import qmc

from leadfoot.coaching.attribution import Balls
from leadfoot.coaching.swings import Explainable
from leadfoot.coaching.wideness import without_error
from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.physics.delivery import DELIVERY_RANGES

Floats = NDArray[np.float64]

N_SWINGS = 200
FEWEST = 8
"""Fewer balls give no covariance worth trying on. Our own choice."""
WIDEST_FACTOR = 3.0
NAMES = tuple(DELIVERY_RANGES)
USUAL_FAIRWAY_M = 29.3
"""Width of a fairway, 32 yd. Common practice, no source. [m]"""
BEST_SHARE = 0.1
"""What a student can do is what they do in the best tenth of their own balls."""
FEWEST_BEST = 3
RUN = 5
"""Balls of a run whose spread counts as one try at being steady. Our own choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Swinger:
    """How one student delivers one club.

    Attributes
    ----------
    middle, covariance
        Of the delivery, in the order of `Deliveries`, shape (7,) and (7, 7); without what the
        monitor's errors add.
    told
        The model that lands the balls, and how deep the readings went.
    n_balls
        Balls behind it.
    """

    middle: Floats
    covariance: Floats
    told: Explainable
    n_balls: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """What is changed: both by name of an input of the delivery.

    Attributes
    ----------
    moved
        Added to the middle, SI.
    spread
        Factor on the spread, 0 to 3; 1 leaves it.
    """

    moved: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    spread: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))

    def __post_init__(self) -> None:
        for name in (*self.moved, *self.spread):
            if name not in NAMES:
                raise InputError(
                    f"{name!r} is no input of a delivery.", fix=f"Use one of: {' '.join(NAMES)}."
                )
        for name, factor in self.spread.items():
            if not 0.0 <= factor <= WIDEST_FACTOR:
                raise OutOfRangeError(
                    f"The spread of {name} is to be {factor:g} times what it is.",
                    fix=f"Give a factor from 0 to {WIDEST_FACTOR:g}.",
                )


AS_IT_IS = Trial()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tried:
    """Two hundred balls of a trial.

    Attributes
    ----------
    carry_m, offline_m
        Shape (200,), NaN where a swing can't be struck or flown. [m]
    mean_carry_m, mean_offline_m, miss_m
        Means; the average miss is the mean distance from the target line. [m]
    in_fairway
        Share of the balls that land in the fairway; one that can't be flown does not. [-]
    """

    carry_m: Floats
    offline_m: Floats
    mean_carry_m: float
    mean_offline_m: float
    miss_m: float
    in_fairway: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Lever:
    """What one part would do, if it were as in the student's own best tenth.

    Attributes
    ----------
    part
        Name of the part, as in the model.
    kind
        ``middle`` (where it is on average) or ``spread`` (how far it strays).
    trial
        The change.
    miss_m, carry_m
        Average miss and mean carry with it. [m]
    miss_saved_share
        Share of today's miss that it takes away; negative where it adds.
    """

    part: str
    kind: str
    trial: Trial
    miss_m: float
    carry_m: float
    miss_saved_share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Levers:
    """All levers, the strongest first, and how many of them together halve the miss.

    Attributes
    ----------
    today
        The miss as it is. [m]
    levers
        The strongest first.
    halved_by
        The first levers whose trials together halve the miss; empty where all together do not.
    all_m
        The miss with all that help, together. [m]
    """

    today_m: float
    levers: tuple[Lever, ...]
    halved_by: tuple[Lever, ...]
    all_m: float


def swinger(told: Explainable, blocks: Sequence[Balls]) -> Swinger:
    """Make a student of their balls.

    Parameters
    ----------
    told
        What was read, made ready by `explainable`; the delivery must be known.
    blocks
        Blocks of balls; the middle is that of the last one, the spread that within all.

    Raises
    ------
    InputError
        If the delivery is not known, or there are fewer than eight balls.

    Examples
    --------
    See `tried`.
    """
    if told.depth not in {"explained", "delivered"}:
        raise InputError(
            "The swing was not read, only the ball or the club speed.",
            fix="Try it with a launch monitor that reads club speed and the ball.",
        )
    read = [block.rows[:, np.isfinite(block.rows).all(axis=0)] for block in blocks]
    read = [rows for rows in read if rows.shape[1]]
    n = sum(rows.shape[1] for rows in read)
    if n < FEWEST:
        raise InputError(
            f"{n} balls can be explained; it takes {FEWEST}.", fix="Hit more balls first."
        )
    beside = np.concatenate([rows - rows.mean(axis=1, keepdims=True) for rows in read], axis=1)
    covariance = beside @ beside.T / max(n - len(read), 1)
    return Swinger(
        middle=read[-1].mean(axis=1),
        covariance=without_error(covariance, told.error_covariance),
        told=told,
        n_balls=n,
    )


def tried(
    student: Swinger, trial: Trial = AS_IT_IS, *, fairway_m: float = USUAL_FAIRWAY_M
) -> Tried:
    """Hit two hundred balls with a change.

    Parameters
    ----------
    student
        How they swing.
    trial
        What is changed.
    fairway_m
        Width of the fairway, centred on the target line, above 0. [m]

    Raises
    ------
    OutOfRangeError
        If the fairway has no width.

    Examples
    --------
    >>> from leadfoot.coaching.swings import explainable
    >>> from leadfoot.physics.clubs import club
    >>> rng = np.random.default_rng(1)
    >>> read = {"club_speed_mps": rng.normal(42.0, 0.5, 12),
    ...         "face_angle_rad": rng.normal(0.0, 0.03, 12)}
    >>> told = explainable(read, read, club("driver"))
    >>> student = swinger(told, [told.before])
    >>> steadier = tried(student, Trial(spread={"face_angle_rad": 0.5}))
    >>> round(steadier.miss_m / tried(student).miss_m, 1)
    0.5
    """
    if not fairway_m > 0.0:
        raise OutOfRangeError(f"The fairway is {fairway_m:g} m wide.", fix="Give a width above 0.")
    factor = np.array([trial.spread.get(name, 1.0) for name in NAMES])
    moved = np.array([trial.moved.get(name, 0.0) for name in NAMES])
    covariance = student.covariance * np.outer(factor, factor)
    rows = (student.middle + moved)[:, np.newaxis] + _root(covariance) @ _draws()
    carry, offline = student.told.model.land(rows)
    flown = np.isfinite(carry) & np.isfinite(offline)
    inside = flown & (np.abs(np.where(flown, offline, np.inf)) <= 0.5 * fairway_m)
    if not flown.any():
        raise InputError("None of these swings can be struck and flown.", fix="Change less of it.")
    return Tried(
        carry_m=carry,
        offline_m=offline,
        mean_carry_m=float(carry[flown].mean()),
        mean_offline_m=float(offline[flown].mean()),
        miss_m=float(np.abs(offline[flown]).mean()),
        in_fairway=float(inside.mean()),
    )


@cache
def _draws() -> Floats:
    """Two hundred even normal draws, shape (7, 200), each with its mirror image."""
    even = qmc.Sobol(len(NAMES), seed=7).random(128)[: N_SWINGS // 2]
    half = ndtri(np.clip(even, 1e-6, 1.0 - 1e-6)).T
    return np.concatenate([half, -half], axis=1)


def _root(covariance: Floats) -> Floats:
    """A square root of a covariance that may be singular, in balanced units."""
    scale = np.sqrt(np.maximum(np.diag(covariance), 0.0))
    safe = np.where(scale > 0.0, scale, 1.0)
    values, vectors = np.linalg.eigh(covariance / np.outer(safe, safe))
    symmetric = (vectors * np.sqrt(np.clip(values, 0.0, None))) @ vectors.T
    return np.asarray(safe[:, np.newaxis] * symmetric)


def levers(student: Swinger, balls: Balls) -> Levers:
    """Rank what would make the average miss smaller, by what this student has shown to be able to.

    Parameters
    ----------
    student
        How they swing.
    balls
        Their own balls, in hitting order: the best tenth of them, those nearest the line in the
        model, says where a part can be; their steadiest runs of five say how steady it can be.

    Notes
    -----
    A run of five is steady by luck too, so that its spread counts only half: the plausible factor
    lies midway between that of the steadiest tenth of the runs and 1. Our own choice.

    Examples
    --------
    >>> from leadfoot.coaching.swings import explainable
    >>> from leadfoot.physics.clubs import club
    >>> rng = np.random.default_rng(1)
    >>> read = {"club_speed_mps": rng.normal(42.0, 0.5, 24),
    ...         "face_angle_rad": rng.normal(0.06, 0.02, 24)}
    >>> told = explainable(read, read, club("driver"))
    >>> found = levers(swinger(told, [told.before]), told.before)
    >>> found.levers[0].part, found.levers[0].kind
    ('face', 'middle')
    """
    rows = balls.rows[:, np.isfinite(balls.rows).all(axis=0)]
    today = tried(student)
    best = _best_tenth(student, rows)
    found = []
    for part, inputs in student.told.model.parts.items():
        moves = {NAMES[k]: float(best[k] - student.middle[k]) for k in inputs}
        factors = {NAMES[k]: _steadier(rows[k]) for k in inputs}
        for kind, trial in (("middle", Trial(moved=moves)), ("spread", Trial(spread=factors))):
            there = tried(student, trial)
            found.append(
                Lever(
                    part=part,
                    kind=kind,
                    trial=trial,
                    miss_m=there.miss_m,
                    carry_m=there.mean_carry_m,
                    miss_saved_share=1.0 - there.miss_m / today.miss_m if today.miss_m else 0.0,
                )
            )
    found.sort(key=lambda lever: lever.miss_m)
    halved_by, all_m = _together(student, found, today.miss_m)
    return Levers(today_m=today.miss_m, levers=tuple(found), halved_by=halved_by, all_m=all_m)


def _best_tenth(student: Swinger, rows: Floats) -> Floats:
    """Middle of the balls that came down nearest the line, shape (7,)."""
    _, offline = student.told.model.land(rows)
    order = np.argsort(np.abs(np.where(np.isfinite(offline), offline, np.inf)))
    n = max(FEWEST_BEST, round(BEST_SHARE * rows.shape[1]))
    return np.asarray(rows[:, order[:n]].mean(axis=1))


def _steadier(values: Floats) -> float:
    """Factor on the spread that this student has shown to be able to, 0.5 to 1."""
    whole = float(values.std(ddof=1)) if len(values) > 1 else 0.0
    if len(values) < 2 * RUN or whole == 0.0:
        return 1.0
    runs = np.lib.stride_tricks.sliding_window_view(values, RUN).std(axis=1, ddof=1)
    return float(np.clip(0.5 + 0.5 * np.quantile(runs, BEST_SHARE) / whole, 0.5, 1.0))


def _together(
    student: Swinger, found: Sequence[Lever], today_m: float
) -> tuple[tuple[Lever, ...], float]:
    """The first levers that together halve the miss, and the miss with all that help."""
    chosen: list[Lever] = []
    halved: tuple[Lever, ...] = ()
    miss_m = today_m
    for lever in found:
        there = tried(student, _merged([*chosen, lever])).miss_m
        if there >= miss_m:
            continue
        chosen.append(lever)
        miss_m = there
        if not halved and miss_m <= 0.5 * today_m:
            halved = tuple(chosen)
    return halved, miss_m


def _merged(chosen: Sequence[Lever]) -> Trial:
    moved: dict[str, float] = {}
    spread: dict[str, float] = {}
    for lever in chosen:
        moved |= lever.trial.moved
        spread |= lever.trial.spread
    return Trial(moved=moved, spread=spread)
