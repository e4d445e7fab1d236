"""How far apart the models of the air land one ball: what is not known, as a number."""

from collections.abc import Iterable
from dataclasses import dataclass

from leadfoot.physics.ball import AIR_MODELS, STANDARD_BALL, AirModel, Ball
from leadfoot.physics.conditions import STUDIO, Conditions
from leadfoot.physics.flight import Flight, fly
from leadfoot.physics.launch import Launch


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelSpread:
    """Greatest difference between the models, number by number, and the flights behind it."""

    carry_m: float
    offline_m: float
    apex_m: float
    hang_time_s: float
    landing_angle_rad: float
    carry_frac: float
    """Spread of the carry over its mean. [-]"""
    flights: tuple[Flight, ...]


def model_spread(
    launch: Launch,
    *,
    conditions: Conditions = STUDIO,
    ball: Ball = STANDARD_BALL,
    models: Iterable[AirModel] = tuple(AIR_MODELS.values()),
    landing_height_m: float = 0.0,
) -> ModelSpread:
    """Fly one ball by every model and say how far they are apart.

    Parameters
    ----------
    launch, conditions, ball
        As in `leadfoot.physics.flight.fly`.
    models
        At least one.
    landing_height_m
        As in `fly`. [m]

    Returns
    -------
    ModelSpread
        Largest less smallest of each number. The models were made from different balls, so part of
        it is a true difference between balls.

    Raises
    ------
    InputError
        As `fly`.

    Examples
    --------
    >>> iron = Launch(ball_speed_mps=50.0, launch_angle_rad=0.31416, spin_rate_radps=680.7)
    >>> spread = model_spread(iron)
    >>> round(spread.carry_frac, 2)
    0.13
    """
    flights = tuple(
        fly(
            launch,
            conditions=conditions,
            ball=ball,
            model=model,
            landing_height_m=landing_height_m,
        )
        for model in models
    )

    def spread(name: str) -> float:
        values = [float(getattr(flight, name)) for flight in flights]
        return max(values) - min(values)

    mean_m = sum(flight.carry_m for flight in flights) / len(flights)
    return ModelSpread(
        carry_m=spread("carry_m"),
        offline_m=spread("offline_m"),
        apex_m=spread("apex_m"),
        hang_time_s=spread("hang_time_s"),
        landing_angle_rad=spread("landing_angle_rad"),
        carry_frac=spread("carry_m") / mean_m if mean_m > 0.0 else 0.0,
        flights=flights,
    )
