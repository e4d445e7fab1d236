"""The swing in a force recording, for ``leadfoot ground``: numbers, or why there are none."""

from dataclasses import dataclass
from pathlib import Path

from rich.console import Console
from rich.markup import escape
from rich.table import Table

from leadfoot.errors import InputError
from leadfoot.figures.picture import Picture
from leadfoot.ground.phases import impact_of
from leadfoot.ground.recording import Recording
from leadfoot.ground.swing import PressureSwing, swing_of
from leadfoot.ground.swing_numbers import numbers_of


@dataclass(frozen=True, slots=True, kw_only=True)
class SwingWanted:
    """What was said about the swing; None where nothing was."""

    strike_s: float | None = None
    turn_s: float | None = None
    stature_m: float | None = None
    weight_n: float | None = None
    plot: Path | None = None

    @property
    def asked(self) -> bool:
        """Whether a swing was asked for, so that none is an error."""
        return self.strike_s is not None or self.turn_s is not None or self.plot is not None


def find_swing(recording: Recording, wanted: SwingWanted) -> tuple[PressureSwing | None, str]:
    """The swing, or None and why there is none.

    Raises
    ------
    InputError
        If a swing was asked for, by its strike or a picture, and there is none.
    """
    try:
        return (
            swing_of(
                recording,
                impact_of(recording, by_hand_s=wanted.strike_s),
                entered_n=wanted.weight_n,
                stature_m=wanted.stature_m,
                turn_s=wanted.turn_s,
            ),
            "",
        )
    except InputError as error:
        if wanted.asked:
            raise
        return None, str(error)


def show_swing(swing: PressureSwing, console: Console) -> None:
    """Print the numbers of a swing for a person."""
    shown = {remark.text for remark in swing.remarks}
    table = Table("", "", "", "", box=None, show_header=False)
    for number in numbers_of(swing):
        decimals = 2 if abs(number.value) < 10.0 else 0
        doubt = "" if number.doubt is None else f"± {number.doubt:.2g}"
        table.add_row(number.label, f"{number.value:.{decimals}f}", number.unit, doubt)
    console.print(table)
    if swing.pressure is not None and swing.pressure.travel is not None:
        console.print(escape(f"style of travel: {swing.pressure.travel.said}"))
    impact = swing.impact
    strike = "not known" if impact is None else f"{impact.time_s:.3f} s, {impact.source}"
    console.print(
        f"strike: {strike}",
        f"measured: {swing.peaks.said}",
        f"measured: {swing.impulses.said}",
        sep="\n",
    )
    if impact is None:
        console.print(next(text for text in shown if text.startswith("Nobody said")))


def write_picture(picture: Picture, plot: Path) -> None:
    """Write a picture as SVG, or PNG by the file's name.

    Raises
    ------
    InputError
        If the file can't be written.
    """
    data = picture.png() if plot.suffix.lower() == ".png" else picture.svg()
    try:
        plot.write_bytes(data)
    except OSError as error:
        raise InputError(
            f"Picture {str(plot)!r} can't be written: {error.strerror}.",
            fix="Choose another place.",
        ) from error
