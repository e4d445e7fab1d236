"""Units: which one each column is in, where it does not say; and what speaks against it."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from leadfoot.quantities import glossary
from leadfoot.shots.columns import Question, units_of
from leadfoot.shots.ranges import (
    APEX_SHARE,
    SMASH,
    TOTAL_SHARE,
    Clubs,
    carry_fits,
    share_plausible,
    usual_units,
)
from leadfoot.units import si_from

Floats = NDArray[np.float64]

_METRIC = {"km/h", "m/s", "m", "cm", "mm"}
_DISTANCES = ("carry", "total", "offline", "apex")
_SMALL = ("low_point", "strike_heel_toe", "strike_high_low")
_LEAST_INSIDE = 0.5
"""Share of values within the plausible range below which a column is asked about. Our choice."""
_WELL_INSIDE = 0.9
"""Share inside from which another unit is suggested. Our own choice."""


@dataclass(slots=True, kw_only=True)
class Measured:
    """One quantity of a table while its unit is being settled."""

    key: str
    header: str
    values: Floats
    """As written, in `unit` once that is settled."""
    stated: str | None
    """The unit that the table or the mapping states."""
    stated_by: str = ""
    unit: str | None = None
    sure: bool = True
    reasons: list[str] = field(default_factory=list)
    asked: bool = False

    def median_si(self, unit: str | None = None) -> float:
        """The median in SI, were the values in a unit; NaN without values."""
        if not np.isfinite(self.values).any():
            return float("nan")
        return si_from(float(np.nanmedian(self.values)), unit or self.unit)


def settle_units(
    columns: Mapping[str, Measured],
    clubs: Clubs,
    *,
    is_metric: bool,
) -> list[Question]:
    """Give every column its unit, its reason, and list the doubts.

    Parameters
    ----------
    columns
        The quantities by key; their units, reasons and sureness are filled in.
    clubs
        Class of club of each shot.
    is_metric
        True where the table's language or marks come from a country that measures in metres.
    """
    for column in columns.values():
        if column.stated is not None:
            column.unit = column.stated
            column.reasons.append(f"{column.stated} {column.stated_by}".strip())
    for column in columns.values():
        if column.stated is None and units_of(column.key):
            _assume(column, columns, clubs, is_metric=is_metric)
    questions: list[Question] = []
    for ask in (_by_range, _by_usual, _by_physics, _by_radians, _by_angles):
        for question in ask(columns, clubs):
            questions.append(question)
            _mark(columns, question)
    return questions


def _mark(columns: Mapping[str, Measured], question: Question) -> None:
    column = columns[question.quantity or ""]
    column.sure = False
    column.asked = True
    column.reasons.append(f"doubt: {question.text}")


# Units that the table does not state.


def _assume(
    column: Measured,
    columns: Mapping[str, Measured],
    clubs: Clubs,
    *,
    is_metric: bool,
) -> None:
    dimension = glossary()[column.key].dimension
    if dimension == "speed":
        unit, sure, reason = _speed_unit(column, columns, clubs)
    elif dimension == "angle":
        unit, sure, reason = _angle_unit(column, columns)
    elif column.key in _SMALL:
        unit, sure, reason = _small_unit(column, columns)
    elif dimension == "length":
        unit, sure, reason = _distance_unit(column, columns, is_metric=is_metric)
    else:
        unit, sure = glossary()[column.key].unit or "", True
        reason = f"no unit stated; {unit} is the only one in use"
    column.unit = unit
    column.sure = column.sure and sure
    column.reasons.append(reason)


def _sibling(column: Measured, columns: Mapping[str, Measured], keys: Iterable[str]) -> str | None:
    """Give the unit that the other columns of one kind state, if they state one and the same."""
    stated = {columns[key].stated for key in keys if key in columns and key != column.key}
    stated -= {None}
    return stated.pop() if len(stated) == 1 else None


def _speed_unit(
    column: Measured, columns: Mapping[str, Measured], clubs: Clubs
) -> tuple[str, bool, str]:
    usual = usual_units(column.values, column.key, clubs)
    same = _sibling(column, columns, ("club_speed", "ball_speed"))
    if same is not None:
        fits = share_plausible(column.values, same, column.key, clubs) >= _WELL_INSIDE
        return same, fits, f"no unit stated; {same} as the other speed"
    if len(usual) == 1:
        return usual[0], True, f"no unit stated; only in {usual[0]} are these usual speeds"
    both = _common_speeds(usual, column, columns, clubs)
    if len(both) == 1:
        return both[0], True, f"no unit stated; only in {both[0]} do speeds and carry make sense"
    unit = "mph" if "mph" in usual or not usual else usual[0]
    return unit, False, f"no unit stated; {unit} is assumed"


def _common_speeds(
    usual: list[str], column: Measured, columns: Mapping[str, Measured], clubs: Clubs
) -> list[str]:
    """Keep the units in which the other speed and the carry make sense as well."""
    other = "ball_speed" if column.key == "club_speed" else "club_speed"
    if other in columns:
        usual = [u for u in usual if u in usual_units(columns[other].values, other, clubs)]
    if "carry" not in columns or "ball_speed" not in columns:
        return usual
    ball, carry = columns["ball_speed"], columns["carry"]
    lengths = [carry.stated] if carry.stated else ["m", "yd"]
    return [
        unit
        for unit in usual
        if any(
            carry_fits(carry.median_si(length), ball.median_si(unit), clubs.main())
            for length in lengths
        )
    ]


def _likely(key: str) -> tuple[str, ...]:
    """List the units in which people state a quantity, out of those that measure it."""
    if key in _DISTANCES:
        return ("yd", "m", "ft")
    if key in _SMALL:
        return ("in", "cm", "mm")
    return tuple(unit for unit in units_of(key) if unit != "ft/s")


def _angle_unit(column: Measured, columns: Mapping[str, Measured]) -> tuple[str, bool, str]:
    angles = [key for key in columns if glossary()[key].dimension == "angle"]
    same = _sibling(column, columns, angles)
    if same is not None:
        return same, True, f"no unit stated; {same} as the other angles"
    largest = max(_largest(columns[key].values) for key in angles)
    if largest > 3.2:
        return "deg", True, "no unit stated; the angles are too large for rad"
    return "deg", largest > 1.6, "no unit stated; deg is assumed"


def _largest(values: Floats) -> float:
    return float(np.nanmax(np.abs(values), initial=0.0, where=np.isfinite(values)))


def _small_unit(column: Measured, columns: Mapping[str, Measured]) -> tuple[str, bool, str]:
    same = _sibling(column, columns, _SMALL)
    if same is not None and column.key != "low_point":
        return same, True, f"no unit stated; {same} as the other place of strike"
    if column.key != "low_point" and _largest(column.values) > 6.0:
        return "mm", True, "no unit stated; only in mm do these places lie on a face"
    unit = glossary()[column.key].unit or "mm"
    return unit, False, f"no unit stated; {unit} is assumed"


def _distance_unit(
    column: Measured, columns: Mapping[str, Measured], *, is_metric: bool
) -> tuple[str, bool, str]:
    same = _sibling(column, columns, ("carry", "total", "offline"))
    if same in {"m", "yd"}:
        sure = column.key != "apex"
        return same, sure, f"no unit stated; {same} as the other distances"
    can_not_tell = "metres and yards can't be told apart by the numbers"
    stated = {other.stated for other in columns.values()} - {None}
    if stated & _METRIC and "yd" not in stated and "mph" not in stated:
        return (
            "m",
            False,
            f"no unit stated; m is assumed, as other columns are metric; {can_not_tell}",
        )
    if is_metric and "yd" not in stated and "mph" not in stated:
        return "m", False, f"no unit stated; m is assumed by the table's language; {can_not_tell}"
    return "yd", False, f"no unit stated; yd is assumed; {can_not_tell}"


# What speaks against a unit.


def _question(column: Measured, suggested: str | None, text: str) -> Question:
    return Question(
        column=column.header,
        quantity=column.key,
        unit=column.unit,
        suggested_unit=suggested,
        text=text,
    )


def _by_range(columns: Mapping[str, Measured], clubs: Clubs) -> Iterable[Question]:
    """Ask about columns most of whose values no real swing gives."""
    for column in columns.values():
        inside = share_plausible(column.values, column.unit, column.key, clubs)
        if inside >= _LEAST_INSIDE:
            continue
        name = glossary()[column.key].name
        better = [
            unit
            for unit in _likely(column.key)
            if share_plausible(column.values, unit, column.key, clubs) >= _WELL_INSIDE
        ]
        unit = f" in {column.unit}" if column.unit else ""
        text = f"Most values of {column.header!r} are no {name} that a real swing gives{unit}"
        if better:
            yield _question(column, better[0], f"{text}; are they in {' or '.join(better)}?")
        else:
            yield _question(column, None, f"{text}; is it {name}?")


def _by_usual(columns: Mapping[str, Measured], clubs: Clubs) -> Iterable[Question]:
    """Ask about speeds usual in another unit only, unless the carry bears them out."""
    for key in ("club_speed", "ball_speed"):
        column = columns.get(key)
        if column is None or column.asked or column.unit in {None, "ft/s"}:
            continue
        usual = usual_units(column.values, key, clubs)
        if not usual or column.unit in usual or _carry_bears_out(columns, clubs):
            continue
        is_low = si_from(1.0, usual[0]) > si_from(1.0, column.unit)
        if is_low and clubs.main() in {None, "wedge"}:
            continue  # a pitch is slow in any unit
        yield _question(
            column,
            usual[0],
            f"{column.header!r} would be usual in {usual[0]}, and is not in {column.unit}.",
        )


def _carry_bears_out(columns: Mapping[str, Measured], clubs: Clubs) -> bool:
    if "carry" not in columns or "ball_speed" not in columns:
        return False
    carry, ball = columns["carry"].median_si(), columns["ball_speed"].median_si()
    return carry_fits(carry, ball, clubs.main())


def _by_radians(columns: Mapping[str, Measured], _: Clubs) -> Iterable[Question]:
    """Ask about upward angles that are all so small that they may be in rad."""
    for key in ("launch_angle", "dynamic_loft", "landing_angle"):
        column = columns.get(key)
        if column is None or column.unit != "deg" or not np.isfinite(column.values).any():
            continue
        if _largest(column.values) < 1.6 and float(np.nanmedian(column.values)) > 0.05:
            yield _question(column, "rad", f"{column.header!r} is very small in deg; is it in rad?")


def _by_physics(columns: Mapping[str, Measured], clubs: Clubs) -> Iterable[Question]:
    """Ask where one column contradicts another."""
    club = clubs.main()

    def carries(ball: float, carry: float) -> bool:
        return carry_fits(carry, ball, club)

    yield from _pair(columns, "club_speed", "ball_speed", _smash_test(columns), clubs)
    yield from _pair(columns, "ball_speed", "carry", carries, clubs)
    yield from _pair(columns, "carry", "total", _within(TOTAL_SHARE[club]), clubs)
    yield from _pair(columns, "carry", "apex", _within(APEX_SHARE), clubs)


def _within(band: tuple[float, float]) -> Callable[[float, float], bool]:
    return lambda first, second: first > 0 and band[0] <= second / first <= band[1]


def _smash_test(columns: Mapping[str, Measured]) -> Callable[[float, float], bool]:
    """Give the test of ball speed over club speed: by the smash factor where the table has it."""
    smash = columns["smash_factor"].median_si() if "smash_factor" in columns else float("nan")
    if 0.5 < smash < 1.6:
        return _within((0.9 * smash, 1.1 * smash))
    return _within(SMASH)


def _pair(
    columns: Mapping[str, Measured],
    first: str,
    second: str,
    fits: Callable[[float, float], bool],
    clubs: Clubs,
) -> Iterable[Question]:
    """Ask about two columns whose medians do not go together, if another unit would mend it."""
    if first not in columns or second not in columns:
        return
    a, b = columns[first], columns[second]
    if a.asked or b.asked or np.isnan(a.median_si() + b.median_si()):
        return
    if fits(a.median_si(), b.median_si()):
        return
    text = f"{b.header!r} in {b.unit} does not go with {a.header!r} in {a.unit}"
    mends = [
        *((a, unit) for unit in _others(a, clubs) if fits(a.median_si(unit), b.median_si())),
        *((b, unit) for unit in _others(b, clubs) if fits(a.median_si(), b.median_si(unit))),
    ]
    mends.sort(key=lambda mend: (mend[0].stated is not None, mend[1] == "ft/s"))
    if mends:
        column, unit = mends[0]
        ways = " or ".join(f"{mend.header!r} in {other}" for mend, other in mends[:3])
        yield _question(column, unit, f"{text}; it would with {ways}.")
    else:
        yield _question(b, None, f"{text}; check both columns.")


def _others(column: Measured, clubs: Clubs) -> list[str]:
    """List the other units in which most values would be plausible."""
    return [
        unit
        for unit in _likely(column.key)
        if unit != column.unit
        and share_plausible(column.values, unit, column.key, clubs) >= _LEAST_INSIDE
    ]


def _by_angles(columns: Mapping[str, Measured], _: Clubs) -> Iterable[Question]:
    """Ask about the signs where face to path is the opposite of face less path."""
    keys = ("face_angle", "club_path", "face_to_path")
    if any(key not in columns for key in keys):
        return
    face, path, between = (columns[key].values * si_from(1.0, columns[key].unit) for key in keys)
    difference = face - path
    held = np.isfinite(difference) & np.isfinite(between) & (np.abs(difference) > 0.01)
    if held.sum() < 3:
        return
    agrees = float(np.median(np.abs(between - difference)[held]))
    opposes = float(np.median(np.abs(between + difference)[held]))
    if opposes < 0.2 * agrees:
        yield _question(
            columns["face_to_path"],
            None,
            f"{columns['face_to_path'].header!r} has the opposite sign of face angle less club "
            "path; is left positive in one of them?",
        )
