"""Where on the face: the likeliest place for a ball and what was read of the club, and how sure."""

import itertools
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from leadfoot.physics.unstrike import Bodies, Pushes, pushes, unstrike

Series = NDArray[np.float64]
Mask = NDArray[np.bool_]

ROUNDS = 12
"""Most steps of the search; four to six are enough for nearly all balls."""

CLOSE_ENOUGH_M = 1e-7
"""The search ends where no place moves by more: far under any monitor's error. [m]"""

SPREAD_OUT = (-2.4, -1.6, -0.8, 0.0, 0.8, 1.6, 2.4)
"""Where the search first looks, in standard deviations of the usual strike, both ways."""

ALIKE = 2.0
"""Two places explain a ball alike where their sums of squares differ by less: odds to 2.7. [-]"""

_STEP_M = 1e-6
_BALL_STEPS = np.array([1e-5, 1e-7, 1e-7, 1e-4, 1e-7])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Knowledge:
    """What is read or usual: middles and standard deviations.

    Attributes
    ----------
    read, read_sd
        Club speed, attack angle, club path, face angle, dynamic loft, shape (5, n).
        [m/s], [rad], [rad], [rad], [rad]
    place, place_sd
        Strike toward the toe and high, shape (2, n). [m]
    """

    read: Series
    read_sd: Series
    place: Series
    place_sd: Series


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Searched:
    """The likeliest place, the delivery that goes with it, and their uncertainty.

    Attributes
    ----------
    delivery
        Shape (5, n), in the order of `Knowledge.read`.
    place
        Shape (2, n). [m]
    sd
        Standard deviations of both, shape (7, n).
    slopes
        Face and path by place toward the toe, loft and attack by place toward high, for the same
        ball, shape (4, n). [rad/m]
    misfit
        Sum of squares in standard deviations, shape (n,). [-]
    other_side
        Whether the place mirrored from heel to toe, from low to high, does as well, shape (2, n).
    friction_needed
        Friction that the ball's spin takes, shape (n,). [-]
    """

    delivery: Series
    place: Series
    sd: Series
    slopes: Series
    misfit: Series
    other_side: Mask
    friction_needed: Series


def search(balls: Series, ball_sd: Series, knowledge: Knowledge, bodies: Bodies) -> Searched:
    """Find where on the face each ball was met.

    Parameters
    ----------
    balls, ball_sd
        The balls of a right-hander and the uncertainty of their numbers, shape (5, n) each.
    knowledge
        What is read or usual.
    bodies
        The head and the ball.

    Returns
    -------
    Searched
        NaN where no delivery makes the ball.

    Notes
    -----
    Damped least squares in two unknowns over all balls at once, from the best of 49 places. What a
    ball's own error does to the delivery weighs in, and is held as it is in the middle of the face.
    The uncertainty is the larger of two: that of a line laid through the answer, right where the
    readings tell the place well; and the spread over the 49 places by their odds, right where they
    do not and the delivery is no straight line over the face.

    Examples
    --------
    >>> from leadfoot.physics.clubs import club
    >>> drive = np.array([[65.0], [0.2], [0.0], [290.0], [0.0]])
    >>> known = Knowledge(read=np.array([[46.0], [0.0], [0.0], [0.0], [0.0]]),
    ...     read_sd=np.array([[0.4], [0.02], [0.02], [1e3], [1e3]]),
    ...     place=np.zeros((2, 1)), place_sd=np.full((2, 1), 0.01))
    >>> found = search(drive, 0.005 * drive + 0.001, known, Bodies(club=club("driver")))
    >>> found.delivery[0].round(1)
    array([45.5])
    """
    task = _task(balls, ball_sd, knowledge, bodies)
    start, mean, square = _survey(task)
    place = _descend(task, start)
    return _summed_up(task, place, mean, square)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Task:
    """One search: the balls, what is known, and how much each of it weighs."""

    found: Pushes
    near: tuple[Pushes, ...]
    """The balls with each of their numbers moved by one of `_BALL_STEPS`."""
    ball_variance: Series
    knowledge: Knowledge
    bodies: Bodies
    half: Series
    """Half the face, toward the toe and high, shape (2, 1). [m]"""
    weights: Series
    """Inverse variance of what was read, less what the ball says, shape (5, 5, n)."""

    def delivery(self, place: Series) -> Series:
        """The delivery that makes each ball at this place, shape (5, n)."""
        return unstrike(self.found, place[0], place[1], self.bodies)

    def by_ball(self, place: Series) -> Series:
        """How the delivery moves with the ball's numbers, shape (5, 5, n)."""
        here = self.delivery(place)
        columns = [
            (unstrike(moved, place[0], place[1], self.bodies) - here) / step
            for moved, step in zip(self.near, _BALL_STEPS, strict=True)
        ]
        return np.stack(columns, axis=1)

    def variance(self, slopes: Series) -> Series:
        """Variance of what was read less what the ball says, shape (5, 5, n)."""
        total: Series = np.einsum("ikn,kn,jkn->ijn", slopes, self.ball_variance, slopes)
        for k in range(5):
            total[k, k] += self.knowledge.read_sd[k] ** 2
        return total

    def by_place(self, place: Series, here: Series) -> Series:
        """How the delivery moves with the place, shape (5, 2, n)."""
        toe, high = place
        return np.stack(
            [
                (self.delivery(np.stack([toe + _STEP_M, high])) - here) / _STEP_M,
                (self.delivery(np.stack([toe, high + _STEP_M])) - here) / _STEP_M,
            ],
            axis=1,
        )

    def misfit(self, place: Series, here: Series) -> Series:
        """Sum of squares in standard deviations; infinite where no delivery makes the ball."""
        off = self.knowledge.read - here
        aside = (place - self.knowledge.place) / self.knowledge.place_sd
        total = np.sum(off * _times(self.weights, off), axis=0) + np.sum(aside * aside, axis=0)
        return np.where(np.isfinite(total), total, np.inf)

    def on_face(self, place: Series) -> Series:
        return np.clip(place, -self.half, self.half)


def _task(balls: Series, ball_sd: Series, knowledge: Knowledge, bodies: Bodies) -> _Task:
    n = balls.shape[1]
    steps = np.diag(_BALL_STEPS)[:, :, np.newaxis]
    task = _Task(
        found=pushes(balls, bodies.ball),
        near=tuple(pushes(balls + step, bodies.ball) for step in steps),
        ball_variance=ball_sd**2,
        knowledge=knowledge,
        bodies=bodies,
        half=0.5 * np.array([[bodies.club.face_width_m], [bodies.club.face_height_m]]),
        weights=np.zeros((5, 5, n)),
    )
    return replace(task, weights=_inverted(task.variance(task.by_ball(knowledge.place))))


def _survey(task: _Task) -> tuple[Series, Series, Series]:
    """Look over the usual strike: the best place, and mean and square mean of what could be.

    Every place counts by the odds of what was read there; mean and square mean are those of the
    delivery and the place, shape (7, n).
    """
    best = task.on_face(task.knowledge.place)
    least = np.full(best.shape[1], np.inf)
    weight = np.zeros(best.shape[1])
    mean, square = np.zeros((2, 7, best.shape[1]))
    for toe, high in itertools.product(SPREAD_OUT, SPREAD_OUT):
        aside = task.knowledge.place_sd * np.array([[toe], [high]])
        place = task.on_face(task.knowledge.place + aside)
        here = task.delivery(place)
        misfit = task.misfit(place, here)
        better = misfit < least
        lowest = np.where(better, misfit, least)
        known = np.isfinite(lowest)
        base = np.where(known, lowest, 0.0)
        old = np.where(np.isfinite(least), np.exp(-0.5 * (np.where(known, least, 0.0) - base)), 0.0)
        new = np.where(
            np.isfinite(misfit), np.exp(-0.5 * (np.where(known, misfit, 0.0) - base)), 0.0
        )
        could_be = np.concatenate([here, place])
        could_be = np.where(new > 0.0, could_be, 0.0)
        weight = old * weight + new
        mean = old * mean + new * could_be
        square = old * square + new * could_be * could_be
        best, least = np.where(better, place, best), lowest
    whole = np.where(weight > 0.0, weight, np.nan)
    return best, mean / whole, square / whole


def _descend(task: _Task, place: Series) -> Series:
    """Damped least squares: a step that makes it worse is taken back and tried shorter."""
    damping = np.full(place.shape[1], 1e-3)
    here = task.delivery(place)
    least = task.misfit(place, here)
    for _ in range(ROUNDS):
        step = _step(task, place, here, damping)
        trial = task.on_face(place + step)
        there = task.delivery(trial)
        misfit = task.misfit(trial, there)
        better = misfit <= least
        moved = np.max(np.abs(trial - place) * better, initial=0.0)
        place, here = np.where(better, trial, place), np.where(better, there, here)
        least = np.where(better, misfit, least)
        damping = np.where(better, 0.1 * damping, 10.0 * damping)
        if moved < CLOSE_ENOUGH_M and bool(np.all(better | (damping > 1e3))):
            break
    return place


def _step(task: _Task, place: Series, here: Series, damping: Series) -> Series:
    """One step, shape (2, n); zero where there is nothing to follow."""
    slopes = task.by_place(place, here)
    weighted = np.einsum("ijn,jkn->ikn", task.weights, slopes)
    own = 1.0 / task.knowledge.place_sd**2
    a, d = np.sum(slopes * weighted, axis=0) + own
    b = np.sum(slopes[:, 0] * weighted[:, 1], axis=0)
    pull = np.einsum("ikn,in->kn", weighted, task.knowledge.read - here)
    pull = pull - own * (place - task.knowledge.place)
    a, d = a * (1.0 + damping), d * (1.0 + damping)
    size = a * d - b * b
    step = np.stack([d * pull[0] - b * pull[1], a * pull[1] - b * pull[0]]) / size
    return np.where(np.isfinite(step), step, 0.0)


def _summed_up(task: _Task, place: Series, mean: Series, square: Series) -> Searched:
    """The answer and its uncertainty, by a line laid through it or by the survey."""
    here = task.delivery(place)
    by_place, by_ball = task.by_place(place, here), task.by_ball(place)
    usual = task.knowledge.place_sd**2
    spread = np.einsum("ikn,kn,jkn->ijn", by_place, usual, by_place)
    whole = _inverted(task.variance(by_ball) + spread)
    gain = np.einsum("kn,ikn,ijn->kjn", usual, by_place, whole)
    told = -np.einsum("kjn,jln,ln->kln", gain, by_place, usual)
    for k in range(2):
        told[k, k] += usual[k]
    with_ball = -np.einsum("kjn,jbn,bn->kbn", gain, by_ball, task.ball_variance)
    by_error = 2.0 * np.einsum("ikn,kbn,ibn->in", by_place, with_ball, by_ball) + np.einsum(
        "ibn,bn,ibn->in", by_ball, task.ball_variance, by_ball
    )
    line = np.concatenate(
        [np.einsum("ikn,kln,iln->in", by_place, told, by_place), [told[0, 0], told[1, 1]]]
    )
    answer = np.concatenate([here, place])
    surveyed = square - 2.0 * answer * mean + answer * answer
    variance = np.maximum(line, surveyed)
    variance[:5] += by_error
    sd = np.sqrt(np.maximum(variance, 0.0))
    misfit = task.misfit(place, here)
    other_side = _other_side(task, place, np.sqrt(np.maximum(line[5:], 0.0)), misfit)
    sd[5:] = np.where(other_side, np.maximum(sd[5:], np.abs(place)), sd[5:])
    return Searched(
        delivery=here,
        place=place,
        sd=sd,
        slopes=np.stack([by_place[3, 0], by_place[2, 0], by_place[4, 1], by_place[1, 1]]),
        misfit=misfit,
        other_side=other_side,
        friction_needed=task.found.friction_needed,
    )


def _other_side(task: _Task, place: Series, place_sd: Series, misfit: Series) -> Mask:
    """Whether the mirrored place does as well though the line does not reach it: shape (2, n)."""
    marks = []
    for way in range(2):
        mirror = place.copy()
        mirror[way] = 2.0 * task.knowledge.place[way] - place[way]
        there = task.misfit(mirror, task.delivery(mirror))
        far = np.abs(mirror[way] - place[way]) > 2.0 * place_sd[way]
        marks.append(far & (there < misfit + ALIKE))
    return np.stack(marks)


def _inverted(matrices: Series) -> Series:
    """Inverses of matrices of shape (k, k, n); NaN where one is not finite."""
    turned = matrices.transpose(2, 0, 1)
    good = np.all(np.isfinite(turned), axis=(1, 2))
    inverse = np.full_like(turned, np.nan)
    inverse[good] = np.linalg.inv(turned[good])
    return inverse.transpose(1, 2, 0)


def _times(matrices: Series, vectors: Series) -> Series:
    product: Series = np.einsum("ijn,jn->in", matrices, vectors)
    return product
