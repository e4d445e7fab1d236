"""Impact, inverse: from a ball and what is known of the club to the delivery that explains them."""

from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import ArrayLike, NDArray

from leadfoot.errors import OutOfRangeError
from leadfoot.physics.ball import STANDARD_BALL, Ball
from leadfoot.physics.clubs import Club
from leadfoot.physics.delivery import DELIVERY_RANGES, Deliveries, Hand, mirrored
from leadfoot.physics.explanation import EXPLAINED_FLAGS, Explained, Explanation, one_of
from leadfoot.physics.launch import LAUNCH_RANGES, Launch
from leadfoot.physics.monitor import USUAL, MonitorErrors, Usual
from leadfoot.physics.strike_search import Knowledge, Searched, search
from leadfoot.physics.unstrike import GRIP_SLACK, Bodies

Series = NDArray[np.float64]
Mask = NDArray[np.bool_]

NOT_TOLD_SHARE = 0.7
"""A strike is not told where the readings leave more than this share of what was assumed of it:
they have then halved its variance at best. Our own rule. [-]"""

MISFIT = 24.3
"""Readings and usual swing lie so far off together (sum of squares in standard deviations) by luck
in 1 of 1,000 shots, if seven of them count: chi-square. [-]"""

_READ = (
    "club_speed_mps",
    "attack_angle_rad",
    "club_path_rad",
    "face_angle_rad",
    "dynamic_loft_rad",
)
_FREE = 1e3
"""Standard deviation of what is not known at all, in m/s or rad: nothing weighs against it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What is known of the club, one number or one for each shot; NaN or nothing: not known.

    Attributes
    ----------
    club_speed_mps, attack_angle_rad, club_path_rad, face_angle_rad, dynamic_loft_rad
        As in `Delivery`. [m/s], [rad], [rad], [rad], [rad]
    strike_heel_toe_m, strike_high_low_m
        As in `Delivery`. [m], [m]

    Examples
    --------
    >>> Known(club_speed_mps=42.0).attack_angle_rad
    nan
    """

    club_speed_mps: ArrayLike = float("nan")
    attack_angle_rad: ArrayLike = float("nan")
    club_path_rad: ArrayLike = float("nan")
    face_angle_rad: ArrayLike = float("nan")
    dynamic_loft_rad: ArrayLike = float("nan")
    strike_heel_toe_m: ArrayLike = float("nan")
    strike_high_low_m: ArrayLike = float("nan")

    def __post_init__(self) -> None:
        for name, (low, high) in DELIVERY_RANGES.items():
            values = np.atleast_1d(np.asarray(getattr(self, name), dtype=np.float64))
            wrong = values[~np.isnan(values) & ~((values >= low) & (values <= high))]
            if wrong.size:
                plain = name.rsplit("_", 1)[0].replace("_", " ").capitalize()
                raise OutOfRangeError(
                    f"{plain} is {wrong[0]:g}; the impact model takes {low:g} to {high:g} "
                    f"{name.rsplit('_', 1)[1]}.",
                    fix="Check the value and its unit, or leave it out.",
                )


NOTHING_KNOWN = Known()
"""A monitor that sees only the ball."""


def explain_many(
    ball_speed_mps: ArrayLike,
    launch_angle_rad: ArrayLike,
    spin_rate_radps: ArrayLike,
    launch_direction_rad: ArrayLike = float("nan"),
    spin_axis_rad: ArrayLike = float("nan"),
    *,
    club: Club,
    known: Known = NOTHING_KNOWN,
    hand: Hand = "right",
    ball: Ball = STANDARD_BALL,
    extra_spin_share: float = 0.0,
    errors: MonitorErrors | None = None,
    usual: Usual | None = None,
) -> Explained:
    """Find the deliveries that make these balls.

    Parameters
    ----------
    ball_speed_mps, launch_angle_rad, spin_rate_radps
        As in `Launch`, shape (n,) each. [m/s], [rad], [rad/s]
    launch_direction_rad, spin_axis_rad
        As in `Launch`; NaN where not measured: zero is taken and flagged. [rad], [rad]
    club
        The head.
    known
        What is known of the club's delivery.
    hand, ball, extra_spin_share
        As in `strike`.
    errors, usual
        What a reading may be off by, and what is taken where there is none; by default those of
        `MonitorErrors` and of the class of the club.

    Returns
    -------
    Explained
        Sent forward, each delivery gives exactly the measured ball (to 1e-9), or its numbers are
        NaN and its flags say why there is none.

    Notes
    -----
    A ball and a place on the face leave one delivery, found without a search (`unstrike`). So only
    the place is looked for: the one for which speed, attack, path, face and loft lie nearest to
    what was read of them and to the usual swing, each in its own uncertainty, that of the ball's
    readings included. The spread around it is that of a linear model there; the measured ball
    itself is not moved.

    Examples
    --------
    >>> from leadfoot.physics.clubs import club
    >>> found = explain_many(58.2, 0.325, 540.0, 0.02, 0.05, club=club("iron7"),
    ...                      known=Known(club_speed_mps=42.0, attack_angle_rad=0.0))
    >>> found.delivery.dynamic_loft_rad.round(3), found.delivery.face_angle_rad.round(3)
    (array([0.404]), array([0.025]))
    """
    given = _arrays(
        (ball_speed_mps, launch_angle_rad, launch_direction_rad, spin_rate_radps, spin_axis_rad),
        known,
    )
    side = float(mirrored(1.0, hand))
    errors = MonitorErrors() if errors is None else errors
    usual = USUAL[club.club_class] if usual is None else usual
    balls, ball_sd = _balls(given[:5], side, errors, usual)
    knowledge = _knowledge(given[5:], side, errors, usual)
    usable = _inside(balls)
    kept = Knowledge(**{f.name: getattr(knowledge, f.name)[:, usable] for f in fields(knowledge)})
    bodies = Bodies(club=club, ball=ball, extra_spin_share=extra_spin_share)
    searched = search(balls[:, usable], ball_sd[:, usable], kept, bodies)
    marks = _doubts(searched, kept, club, errors)
    return _explained(usable, searched, marks, np.isnan(given), side=side)


def _arrays(balls: tuple[ArrayLike, ...], known: Known) -> Series:
    """All that was given, shape (12, n): the ball's five numbers, the club's seven."""
    club_given = [getattr(known, name) for name in (*_READ, *list(DELIVERY_RANGES)[5:])]
    arrays = [np.atleast_1d(np.asarray(a, dtype=np.float64)) for a in (*balls, *club_given)]
    return np.stack(np.broadcast_arrays(*arrays))


def _balls(
    given: Series, side: float, errors: MonitorErrors, usual: Usual
) -> tuple[Series, Series]:
    """The balls as a right-hander's, and their uncertainty, shape (5, n) each."""
    balls = given.copy()
    sd = np.empty_like(balls)
    sd[0] = errors.ball_speed_share * balls[0]
    sd[1] = errors.launch_angle_sd_rad
    sd[2] = np.where(np.isnan(balls[2]), usual.direction_sd_rad, errors.launch_direction_sd_rad)
    sd[3] = errors.spin_rate_share * balls[3] + errors.spin_rate_floor_radps
    sd[4] = np.where(np.isnan(balls[4]), usual.axis_sd_rad, errors.spin_axis_sd_rad)
    for row in (2, 4):
        balls[row] = np.where(np.isnan(balls[row]), 0.0, side * balls[row])
    return balls, sd


def _knowledge(given: Series, side: float, errors: MonitorErrors, usual: Usual) -> Knowledge:
    """What is read of the club and what is usual, as middles and standard deviations."""
    speed, attack, path, face, loft, toe, high = given

    def row(read: Series, error: Series | float, middle: float, sd: float) -> tuple[Series, Series]:
        missing = np.isnan(read)
        return np.where(missing, middle, read), np.where(missing, sd, error)

    pairs = (
        row(speed, errors.club_speed_share * speed, 0.0, _FREE),
        row(attack, errors.attack_angle_sd_rad, usual.attack_middle_rad, usual.attack_sd_rad),
        row(side * path, errors.club_path_sd_rad, 0.0, usual.path_sd_rad),
        row(side * face, errors.face_angle_sd_rad, 0.0, _FREE),
        row(loft, errors.dynamic_loft_sd_rad, 0.0, _FREE),
    )
    places = (
        row(toe, errors.strike_sd_m, 0.0, usual.strike_heel_toe_sd_m),
        row(high, errors.strike_sd_m, 0.0, usual.strike_high_low_sd_m),
    )
    return Knowledge(
        read=np.stack([middle for middle, _ in pairs]),
        read_sd=np.stack([sd for _, sd in pairs]),
        place=np.stack([middle for middle, _ in places]),
        place_sd=np.stack([sd for _, sd in places]),
    )


def _inside(balls: Series) -> Mask:
    low, high = np.array(list(LAUNCH_RANGES.values())).T
    good: Mask = np.all((balls >= low[:, np.newaxis]) & (balls <= high[:, np.newaxis]), axis=0)
    return good


def _explained(
    usable: Mask, searched: Searched, doubts: Mask, missing: Mask, *, side: float
) -> Explained:
    """Put the answer together: unusable and unexplained balls are NaN, and flagged."""
    turned = np.array([1.0, 1.0, side, side, 1.0, 1.0, 1.0])[:, np.newaxis]
    delivery = _deliveries(turned * np.concatenate([searched.delivery, searched.place]))
    slips, beyond = doubts[0], ~doubts[0] & ~delivery.usable()
    good = np.zeros(len(usable), dtype=np.bool_)
    good[usable] = ~slips & ~beyond

    def spread_out(values: Series, *, only_good: bool = True) -> Series:
        """From the usable balls to all; NaN for the others."""
        whole = np.full((*values.shape[:-1], len(usable)), np.nan)
        whole[..., usable] = values
        return np.where(good, whole, np.nan) if only_good else whole

    marks = np.zeros((len(EXPLAINED_FLAGS), len(usable)), dtype=np.bool_)
    marks[0] = ~usable
    marks[1, usable], marks[2, usable] = slips, beyond
    marks[3:10, usable] = doubts[1:]
    marks[10:15] = missing[[5, 6, 7, 2, 4]]
    marks[3:, ~good] = False
    weights = (1 << np.arange(len(EXPLAINED_FLAGS), dtype=np.uint16))[:, np.newaxis]
    slopes = spread_out(np.array([side, side, 1.0, 1.0])[:, np.newaxis] * searched.slopes)
    return Explained(
        delivery=_deliveries(spread_out(delivery.rows())),
        sd=_deliveries(spread_out(searched.sd)),
        face_per_toe_radpm=slopes[0],
        path_per_toe_radpm=slopes[1],
        loft_per_high_radpm=slopes[2],
        attack_per_high_radpm=slopes[3],
        friction_needed=spread_out(searched.friction_needed, only_good=False),
        misfit=spread_out(searched.misfit),
        flag_bits=np.sum(marks * weights, axis=0, dtype=np.uint16),
    )


def _doubts(searched: Searched, knowledge: Knowledge, club: Club, errors: MonitorErrors) -> Mask:
    """Bits 1 and 3 to 9 of the flags: grip, edge, misfit, and what is not told; shape (8, n)."""
    friction = searched.friction_needed
    slips = ~(friction <= club.friction * (1.0 + GRIP_SLACK))
    limit = friction * (1.0 + 2.0 * errors.spin_rate_share) > club.friction
    half = 0.5 * np.array([[club.face_width_m], [club.face_height_m]])
    edge = np.any(np.abs(searched.place) > 0.98 * half, axis=0)
    not_told = searched.sd[5:7] > NOT_TOLD_SHARE * knowledge.place_sd
    misfit = searched.misfit > MISFIT
    return np.concatenate([[slips, limit, edge, misfit], not_told, searched.other_side], axis=0)


def _deliveries(rows: Series) -> Deliveries:
    return Deliveries(**dict(zip(DELIVERY_RANGES, rows.copy(), strict=True)))


def explain(
    launch: Launch,
    club: Club,
    *,
    known: Known = NOTHING_KNOWN,
    hand: Hand = "right",
    ball: Ball = STANDARD_BALL,
    extra_spin_share: float = 0.0,
    errors: MonitorErrors | None = None,
    usual: Usual | None = None,
) -> Explanation:
    """Find the delivery that makes one ball; see `explain_many`.

    Parameters
    ----------
    launch
        How the ball left.
    club, known, hand, ball, extra_spin_share, errors, usual
        As in `explain_many`.

    Examples
    --------
    >>> from leadfoot.physics.clubs import club
    >>> drive = Launch(ball_speed_mps=65.0, launch_angle_rad=0.2, spin_rate_radps=290.0,
    ...                spin_axis_rad=-0.1)
    >>> found = explain(drive, club("driver"), known=Known(club_speed_mps=45.0))
    >>> round(found.delivery.dynamic_loft_rad, 2), round(found.sd.strike_heel_toe_m, 3)
    (0.23, 0.01)
    """
    numbers = {name: getattr(launch, name) for name in LAUNCH_RANGES}
    many = explain_many(
        **numbers,
        club=club,
        known=known,
        hand=hand,
        ball=ball,
        extra_spin_share=extra_spin_share,
        errors=errors,
        usual=usual,
    )
    return one_of(many, 0)
