"""What limits a student most: kinds of faults, each with its cost, its odds and its words.

The catalogue (`leadfoot.coaching.rules`) says what a fault is; this file weighs the balls against
it. The odds that a fault is truly there take the spread from ball to ball, the monitor's errors,
the few balls and what is usual among students together; the cost is what the same balls would gain
in the impact and flight model with that one part mended.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from leadfoot.coaching.attribution import TAIL
from leadfoot.coaching.block import Block
from leadfoot.coaching.measures import Values, values_of
from leadfoot.coaching.repairs import GRID, Fault, gains
from leadfoot.coaching.rules import Rule, rules
from leadfoot.coaching.two_groups import TwoGroups, two_groups
from leadfoot.evidence.mishits import PRIOR_MISHITS, PRIOR_SOLID

Floats = NDArray[np.float64]

STANDS_FROM = 0.7
"""Odds from which a finding is told. House rule, checked on simulated students."""
WORTH_M = 3.0 * 0.9144
"""A finding that costs less is not worth a lesson: 3 yd. House rule, no source. [m]"""
MISS_WEIGHT = 2.0
"""A yard nearer the line counts as so many of carry. Between players 20 yd of drive are worth some
1.6 strokes a round and one degree of direction, 3 yd of average miss, some 1.2 (shoots 90; M.
Broadie, Every Shot Counts, 2014, from memory, LOW confidence), which makes about 5; 2 is careful.
[-]"""
N_DRAWS = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """What a fault takes, in metres; the range holds it with 95 %. Negative: it gives."""

    value_m: float
    low_m: float
    high_m: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Finding:
    """One thing that limits the student.

    Attributes
    ----------
    rule
        Its kind, with the words.
    estimate
        Middle, spread, share or distance of two groups, as seen, SI.
    likely, likely_sd
        The same with what is usual and the errors weighed in. SI
    side
        1 above the usual, -1 below it.
    odds
        Chance that it is truly beyond what a coach would call a fault.
    carry, miss
        What it costs in carry, and in average miss of the target line.
    severity_m
        What it is ranked by: odds times costs, a metre of miss counted `MISS_WEIGHT` times. [m]
    balls
        The number of each ball, SI, for the picture.
    usual, fault_from
        What is usual, and from where on it is a fault, as levels in SI.
    """

    rule: Rule
    estimate: float
    likely: float
    likely_sd: float
    side: int
    odds: float
    carry: Cost
    miss: Cost
    severity_m: float
    balls: Floats
    usual: float
    fault_from: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Miss:
    """What the average miss is made of: bias against spread.

    Attributes
    ----------
    bias_m, bias_sd_m
        Where the solid balls finish on average, right positive, and how unsure that is. [m]
    spread_m
        Standard deviation from ball to ball. [m]
    bias_share
        Share of the bias in the mean square of offline, its own uncertainty taken off. [-]
    """

    bias_m: float
    bias_sd_m: float
    spread_m: float
    bias_share: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Findings:
    """All that stands out, the most costly first.

    Attributes
    ----------
    found
        Findings whose odds and cost are large enough.
    behind
        Those that a finding in front explains.
    looked_at
        Rules that these readings could answer.
    not_told
        Rules that they could not.
    miss
        Bias against spread.
    n_balls, n_solid, n_mishits
        Balls of the block; solid ones; mishits.
    """

    found: tuple[Finding, ...]
    behind: tuple[Finding, ...]
    looked_at: tuple[Rule, ...]
    not_told: tuple[Rule, ...]
    miss: Miss
    n_balls: int
    n_solid: int
    n_mishits: int


def find(block: Block, catalogue: Mapping[str, Rule] | None = None, *, seed: int = 0) -> Findings:
    """Look for everything in the catalogue, and rank what stands out.

    Parameters
    ----------
    block
        Balls hit as usual.
    catalogue
        The rules; those of the program if not given.
    seed
        Of the draws behind the ranges.

    Examples
    --------
    >>> from leadfoot.coaching.block import block_of
    >>> from leadfoot.physics.clubs import club
    >>> speeds = np.array([40.0, 41, 40, 39, 41, 40, 40, 41])
    >>> found = find(block_of({"club_speed_mps": speeds}, club("driver"), goal_speed_mps=46.0))
    >>> [one.rule.key for one in found.found]
    ['speed_short']
    """
    rng = np.random.default_rng(seed)
    known = rules() if catalogue is None else catalogue
    read = {rule.key: _values(rule, block) for rule in known.values()}
    looked = tuple(rule for rule in known.values() if read[rule.key] is not None)
    found = [
        one
        for rule in looked
        if (values := read[rule.key]) is not None
        and (one := _finding(rule, values, block, rng)) is not None
    ]
    ranked = sorted(found, key=lambda one: -one.severity_m)
    covered = {key for one in ranked for key in one.rule.covers}
    return Findings(
        found=tuple(one for one in ranked if one.rule.key not in covered),
        behind=tuple(one for one in ranked if one.rule.key in covered),
        looked_at=looked,
        not_told=tuple(rule for rule in known.values() if _wanting(rule, block)),
        miss=_miss(block),
        n_balls=block.n_given,
        n_solid=int(block.rows.shape[1]),
        n_mishits=int(block.mishit.sum()),
    )


def _applies(rule: Rule, block: Block) -> bool:
    return block.depth in rule.depths and block.club.club_class in rule.classes


def _wanting(rule: Rule, block: Block) -> bool:
    """Whether the rule is for this club, and only readings are wanting."""
    needs_more = not set(rule.needs) <= block.known and not set(rule.unless) & block.known
    of_club = block.club.club_class in rule.classes
    return of_club and needs_more and "explained" in rule.depths


def _values(rule: Rule, block: Block) -> Values | None:
    if not _applies(rule, block) or not set(rule.needs) <= block.known:
        return None
    return None if set(rule.unless) & block.known else values_of(rule.measure, block)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Likely:
    """What a statistic truly is: as seen, middle and sd of the odds, side, odds of a fault."""

    seen: float
    middle: float
    sd: float
    side: int
    odds: float
    fault_from: float
    target: float
    groups: TwoGroups | None = None


def _finding(rule: Rule, values: Values, block: Block, rng: np.random.Generator) -> Finding | None:
    likely = _LIKELY[rule.statistic](rule, values, block)
    if likely is None or likely.odds < STANDS_FROM:
        return None
    fault = Fault(rule=rule, estimate=likely.seen, target=likely.target, groups=likely.groups)
    carry, miss = _costs(block, fault, likely, rng)
    whole_m = _counted(carry.value_m, miss.value_m, rule)
    if whole_m < WORTH_M:
        return None
    return Finding(
        rule=rule,
        estimate=likely.seen,
        likely=likely.middle,
        likely_sd=likely.sd,
        side=likely.side,
        odds=likely.odds,
        carry=carry,
        miss=miss,
        severity_m=likely.odds * whole_m,
        balls=values.balls,
        usual=rule.of(rule.usual, block.club.club_class),
        fault_from=likely.fault_from,
    )


def _counted(carry_m: float, miss_m: float, rule: Rule) -> float:
    """The cost that a finding is ranked by; what it gives on the other account is not set off."""
    longer = max(carry_m, 0.0) if rule.costs != "straightness" else 0.0
    nearer = max(miss_m, 0.0) if rule.costs != "length" else 0.0
    return longer + MISS_WEIGHT * nearer


def _mean(rule: Rule, values: Values, block: Block) -> _Likely | None:
    """A middle: normal, with what is usual among students as the prior."""
    club_class = block.club.club_class
    n = len(values.balls)
    seen = float(values.balls.mean())
    sampling = float(values.balls.std(ddof=1)) / np.sqrt(n) * np.sqrt((n - 1.0) / (n - 3.0))
    se = float(np.hypot(max(sampling, values.error / np.sqrt(n)), rule.setup_doubt))
    usual = rule.of(rule.usual, club_class)
    trust = rule.usual_sd**2 / (rule.usual_sd**2 + se**2)
    middle, sd = usual + trust * (seen - usual), float(np.sqrt(trust)) * se
    side = 1 if middle >= usual else -1
    if (rule.side == "more" and side < 0) or (rule.side == "less" and side > 0):
        return None
    limit = usual + side * rule.of(rule.fault_from, club_class)
    odds = float(stats.norm.cdf(side * (middle - limit) / sd))
    target = rule.of(rule.target, club_class)
    return _Likely(
        seen=seen, middle=middle, sd=sd, side=side, odds=odds, fault_from=limit, target=target
    )


def _spread(rule: Rule, values: Values, block: Block) -> _Likely | None:
    """A spread with the monitor's error taken off: log-normal, the usual one as the prior."""
    club_class = block.club.club_class
    freedom = len(values.balls) - 1.0
    seen = float(values.balls.std(ddof=1))
    own = float(np.sqrt(max(seen**2 - values.error**2, (0.1 * seen) ** 2)))
    widened = (seen / own) ** 2
    variance = 0.5 / freedom * widened**2
    usual = rule.of(rule.usual, club_class)
    trust = rule.usual_sd**2 / (rule.usual_sd**2 + variance)
    middle = float(np.log(usual) + trust * np.log(own / usual))
    sd = float(np.sqrt(trust * variance))
    limit = rule.of(rule.fault_from, club_class)
    odds = float(stats.norm.cdf((middle - np.log(limit)) / sd))
    level = float(np.exp(middle))
    target = min(rule.of(rule.target, club_class), level)
    return _Likely(
        seen=own, middle=level, sd=sd * level, side=1, odds=odds, fault_from=limit, target=target
    )


def _share(rule: Rule, values: Values, block: Block) -> _Likely | None:
    """A share of the balls: beta, with the mishits of `leadfoot.evidence` as the prior."""
    n, hits = len(values.balls), float(values.balls.sum())
    if not hits:
        return None
    after = stats.beta(PRIOR_MISHITS + hits, PRIOR_SOLID + n - hits)
    limit = rule.of(rule.fault_from, block.club.club_class)
    return _Likely(
        seen=hits / n,
        middle=float(after.mean()),
        sd=float(after.std()),
        side=1,
        odds=float(after.sf(limit)),
        fault_from=limit,
        target=min(rule.of(rule.target, block.club.club_class), hits / n),
    )


def _two(rule: Rule, values: Values, block: Block) -> _Likely | None:
    """Two groups, if they lie far enough apart to be called two patterns."""
    groups = two_groups(values.balls, values.error)
    limit = rule.of(rule.fault_from, block.club.club_class)
    if groups.apart < limit:
        return None
    error = float(values.balls.std(ddof=1)) / np.sqrt(len(values.balls))
    return _Likely(
        seen=groups.apart,
        middle=groups.apart,
        sd=error,
        side=1,
        odds=groups.odds,
        fault_from=limit,
        target=0.0,
        groups=groups,
    )


_LIKELY = {"mean": _mean, "spread": _spread, "share": _share, "two": _two}


def _costs(
    block: Block, fault: Fault, likely: _Likely, rng: np.random.Generator
) -> tuple[Cost, Cost]:
    """Costs over draws of what is truly there and of which balls stand for the student's own."""
    longer, nearer = gains(block, fault)
    truth = np.concatenate([[likely.middle], rng.normal(likely.middle, likely.sd, N_DRAWS)])
    part = np.clip(_part(fault, truth), GRID[0], GRID[-1])
    n = longer.shape[1]
    weights = np.concatenate([np.full((1, n), 1.0 / n), rng.dirichlet(np.ones(n), N_DRAWS)])
    return _cost(longer, part, weights), _cost(nearer, part, weights)


def _part(fault: Fault, truth: Floats) -> Floats:
    """How much of the whole repair each truth asks for."""
    if fault.rule.statistic == "spread":
        whole = 1.0 - fault.target / fault.estimate
        return (1.0 - fault.target / np.maximum(truth, 1e-9)) / (whole or 1.0)
    whole = fault.estimate - fault.target
    return (truth - fault.target) / (whole or 1.0)


def _cost(table: Floats, part: Floats, weights: Floats) -> Cost:
    """Weighted means at these parts of the repair: straight lines between those flown."""
    good = np.isfinite(table).all(axis=0)
    if not good.any():
        return Cost(value_m=0.0, low_m=0.0, high_m=0.0)
    kept = weights[:, good] / weights[:, good].sum(axis=1, keepdims=True)
    means = kept @ table[:, good].T
    at = np.clip(np.searchsorted(GRID, part, side="right") - 1, 0, len(GRID) - 2)
    grid = np.array(GRID)
    along = (part - grid[at]) / (grid[at + 1] - grid[at])
    row = np.arange(len(part))
    draws = (1.0 - along) * means[row, at] + along * means[row, at + 1]
    low, high = np.quantile(draws[1:], (TAIL, 1.0 - TAIL))
    return Cost(value_m=float(draws[0]), low_m=float(low), high_m=float(high))


def _miss(block: Block) -> Miss:
    """Bias against spread, over the solid balls."""
    offline_m = block.all_offline_m[~block.mishit & np.isfinite(block.all_offline_m)]
    n = len(offline_m)
    bias_m, spread_m = float(offline_m.mean()), float(offline_m.std(ddof=1))
    square = max(bias_m**2 - spread_m**2 / n, 0.0)
    return Miss(
        bias_m=bias_m,
        bias_sd_m=spread_m / float(np.sqrt(n)),
        spread_m=spread_m,
        bias_share=square / (square + spread_m**2) if square + spread_m > 0.0 else 0.0,
    )


def key_list(found: Sequence[Finding]) -> tuple[str, ...]:
    """Keys of some findings, in their order."""
    return tuple(one.rule.key for one in found)
