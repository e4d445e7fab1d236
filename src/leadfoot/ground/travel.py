"""How the centre of pressure travels in the last tenth of a second before the strike.

Two styles are published, and both are sound: they occur from professionals to high handicaps (Ball
and Best, Journal of Sports Sciences 25, 757, 2007, thesis and abstracts read). In the one the
pressure goes on to the lead foot until the strike; in the other it goes back toward the trail foot.
A golfer has the same one with all clubs (96 of 100). Compare within a style only.
"""

from dataclasses import dataclass
from typing import Literal

Style = Literal["front foot", "reverse", "between"]

LAST_S = 0.10
"""Time before the strike that is looked at: it stands for early downswing to contact, which plates
alone cannot see (own choice). [s]"""
LEAST_SHARE = 0.05
"""Travel, in widths of the stance, below which no style is named (own choice). [-]"""
SOUND = "Both styles are sound; neither is a fault."


@dataclass(frozen=True, slots=True, kw_only=True)
class Travel:
    """The style of one swing.

    Attributes
    ----------
    style
        ``front foot``, ``reverse``, or ``between`` where the travel is too short to say.
    share
        Travel toward the target in the last 0.1 s, in widths of the stance. [-]

    Examples
    --------
    >>> travel_of(0.62, 0.81).style, travel_of(0.80, 0.55).said
    ('front foot', 'reverse: the pressure goes back toward the trail foot before the strike. Both
    styles are sound; neither is a fault.')
    """

    style: Style
    share: float

    @property
    def said(self) -> str:
        """The style in a sentence, with what it is worth."""
        words = {
            "front foot": "the pressure goes on to the lead foot until the strike",
            "reverse": "the pressure goes back toward the trail foot before the strike",
            "between": "the pressure hardly moves before the strike",
        }
        return f"{self.style}: {words[self.style]}. {SOUND}"


def travel_of(before: float, at_impact: float) -> Travel:
    """Name the style from two places between the feet, 0 at the trail foot and 1 at the lead foot.

    Parameters
    ----------
    before, at_impact
        0.1 s before the strike, and at it. [-]

    Examples
    --------
    >>> travel_of(0.62, 0.64).style
    'between'
    """
    share = at_impact - before
    if abs(share) < LEAST_SHARE:
        return Travel(style="between", share=share)
    return Travel(style="front foot" if share > 0.0 else "reverse", share=share)
