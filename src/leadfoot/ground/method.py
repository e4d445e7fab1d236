"""How a number was found: what must stand beside every number of a force recording."""

from dataclasses import dataclass

from leadfoot import __version__

GRAVITY_MPS2 = 9.80665
"""Standard acceleration of free fall, exact (CGPM 1901). [m/s²]"""
RAW = "none: raw force"
"""The filter of events, weighing, impulse and jumps."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Method:
    """The way to a number; numbers found in different ways must not be compared.

    Attributes
    ----------
    name
        Of the method, in words.
    rate_hz
        Samples a second. [Hz]
    filter
        What was done to the force before, or `RAW`.
    threshold_n
        Vertical force below which a plate counts as unloaded; None where none was needed. [N]
    window_s
        Start and length of the time in which the body weight was found; None where there is none.
    version
        Of this package.

    Examples
    --------
    >>> Method(name="vertical force", rate_hz=1000.0, threshold_n=20.0, window_s=(0.5, 1.0)).said
    'vertical force; 1000 Hz; filter none: raw force; threshold 20 N; weighed 0.50 to 1.50 s'
    """

    name: str
    rate_hz: float
    filter: str = RAW
    threshold_n: float | None = None
    window_s: tuple[float, float] | None = None
    version: str = __version__

    @property
    def said(self) -> str:
        """The method in one line."""
        parts = [self.name, f"{self.rate_hz:g} Hz", f"filter {self.filter}"]
        if self.threshold_n is not None:
            parts.append(f"threshold {self.threshold_n:.3g} N")
        if self.window_s is not None:
            start, length = self.window_s
            parts.append(f"weighed {start:.2f} to {start + length:.2f} s")
        return "; ".join(parts)
