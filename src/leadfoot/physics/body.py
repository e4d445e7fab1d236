"""The body under the swing: what pelvis, trunk and legs weigh, how hard they turn and how fast.

Arms and club are in `leadfoot.physics.golfer`; this is all the rest.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from leadfoot.physics.within import check_all_within

MEAN_MAN_KG, MEAN_MAN_M = 73.0, 1.741
"""The young man whose segments `SEGMENTS` are: means of 100 men. [kg], [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """One part of the mean man's body.

    Attributes
    ----------
    mass_kg
        Of one such part. [kg]
    turn_kgm2
        Inertia about its own long axis through its centre of mass. [kg·m²]

    Examples
    --------
    >>> SEGMENTS["pelvis"].mass_kg
    8.164
    """

    mass_kg: float
    turn_kgm2: float


SEGMENTS: Mapping[str, Segment] = MappingProxyType(
    {
        "head": Segment(mass_kg=5.018, turn_kgm2=0.02024),
        "thorax": Segment(mass_kg=11.654, turn_kgm2=0.14545),
        "abdomen": Segment(mass_kg=11.953, turn_kgm2=0.12031),
        "pelvis": Segment(mass_kg=8.164, turn_kgm2=0.05924),
        "thigh": Segment(mass_kg=10.36, turn_kgm2=0.04134),
        "shank": Segment(mass_kg=3.16, turn_kgm2=0.00646),
        "foot": Segment(mass_kg=0.997, turn_kgm2=0.00103),
    }
)
"""V. M. Zatsiorsky, V. N. Seluyanov and L. G. Chugunova, in Contemporary Problems of Biomechanics,
pp. 272-291, 1990: means of a scan of young men (read second-hand, in an open collection of such
tables). Thorax, abdomen and pelvis are the upper, middle and lower part of the trunk there. For a
woman, or after fifty, the split differs by some 10 to 20 % (from memory)."""

ASSUMED_OF_BODY: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "mass_kg": (65.0, 95.0),
        "height_m": (1.65, 1.90),
        "pelvis_radps": (6.1, 8.7),
        "thorax_radps": (8.7, 13.1),
        "pelvis_kept": (0.5, 0.9),
        "thorax_kept": (0.8, 1.0),
        "axis_m": (0.0, 0.10),
        "shift_mps": (0.3, 0.8),
        "shift_kept": (0.2, 0.8),
        "legs_mps": (0.2, 0.6),
        "sink_m": (0.01, 0.05),
    }
)
"""What stands for golfers with a driver, each from low to high. The greatest turning speeds of
pelvis and thorax are 350 to 500 and 500 to 750 degrees a second: about what amateurs and
professionals have in P. J. Cheetham and others, Science and Golf V, 2008 (from memory; close to 395
and 477 for the pelvis, to 727 for a professional's thorax). That the pelvis is fastest in the
downswing and the thorax not before the strike was read (K. M. Steele and others, Annals of
Rehabilitation Medicine 42, 713, 2018, abstract); how much they keep, the axis, shift, legs and
sinking are own choice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """How heavy a golfer is, and how fast the parts below the shoulders move in the downswing.

    Attributes
    ----------
    mass_kg, height_m
        30 to 200, 1.2 to 2.2. [kg], [m]
    pelvis_radps, thorax_radps
        Greatest turning speeds, 0 to 30. [rad/s]
    pelvis_kept, thorax_kept, shift_kept
        Share of the greatest speed that is left at the strike; the legs keep what the pelvis
        keeps. [-]
    axis_m
        How far the centres of mass of the trunk are from the axis that it turns about. [m]
    shift_mps
        Greatest speed at which trunk and head move toward the target. [m/s]
    legs_mps
        Greatest speed of the legs, root mean square over their mass. [m/s]
    sink_m
        How far the body sinks after the top before it rises. [m]

    Raises
    ------
    OutOfRangeError
        If a number lies outside its range.

    Examples
    --------
    >>> round(middle_body().turning_j(kept=False), 2)
    22.68
    """

    mass_kg: float
    height_m: float
    pelvis_radps: float
    thorax_radps: float
    pelvis_kept: float
    thorax_kept: float
    axis_m: float
    shift_mps: float
    shift_kept: float
    legs_mps: float
    sink_m: float

    def __post_init__(self) -> None:
        check_all_within(self, _LIMITS, of="the body")

    def share_kg(self, *names: str) -> float:
        """Mass of the named segments, one of each, for a golfer of this mass.

        Examples
        --------
        >>> round(middle_body().share_kg("thigh", "shank", "foot"), 2)
        15.91
        """
        scale = self.mass_kg / MEAN_MAN_KG
        return scale * sum(SEGMENTS[name].mass_kg for name in names)

    @property
    def trunk_kg(self) -> float:
        """Mass of head and trunk.

        Examples
        --------
        >>> round(middle_body().trunk_kg, 2)
        40.32
        """
        return self.share_kg("head", "thorax", "abdomen", "pelvis")

    @property
    def legs_kg(self) -> float:
        """Mass of both legs.

        Examples
        --------
        >>> round(middle_body().legs_kg, 2)
        31.82
        """
        return 2.0 * self.share_kg("thigh", "shank", "foot")

    def turning_j(self, *, kept: bool) -> float:
        """Energy of the turn of pelvis, abdomen, thorax and head.

        Parameters
        ----------
        kept
            At the strike; if not, with every part at its greatest speed.

        Notes
        -----
        Inertia goes with mass times the square of height. The abdomen turns halfway between pelvis
        and thorax, the head with the thorax but about its own axis and not off it. Head and eyes
        stay on the ball in most swings, so this gives the head too much, by some 1 J.

        Examples
        --------
        >>> body = middle_body()
        >>> body.turning_j(kept=True) < body.turning_j(kept=False)
        True
        """
        pelvis = self.pelvis_radps * (self.pelvis_kept if kept else 1.0)
        thorax = self.thorax_radps * (self.thorax_kept if kept else 1.0)
        speeds = {"pelvis": pelvis, "abdomen": 0.5 * (pelvis + thorax), "thorax": thorax}
        turning = 0.5 * self._turn_kgm2("head", 0.0) * thorax**2
        for name, speed in speeds.items():
            turning += 0.5 * self._turn_kgm2(name, self.axis_m) * speed**2
        return turning

    def _turn_kgm2(self, name: str, axis_m: float) -> float:
        scale = self.mass_kg / MEAN_MAN_KG * (self.height_m / MEAN_MAN_M) ** 2
        return scale * SEGMENTS[name].turn_kgm2 + self.share_kg(name) * axis_m**2

    def moving_j(self, *, kept: bool) -> float:
        """Energy of the shift of trunk and head, and of the legs.

        Parameters
        ----------
        kept
            At the strike; if not, with each at its greatest speed.

        Examples
        --------
        >>> round(middle_body().moving_j(kept=False), 2)
        8.64
        """
        shift = self.shift_mps * (self.shift_kept if kept else 1.0)
        legs = self.legs_mps * (self.pelvis_kept if kept else 1.0)
        return 0.5 * self.trunk_kg * shift**2 + 0.5 * self.legs_kg * legs**2


_LIMITS: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "mass_kg": (30.0, 200.0),
        "height_m": (1.2, 2.2),
        "pelvis_radps": (0.0, 30.0),
        "thorax_radps": (0.0, 30.0),
        "pelvis_kept": (0.0, 1.0),
        "thorax_kept": (0.0, 1.0),
        "axis_m": (0.0, 0.3),
        "shift_mps": (0.0, 3.0),
        "shift_kept": (0.0, 1.0),
        "legs_mps": (0.0, 3.0),
        "sink_m": (0.0, 0.3),
    }
)


def middle_body() -> Body:
    """The body in the middle of all that is assumed.

    Examples
    --------
    >>> middle_body().mass_kg
    80.0
    """
    return Body(**{name: 0.5 * (low + high) for name, (low, high) in ASSUMED_OF_BODY.items()})
