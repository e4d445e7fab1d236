"""What lies between two clubs, and between two places with one club, in sentences."""

import math

from scipy.special import ndtr

from leadfoot.desk.club_words import club_said
from leadfoot.desk.places import said_place, same_place
from leadfoot.desk.wording import amount
from leadfoot.desk.yardage import Between, ClubYardage
from leadfoot.language.say import say, say_n
from leadfoot.units import si_into

NEARLY_ONE = 0.35
"""Chance that the shorter club goes farther from which two are nearly one. Our own choice."""
_SURE = 1.645


def between(longer: ClubYardage, shorter: ClubYardage, unit: str) -> Between:
    """What lies between two neighbours; in the air of the place where there is one.

    Parameters
    ----------
    longer, shorter
        The clubs; two that were hit at different places are not compared.
    unit
        Unit of the lengths.
    """
    if not same_place(longer.place, shorter.place):
        said = say(
            "{longer} and {shorter}: hit at different places, so they are not compared.",
            longer=club_said(longer.club),
            shorter=club_said(shorter.club),
        )
        return Between(
            longer=longer.club,
            shorter=shorter.club,
            gap_m=None,
            farther_anyway=None,
            empty_m=None,
            said=said,
        )
    one, other = longer.carry, shorter.carry
    if longer.place_carry is not None and shorter.place_carry is not None:
        one, other = longer.place_carry, shorter.place_carry
    gap = one.middle - other.middle
    farther = float(ndtr(-gap / math.hypot(one.sd, other.sd)))
    empty = (other.high, one.low) if one.low > other.high else None
    doubt = math.hypot(one.middle_high - one.middle_low, other.middle_high - other.middle_low) / (
        2.0 * _SURE
    )
    return Between(
        longer=longer.club,
        shorter=shorter.club,
        gap_m=gap,
        farther_anyway=farther,
        empty_m=empty,
        said=between_words(
            longer.club,
            shorter.club,
            gap_m=gap,
            farther_anyway=farther,
            empty_m=empty,
            told=gap > _SURE * doubt,
            unit=unit,
        ),
    )


def between_words(
    longer: str,
    shorter: str,
    *,
    gap_m: float,
    farther_anyway: float,
    empty_m: tuple[float, float] | None,
    told: bool,
    unit: str,
) -> str:
    """What lies between two clubs, in a sentence.

    Parameters
    ----------
    longer, shorter
        Names.
    gap_m, farther_anyway, empty_m
        As in `Between`.
    told
        Whether the balls tell which of them goes farther.
    unit
        Unit of the lengths.

    Examples
    --------
    >>> between_words("5 iron", "7 iron", gap_m=24.0, farther_anyway=0.04, empty_m=(141.0, 149.0),
    ...     told=True, unit="m")
    '5 iron and 7 iron: 24 m apart; no usual ball of either for 141 to 149 m.'
    >>> between_words("6 iron", "7 iron", gap_m=3.0, farther_anyway=0.41, empty_m=None, told=True,
    ...     unit="m")
    '6 iron and 7 iron: 3 m apart, nearly one club: the 7 iron goes farther 4 times in 10.'
    """
    said = {
        "longer": club_said(longer),
        "shorter": club_said(shorter),
        "gap": amount(si_into(gap_m, unit), unit, decimals=0),
    }
    often = max(round(10.0 * farther_anyway), 1)
    if not told:
        return say(
            "{longer} and {shorter}: these balls cannot tell which goes farther ({gap} apart).",
            **said,
        )
    if farther_anyway >= NEARLY_ONE:
        return say_n(
            "{longer} and {shorter}: {gap} apart, nearly one club: the {shorter} goes farther {n} "
            "time in 10.",
            "{longer} and {shorter}: {gap} apart, nearly one club: the {shorter} goes farther {n} "
            "times in 10.",
            often,
            **said,
        )
    if empty_m is not None:
        low, high = (amount(si_into(end, unit), None, decimals=0) for end in empty_m)
        return say(
            "{longer} and {shorter}: {gap} apart; no usual ball of either for {low} to {high} "
            "{unit}.",
            **said,
            low=low,
            high=high,
            unit=unit,
        )
    if farther_anyway < 0.05:
        return say("{longer} and {shorter}: {gap} apart; they hardly ever cross.", **said)
    return say_n(
        "{longer} and {shorter}: {gap} apart; the {shorter} goes farther {n} time in 10.",
        "{longer} and {shorter}: {gap} apart; the {shorter} goes farther {n} times in 10.",
        often,
        **said,
    )


def elsewhere_words(here: ClubYardage, there: ClubYardage, unit: str) -> str:
    """How one club differs at another place, in a sentence.

    Parameters
    ----------
    here, there
        The same club at the place of the table and at another one.
    unit
        Unit of the lengths.
    """
    one, other = here.carry, there.carry
    change = other.middle - one.middle
    doubt = 0.5 * math.hypot(one.middle_high - one.middle_low, other.middle_high - other.middle_low)
    said = {
        "club": club_said(here.club),
        "place": said_place(there.place),
        "balls": say_n("{n} ball", "{n} balls", other.n),
        "far": amount(si_into(other.middle, unit), unit, decimals=0),
    }
    if abs(change) <= doubt:
        low, high = (
            amount(si_into(end, unit), None, decimals=0) for end in (change - doubt, change + doubt)
        )
        return say(
            "{club} {place}: {far} ({balls}); these balls cannot tell whether that differs ({low} "
            "to {high} {unit}).",
            **said,
            low=low,
            high=high,
            unit=unit,
        )
    less, more = (
        amount(si_into(end, unit), None, decimals=0)
        for end in (abs(change) - doubt, abs(change) + doubt)
    )
    how = {
        **said,
        "size": amount(si_into(abs(change), unit), unit, decimals=0),
        "less": less,
        "more": more,
    }
    if change > 0.0:
        return say("{club} {place}: {far} ({balls}), {size} farther ({less} to {more}).", **how)
    return say("{club} {place}: {far} ({balls}), {size} shorter ({less} to {more}).", **how)
