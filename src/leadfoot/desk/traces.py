"""The traces of a recording in a window of time: every sample, or least and greatest of each run.

A screen has about a thousand columns. Where more samples fall into a window, each column gets the
least and the greatest of its samples, so that no peak is lost at any zoom.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np
from numpy.typing import NDArray

from leadfoot.desk.recordings import Found
from leadfoot.ground.recording import Plate, Recording
from leadfoot.ground.swing import PlateSwing

Values = NDArray[np.float64]
Panel = Literal["vertical", "target", "ball", "pressure", "moments", "trigger"]
PANELS: tuple[Panel, ...] = get_args(Panel)
TITLES: Mapping[Panel, str] = {
    "vertical": "vertical force, N",
    "target": "force toward the target, N",
    "ball": "force toward the ball, N",
    "pressure": "centre of pressure toward the target, cm",
    "moments": "moments, N·m; positive turns toward the target",
    "trigger": "trigger, as recorded",
}
MOST_COLUMNS = 4000
"""Columns of a very wide screen (own choice)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Trace:
    """One line of a panel over the whole recording."""

    panel: Panel
    key: str
    """The foot, or ``both``, ``together``, ``frontal``, ``frontal_low``, ``frontal_high``."""
    label: str
    values: Values


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Window:
    """Some traces in a window; n points, evenly spaced.

    Attributes
    ----------
    first_s, step_s
        Time of the first point on the clock of the recording, and from point to point. [s]
    exact
        True where every sample is a point.
    traces
        Panel, key and label of each row.
    rows
        Shape (traces, n), float32.
    """

    first_s: float
    step_s: float
    exact: bool
    traces: tuple[Trace, ...]
    rows: NDArray[np.float32]


def traces_of(found: Found, panels: Sequence[Panel]) -> tuple[Trace, ...]:
    """The traces of some panels; what the device cannot see is not there."""
    recording = found.recording
    if recording is None:
        return ()
    return tuple(one for panel in panels for one in _panel(found, recording, panel))


def window(
    recording: Recording, traces: Sequence[Trace], *, from_s: float, to_s: float, columns: int
) -> Window:
    """Cut a window out of traces.

    Parameters
    ----------
    recording
        The clock.
    traces
        Over the whole recording.
    from_s, to_s
        The window on the clock of the recording; what lies outside of it is left away. [s]
    columns
        Columns of the screen, 10 to 4000.

    Examples
    --------
    >>> from leadfoot.ground.made_swing import usual_swing
    >>> recording = usual_swing().recording(1000.0)
    >>> whole = Trace(panel="vertical", key="both", label="", values=recording.vertical_n)
    >>> cut = window(recording, [whole], from_s=0.0, to_s=9.0, columns=100)
    >>> cut.rows.shape, bool(cut.rows.max() == np.float32(recording.vertical_n.max()))
    ((1, 198), True)
    """
    rate_hz, n = recording.rate_hz, len(recording)
    columns = min(max(columns, 10), MOST_COLUMNS)
    first = int(np.clip(np.floor((from_s - recording.start_s) * rate_hz), 0, n - 1))
    last = int(np.clip(np.ceil((to_s - recording.start_s) * rate_hz) + 1, first + 1, n))
    run = -(-(last - first) // columns)
    if run <= 2:
        rows = [one.values[first:last] for one in traces]
        return _window(recording, traces, rows, first=first, step=1.0, exact=True)
    # Runs begin at multiples of their length, so that nothing flickers while the window moves.
    first -= first % run
    rows = [_ends(one.values[first:last], run) for one in traces]
    return _window(recording, traces, rows, first=first, step=run / 2.0, exact=False)


def _window(
    recording: Recording,
    traces: Sequence[Trace],
    rows: list[Values],
    *,
    first: int,
    step: float,
    exact: bool,
) -> Window:
    return Window(
        first_s=recording.start_s + first / recording.rate_hz,
        step_s=step / recording.rate_hz,
        exact=exact,
        traces=tuple(traces),
        rows=np.array(rows, dtype=np.float32).reshape(len(rows), -1),
    )


def _ends(values: Values, run: int) -> Values:
    """Least and greatest of each run, in the order in which the run goes."""
    whole = len(values) // run * run
    parts = [values[:whole].reshape(-1, run)]
    if whole < len(values):
        rest = np.full((1, run), np.nan)
        rest[0, : len(values) - whole] = values[whole:]
        parts.append(rest)
    low, high = (
        np.concatenate([end.reduce(part, axis=1) for part in parts]) for end in (np.fmin, np.fmax)
    )
    rises = np.concatenate([part[:, 0] <= part[:, -1] for part in parts])
    return np.column_stack((np.where(rises, low, high), np.where(rises, high, low))).ravel()


def _panel(found: Found, recording: Recording, panel: Panel) -> list[Trace]:
    if panel == "trigger":
        if recording.trigger is None:
            return []
        label = recording.trigger_name or "trigger"
        return [Trace(panel=panel, key="both", label=label, values=recording.trigger)]
    if panel == "moments":
        return _moments(found, recording)
    if panel == "pressure":
        return [] if recording.sees == "vertical" else _pressure(found, recording)
    if panel != "vertical" and recording.sees != "six_channels":
        return []
    axis = {"ball": 0, "target": 1, "vertical": 2}[panel]
    each = [
        Trace(panel=panel, key=_key(plate), label=_label(plate), values=plate.force_n[:, axis])
        for plate in recording.plates
    ]
    if panel == "vertical" and len(each) > 1:
        each.append(Trace(panel=panel, key="both", label="both", values=recording.vertical_n))
    return each


def _pressure(found: Found, recording: Recording) -> list[Trace]:
    each = [
        Trace(
            panel="pressure",
            key=_key(plate),
            label=_label(plate),
            values=np.asarray(100.0 * plate.cop_m[:, 1]),
        )
        for plate in recording.plates
    ]
    if found.swing is None or found.swing.series.cop_m is None or len(each) < 2:
        return each
    common = _over_all(found, recording, 100.0 * found.swing.series.cop_m[:, 1])
    return [*each, Trace(panel="pressure", key="both", label="common", values=common)]


def _moments(found: Found, recording: Recording) -> list[Trace]:
    if recording.sees != "six_channels":
        return []
    rows: list[tuple[str, str, Values]] = [
        (_key(plate), f"{_label(plate)}, free", plate.free_moment_nm) for plate in recording.plates
    ]
    if isinstance(found.swing, PlateSwing):
        turning, about = found.swing.turning.series_nm, found.swing.about_centre
        rows.append(("together", "pivoting + free", _over_all(found, recording, turning)))
        if about is not None:
            middle, doubt = about.total_nm[:, 0], about.doubt_nm[:, 0]
            rows += [
                ("frontal", "frontal plane", _over_all(found, recording, middle)),
                ("frontal_low", "", _over_all(found, recording, middle - doubt)),
                ("frontal_high", "", _over_all(found, recording, middle + doubt)),
            ]
    return [
        Trace(panel="moments", key=key, label=label, values=values) for key, label, values in rows
    ]


def _over_all(found: Found, recording: Recording, values: Values) -> Values:
    """A series of the swing on the clock of the whole recording, NaN outside of it."""
    whole = np.full(len(recording), np.nan)
    if found.swing is None:
        return whole
    first = round((float(found.swing.series.time_s[0]) - recording.start_s) * recording.rate_hz)
    part = values[: len(recording) - first]
    whole[first : first + len(part)] = part
    return whole


def _key(plate: Plate) -> str:
    return plate.foot or "both"


def _label(plate: Plate) -> str:
    return f"{plate.foot} foot" if plate.foot in {"lead", "trail"} else plate.name
