"""Pictures of the ground: a swing's loads, pressure and turning; a jump's force."""

from typing import TYPE_CHECKING, Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from numpy.typing import NDArray

from leadfoot.figures.look import DAY, Look
from leadfoot.figures.marks import bare_axes, note, numbers, ticks, words
from leadfoot.figures.picture import Picture
from leadfoot.ground.jump import Jump
from leadfoot.ground.method import Method
from leadfoot.ground.swing import PlateSwing, PressureSwing

if TYPE_CHECKING:
    from collections.abc import Callable

Values = NDArray[np.float64]

_WIDE_MM, _LEFT_MM, _RIGHT_MM = 150.0, 14.0, 30.0
_PANEL_MM, _GAP_MM, _FOOT_MM, _HEAD_MM = 34.0, 9.0, 17.0, 7.0
_BEFORE_S, _AFTER_S = 1.5, 0.3
"""What of a swing is drawn, about the strike. [s]"""


def swing_picture(swing: PressureSwing, *, look: Look = DAY) -> Picture:
    """Vertical force of each foot, and below it the pressure's travel and the turning moments.

    What the device cannot see has no panel. The bands around moments about the centre of mass are
    their standard uncertainty.

    Parameters
    ----------
    swing
        What was measured.
    look
        Day, night or print.
    """
    panels: list[tuple[str, Callable[[Axes, _Clock], None]]] = [
        (
            f"vertical force, {_of_weight(swing)[1]}",
            lambda axes, clock: _loads(axes, swing, clock, look),
        )
    ]
    if swing.series.cop_m is not None:
        panels.append(
            (
                "centre of pressure toward the target, cm",
                lambda axes, clock: _pressure(axes, swing, clock, look),
            )
        )
    if isinstance(swing, PlateSwing):
        panels.append(
            (
                "moments, N·m; positive turns toward the target",
                lambda axes, clock: _moments(axes, swing, clock, look),
            )
        )

    def paint(figure: Figure) -> None:
        clock = _Clock(swing)
        for place, (title, draw) in enumerate(reversed(panels)):
            bottom = _FOOT_MM + place * (_PANEL_MM + _GAP_MM)
            axes = bare_axes(figure, (_LEFT_MM, bottom, _WIDE_MM - _LEFT_MM - _RIGHT_MM, _PANEL_MM))
            axes.set_xlim(clock.first_s, clock.last_s)
            draw(axes, clock)
            _frame(axes, clock, title, look, lowest=place == 0)
        impact = "the strike is not known" if swing.impact is None else swing.impact.source
        note(
            figure,
            [
                f"strike: {impact}; {_method(swing.peaks)}; weight: {swing.basis.words}",
                _seen(swing),
            ],
            look,
            left_mm=2.0,
            top_mm=5.0,
        )

    return Picture(
        alt=_swing_words(swing),
        width_mm=_WIDE_MM,
        height_mm=_FOOT_MM + _HEAD_MM + len(panels) * (_PANEL_MM + _GAP_MM) - _GAP_MM + 2.0,
        look=look,
        paint=paint,
    )


def jump_picture(vertical_n: Values, jump: Jump, *, look: Look = DAY) -> Picture:
    """The vertical force of a jump with its parts.

    Parameters
    ----------
    vertical_n
        Force of all plates, shape (n,). [N]
    jump
        What was measured.
    look
        Day, night or print.
    """
    phases, rate_hz = jump.phases, jump.method.rate_hz

    def paint(figure: Figure) -> None:
        axes = bare_axes(figure, (_LEFT_MM, 17.0, _WIDE_MM - _LEFT_MM - 6.0, 52.0))
        time_s = np.arange(len(vertical_n)) / rate_hz
        shown = (time_s >= phases.onset_s - 0.4) & (time_s <= phases.landing_s + 0.6)
        axes.plot(time_s[shown], vertical_n[shown], color=look.after, lw=1.2)
        axes.axhline(jump.weighing.weight_n, color=look.quiet, lw=0.8, linestyle=(0, (4, 2)))
        high = float(vertical_n[shown].max()) * 1.08
        axes.set_xlim(float(time_s[shown][0]), float(time_s[shown][-1]))
        axes.set_ylim(min(0.0, float(vertical_n[shown].min())), high)
        names = (
            (phases.onset_s, phases.braking_s, "unweighting"),
            (phases.braking_s, phases.propulsion_s, "braking"),
            (phases.propulsion_s, phases.take_off_s, "push"),
            (phases.take_off_s, phases.landing_s, "flight"),
        )
        for start_s, end_s, title in names:
            axes.axvline(start_s, color=look.line, lw=0.8, zorder=1)
            words(axes, 0.5 * (start_s + end_s), high, title, look, ha="center", fontsize=8.0)
        axes.axvline(phases.landing_s, color=look.line, lw=0.8, zorder=1)
        _scale(axes, look, across="s")
        words(
            figure,
            0.02,
            0.94,
            f"height {jump.height_m * 100.0:.1f} ± {jump.height_doubt_m * 100.0:.1f} cm by "
            f"impulse, {jump.height_by_flight_m * 100.0:.1f} cm by flight; force in N",
            look,
        )
        lines = ["impulse and momentum, trapezoid; dashed: body weight", _method(jump.method)]
        note(figure, lines, look, left_mm=2.0, top_mm=5.0)

    return Picture(
        alt=f"Vertical force of a jump of {jump.height_m * 100.0:.1f} cm: it falls under the "
        f"weight, rises to {jump.peak_force_n:.0f} N, is nothing for {jump.flight_s:.2f} s, and "
        "rises at the landing.",
        width_mm=_WIDE_MM,
        height_mm=80.0,
        look=look,
        paint=paint,
    )


class _Clock:
    """Times about the strike, or about the first sample where it is not known."""

    def __init__(self, swing: PressureSwing) -> None:
        series, phases = swing.series, swing.phases
        zero_s = phases.impact_s if phases.impact_s is not None else float(series.time_s[0])
        self.time_s = series.time_s - zero_s
        self.marks = [
            ("first move", phases.first_move_s - zero_s),
            ("turn", phases.turn_s - zero_s),
        ]
        if phases.impact_s is not None:
            self.marks.append(("strike", 0.0))
            first_s, last_s = min(-_BEFORE_S, self.marks[0][1] - 0.1), _AFTER_S
        else:
            first_s, last_s = float(self.time_s[0]), float(self.time_s[-1])
        self.first_s = max(first_s, float(self.time_s[0]))
        self.last_s = min(last_s, float(self.time_s[-1]))
        self.shown = (self.time_s >= self.first_s) & (self.time_s <= self.last_s)


def _of_weight(swing: PressureSwing) -> tuple[float, str]:
    """What a force is multiplied by, and its unit: in % of a weight that somebody stands for."""
    if swing.basis.is_known:
        return 100.0 / swing.weighing.weight_n, "% of weight"
    return 1.0, "N"


def _loads(axes: Axes, swing: PressureSwing, clock: _Clock, look: Look) -> None:
    series, (per_n, _) = swing.series, _of_weight(swing)
    _line(axes, clock, per_n * series.total_n, "both", color=look.ink, lw=0.9)
    if series.lead_n is None or series.trail_n is None:
        return
    feet: tuple[tuple[Values, str, dict[str, Any]], ...] = (
        (series.lead_n, "lead foot", {"color": look.after, "lw": 1.6}),
        (series.trail_n, "trail foot", {"color": look.before, "lw": 1.4, "linestyle": "--"}),
    )
    for place, (load_n, name, how) in enumerate(feet):
        _line(axes, clock, per_n * load_n, "", **how)
        words(
            axes,
            1.02,
            0.2 - 0.14 * place,
            name,
            look,
            transform=axes.transAxes,
            color=how["color"],
            va="center",
        )


def _pressure(axes: Axes, swing: PressureSwing, clock: _Clock, look: Look) -> None:
    if swing.series.cop_m is None:
        return
    toward_cm = 100.0 * swing.series.cop_m[:, 1]
    _line(axes, clock, toward_cm, "", color=look.after, lw=1.4)
    if swing.pressure is not None and swing.pressure.travel is not None:
        words(
            axes,
            1.02,
            0.5,
            swing.pressure.travel.style,
            look,
            transform=axes.transAxes,
            va="center",
        )


def _moments(axes: Axes, swing: PlateSwing, clock: _Clock, look: Look) -> None:
    together = swing.turning.series_nm
    _line(axes, clock, together, "pivoting + free", color=look.after, lw=1.5)
    if swing.about_centre is None:
        return
    frontal, doubt = (
        values[:, 0] for values in (swing.about_centre.total_nm, swing.about_centre.doubt_nm)
    )
    axes.fill_between(
        clock.time_s[clock.shown],
        (frontal - doubt)[clock.shown],
        (frontal + doubt)[clock.shown],
        color=look.before,
        alpha=0.18,
        lw=0.0,
    )
    _line(axes, clock, frontal, "frontal", color=look.before, lw=1.2, linestyle="--")


def _line(axes: Axes, clock: _Clock, values: Values, name: str, **how: Any) -> None:
    shown = values[clock.shown]
    axes.plot(clock.time_s[clock.shown], shown, **how)
    known = shown[np.isfinite(shown)]
    if name and len(known):
        axes.text(
            clock.last_s, known[-1], f" {name}", color=how["color"], fontsize=8.5, va="center"
        )


def _frame(axes: Axes, clock: _Clock, title: str, look: Look, *, lowest: bool) -> None:
    """Scale, marks of the phases, and the panel's title."""
    for name, at_s in clock.marks:
        axes.axvline(at_s, color=look.line, lw=0.9, zorder=1)
        if lowest:
            words(axes, at_s, -0.24, name, look, transform=axes.get_xaxis_transform(), ha="center")
    words(axes, 0.0, 1.04, title, look, transform=axes.transAxes)
    _scale(axes, look, across="s" if lowest else "")


def _scale(axes: Axes, look: Look, *, across: str) -> None:
    """Round numbers at the left and, if asked for, below."""
    places, decimals = ticks(*axes.get_ylim(), 4)
    for place in places:
        axes.axhline(place, color=look.line, lw=0.5, zorder=0)
        numbers(
            axes,
            -0.01,
            place,
            f"{round(place, decimals) + 0.0:.{decimals}f}",
            look,
            transform=axes.get_yaxis_transform(),
            ha="right",
            va="center",
            color=look.quiet,
        )
    if across:
        places, decimals = ticks(*axes.get_xlim(), 6)
        for place in places:
            numbers(
                axes,
                place,
                -0.06,
                f"{round(place, decimals) + 0.0:.{decimals}f}",
                look,
                transform=axes.get_xaxis_transform(),
                ha="center",
                va="top",
                color=look.quiet,
            )
        numbers(
            axes, 1.01, -0.06, across, look, transform=axes.transAxes, va="top", color=look.quiet
        )


def _method(method: Method) -> str:
    """Rate, filter, threshold and weighing, short enough for one line."""
    start, length = method.window_s or (0.0, 0.0)
    return (
        f"{method.rate_hz:g} Hz; filter {method.filter.partition(',')[0]}; threshold "
        f"{method.threshold_n or 0.0:.0f} N; weighed {start:.2f} to {start + length:.2f} s"
    )


def _seen(swing: PressureSwing) -> str:
    if isinstance(swing, PlateSwing):
        about = swing.about_centre
        if about is None:
            return "no moments about the centre of mass: the address was not quiet"
        return (
            "frontal: moment about the centre of mass with its standard uncertainty; height of the "
            f"centre {about.height_from}"
        )
    return "a pressure device sees vertical force alone: no shear, no torque, no moments"


def _swing_words(swing: PressureSwing) -> str:
    per_n, unit = _of_weight(swing)
    if swing.lead is None:
        return f"Vertical force under both feet, up to {per_n * swing.total.peak_n:.0f} {unit}."
    said = (
        "Vertical force of lead and trail foot: the lead foot reaches "
        f"{per_n * swing.lead.peak_n:.0f} {unit}"
    )
    if swing.lead.before_impact_s is not None:
        said += f", {1000 * swing.lead.before_impact_s:.0f} ms before the strike"
    return f"{said}."
