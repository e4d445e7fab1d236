"""Push and speed of one lesson: how the balls go with the push, and the model's estimate beside."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from leadfoot.coaching.push_speed import PushedShots, PushLinks, push_links
from leadfoot.desk.linking import shot_in
from leadfoot.desk.recordings import Found
from leadfoot.desk.records import StoredShot
from leadfoot.errors import InputError, LeadfootError
from leadfoot.ground.swing_numbers import numbers_of
from leadfoot.physics.push import CAUTIONS, Worth, trace_worth
from leadfoot.physics.rise import com_rise

PUSHES: Final = ("lead_peak_share", "lead_peak_before_impact", "lead_impulse")
"""How hard, how early, how much in all."""
OUTCOMES: Final = ("club_speed", "ball_speed", "carry")
AFTER_STRIKE_S: Final = 0.1
QUIET_S: Final = 0.3
"""How long before the first movement the weight is taken for the model (own choice). [s]"""
ESTIMATE: Final = (
    "A model's estimate of what the recorded rise of the body is worth; not measured, no promise."
)
NO_PROOF: Final = (
    "Within this student only. A link is no proof that a harder push makes the speed: what else "
    "changed from ball to ball may make both."
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PushView:
    """What the page says of push and speed."""

    n_linked: int
    """Balls with a recording that both count."""
    links: PushLinks | None
    waiting_for: str
    """What is missing; empty where there are links."""
    no_proof: str = NO_PROOF


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ModelEstimate:
    """What the model of the swing makes of one recording."""

    place: int
    """Of the recording in its lesson."""
    club_key: str
    worth: Worth
    flags: tuple[str, ...]
    said: str = ESTIMATE
    cautions: tuple[str, ...] = CAUTIONS


def push_view(founds: Sequence[Found], shots: Sequence[StoredShot]) -> PushView:
    """How outcomes go with the push, over the balls of a lesson that have a recording."""
    pairs = linked_pairs(founds, shots)
    try:
        links = push_links(pushed_shots(pairs))
    except InputError as error:
        return PushView(n_linked=len(pairs), links=None, waiting_for=str(error))
    waiting = "" if links.within or links.between else "Link more balls to their recordings."
    return PushView(n_linked=len(pairs), links=links if not waiting else None, waiting_for=waiting)


def linked_pairs(
    founds: Sequence[Found], shots: Sequence[StoredShot]
) -> list[tuple[Found, StoredShot]]:
    """Recordings with their balls, in hitting order, where both count."""
    pairs = []
    for found in founds:
        shot = shot_in(shots, found.stored.shot_id)
        if shot is not None and shot.left_out_reason is None and found.counts:
            pairs.append((found, shot))
    return sorted(pairs, key=lambda pair: pair[1].place)


def pushed_shots(pairs: Sequence[tuple[Found, StoredShot]]) -> PushedShots:
    """Measures of the push and outcomes of the balls, ball by ball; NaN where missing.

    Raises
    ------
    InputError
        If no ball has a recording, or none has a speed or a carry.
    """
    numbers = [
        {one.key: one.value for one in numbers_of(found.swing)} if found.swing else {}
        for found, _ in pairs
    ]
    push = {key: np.array([one.get(key, np.nan) for one in numbers]) for key in PUSHES}
    outcome = {
        key: np.array([shot.values[key].si if key in shot.values else np.nan for _, shot in pairs])
        for key in OUTCOMES
    }
    return PushedShots(
        block=tuple(str(shot.block_id) for _, shot in pairs),
        push={key: values for key, values in push.items() if np.isfinite(values).any()},
        outcome={key: values for key, values in outcome.items() if np.isfinite(values).any()},
    )


def model_estimate(found: Found, shot: StoredShot | None, *, club_key: str) -> ModelEstimate:
    """What the recorded push is worth in club speed by the model of the swing.

    Parameters
    ----------
    found
        A recording with its strike.
    shot
        The ball of it, with its club speed.
    club_key
        Key of the generic club that stands for the student's.

    Raises
    ------
    InputError
        If strike, club speed or downswing are missing.
    """
    swing, recording = found.swing, found.recording
    if swing is None or recording is None or swing.impact is None:
        raise InputError(
            f"Recording {found.stored.place} has no strike.",
            fix="Set it on the trace, or by the launch monitor's time.",
        )
    if shot is None or "club_speed" not in shot.values:
        raise InputError(
            f"Recording {found.stored.place} is linked to no ball with a club speed.",
            fix="Link it to its ball.",
        )
    strike_s, move_s = swing.impact.time_s, swing.phases.first_move_s
    first_s = max(float(recording.time_s[0]), move_s - QUIET_S)
    try:
        rise = com_rise(
            recording.time_s,
            recording.vertical_n,
            quiet_from_s=first_s,
            quiet_to_s=move_s,
            until_s=min(strike_s + AFTER_STRIKE_S, float(recording.time_s[-1])),
        )
        worth = trace_worth(
            shot.values["club_speed"].si,
            rise,
            strike_s,
            rng=np.random.default_rng(found.stored.id),
            club_key=club_key,
        )
    except LeadfootError as error:
        raise InputError(error.what, fix=error.fix) from error
    return ModelEstimate(place=found.stored.place, club_key=club_key, worth=worth, flags=rise.flags)
