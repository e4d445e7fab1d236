"""The colours of every figure, and the contrast that they must have."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

PAPER = "#f6f1e4"
INK = "#1d2620"
TURF = "#2f6b45"
SAND = "#d9c08a"
FLAG = "#c8452d"
CHALK = "#f3efe2"
SLATE = "#1c2422"
WHITE = "#ffffff"

OKABE_ITO: Mapping[str, str] = MappingProxyType(
    {
        "black": "#000000",
        "orange": "#e69f00",
        "sky blue": "#56b4e9",
        "bluish green": "#009e73",
        "yellow": "#f0e442",
        "blue": "#0072b2",
        "vermilion": "#d55e00",
        "reddish purple": "#cc79a7",
    }
)
"""Colours that people with any common colour vision tell apart.

Source: M. Okabe and K. Ito, "Color Universal Design (CUD)", 2002 (revised 2008).
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """The colours of one ground.

    What is compared is told apart by shape and fill first: before is hollow, with the change is
    solid; `before` and `after` add a colour to that.
    """

    ground: str
    ink: str
    """Text and numbers."""
    quiet: str
    """Small labels beside the numbers."""
    line: str
    """Thin lines of axes and distances; they carry no meaning on their own."""
    target: str
    before: str
    after: str


DAY = Look(
    ground=PAPER,
    ink=INK,
    quiet="#566058",
    line="#d8d0bb",
    target=TURF,
    before=OKABE_ITO["blue"],
    after=OKABE_ITO["vermilion"],
)
"""Ink on warm paper: the pages by day."""

NIGHT = Look(
    ground=SLATE,
    ink=CHALK,
    quiet="#aab3a8",
    line="#3d4844",
    target="#8fcfa6",
    before=OKABE_ITO["sky blue"],
    after=OKABE_ITO["orange"],
)
"""Chalk on slate: a dark bay."""

PRINT = Look(
    ground=WHITE,
    ink=INK,
    quiet="#566058",
    line="#d5d2c8",
    target=TURF,
    before=OKABE_ITO["blue"],
    after=OKABE_ITO["vermilion"],
)
"""Ink on the white paper of a printer."""

WORDS = "Source Serif 4"
"""The face for words; see ``reports/fonts``."""
NUMBERS = "Barlow Condensed"
"""The face for numbers."""


def _linear(channel: int) -> float:
    share = channel / 255.0
    return share / 12.92 if share <= 0.04045 else float(((share + 0.055) / 1.055) ** 2.4)


def _luminance(colour: str) -> float:
    red, green, blue = (_linear(int(colour[place : place + 2], 16)) for place in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast of two colours, 1 (none) to 21 (black on white).

    Parameters
    ----------
    one, other
        Colours as ``#rrggbb``.

    Notes
    -----
    ``(L1 + 0.05) / (L2 + 0.05)`` of the relative luminances: Web Content Accessibility Guidelines
    2.2, "contrast ratio". Text needs 4.5, marks that carry meaning 3.

    Examples
    --------
    >>> contrast("#000000", "#ffffff")
    21.0
    """
    dark, light = sorted((_luminance(one), _luminance(other)))
    return (light + 0.05) / (dark + 0.05)
