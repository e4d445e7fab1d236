"""From odds to words: yes, no, not yet; keep, drop, hit more."""

from dataclasses import dataclass

from leadfoot.evidence.judgement import Claim, Decision, Verdict
from leadfoot.evidence.lesson import Order, Planned, Stage
from leadfoot.evidence.mishits import MishitChange
from leadfoot.evidence.pattern import PatternChange
from leadfoot.evidence.settings import JudgeSettings


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelOdds:
    """What the balls say of one length or speed.

    Attributes
    ----------
    up, down
        Probability that it grew, or fell, by more than is worth talking of.
    up_if_warm
        The first of them if the student was warm at the start; None where that makes no difference.
    above_zero
        Probability that it grew at all.
    n_before, n_after
        Balls with a value on either side.
    warm
        Whether balls to get warm were recorded.
    planned
        The comparison as planned before the change.
    """

    up: float
    down: float
    above_zero: float
    n_before: int
    n_after: int
    up_if_warm: float | None = None
    warm: bool = True
    planned: Planned | None = None

    def stage(self, order: Order) -> Stage:
        """How far the lesson has come in this quantity."""
        return Stage(
            order=order,
            n_before=self.n_before,
            n_after=self.n_after,
            warm=self.warm,
            planned=self.planned,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """All that a decision rests on; None where no ball speaks of it."""

    order: Order
    declared: LevelOdds | None
    club_speed: LevelOdds | None
    """Only where club speed is not itself the declared distance."""
    pattern: PatternChange | None
    n_pattern: tuple[int, int]
    mishits: MishitChange | None
    n_mishits: tuple[int, int]
    planned: Planned | None = None
    """The comparison as planned before the change."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided:
    """The three claims, the decision and the words for why it fell so.

    ``waiting`` tells which claims more balls could still settle.
    """

    longer: Claim
    straighter: Claim
    both: Claim
    decision: Decision
    reasons: tuple[str, ...]
    waiting: tuple[str, ...]


def level_verdict(odds: LevelOdds, shown: float, settings: JudgeSettings) -> Verdict:
    """Whether a length or a speed grew.

    Examples
    --------
    >>> odds = LevelOdds(up=0.99, down=0.0, above_zero=0.995, n_before=10, n_after=5)
    >>> level_verdict(odds, 0.97, JudgeSettings())
    'yes'
    """
    if min(odds.n_before, odds.n_after) < settings.fewest:
        return "not_yet"
    if odds.up > shown:
        return "yes"
    given_up = odds.n_after >= settings.patience and odds.up < settings.given_up
    return "no" if odds.down > settings.loss(shown) or given_up else "not_yet"


def two_sided_verdict(
    better: float, worse: float, fewest: int, shown: float, settings: JudgeSettings
) -> Verdict:
    """Whether a bias or a spread became better, given the odds either way and the fewer balls.

    Examples
    --------
    >>> two_sided_verdict(0.99, 0.01, 4, 0.97, JudgeSettings())
    'not_yet'
    """
    if fewest < settings.fewest:
        return "not_yet"
    if better > shown:
        return "yes"
    return "no" if worse > shown else "not_yet"


@dataclass(frozen=True, slots=True, kw_only=True)
class DirectionShown:
    """Above which odds a direction counts as shown; see `JudgeSettings`."""

    straighter: float
    narrower: float
    nearer: float
    wilder: float

    @classmethod
    def of(cls, settings: JudgeSettings, stage: Stage, *, alone: bool) -> "DirectionShown":
        """The thresholds at this stage, for direction alone or with other claims.

        Examples
        --------
        >>> stage = Stage(order="once", n_before=10, n_after=20)
        >>> DirectionShown.of(JudgeSettings(), stage, alone=True).narrower
        0.958
        """
        return cls(
            straighter=settings.for_direction("straighter", stage, alone=alone),
            narrower=settings.for_direction("narrower", stage, alone=alone),
            nearer=settings.for_direction("nearer", stage, alone=alone),
            wilder=settings.for_direction("wilder", stage, alone=alone),
        )


def straighter_verdict(
    pattern: PatternChange, fewest: int, shown: DirectionShown, settings: JudgeSettings
) -> Verdict:
    """Whether the balls go straighter.

    Either the average miss is clearly smaller; or the pattern is narrower, or its mean clearly
    nearer the target, and the average miss not worse.
    """
    if fewest < settings.fewest:
        return "not_yet"
    part = pattern.narrower > shown.narrower or pattern.nearer_clearly > shown.nearer
    part = part and pattern.misses_less > settings.side_condition
    if pattern.misses_clearly_less > shown.straighter or part:
        return "yes"
    return "no" if pattern.misses_clearly_more > shown.wilder else "not_yet"


def decide(weighed: Weighed, settings: JudgeSettings) -> Decided:
    """Turn the odds into claims and a decision.

    Both claims are asked for at their own threshold and no further correction is made: if either
    claim is false, "both" is false, and its own threshold already bounds how often that one is
    shown (an intersection-union test; R. L. Berger, Technometrics 24:295-300, 1982, from memory).
    For "keep", which holds if either claim does, the thresholds were set together by simulation.
    """
    longer, by_speed = _longer(weighed, settings)
    straighter = _straighter(weighed, settings)
    mishits_shown, doubts = _losses(weighed, settings)
    slower = _is_slower(weighed, settings)
    losses = _chosen(
        shorter=longer.verdict == "no" and _is_shorter(weighed, settings),
        slower=slower,
        wilder=straighter.verdict == "no",
        more_mishits=mishits_shown,
    )
    gains = _chosen(
        longer=longer.verdict == "yes" and not by_speed,
        faster=longer.verdict == "yes" and by_speed,
        straighter=straighter.verdict == "yes",
    )
    hope = straighter.odds is not None and straighter.odds >= settings.hopeless
    settled = longer.verdict == "no" and not hope
    decision, extra = _decision(gains, losses, doubts, settled=settled)
    if decision == "hit_more" and longer.verdict == "not_yet" and _is_cold(weighed, settings):
        extra = (*extra, "cold_start")
    early = _early(weighed, settings)
    said = {"wilder", "maybe_wilder"} & {*losses, *extra}
    wider = _wider(weighed, settings) if longer.verdict == "yes" and not said else ()
    return Decided(
        longer=longer,
        straighter=straighter,
        both=_both(longer, straighter),
        decision=decision,
        reasons=(*early, *gains, *losses, *extra, *wider),
        waiting=tuple(
            word
            for word, claim in (("longer", longer), ("straighter", straighter))
            if claim.verdict == "not_yet" and claim.odds is not None
        ),
    )


def _longer(weighed: Weighed, settings: JudgeSettings) -> tuple[Claim, bool]:
    """The claim "longer", and whether club speed alone carries it."""
    declared, speed = weighed.declared, weighed.club_speed
    shown = _shown(weighed, settings) if declared else 1.0
    verdict = level_verdict(declared, shown, settings) if declared else "not_yet"
    if declared and verdict == "yes":
        return Claim(verdict="yes", odds=declared.above_zero), False
    if speed:
        faster = level_verdict(speed, settings.speed(speed.stage(weighed.order)), settings)
        not_against = declared is None or declared.above_zero >= settings.not_against
        if faster == "yes" and not_against:
            return Claim(verdict="yes", odds=speed.above_zero), True
        if _is_slower(weighed, settings):
            verdict = "no"
        elif (
            verdict == "no"
            and speed.up >= 0.5
            and declared
            and declared.down <= settings.loss(shown)
        ):
            verdict = "not_yet"
        if declared is None:
            return Claim(verdict=faster, odds=speed.above_zero), False
    return Claim(verdict=verdict, odds=declared.above_zero if declared else None), False


def _straighter(weighed: Weighed, settings: JudgeSettings) -> Claim:
    if weighed.pattern is None:
        return Claim(verdict="not_yet", odds=None)
    shown = direction_shown(weighed, settings)
    verdict = straighter_verdict(weighed.pattern, min(weighed.n_pattern), shown, settings)
    return Claim(verdict=verdict, odds=weighed.pattern.misses_less)


def direction_shown(weighed: Weighed, settings: JudgeSettings) -> DirectionShown:
    """The thresholds of direction in this lesson."""
    alone = weighed.declared is None and weighed.club_speed is None
    n_before, n_after = weighed.n_pattern
    stage = Stage(order=weighed.order, n_before=n_before, n_after=n_after, planned=weighed.planned)
    return DirectionShown.of(settings, stage, alone=alone)


def _both(longer: Claim, straighter: Claim) -> Claim:
    """Both claims; the odds multiply since the two are weighed from separate quantities."""
    verdicts = {longer.verdict, straighter.verdict}
    odds = None
    if longer.odds is not None and straighter.odds is not None:
        odds = longer.odds * straighter.odds
    if "no" in verdicts:
        return Claim(verdict="no", odds=odds)
    return Claim(verdict="yes" if verdicts == {"yes"} else "not_yet", odds=odds)


def _is_shorter(weighed: Weighed, settings: JudgeSettings) -> bool:
    odds = weighed.declared or weighed.club_speed
    enough = odds is not None and min(odds.n_before, odds.n_after) >= settings.fewest
    return odds is not None and enough and odds.down > settings.loss(_shown(weighed, settings))


def _shown(weighed: Weighed, settings: JudgeSettings) -> float:
    """The threshold of the declared distance, or of club speed where there is no other."""
    odds = weighed.declared or weighed.club_speed
    if odds is None:
        return 1.0
    beside_speed = weighed.club_speed is not None and weighed.declared is not None
    return settings.distance(odds.stage(weighed.order), beside_speed=beside_speed)


def _is_cold(weighed: Weighed, settings: JudgeSettings) -> bool:
    """Whether a gain would be shown but for the cold start that it may be."""
    speed = weighed.club_speed
    faster = settings.speed(speed.stage(weighed.order)) if speed else 1.0
    return any(
        odds is not None
        and odds.up_if_warm is not None
        and min(odds.n_before, odds.n_after) >= settings.fewest
        and odds.up <= shown < odds.up_if_warm
        for odds, shown in (
            (weighed.declared, _shown(weighed, settings)),
            (speed, faster),
        )
    )


def _is_slower(weighed: Weighed, settings: JudgeSettings) -> bool:
    """Whether club speed alone shows the loss: the mirror image of "faster".

    Length itself may tell it first; then the answer says "shorter".
    """
    declared, speed = weighed.declared, weighed.club_speed
    if speed is None or declared is None or _is_shorter(weighed, settings):
        return False
    shown = settings.loss(settings.speed(speed.stage(weighed.order)))
    enough = min(speed.n_before, speed.n_after) >= settings.fewest
    return enough and speed.down > shown and declared.above_zero < 1.0 - settings.not_against


def _losses(weighed: Weighed, settings: JudgeSettings) -> tuple[bool, tuple[str, ...]]:
    """Whether more mishits are shown, and every loss that is likely enough to wait for."""
    pattern, mishits, declared = weighed.pattern, weighed.mishits, weighed.declared
    enough = mishits is not None and min(weighed.n_mishits) >= settings.fewest
    more = mishits.odds_more if mishits and enough else 0.0
    wilder = pattern.misses_clearly_more if pattern else 0.0
    shorter = declared.down if declared else 0.0
    doubts = tuple(
        word
        for word, odds, limit in (
            ("maybe_shorter", shorter, settings.doubt_shorter),
            ("maybe_wilder", wilder, settings.doubt_wilder),
            ("maybe_more_mishits", more, settings.doubt_mishits),
        )
        if odds > limit
    )
    return more > settings.shown_mishits, doubts


def _wider(weighed: Weighed, settings: JudgeSettings) -> tuple[str, ...]:
    """More length and more spread: said as plainly as the gain, whatever is decided."""
    pattern = weighed.pattern
    if pattern is None or min(weighed.n_pattern) < settings.fewest:
        return ()
    if 1.0 - pattern.narrower > direction_shown(weighed, settings).wilder:
        return ("wider",)
    return ("maybe_wider",) if pattern.wider_clearly > settings.doubt_wilder else ()


def _decision(
    gains: tuple[str, ...], losses: tuple[str, ...], doubts: tuple[str, ...], *, settled: bool
) -> tuple[Decision, tuple[str, ...]]:
    """Weigh gains against losses: a loss that is shown ends it, one that is likely makes it wait.

    Only straighter at the price of length is left to the coach, as a trade.
    """
    if gains and losses in {("shorter",), ("slower",)}:
        return "hit_more", ("trade",)
    if losses:
        return "drop", ()
    if gains:
        return ("hit_more", doubts) if doubts else ("keep", ())
    return ("drop", ("not_worth_it",)) if settled else ("hit_more", ())


def _chosen(**words: bool) -> tuple[str, ...]:
    return tuple(word for word, holds in words.items() if holds)


def _early(weighed: Weighed, settings: JudgeSettings) -> tuple[str, ...]:
    levels = [odds for odds in (weighed.declared, weighed.club_speed) if odds]
    counts = [(odds.n_before, odds.n_after) for odds in levels]
    if weighed.pattern:
        counts.append(weighed.n_pattern)
    if not counts:
        return ("no_comparison",)
    return ("too_early",) if all(min(pair) < settings.fewest for pair in counts) else ()
