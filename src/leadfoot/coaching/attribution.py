"""Why the ball goes farther or straighter: a change shared out over what changed in the swing.

Every ball before the change meets every ball with it. For each such pair all mixtures of the two
swings are struck and flown, one part from this ball, the next from that; the fair shares of the
parts (`leadfoot.coaching.shapley`) are averaged over all pairs. So each block keeps what goes
together in it, such as face and path, and the shares add up exactly. It says why in the flight
model, not in the body.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from leadfoot.coaching.shapley import shares
from leadfoot.errors import InputError

Floats = NDArray[np.float64]
OutcomeName = Literal["carry", "offline", "miss"]
"""Carry; offline, right positive; the average miss, the mean distance from the target line."""

OUTCOMES: tuple[OutcomeName, ...] = ("carry", "offline", "miss")
FEWEST_BALLS = 3
"""Fewer balls on one side have no spread to speak of."""
MOST_BALLS = 300
"""Of more balls on one side an even choice is taken."""
N_DRAWS = 2_000
TAIL = 0.025
"""The range holds a share with 95 % probability."""

Land = Callable[[Floats], tuple[Floats, Floats]]
"""From rows of inputs, shape (p, n), to carry and offline in metres, shape (n,); NaN where none."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Model:
    """What turns a swing into a landing, and how its inputs make up parts.

    Attributes
    ----------
    parts
        Name of each part to the rows of inputs that belong to it.
    land
        The model.
    """

    parts: Mapping[str, tuple[int, ...]]
    land: Land


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Balls:
    """The balls of one side.

    Attributes
    ----------
    rows
        Shape (p, n): inputs of the model; a ball with a NaN is left away.
    carry_m, offline_m
        Shape (n,): where each came down as measured, NaN where it was not. [m]
    """

    rows: Floats
    carry_m: Floats
    offline_m: Floats

    def __len__(self) -> int:
        return int(self.rows.shape[1])

    def only(self, kept: NDArray[np.intp]) -> "Balls":
        """These balls alone."""
        return Balls(
            rows=self.rows[:, kept], carry_m=self.carry_m[kept], offline_m=self.offline_m[kept]
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """What one part does, in metres; the range holds it with 95 % probability."""

    part: str
    value_m: float
    low_m: float
    high_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Split:
    """One outcome, shared out.

    Attributes
    ----------
    before_m, after_m
        Means of the model. [m]
    change
        The change in the model: what the shares add up to.
    shares
        One for each part, in the order of the model.
    unexplained
        What was measured less what the model says; None where the outcome was not measured.
    """

    outcome: OutcomeName
    before_m: float
    after_m: float
    change: Share
    shares: tuple[Share, ...]
    unexplained: Share | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Attribution:
    """All outcomes, shared out, and how many balls that rests on."""

    splits: Mapping[OutcomeName, Split]
    n_before: int
    n_after: int


def attribute(
    before: Balls, after: Balls, model: Model, *, n_draws: int = N_DRAWS, seed: int = 0
) -> Attribution:
    """Share out the change from one side to the other.

    Parameters
    ----------
    before, after
        The balls.
    model
        What lands them.
    n_draws
        Draws behind the ranges.
    seed
        Of the draws: the same balls give the same answer.

    Returns
    -------
    Attribution
        Ranges rest on the balls alone: a mean of n balls is as sure as Student's t says.

    Raises
    ------
    InputError
        If fewer than three balls of one side can be landed.

    Notes
    -----
    The ranges come from weighing the balls anew (the Bayesian bootstrap of D. B. Rubin, Annals of
    Statistics 9:130-134, 1981), each draw stretched by √((n + 1) / χ²) with n - 1 degrees of
    freedom, so that a plain mean gets exactly the spread of Student's t and not the too narrow one
    of the bootstrap.

    Examples
    --------
    >>> fast = Balls(rows=np.array([[40.0, 42, 41]]), carry_m=np.full(3, np.nan),
    ...              offline_m=np.full(3, np.nan))
    >>> slow = Balls(rows=fast.rows - 1.0, carry_m=fast.carry_m, offline_m=fast.offline_m)
    >>> model = Model(parts={"speed": (0,)}, land=lambda rows: (4.0 * rows[0], 0.0 * rows[0]))
    >>> round(attribute(slow, fast, model).splits["carry"].shares[0].value_m, 9)
    4.0
    """
    before, after = _landed(before, model), _landed(after, model)
    for side, name in ((before, "before the change"), (after, "with the change")):
        if len(side) < FEWEST_BALLS:
            raise InputError(
                f"{len(side)} balls {name} can be struck and flown; it takes {FEWEST_BALLS}.",
                fix="Hit more balls, or check what the launch monitor reads.",
            )
    table = _mixtures(before, after, model)
    rng = np.random.default_rng(seed)
    draws = _Draws(
        before=before,
        after=after,
        of_before=_weights(len(before), n_draws, rng),
        of_after=_weights(len(after), n_draws, rng),
    )
    splits = {
        outcome: _split(outcome, model.parts, table[:, k], draws)
        for k, outcome in enumerate(OUTCOMES)
    }
    return Attribution(splits=splits, n_before=len(before), n_after=len(after))


def _landed(side: Balls, model: Model) -> Balls:
    """Only the balls that the model can land; of very many an even choice."""
    good: NDArray[np.bool_] = np.all(np.isfinite(side.rows), axis=0)
    if good.any():
        carry, offline = model.land(side.rows[:, good])
        good[good] = np.isfinite(carry) & np.isfinite(offline)
    kept = np.flatnonzero(good)
    if len(kept) > MOST_BALLS:
        kept = kept[np.linspace(0, len(kept) - 1, MOST_BALLS).round().astype(np.intp)]
    return side.only(kept)


def _mixtures(before: Balls, after: Balls, model: Model) -> Floats:
    """Outcomes of every mixture for every pair, shape (2**d, 3, n_before, n_after).

    A pair with a mixture that can't be struck or flown has no share to give. It takes the mean of
    the others, so that the shares still add up.
    """
    i, j = np.divmod(np.arange(len(before) * len(after)), len(after))
    old, new = before.rows[:, i], after.rows[:, j]
    groups = list(model.parts.values())
    found = np.empty((1 << len(groups), 3, len(i)))
    for mask in range(len(found)):
        rows = old.copy()
        for k, group in enumerate(groups):
            if mask >> k & 1:
                rows[list(group)] = new[list(group)]
        carry, offline = model.land(rows)
        found[mask] = carry, offline, np.abs(offline)
    bad = ~np.isfinite(found).all(axis=(0, 1))
    if bad.any() and not bad.all():
        found[:, :, bad] = found[:, :, ~bad].mean(axis=2, keepdims=True)
    return found.reshape(len(found), 3, len(before), len(after))


def _weights(n: int, n_draws: int, rng: np.random.Generator) -> Floats:
    """Weights of n balls: the even ones first, then one row for each draw."""
    even = np.full((1, n), 1.0 / n)
    drawn = rng.dirichlet(np.ones(n), n_draws)
    stretch = np.sqrt((n + 1.0) / rng.chisquare(n - 1, (n_draws, 1)))
    return np.concatenate([even, even + stretch * (drawn - even)])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Draws:
    """Both sides with the weights of their balls, shape (1 + n_draws, n)."""

    before: Balls
    after: Balls
    of_before: Floats
    of_after: Floats

    def mean(self, table: Floats) -> Floats:
        """Weighted means of values by pair, shape (k, n_before, n_after), as (k, 1 + n_draws)."""
        return np.stack([((self.of_before @ rows) * self.of_after).sum(axis=1) for rows in table])

    def measured_change(self, outcome: OutcomeName) -> Floats | None:
        """Measured change of an outcome by draw; None unless all balls have it."""
        sides = (self.before, self.after)
        values = [side.carry_m if outcome == "carry" else side.offline_m for side in sides]
        if not all(np.isfinite(value).all() for value in values):
            return None
        if outcome == "miss":
            values = [np.abs(value) for value in values]
        return np.asarray(self.of_after @ values[1] - self.of_before @ values[0])


def _split(outcome: OutcomeName, names: Iterable[str], table: Floats, draws: _Draws) -> Split:
    """Share out one outcome, given by mixture and pair, shape (2**d, n_before, n_after)."""
    ends = draws.mean(table[[0, -1]])
    change = ends[1] - ends[0]
    each = draws.mean(shares(table))
    measured = draws.measured_change(outcome)
    return Split(
        outcome=outcome,
        before_m=float(ends[0, 0]),
        after_m=float(ends[1, 0]),
        change=_share("change", change),
        shares=tuple(_share(name, row) for name, row in zip(names, each, strict=True)),
        unexplained=None if measured is None else _share("unexplained", measured - change),
    )


def _share(part: str, draws: Floats) -> Share:
    low, high = np.quantile(draws[1:], (TAIL, 1.0 - TAIL))
    return Share(part=part, value_m=float(draws[0]), low_m=float(low), high_m=float(high))
