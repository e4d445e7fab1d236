"""A force recording: plates, force, centre of pressure and free moment in the golfer's frame."""

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError

Values = NDArray[np.float64]
Hand = Literal["right", "left"]
Foot = Literal["lead", "trail", "both"]
Sees = Literal["six_channels", "vertical_and_cop", "vertical"]
"""What a device measures: all of force and moment, vertical force and where it acts, or the
vertical force alone."""
Weight = Literal["note", "doubt", "fault"]
"""How much a remark matters: good to know, look at it, or numbers can't be trusted."""

LEAST_FORCE_N = 20.0
"""Vertical force below which a plate is taken as unloaded, and has no centre of pressure. [N]
Lower thresholds move events on noisy plates; one for all uses keeps numbers comparable (computed
from open recordings: 5 to 50 N move a jump's height by 12 mm)."""
LEAST_WEIGHT_SHARE = 0.03
"""The same as a share of body weight; the larger of both holds (own choice). [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """Something found in a recording that a person should know, and what to do about it.

    Examples
    --------
    >>> Remark(kind="offset", weight="doubt", text="Plate 1 reads 6.5 N unloaded.",
    ...        fix="Zero the plate before the next recording.", plate="plate 1").weight
    'doubt'
    """

    kind: str
    """A word for programs: ``offset``, ``clipping``, ``origin_sign``, ..."""
    weight: Weight
    text: str
    fix: str
    plate: str | None = None
    """Name of the plate; None for the whole recording."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Plate:
    """What one force plate, or one half of a pressure mat, measured; n samples.

    Attributes
    ----------
    name
        The plate's name in the file, or ``plate 1``.
    foot
        The foot that stood on it; ``both`` where both did, None where that is not known.
    force_n
        Force of the ground on the person, shape (n, 3): x toward the ball, y toward the target, z
        up. x and y are NaN for a device that sees the vertical force alone. [N]
    cop_m
        Centre of pressure on the surface, x and y, shape (n, 2); NaN where the plate is unloaded or
        the device does not know it. [m]
    free_moment_nm
        Moment about the vertical at the centre of pressure, shape (n,), on the person; positive
        turns toward the target as seen from above. NaN where unloaded or not measured. [N m]
    corners_m
        Corners of the surface, shape (4, 3), in the order of the file; None where not known. [m]
    sees
        What the device measures.

    Raises
    ------
    InputError
        If the arrays do not fit each other.

    Examples
    --------
    >>> still = Plate(name="plate 1", foot="lead", force_n=np.tile([0.0, 0.0, 400.0], (5, 1)),
    ...               cop_m=np.zeros((5, 2)), free_moment_nm=np.zeros(5))
    >>> float(still.vertical_n[0]), still.corners_m is None
    (400.0, True)
    """

    name: str
    foot: Foot | None
    force_n: Values
    cop_m: Values
    free_moment_nm: Values
    corners_m: Values | None = None
    sees: Sees = "six_channels"

    def __post_init__(self) -> None:
        n = self.force_n.shape[0] if self.force_n.ndim == 2 else -1
        shapes = {
            "force_n": (self.force_n.shape, (n, 3)),
            "cop_m": (self.cop_m.shape, (n, 2)),
            "free_moment_nm": (self.free_moment_nm.shape, (n,)),
        }
        if self.corners_m is not None:
            shapes["corners_m"] = (self.corners_m.shape, (4, 3))
        for name, (shape, wanted) in shapes.items():
            if shape != wanted or n < 0:
                raise InputError(
                    f"{name} of {self.name!r} has the shape {shape}; force_n has "
                    f"{self.force_n.shape}.",
                    fix="Give force_n (n, 3), cop_m (n, 2), free_moment_nm (n,), corners (4, 3).",
                )

    @property
    def vertical_n(self) -> Values:
        """Vertical force in N, up positive, shape (n,)."""
        return self.force_n[:, 2]


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Where the numbers come from, and what was done to them on the way in.

    Examples
    --------
    >>> Source(form="made", force_unit="N", length_unit="m", moment_unit="N·m",
    ...        unit_reason="made so", sign=1, sign_reason="made so", rate_reason="made so",
    ...        turned="not turned", threshold_n=20.0).sign
    1
    """

    form: Literal["c3d", "table", "made"]
    force_unit: str
    length_unit: str
    moment_unit: str
    unit_reason: str
    sign: Literal[1, -1]
    """-1 where the file holds the force of the person on the ground, so that it was turned over."""
    sign_reason: str
    rate_reason: str
    turned: str
    """How the frame of the laboratory was turned into the golfer's, in words."""
    threshold_n: float
    """Vertical force below which a plate has no centre of pressure here. [N]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownWeight:
    """What is known of the person's weight beside the plates; None where nothing is.

    Attributes
    ----------
    scale_n
        On a scale. [N]
    confirmed_n
        As plates gave it, and the coach said that it is about right. [N]

    Examples
    --------
    >>> KnownWeight(confirmed_n=735.0).scale_n is None
    True
    """

    scale_n: float | None = None
    confirmed_n: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """An instant that the file itself names, such as a strike marked by hand.

    Examples
    --------
    >>> Mark(time_s=1.25, label="impact").label
    'impact'
    """

    time_s: float
    label: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Recording:
    """One recording of one person on one or more plates, all at one rate.

    The frame is the golfer's: x toward the ball, y toward the target, z up. A left-handed golfer is
    mirrored into it once, at reading (y of force and place, x and z of moments change sign), so
    that no number after it asks for the hand.

    Attributes
    ----------
    rate_hz
        Samples a second. [Hz]
    plates
        The plates, in the order of the file.
    start_s
        Time of the first sample on the clock of the file. [s]
    trigger
        A signal recorded beside the forces, shape (n,), as it stands; None where there is none.
    trigger_name
        What the file calls it.
    marks
        Instants that the file names.
    hand
        The golfer's hand; ``right`` where it does not matter.
    remarks
        All that was found and should be known.
    known_weight
        What is known of the weight beside the plates.
    source
        What was done to the numbers on the way in.

    Raises
    ------
    InputError
        If there is no plate, the rate is not positive, or the plates are not of one length.

    Examples
    --------
    >>> plate = Plate(name="plate 1", foot="both", force_n=np.tile([0.0, 0.0, 800.0], (5, 1)),
    ...               cop_m=np.zeros((5, 2)), free_moment_nm=np.zeros(5))
    >>> recording = Recording(rate_hz=1000.0, plates=(plate,), start_s=1.0)
    >>> len(recording), float(recording.time_s[-1])
    (5, 1.004)
    """

    rate_hz: float
    plates: tuple[Plate, ...]
    start_s: float = 0.0
    trigger: Values | None = None
    trigger_name: str | None = None
    marks: tuple[Mark, ...] = ()
    hand: Hand = "right"
    remarks: tuple[Remark, ...] = ()
    known_weight: KnownWeight = field(default_factory=KnownWeight)
    source: Source = field(
        default=Source(
            form="made",
            force_unit="N",
            length_unit="m",
            moment_unit="N·m",
            unit_reason="made so",
            sign=1,
            sign_reason="made so",
            rate_reason="made so",
            turned="not turned",
            threshold_n=LEAST_FORCE_N,
        )
    )

    def __post_init__(self) -> None:
        if not self.plates:
            raise InputError("The recording has no plate.", fix="Give at least one.")
        if not (np.isfinite(self.rate_hz) and self.rate_hz > 0.0):
            raise InputError(
                f"The rate of the recording is {self.rate_hz:g} Hz.", fix="Give a positive rate."
            )
        lengths = {plate.force_n.shape[0] for plate in self.plates}
        lengths |= set() if self.trigger is None else {self.trigger.shape[0]}
        if len(lengths) > 1:
            raise InputError(
                f"Plates and trigger have different lengths: {sorted(lengths)}.",
                fix="Cut them to one length.",
            )

    def __len__(self) -> int:
        return len(self.plates[0].force_n)

    @property
    def time_s(self) -> Values:
        """Times of the samples in s, on the clock of the file, shape (n,)."""
        return self.start_s + np.arange(len(self)) / self.rate_hz

    @property
    def force_n(self) -> Values:
        """Force of all plates together in N, shape (n, 3); NaN where one can't see it."""
        return np.asarray(np.sum([plate.force_n for plate in self.plates], axis=0))

    @property
    def vertical_n(self) -> Values:
        """Vertical force of all plates together in N, shape (n,)."""
        return np.asarray(np.sum([plate.vertical_n for plate in self.plates], axis=0))

    @property
    def sees(self) -> Sees:
        """What all plates see: the least that one of them does."""
        order: tuple[Sees, ...] = ("vertical", "vertical_and_cop", "six_channels")
        return min((plate.sees for plate in self.plates), key=order.index)

    def plate_of(self, foot: Foot) -> Plate | None:
        """Give the plate on which a foot stood; None where no single one is known."""
        found = [plate for plate in self.plates if plate.foot == foot]
        return found[0] if len(found) == 1 else None
