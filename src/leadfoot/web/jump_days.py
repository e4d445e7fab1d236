"""Jumps over days drawn: every try a ring, each day's mean a dot with the test's own error."""

from datetime import date

from markupsafe import Markup

from leadfoot.desk.days import MONTHS
from leadfoot.desk.jumps import KindOfJumps
from leadfoot.ground.jump_days import RETEST_CV

_WIDE, _HIGH = 640.0, 250.0
_LEFT, _RIGHT, _TOP, _FOOT = 56.0, 24.0, 18.0, 34.0


def jump_days_drawn(kind: KindOfJumps) -> Markup | None:
    """Draw the days of one kind; None where no jump counts.

    The bar at each mean is the published spread from test to test, one standard deviation up and
    down: two days whose bars overlap cannot be told apart.
    """
    days = [day for day in kind.days if day.summed is not None]
    if not days:
        return None
    heights = [100.0 * jump.height_m for day in days for jump in day.jumps]
    low, high = min(heights) * 0.9, max(heights) * 1.08
    first, last = days[0].day.toordinal(), days[-1].day.toordinal()

    def x(day: date) -> float:
        share = 0.5 if last == first else (day.toordinal() - first) / (last - first)
        return _LEFT + 20.0 + share * (_WIDE - _LEFT - _RIGHT - 40.0)

    def y(height_cm: float) -> float:
        return _HIGH - _FOOT - (height_cm - low) / (high - low) * (_HIGH - _TOP - _FOOT)

    step = next(one for one in (1, 2, 5, 10, 20) if (high - low) / one <= 6.0)
    parts = [
        Markup(
            '<path class="grid" d="M{:.0f} {:.1f}H{:.0f}"/>'
            '<text class="mark-text" x="{:.0f}" y="{:.1f}" text-anchor="end">{} cm</text>'
        ).format(_LEFT, y(mark), _WIDE - _RIGHT, _LEFT - 6.0, y(mark) + 5.0, mark)
        for mark in range(int(low // step + 1) * step, int(high) + 1, step)
    ]
    shown = -1e9
    for day in days:
        at, mean = x(day.day), 100.0 * (day.summed.mean_m if day.summed else 0.0)
        reach = RETEST_CV["height"] * mean
        parts.append(
            Markup('<path class="limit" d="M{:.1f} {:.1f}V{:.1f}"/>').format(
                at, y(mean - reach), y(mean + reach)
            )
        )
        parts += [
            Markup('<circle class="try" cx="{:.1f}" cy="{:.1f}" r="4"/>').format(
                at, y(100.0 * jump.height_m)
            )
            for jump in day.jumps
            if jump.left_out_reason is None
        ]
        parts.append(
            Markup('<circle class="mean" cx="{:.1f}" cy="{:.1f}" r="5.5"/>').format(at, y(mean))
        )
        if at - shown > 62.0:
            shown = at
            words = f"{day.day.day} {MONTHS[day.day.month - 1][:3]}"
            parts.append(
                Markup(
                    '<text class="mark-text" x="{:.1f}" y="{:.1f}" text-anchor="middle">{}</text>'
                ).format(at, _HIGH - 10.0, words)
            )
    label = f"Heights {kind.words} over {len(days)} days; the table below has every number"
    return Markup(
        '<svg class="jump-days" viewBox="0 0 {:.0f} {:.0f}" role="img" aria-label="{}">{}</svg>'
    ).format(_WIDE, _HIGH, label, Markup("").join(parts))
