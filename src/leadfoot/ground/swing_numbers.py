"""The numbers of a swing in one list, each with its unit, its doubt and its method."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from leadfoot.ground.force import Load
from leadfoot.ground.swing import PlateSwing, PressureSwing
from leadfoot.ground.turning import Moment

By = Literal["peaks", "impulses"]
OF_WEIGHT = ("lead_peak_share", "trail_peak_share", "total_peak_share")
"""Numbers in % of the weight."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """One number of a swing.

    Attributes
    ----------
    key
        Its name in records: ``lead_peak``.
    label
        Its name for people.
    value, unit
        The number; shares as %, times in ms, otherwise SI.
    by
        Which method of the swing found it.
    doubt
        Standard uncertainty, where it is an estimate; None where it is measured.
    """

    key: str
    label: str
    value: float
    unit: str
    by: By
    doubt: float | None = None


def numbers_of(swing: PressureSwing) -> tuple[Number, ...]:
    """Every number that the swing's device can see.

    Without a weight that a scale or the coach stands for, none is given in % of it.

    Examples
    --------
    >>> from leadfoot.ground.made_swing import usual_swing
    >>> from leadfoot.ground.phases import Impact
    >>> from leadfoot.ground.swing import swing_of
    >>> made = usual_swing()
    >>> strike = Impact(time_s=made.impact_s, source="trigger channel")
    >>> numbers = numbers_of(swing_of(made.recording(1000.0), strike))
    >>> [(one.label, round(one.value), one.unit) for one in numbers[:3]]
    [('weight', 680, 'N'), ('lead foot, peak', 504, 'N'),
    ('lead foot, peak of weight', 74, '%')]
    """
    found = [
        Number(
            key="weight",
            label="weight",
            value=swing.weighing.weight_n,
            unit="N",
            by="peaks",
            doubt=swing.weighing.doubt_n,
        )
    ]
    doubt_s = None if swing.impact is None else swing.impact.doubt_s
    for key, label, load in (
        ("lead", "lead foot", swing.lead),
        ("trail", "trail foot", swing.trail),
        ("total", "both feet", swing.total),
    ):
        if load is not None:
            found += [
                one
                for one in _load(key, label, load, doubt_s)
                if swing.basis.is_known or one.key not in OF_WEIGHT
            ]
    found += _shares(swing)
    found += _pressure(swing)
    if isinstance(swing, PlateSwing):
        found += _plates(swing)
    return tuple(found)


def _load(key: str, label: str, load: Load, doubt_s: float | None) -> Iterator[Number]:
    yield Number(key=f"{key}_peak", label=f"{label}, peak", value=load.peak_n, unit="N", by="peaks")
    yield Number(
        key=f"{key}_peak_share",
        label=f"{label}, peak of weight",
        value=100.0 * load.peak_share,
        unit="%",
        by="peaks",
    )
    yield Number(
        key=f"{key}_rise",
        label=f"{label}, rate of rise",
        value=load.rise_nps,
        unit="N/s",
        by="peaks",
    )
    if load.before_impact_s is not None:
        yield Number(
            key=f"{key}_peak_before_impact",
            label=f"{label}, peak before the strike",
            value=1000.0 * load.before_impact_s,
            unit="ms",
            by="peaks",
            doubt=None if doubt_s is None else 1000.0 * doubt_s,
        )
    if load.impulse_ns is not None:
        yield Number(
            key=f"{key}_impulse",
            label=f"{label}, impulse from turn to strike",
            value=load.impulse_ns,
            unit="N·s",
            by="impulses",
        )


def _shares(swing: PressureSwing) -> Iterator[Number]:
    if swing.shares is None:
        return
    shares = swing.shares
    for key, share in (
        ("address", shares.address),
        ("turn", shares.turn),
        ("impact", shares.impact),
    ):
        if share is not None:
            place = "strike" if key == "impact" else key
            yield Number(
                key=f"lead_share_{key}",
                label=f"load on the lead foot, {place}",
                value=100.0 * share,
                unit="%",
                by="peaks",
            )


def _pressure(swing: PressureSwing) -> Iterator[Number]:
    pressure = swing.pressure
    if pressure is None:
        return
    yield Number(
        key="cop_range",
        label="centre of pressure, range along the target line",
        value=pressure.range_m,
        unit="m",
        by="peaks",
    )
    yield Number(
        key="cop_speed",
        label="centre of pressure, speed toward the target",
        value=pressure.speed_mps,
        unit="m/s",
        by="peaks",
    )
    if pressure.travel is not None:
        yield Number(
            key="cop_travel",
            label="centre of pressure, travel in the last 0.1 s, of the stance",
            value=100.0 * pressure.travel.share,
            unit="%",
            by="peaks",
        )


def _plates(swing: PlateSwing) -> Iterator[Number]:
    turning, sideways = swing.turning, swing.sideways
    for key, label, value in (
        ("lead_free", "lead foot, free moment", turning.lead_free_nm),
        ("trail_free", "trail foot, free moment", turning.trail_free_nm),
        ("pivoting", "pivoting moment", turning.pivoting_nm),
        ("pivoting_and_free", "pivoting and free moment", turning.together_nm),
    ):
        if value is not None:
            yield Number(key=key, label=f"{label}, peak", value=value, unit="N·m", by="peaks")
    for key, label, value in (
        ("lead_toward_ball", "lead foot, force toward the ball", sideways.lead_toward_ball_n),
        ("lead_toward_target", "lead foot, force to target", sideways.lead_toward_target_n),
        ("trail_toward_ball", "trail foot, force toward the ball", sideways.trail_toward_ball_n),
        ("trail_toward_target", "trail foot, force to target", sideways.trail_toward_target_n),
    ):
        if value is not None:
            yield Number(key=key, label=label, value=value, unit="N", by="peaks")
    if swing.about_centre is not None:
        yield from _moment("frontal", "frontal-plane moment", swing.about_centre.frontal)
        yield from _moment("horizontal", "horizontal-plane moment", swing.about_centre.horizontal)


def _moment(key: str, label: str, moment: Moment) -> Iterator[Number]:
    yield Number(
        key=f"{key}_moment",
        label=f"{label} about the centre of mass, peak",
        value=moment.peak_nm,
        unit="N·m",
        by="peaks",
        doubt=moment.doubt_nm,
    )
    if moment.impulse_nms is not None:
        yield Number(
            key=f"{key}_angular_impulse",
            label=f"{label}, integral from turn to strike",
            value=moment.impulse_nms,
            unit="N·m·s",
            by="impulses",
            doubt=moment.impulse_doubt_nms,
        )
