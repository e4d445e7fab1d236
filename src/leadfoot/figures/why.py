"""Why it changed, as bars: what each part of the swing did to one outcome, and how sure that is."""

from collections.abc import Callable, Sequence

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from leadfoot.coaching.attribution import OutcomeName
from leadfoot.desk.why import OUTCOME_NAMES, STRAIGHT_SAID, Why, WhyShare, WhySplit
from leadfoot.errors import InputError
from leadfoot.figures.look import PRINT, Look
from leadfoot.figures.marks import MM_PER_INCH, bare_axes, note, numbers, signed, ticks, words
from leadfoot.figures.picture import Picture

ROW_MM, TOP_MM, FOOT_MM = 8.5, 11.0, 13.0
_NAME_MM, _VALUE_MM = 52.0, 32.0
_TITLES: dict[OutcomeName, tuple[str, str, str]] = {
    "carry": ("Carry", "shorter", "longer"),
    "offline": ("Offline, on average", "farther left", "farther right"),
    "miss": ("Average miss of the target line", "smaller", "wider"),
}
_UNEXPLAINED = "not explained by the model"
_WHOLE = "the whole change in the model"


def why_picture(
    why: Why, outcome: OutcomeName = "carry", *, look: Look = PRINT, width_mm: float = 150.0
) -> Picture:
    """The shares of one outcome as bars from nothing, each with the range of 95 in 100.

    Parameters
    ----------
    why
        The change, shared out.
    outcome
        Which outcome.
    look
        Colours of the ground it will lie on.
    width_mm
        Width on paper; the height follows from the number of parts.

    Raises
    ------
    InputError
        If the outcome can't be told from what was read.
    """
    split = why.splits.get(outcome)
    if split is None:
        raise InputError(
            f"The change of {OUTCOME_NAMES[outcome]} can't be shared out: {STRAIGHT_SAID}",
            fix="Draw the carry, or read start direction and spin axis of the ball.",
        )
    rows = _rows(split)
    return Picture(
        alt=_alt(split, why.unit),
        width_mm=width_mm,
        height_mm=TOP_MM + FOOT_MM + ROW_MM * len(rows),
        look=look,
        paint=_paint(split, rows, why.unit, look),
    )


def _rows(split: WhySplit) -> list[tuple[str, WhyShare]]:
    rows = [(share.name, share) for share in split.shares]
    rows.append((_WHOLE, split.change))
    if split.unexplained is not None:
        rows.append((_UNEXPLAINED, split.unexplained))
    return rows


def _told(share: WhyShare, unit: str) -> tuple[str, str]:
    decimals = 0 if max(abs(share.low), abs(share.high)) >= 8.0 else 1
    return (
        f"{signed(share.value, decimals)} {unit}",
        f"{signed(share.low, decimals)} to {signed(share.high, decimals)}",
    )


def _alt(split: WhySplit, unit: str) -> str:
    parts = []
    for name, share in _rows(split):
        value, spread = _told(share, unit)
        parts.append(f"{name} {value}, likely {spread}")
    return f"{_TITLES[split.outcome][0]}, shared out: {'; '.join(parts)}."


def _reach(rows: Sequence[tuple[str, WhyShare]]) -> tuple[float, float]:
    low = min(0.0, *(share.low for _, share in rows))
    high = max(0.0, *(share.high for _, share in rows))
    room = 0.06 * max(high - low, 1.0)
    return low - room, high + room


def _paint(
    split: WhySplit, rows: Sequence[tuple[str, WhyShare]], unit: str, look: Look
) -> Callable[[Figure], None]:
    title, less, more = _TITLES[split.outcome]

    def paint(figure: Figure) -> None:
        wide, high = (float(size) for size in figure.get_size_inches() * MM_PER_INCH)
        words(figure, 0.0, 1.0 - 4.0 / high, title, look, fontsize=10.0, weight=600)
        axes = bare_axes(
            figure, (_NAME_MM, FOOT_MM, wide - _NAME_MM - _VALUE_MM, ROW_MM * len(rows))
        )
        low, top = _reach(rows)
        axes.set_xlim(low, top)
        axes.set_ylim(len(rows), 0.0)
        _scale(axes, len(rows), (less, more), look)
        for place, (name, share) in enumerate(rows):
            whole = place == len(split.shares)
            _bar(axes, place + 0.5, share, look, whole=whole, rest=name == _UNEXPLAINED)
            _said(figure, place, (name, share), unit=unit, look=look, whole=whole)
        if len(rows) > len(split.shares):
            line = len(split.shares)
            axes.plot([low, top], [line, line], color=look.quiet, lw=0.6, zorder=1)
        note(
            figure,
            ["Bar: the best estimate. Line: holds the truth with 95 in 100. All of it modelled."],
            look,
            left_mm=0.0,
        )

    return paint


def _scale(axes: Axes, n_rows: int, ends: tuple[str, str], look: Look) -> None:
    low, high = axes.get_xlim()
    places, decimals = ticks(low, high, 6)
    for at in places:
        axes.plot([at, at], [0.0, n_rows], color=look.line, lw=0.5, zorder=0)
        numbers(
            axes, float(at), n_rows + 0.08, signed(float(at), decimals), look,
            ha="center", va="top", fontsize=8.0, color=look.quiet,
        )  # fmt: skip
    axes.plot([0.0, 0.0], [0.0, n_rows], color=look.ink, lw=0.9, zorder=3)
    for side, text, align in ((low, ends[0], "left"), (high, ends[1], "right")):
        words(axes, side, -0.12, text, look, ha=align, va="bottom", fontsize=7.5, color=look.quiet)


def _bar(axes: Axes, at: float, share: WhyShare, look: Look, *, whole: bool, rest: bool) -> None:
    """A solid bar where the direction is clear, a hollow one where it is not; the rest hatched."""
    colour = look.ink if whole else look.after
    solid = share.clear and not rest
    axes.barh(
        [at],
        [share.value],
        height=0.52,
        facecolor=colour if solid else "none",
        alpha=None if not solid else 0.85,
        edgecolor=colour if not rest else look.quiet,
        hatch="/////" if rest else None,
        lw=0.9,
        zorder=2,
    )
    axes.plot([share.low, share.high], [at, at], color=look.ink, lw=1.4, zorder=4)
    for end in (share.low, share.high):
        axes.plot([end, end], [at - 0.12, at + 0.12], color=look.ink, lw=1.4, zorder=4)


def _said(
    figure: Figure,
    place: int,
    row: tuple[str, WhyShare],
    *,
    unit: str,
    look: Look,
    whole: bool,
) -> None:
    wide, high = (float(size) for size in figure.get_size_inches() * MM_PER_INCH)
    line = 1.0 - (TOP_MM + ROW_MM * (place + 0.5) + 1.0) / high
    name, share = row
    value, spread = _told(share, unit)
    parts = _broken(name)
    for k, text in enumerate(parts):
        up = 1.6 * (len(parts) - 1) - 3.2 * k
        words(figure, 0.0, line + up / high, text, look, fontsize=8.5, weight=600 if whole else 400)
    right = 1.0 - (_VALUE_MM - 3.0) / wide
    numbers(figure, right, line, value, look, fontsize=10.5, weight=600)
    numbers(figure, 1.0, line, spread, look, ha="right", fontsize=8.0, color=look.quiet)


def _broken(name: str, most: int = 32) -> list[str]:
    """A long name on two lines, broken after a comma."""
    if len(name) <= most or ", " not in name:
        return [name]
    head, tail = name.split(", ", 1)
    return [f"{head},", tail]
