"""A lift of the body in the downswing: how far, how long, how early, how hard a push it takes."""

import math
from dataclasses import dataclass

from leadfoot.physics.hub import PEAK_OF_SMOOTH, Pull
from leadfoot.physics.swing import GRAVITY_MPS2
from leadfoot.physics.within import check_within


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """A lift of the body in the downswing: smooth, from rest to rest.

    Attributes
    ----------
    height_m
        How far the body rises, -0.1 to 0.3. [m]
    duration_s
        How long it takes, 0.05 to 0.8. [s]
    lead_s
        How long before the strike it is half done, where it is fastest; -0.3 to 0.5. [s]

    Examples
    --------
    >>> round(Lift(height_m=0.06).greatest_force_share, 2)
    1.61
    """

    height_m: float
    duration_s: float = 0.24
    lead_s: float = 0.04

    def __post_init__(self) -> None:
        check_within("height_m", self.height_m, -0.1, 0.3, of="a lift")
        check_within("duration_s", self.duration_s, 0.05, 0.8, of="a lift")
        check_within("lead_s", self.lead_s, -0.3, 0.5, of="a lift")

    @property
    def greatest_force_share(self) -> float:
        """Greatest vertical force of the ground, over the weight: how hard the push is.

        Examples
        --------
        >>> Lift(height_m=0.0).greatest_force_share
        1.0
        """
        return 1.0 + PEAK_OF_SMOOTH * abs(self.height_m) / self.duration_s**2 / GRAVITY_MPS2

    def hub(self, strike_s: float, plane_rad: float, share: float = 1.0) -> Pull:
        """The hub's move in the plane for a strike at this time.

        Parameters
        ----------
        strike_s
            When the strike is. [s]
        plane_rad
            Tilt of the plane; the part of the rise along the plane counts. [rad]
        share
            How much of the body's rise reaches the hub. [-]

        Examples
        --------
        >>> round(Lift(height_m=0.06).hub(0.3, math.radians(50.0)).up_m, 4)
        0.046
        """
        return Pull(
            up_m=share * self.height_m * math.sin(plane_rad),
            start_s=strike_s - self.lead_s - self.duration_s / 2.0,
            duration_s=self.duration_s,
        )
