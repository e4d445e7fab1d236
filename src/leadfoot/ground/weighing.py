"""Whether the plates weigh the person right: against a scale, against themselves, sideways."""

from collections.abc import Iterator

import numpy as np

from leadfoot.ground.quiet import Quiet, quiet_stances
from leadfoot.ground.recording import Recording, Remark
from leadfoot.ground.weight_basis import about_basis

_LIGHTEST_N, _HEAVIEST_N = 200.0, 2000.0
"""People outside are rare (own choice): the unit of force is then the likelier reason. [N]"""
_DOUBT_SHARE, _FAULT_SHARE = 0.01, 0.03
"""Difference between plate and scale that is told, and that is too much (ground sheet 1.7)."""
_SIDEWAYS_SHARE = 0.01
"""Mean sideways force in quiet stance that is told, of the weight; two good recordings have 0.35
and 0.56 % (ground sheet 1.7)."""
_STILL_SHARE = 0.01
"""Spread below which a window counts as still, of the weight (own choice)."""

_RESTLESS_SHARE = 0.05
"""Spread of the quietest second that is a movement; somebody who sways on purpose has 2.6 % (own
choice)."""


def about_weight(recording: Recording, quiet: Quiet | None) -> Iterator[Remark]:
    """Tell what is odd about the weight.

    Parameters
    ----------
    recording
        In the golfer's frame.
    quiet
        The quiet stance; None where nobody stands still.
    """
    if quiet is None:
        yield Remark(
            kind="no_stance",
            weight="doubt",
            text="No second of the recording has a person standing still; the weight is not known.",
            fix="Let the person stand still for a second before moving, and record again.",
        )
        return
    yield from _against_scale(quiet, recording.known_weight.scale_n)
    yield from about_basis(quiet.weight_n, recording.known_weight)
    if quiet.spread_n > _RESTLESS_SHARE * quiet.weight_n:
        yield Remark(
            kind="not_still",
            weight="doubt",
            text=f"Even the quietest second varies by {quiet.spread_n:.0f} N about "
            f"{quiet.weight_n:.0f} N; the weight is that of a movement.",
            fix="Let the person stand still for a second before moving, and record again.",
        )
    if not _LIGHTEST_N <= quiet.weight_n <= _HEAVIEST_N:
        yield Remark(
            kind="weight",
            weight="fault",
            text=f"The person weighs {quiet.weight_n:.0f} N in quiet stance.",
            fix="Check the unit of force; 80 kg are 785 N.",
        )
    yield from _against_itself(recording)
    yield from _sideways(recording, quiet)


def _against_scale(quiet: Quiet, scale_n: float | None) -> Iterator[Remark]:
    if scale_n is None:
        return
    off = quiet.weight_n / scale_n - 1.0
    if abs(off) > _DOUBT_SHARE:
        yield Remark(
            kind="scale",
            weight="fault" if abs(off) > _FAULT_SHARE else "doubt",
            text=f"The plates weigh {quiet.weight_n:.1f} N, the scale {scale_n:.1f} N: "
            f"{100.0 * off:+.1f} %.",
            fix="Check the calibration, a foot off the plates, and what else stands on them.",
        )


def _against_itself(recording: Recording) -> Iterator[Remark]:
    """Tell still stretches that weigh differently: a foot or a club was off the plates."""
    found = quiet_stances(recording.vertical_n, recording.rate_hz)
    most_n = max((one.weight_n for one in found), default=0.0)
    still = [one for one in found if one.spread_n <= _STILL_SHARE * one.weight_n]
    weights = [one.weight_n for one in still if one.weight_n >= 0.5 * most_n]
    if weights and max(weights) - min(weights) > _DOUBT_SHARE * max(weights):
        yield Remark(
            kind="missing_weight",
            weight="doubt",
            text=f"Standing still, the person weighs {min(weights):.0f} N at one time and "
            f"{max(weights):.0f} N at another.",
            fix="Look for a foot or a club off the plates, or a shoe on the frame.",
        )


def _sideways(recording: Recording, quiet: Quiet) -> Iterator[Remark]:
    if recording.sees != "six_channels":
        return
    mean_n = recording.force_n[quiet.first : quiet.last].mean(axis=0)
    sideways_n = float(np.hypot(mean_n[0], mean_n[1]))
    if sideways_n > _SIDEWAYS_SHARE * quiet.weight_n:
        yield Remark(
            kind="sideways",
            weight="doubt",
            text=f"In quiet stance the plates push sideways by {sideways_n:.1f} N together, "
            f"{100.0 * sideways_n / quiet.weight_n:.1f} % of the weight.",
            fix="Level the plates; check the channels' order and the calibration matrix.",
        )
