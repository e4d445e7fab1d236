"""What works for whom: the effect of each cue over many students, shrunk as far as luck demands.

Every lesson that tried a cue brings one change with its standard error. The model has three floors:

    change of a lesson ~ N(effect on this student, lessons² + standard error²)
    effect on a student ~ N(effect of the cue, students²)
    effect of a cue ~ N(what a cue does on average, cues²)

The three spreads are summed over a grid; given them, everything is normal and in closed form. So a
cue that was tried on three students is drawn to what cues do on average, and the best of many tries
does not look better than it is.
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr, ndtri

from leadfoot.errors import InputError, OutOfRangeError

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Progress = Callable[[int, int], None]
"""Called with how many nodes of the grid are done and how many there are."""

LESSONS_SD = np.geomspace(0.05, 1.0, 7)
STUDENTS_SD = np.geomspace(0.05, 1.5, 10)
CUES_SD = np.geomspace(0.1, 2.0, 7)
"""Nodes of the three spreads, in units; each has a half-normal prior with a spread of one unit
(weakly informative; A. Gelman, Bayesian Analysis 1:515-534, 2006, from memory)."""
AVERAGE_SD = 2.0
"""What a cue does on average lies this far around nothing, in units. Assumed."""
N_BEST_DRAWS = 4_000


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tries:
    """Lessons that tried a cue, one entry each.

    Attributes
    ----------
    student, cue
        Shape (n,): whose lesson, and which cue, as numbers from 0.
    change, standard_error
        Shape (n,): what changed in that lesson before any shrinking, and how sure that is; the
        error above 0, both in the same unit.
    """

    student: Ints
    cue: Ints
    change: Floats
    standard_error: Floats

    def __post_init__(self) -> None:
        n = len(self.change)
        shapes = {array.shape for array in (self.student, self.cue, self.standard_error)}
        if shapes != {(n,)}:
            raise InputError(
                f"The arrays of {n} lessons have shapes {sorted(map(str, shapes))}.",
                fix="Give one student, one cue and one error for every lesson.",
            )
        if n and (min(self.student.min(), self.cue.min()) < 0):
            raise OutOfRangeError(
                "A student or a cue has a negative number.", fix="Count them from 0."
            )
        if not np.isfinite(self.change).all() or not (self.standard_error > 0.0).all():
            raise OutOfRangeError(
                "A change is not finite, or its error is not above 0.",
                fix="Leave lessons without an answer away.",
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class CueEffect:
    """What one cue does to a student one has not met yet, on average.

    Attributes
    ----------
    cue
        Its number.
    mean, low, high
        Shrunk estimate and the range that holds the effect with 95 % probability.
    odds_helps
        Probability that its effect is above nothing.
    odds_best
        Probability that it is the best of all that were tried.
    raw_mean
        Plain mean of its lessons: what one would believe without this page.
    n_students, n_lessons
        What it rests on.
    """

    cue: int
    mean: float
    low: float
    high: float
    odds_helps: float
    odds_best: float
    raw_mean: float
    n_students: int
    n_lessons: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnEffect:
    """What one cue does to one student; the range holds it with 95 % probability."""

    student: int
    cue: int
    mean: float
    low: float
    high: float
    odds_helps: float
    n_lessons: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatWorks:
    """The effects of all cues.

    Attributes
    ----------
    cues
        The most helpful first.
    own
        By student and cue, for the pairs that were tried.
    students_sd, lessons_sd
        How far a cue's effect differs between students, and between lessons of one student.
    """

    cues: tuple[CueEffect, ...]
    own: tuple[OwnEffect, ...]
    students_sd: float
    lessons_sd: float


def what_works(
    tries: Tries, *, unit: float = 1.0, seed: int = 0, progress: Progress | None = None
) -> WhatWorks:
    """Pool the lessons of all students.

    Parameters
    ----------
    tries
        The lessons.
    unit
        A usual shot-to-shot spread of the quantity, in the unit of the changes: the priors are
        counted in it.
    seed
        Of the draws behind ``odds_best``.
    progress
        Told after each row of the grid.

    Returns
    -------
    WhatWorks
        Empty where there are no lessons.

    Raises
    ------
    OutOfRangeError
        If the unit is not above 0.

    Examples
    --------
    >>> tries = Tries(student=np.array([0, 1, 2, 0]), cue=np.array([0, 0, 0, 1]),
    ...               change=np.array([1.0, 1.4, 1.2, 2.4]), standard_error=np.full(4, 0.5))
    >>> found = what_works(tries)
    >>> best = found.cues[0]
    >>> best.cue, best.n_students, best.raw_mean, best.mean < 1.9
    (1, 1, 2.4, True)
    """
    if not unit > 0.0:
        raise OutOfRangeError(
            f"The unit is {unit:g}; it must be above 0.", fix="Give a usual spread."
        )
    if not len(tries.change):
        return WhatWorks(cues=(), own=(), students_sd=0.0, lessons_sd=0.0)
    floors = _Floors.of(tries, unit)
    nodes = _nodes(floors, progress)
    return _summed(floors, nodes, tries, unit, np.random.default_rng(seed))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Floors:
    """The lessons, and which pair of student and cue, and which cue, each belongs to; in units."""

    change: Floats
    variance: Floats
    pair_of_lesson: Ints
    cue_of_pair: Ints
    student_of_pair: Ints
    cues: Ints

    @classmethod
    def of(cls, tries: Tries, unit: float) -> "_Floors":
        cues, cue = np.unique(tries.cue, return_inverse=True)
        keys, pair = np.unique(tries.student * len(cues) + cue, return_inverse=True)
        return cls(
            change=tries.change / unit,
            variance=(tries.standard_error / unit) ** 2,
            pair_of_lesson=pair,
            cue_of_pair=keys % len(cues),
            student_of_pair=keys // len(cues),
            cues=cues,
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Pooled:
    """Normal values pooled by group: precision and mean of each, and the log evidence."""

    precision: Floats
    mean: Floats
    log_evidence: float


def _pooled(values: Floats, variance: Floats, group: Ints, n_groups: int) -> _Pooled:
    """Pool values with known variances, the mean of each group flat beforehand."""
    weight = 1.0 / variance
    precision: Floats = np.bincount(group, weight, n_groups).astype(np.float64)
    mean = np.bincount(group, weight * values, n_groups) / precision
    log_evidence = 0.5 * (
        np.log(weight).sum()
        - (weight * (values - mean[group]) ** 2).sum()
        - np.log(precision).sum()
    )
    return _Pooled(precision=precision, mean=mean, log_evidence=float(log_evidence))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Node:
    """The posterior at one set of spreads: everything in it is normal."""

    log_weight: float
    spreads: tuple[float, float, float]
    pairs: _Pooled
    cue_mean: Floats
    """Mean of each cue's effect, given what cues do on average is integrated out."""
    cue_own_variance: Floats
    """Variance of each cue's effect if what cues do on average were known."""
    cue_pull: Floats
    """How far each cue's effect follows what cues do on average."""
    average_variance: float


def _nodes(floors: _Floors, progress: Progress | None) -> list[_Node]:
    n_pairs, n_cues = len(floors.cue_of_pair), len(floors.cues)
    found = []
    for done, lessons in enumerate(LESSONS_SD):
        pairs = _pooled(floors.change, floors.variance + lessons**2, floors.pair_of_lesson, n_pairs)
        for students, cues in product(STUDENTS_SD, CUES_SD):
            of_cues = _pooled(
                pairs.mean, 1.0 / pairs.precision + students**2, floors.cue_of_pair, n_cues
            )
            found.append(_node(pairs, of_cues, (float(lessons), float(students), float(cues))))
        if progress is not None:
            progress(done + 1, len(LESSONS_SD))
    return found


def _node(pairs: _Pooled, of_cues: _Pooled, spreads: tuple[float, float, float]) -> _Node:
    cues = spreads[2]
    weight = 1.0 / (1.0 / of_cues.precision + cues**2)
    precision = weight.sum() + 1.0 / AVERAGE_SD**2
    average = float((weight * of_cues.mean).sum() / precision)
    log_evidence = 0.5 * (
        np.log(weight).sum()
        - (weight * (of_cues.mean - average) ** 2).sum()
        - np.log(precision)
        - average**2 / AVERAGE_SD**2
    )
    log_prior = sum(np.log(spread) - 0.5 * spread**2 for spread in spreads)  # even in the log
    own = 1.0 / (of_cues.precision + 1.0 / cues**2)
    pull = own / cues**2
    return _Node(
        log_weight=pairs.log_evidence + of_cues.log_evidence + float(log_evidence + log_prior),
        spreads=spreads,
        pairs=pairs,
        cue_mean=own * of_cues.precision * of_cues.mean + pull * average,
        cue_own_variance=own,
        cue_pull=pull,
        average_variance=float(1.0 / precision),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Mixture:
    """Normals by node: means and variances, shape (nodes, k), and the weights of the nodes."""

    weight: Floats
    means: Floats
    variances: Floats

    @property
    def mean(self) -> Floats:
        return np.asarray(self.weight @ self.means)

    def above_zero(self) -> Floats:
        return np.asarray(self.weight @ ndtr(self.means / np.sqrt(self.variances)))

    def ends(self) -> tuple[Floats, Floats]:
        """The 95 % range, by that of a normal with the mixture's mean and spread."""
        spread = np.sqrt(self.weight @ (self.variances + (self.means - self.mean) ** 2))
        reach = float(ndtri(0.975))
        return self.mean - reach * spread, self.mean + reach * spread


def _summed(
    floors: _Floors, nodes: list[_Node], tries: Tries, unit: float, rng: np.random.Generator
) -> WhatWorks:
    log_weight = np.array([node.log_weight for node in nodes])
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    of_cues = _Mixture(
        weight=weight,
        means=np.array([node.cue_mean for node in nodes]),
        variances=np.array(
            [node.cue_own_variance + node.cue_pull**2 * node.average_variance for node in nodes]
        ),
    )
    of_pairs = _own_effects(nodes, weight, floors)
    spreads = weight @ np.array([node.spreads for node in nodes])
    cues = _cue_effects(of_cues, _odds_best(nodes, weight, rng), floors, tries, unit)
    return WhatWorks(
        cues=tuple(sorted(cues, key=lambda each: -each.mean)),
        own=_pair_effects(of_pairs, floors, unit),
        students_sd=float(spreads[1]) * unit,
        lessons_sd=float(spreads[0]) * unit,
    )


def _own_effects(nodes: list[_Node], weight: Floats, floors: _Floors) -> _Mixture:
    """Effects on the students themselves, between their own lessons and their cue's effect."""
    means, variances = [], []
    for node in nodes:
        precision, students = node.pairs.precision, node.spreads[1]
        share = (1.0 / students**2) / (precision + 1.0 / students**2)
        cue_variance = node.cue_own_variance + node.cue_pull**2 * node.average_variance
        of_cue = node.cue_mean[floors.cue_of_pair]
        means.append((1.0 - share) * node.pairs.mean + share * of_cue)
        variances.append(
            1.0 / (precision + 1.0 / students**2) + share**2 * cue_variance[floors.cue_of_pair]
        )
    return _Mixture(weight=weight, means=np.array(means), variances=np.array(variances))


def _odds_best(nodes: list[_Node], weight: Floats, rng: np.random.Generator) -> Floats:
    """Probability of each cue to be the best, by draws of all cues together."""
    drawn = rng.choice(len(nodes), N_BEST_DRAWS, p=weight)
    n_cues = len(nodes[0].cue_mean)
    average = rng.normal(size=(N_BEST_DRAWS, 1))
    own = rng.normal(size=(N_BEST_DRAWS, n_cues))
    mean = np.array([node.cue_mean for node in nodes])[drawn]
    pull = np.array([node.cue_pull * np.sqrt(node.average_variance) for node in nodes])[drawn]
    spread = np.array([np.sqrt(node.cue_own_variance) for node in nodes])[drawn]
    best = (mean + pull * average + spread * own).argmax(axis=1)
    return np.bincount(best, minlength=n_cues) / N_BEST_DRAWS


def _cue_effects(
    found: _Mixture, odds_best: Floats, floors: _Floors, tries: Tries, unit: float
) -> list[CueEffect]:
    low, high = found.ends()
    helps, mean = found.above_zero(), found.mean
    return [
        CueEffect(
            cue=int(cue),
            mean=unit * float(mean[k]),
            low=unit * float(low[k]),
            high=unit * float(high[k]),
            odds_helps=float(helps[k]),
            odds_best=float(odds_best[k]),
            raw_mean=float(tries.change[tries.cue == cue].mean()),
            n_students=int((floors.cue_of_pair == k).sum()),
            n_lessons=int((tries.cue == cue).sum()),
        )
        for k, cue in enumerate(floors.cues)
    ]


def _pair_effects(found: _Mixture, floors: _Floors, unit: float) -> tuple[OwnEffect, ...]:
    low, high = found.ends()
    helps, mean = found.above_zero(), found.mean
    n_lessons = np.bincount(floors.pair_of_lesson)
    return tuple(
        OwnEffect(
            student=int(floors.student_of_pair[k]),
            cue=int(floors.cues[floors.cue_of_pair[k]]),
            mean=unit * float(mean[k]),
            low=unit * float(low[k]),
            high=unit * float(high[k]),
            odds_helps=float(helps[k]),
            n_lessons=int(n_lessons[k]),
        )
        for k in range(len(mean))
    )
