"""What today's balls say of each quantity, before anything is decided."""

from dataclasses import dataclass, field

from leadfoot.evidence.change import LevelChange, levels_together
from leadfoot.evidence.cold import if_cold
from leadfoot.evidence.judgement import LessonShots, Track
from leadfoot.evidence.lesson import Order, Planned, Seen, Stage, order_of_blocks, seen
from leadfoot.evidence.mishits import MishitChange, mishit_change
from leadfoot.evidence.pattern import PatternChange, pattern_change

MISHITS_SEEN_IN = ("carry", "total", "ball_speed", "smash_factor")
"""Quantities in which a mishit shows, the clearest first; in club speed it does not."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Posteriors:
    """One posterior for each quantity that has balls before and with the change.

    Attributes
    ----------
    order
        How the blocks follow each other.
    seen
        The balls of each quantity.
    levels, patterns
        Lengths and speeds; directions.
    mishits, mishits_from
        Shares of mishits, and the quantity in which they were seen; None where none shows them.
    """

    order: Order
    seen: dict[str, Seen]
    levels: dict[str, LevelChange]
    patterns: dict[str, PatternChange]
    mishits: MishitChange | None
    mishits_from: str | None
    planned: Planned | None = None
    """The comparison as planned before the change."""
    cold: dict[str, LevelChange] = field(default_factory=dict)
    """The levels whose first balls rise, weighed anew with a large cold start thought possible."""

    def counts(self, key: str | None) -> tuple[int, int]:
        """Balls with a value before and with the change; zeros where nothing can be compared."""
        balls = self.seen.get(key) if key else None
        return (balls.n_before, balls.n_after) if balls else (0, 0)

    def stage(self, key: str) -> Stage:
        """How far the lesson has come in one quantity."""
        return Stage.of(self.seen[key], self.order, self.planned)


def posteriors(lesson: LessonShots) -> Posteriors:
    """Weigh every track that has balls on both sides.

    Examples
    --------
    >>> import numpy as np
    >>> from leadfoot.evidence.judgement import Track, UsualSpread
    >>> carry = Track(quantity="carry", values=np.array([200.0, 204.0, 199.0, 207.0]), aim="more",
    ...               usual=UsualSpread(sd=7.0))
    >>> found = posteriors(LessonShots(
    ...     with_change=np.arange(4) >= 2, ball_number=np.arange(4.0), tracks={"carry": carry},
    ...     declared_distance="carry", declared_direction=None))
    >>> found.counts("carry"), found.mishits_from
    ((2, 2), 'carry')
    """
    balls = {key: seen(lesson, track) for key, track in lesson.tracks.items()}
    balls = {key: value for key, value in balls.items() if value.fewest > 0}
    tracks = {key: lesson.tracks[key] for key in balls}
    levels = _levels(balls, {key: one for key, one in tracks.items() if one.aim == "more"})
    patterns = {
        key: pattern_change(balls[key], track.usual)
        for key, track in tracks.items()
        if track.aim == "nearer_zero"
    }
    source = _mishit_source(lesson, levels)
    mishits = None
    if source is not None:
        mishits = mishit_change(levels[source].mishit, balls[source].with_change)
    return Posteriors(
        order=order_of_blocks(lesson.with_change),
        seen=balls,
        levels=levels,
        patterns=patterns,
        mishits=mishits,
        mishits_from=source,
        planned=None if lesson.planned is None else Planned.of(lesson.planned),
        cold={
            key: cold
            for key, change in levels.items()
            if (cold := if_cold(balls[key], tracks[key].usual, change)) is not None
        },
    )


def _levels(balls: dict[str, Seen], tracks: dict[str, Track]) -> dict[str, LevelChange]:
    """Every length and speed; those that were seen on the same balls are weighed together."""
    together: dict[bytes, list[str]] = {}
    for key in tracks:
        together.setdefault(balls[key].ball_number.tobytes(), []).append(key)
    found: dict[str, LevelChange] = {}
    for keys in together.values():
        changes = levels_together([balls[key] for key in keys], [tracks[key].usual for key in keys])
        found |= dict(zip(keys, changes, strict=True))
    return {key: found[key] for key in tracks}


def _mishit_source(lesson: LessonShots, levels: dict[str, LevelChange]) -> str | None:
    candidates = (lesson.declared_distance, *MISHITS_SEEN_IN)
    return next((key for key in candidates if key in levels and key in MISHITS_SEEN_IN), None)
