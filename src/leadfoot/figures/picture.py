"""A picture: what it shows in words, and how it becomes SVG or PNG, the same bytes every time."""

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from importlib.resources import as_file, files
from io import BytesIO
from typing import Any

import matplotlib as mpl
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure
from matplotlib.font_manager import fontManager

from leadfoot.figures.look import NUMBERS, Look
from leadfoot.figures.marks import MM_PER_INCH

_drawing = threading.Lock()
"""Matplotlib keeps its settings in one place for all threads, so one picture is drawn at a time."""


@cache
def _use_shipped_fonts() -> None:
    """Tell matplotlib of the faces in ``reports/fonts``; once a process."""
    for font in sorted(files("leadfoot").joinpath("reports/fonts").iterdir(), key=str):
        if font.name.endswith(".ttf"):
            with as_file(font) as path:
                fontManager.addfont(path)


def _settings(look: Look) -> dict[str, Any]:
    """Matplotlib's own defaults with ours on top, whatever the machine's settings say."""
    kept_out = ("backend", "webagg", "toolbar", "interactive", "timezone", "datapath")
    defaults = {
        key: value
        for key, value in mpl.rcParamsDefault.items()
        if not key.startswith(kept_out) and not key.startswith(("keymap", "date."))
    }
    ours = {
        "svg.fonttype": "none",  # text stays text, so it can be read out, searched and set again
        "svg.hashsalt": "leadfoot",
        "font.family": [NUMBERS],
        "font.size": 9.0,
        "text.color": look.ink,
        "text.parse_math": False,  # a dollar sign in a name is a dollar sign
        "axes.facecolor": "none",
        "figure.facecolor": look.ground,
        "axes.unicode_minus": True,
    }
    return defaults | ours


@contextmanager
def _settled(look: Look) -> Iterator[None]:
    with _drawing:
        _use_shipped_fonts()
        settings: Any = _settings(look)
        with mpl.rc_context(settings):
            yield


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Picture:
    """A figure that is ready to be drawn.

    Attributes
    ----------
    alt
        What the picture shows, for whoever cannot see it.
    width_mm, height_mm
        Size on paper.
    look
        Its colours.
    paint
        Draws on an empty figure of that size; called under the lock, with the settings in force.
    """

    alt: str
    width_mm: float
    height_mm: float
    look: Look
    paint: Callable[[Figure], None]

    def _figure(self) -> Figure:
        figure = Figure(figsize=(self.width_mm / MM_PER_INCH, self.height_mm / MM_PER_INCH))
        figure.set_facecolor(self.look.ground)
        self.paint(figure)
        return figure

    def svg(self) -> bytes:
        """The picture as SVG, with its words as text in the shipped faces.

        Two calls give the same bytes. The first element of the drawing is a title that holds `alt`.
        """
        out = BytesIO()
        with _settled(self.look):
            canvas: Any = FigureCanvasSVG(self._figure())
            canvas.print_svg(out, metadata={"Date": None, "Creator": "Leadfoot", "Title": self.alt})
        return out.getvalue()

    def png(self, *, dpi: int = 200) -> bytes:
        """The picture as PNG.

        Parameters
        ----------
        dpi
            Dots per inch; 200 prints well, 96 is the size of a screen.
        """
        out = BytesIO()
        with _settled(self.look):
            figure = self._figure()
            figure.set_dpi(dpi)
            canvas: Any = FigureCanvasAgg(figure)
            canvas.print_png(out, metadata={"Software": None, "Description": self.alt})
        return out.getvalue()
