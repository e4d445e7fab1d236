"""One swing cut out of a recording: loads, centre of pressure and moments, smoothed for display."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from leadfoot.errors import InputError
from leadfoot.ground.contacts import THRESHOLD_N
from leadfoot.ground.moments import Pushed
from leadfoot.ground.recording import Plate, Recording
from leadfoot.ground.smoothing import low_pass

Values = NDArray[np.float64]

BEFORE_S, AFTER_S = 10.0, 0.5
"""How much of a recording is looked at before and after the strike (own choice). [s]"""
LEAST_SHARE_OF_WEIGHT = 0.03
"""A plate with less than this share of the weight, or 20 N, has no centre of pressure (own choice:
an empty plate showed one 3 m away). [-]"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cut:
    """The raw samples of one swing; n of them.

    Attributes
    ----------
    start_s
        First sample, on the clock of the recording. [s]
    rate_hz
        Samples a second. [Hz]
    vertical_n
        All plates together, shape (n,). [N]
    feet
        Lead and trail foot, or one plate for both.
    two_feet
        Whether each foot has a plate.
    """

    start_s: float
    rate_hz: float
    vertical_n: Values
    feet: tuple[Plate, ...]
    two_feet: bool

    @property
    def time_s(self) -> Values:
        """Times of the samples on the clock of the recording, in s."""
        return self.start_s + np.arange(len(self.vertical_n)) / self.rate_hz

    def pushed(self, weight_n: float) -> tuple[Pushed, ...]:
        """What each foot gets.

        A foot with hardly any load has no place of its own; its small force acts at its mean place
        while loaded, and its free moment is 0. Leaving the force out would tear the moments: 20 N
        sideways make 20 N m about the centre of mass.
        """
        least_n = max(THRESHOLD_N, LEAST_SHARE_OF_WEIGHT * weight_n)
        found = []
        for plate in self.feet:
            lifted = ~(plate.vertical_n >= least_n)
            found.append(
                Pushed(
                    force_n=plate.force_n,
                    cop_m=np.where(lifted[:, None], _mean_place_m(plate, lifted), plate.cop_m),
                    free_nm=np.where(lifted, 0.0, plate.free_moment_nm),
                )
            )
        return tuple(found)


def cut(recording: Recording, impact_s: float | None) -> Cut:
    """Cut a swing out: 10 s before the strike to 0.5 s after it; all where nobody said when.

    Parameters
    ----------
    recording
        Two plates with a lead and a trail foot, or one for both.
    impact_s
        The strike, on the clock of the recording. [s]

    Raises
    ------
    InputError
        If it is not known which foot stood where.

    Examples
    --------
    >>> from leadfoot.ground.made_swing import usual_swing
    >>> swing = usual_swing()
    >>> cut(swing.recording(1000.0), swing.impact_s).two_feet
    True
    """
    lead, trail = recording.plate_of("lead"), recording.plate_of("trail")
    if lead is not None and trail is not None:
        feet: tuple[Plate, ...] = (lead, trail)
    elif len(recording.plates) == 1:
        feet = recording.plates
    else:
        raise InputError(
            "It is not known which foot stood on which plate: "
            f"{', '.join(f'{plate.name} ({plate.foot})' for plate in recording.plates)}.",
            fix="Say which plate the lead foot and which the trail foot stood on.",
        )
    rate_hz, n = recording.rate_hz, len(recording)
    first, last = 0, n
    if impact_s is not None:
        at = (impact_s - recording.start_s) * rate_hz
        first = max(0, round(at - BEFORE_S * rate_hz))
        last = min(n, round(at + AFTER_S * rate_hz) + 1)
    parts = tuple(_part(plate, slice(first, last)) for plate in feet)
    return Cut(
        start_s=recording.start_s + first / rate_hz,
        rate_hz=rate_hz,
        vertical_n=np.asarray(np.sum([plate.vertical_n for plate in parts], axis=0)),
        feet=parts,
        two_feet=len(feet) == 2,
    )


def _mean_place_m(plate: Plate, lifted: NDArray[np.bool_]) -> Values:
    """Mean centre of pressure while loaded, weighted by load; NaN if never."""
    load_n = np.where(lifted | ~np.isfinite(plate.cop_m[:, 0]), 0.0, plate.vertical_n)
    whole = float(load_n.sum())
    if whole <= 0.0:
        return np.full(2, np.nan)
    return np.asarray(load_n @ np.nan_to_num(plate.cop_m) / whole)


def _part(plate: Plate, samples: slice) -> Plate:
    vertical_n = plate.vertical_n[samples]
    if np.isnan(vertical_n).any():
        raise InputError(
            f"The vertical force of {plate.name!r} has gaps near the swing.",
            fix="Fill or cut the gaps.",
        )
    return Plate(
        name=plate.name,
        foot=plate.foot,
        force_n=plate.force_n[samples],
        cop_m=plate.cop_m[samples],
        free_moment_nm=plate.free_moment_nm[samples],
        corners_m=plate.corners_m,
        sees=plate.sees,
    )


def common_cop_m(feet: tuple[Pushed, ...], rate_hz: float) -> Values:
    """The common centre of pressure, smoothed as moments over load, in m, shape (n, 2).

    Examples
    --------
    >>> foot = Pushed(force_n=np.tile([0.0, 0.0, 400.0], (100, 1)), free_nm=np.zeros(100),
    ...               cop_m=np.tile([0.0, 0.2], (100, 1)))
    >>> common_cop_m((foot,), 1000.0)[50].round(6)
    array([0. , 0.2])
    """
    loads = [np.where(np.isnan(foot.cop_m[:, :1]), 0.0, foot.force_n[:, 2:]) for foot in feet]
    turned = np.sum(
        [load * np.nan_to_num(foot.cop_m) for load, foot in zip(loads, feet, strict=True)], axis=0
    )
    weight = low_pass(np.asarray(np.sum(loads, axis=0)), rate_hz)
    return np.asarray(low_pass(turned, rate_hz) / np.where(weight > THRESHOLD_N, weight, np.nan))
