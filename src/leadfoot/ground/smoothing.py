"""Smooths a force without moving it in time, and tells a force that was smoothed before."""

import math

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, sosfiltfilt

from leadfoot.errors import OutOfRangeError

Values = NDArray[np.float64]

DISPLAY_HZ = 50.0
"""Cut-off for peaks and pictures of a swing (own choice: on an open recording of a jump 50 Hz moves
peak force by 0.2 %; no golf paper with a cut-off was read). [Hz]"""
TWO_PASSES = (math.sqrt(2.0) - 1.0) ** 0.25
"""A second-order Butterworth run forward and back is 3 dB down at this share of its cut-off; exact.

``|H|² = 1 / (1 + x⁴)``, twice: ``(1 + x⁴)² = 2``."""
PAD_S = 1.0
"""Length that is mirrored at either end before smoothing. [s]"""
ROUGH_FROM_HZ = 100.0
"""Above it a raw plate shows noise and the blow of a landing; smoothed force does not. [Hz]"""
LEAST_RATE_TO_TELL_HZ = 400.0
"""Slower recordings have too little above 100 Hz to tell. [Hz]"""
LEAST_ROUGH_N = 0.1
"""Noise above 100 Hz that a raw plate has at least (own choice: open raw recordings of jumps have
1.1 to 1.6 N, the same smoothed at 90 Hz or lower 0.1 N or less). [N]"""
LOADED_N = 20.0
"""Only stretches with this force are looked at: some files hold zeros while unloaded. [N]"""


def low_pass(values: Values, rate_hz: float, cut_off_hz: float = DISPLAY_HZ) -> Values:
    """Low-pass without lag: Butterworth, order 2 forward and back, 3 dB down at the cut-off.

    Parameters
    ----------
    values
        Shape (n,) or (n, k), without NaN; each column is smoothed for itself.
    rate_hz
        Samples a second. [Hz]
    cut_off_hz
        Where half of the power is left. [Hz]

    Raises
    ------
    OutOfRangeError
        If the cut-off is not below 0.4 of the rate.

    Examples
    --------
    >>> time_s = np.arange(2000) / 1000.0
    >>> smooth = low_pass(np.sin(2.0 * np.pi * 50.0 * time_s), 1000.0, 50.0)
    >>> round(float(smooth[500:1500].max()), 3)
    0.707
    """
    if not 0.0 < cut_off_hz < 0.4 * rate_hz:
        raise OutOfRangeError(
            f"The cut-off is {cut_off_hz:g} Hz at {rate_hz:g} samples a second; it must be below "
            f"{0.4 * rate_hz:g} Hz.",
            fix="Lower the cut-off or record faster.",
        )
    if len(values) < 8:
        return values.copy()
    # as the bilinear transform sees frequencies, so that the 3 dB stay where they were asked for
    seen = math.tan(math.pi * cut_off_hz / rate_hz) / TWO_PASSES
    design_hz = rate_hz / math.pi * math.atan(seen)
    sections = butter(2, design_hz, fs=rate_hz, output="sos")
    pad = min(round(PAD_S * rate_hz), len(values) - 1)
    return np.asarray(sosfiltfilt(sections, values, axis=0, padlen=pad), dtype=np.float64)


def filter_words(cut_off_hz: float) -> str:
    """The filter in words, as it stands beside a number.

    Examples
    --------
    >>> filter_words(50.0)
    '50 Hz low-pass, Butterworth, order 2 forward and back'
    """
    return f"{cut_off_hz:g} Hz low-pass, Butterworth, order 2 forward and back"


def roughness_n(values: Values, rate_hz: float) -> float:
    """Noise above 100 Hz in N, from the quiet half of short stretches.

    Parameters
    ----------
    values
        Vertical force, shape (n,). [N]
    rate_hz
        At least 400. [Hz]

    Notes
    -----
    A fourth-order high-pass leaves noise and blows; the lower quartile of the root mean squares of
    loaded stretches of 50 ms leaves the noise.

    Examples
    --------
    >>> noise = np.random.default_rng(1).normal(0.0, 1.0, 4000)
    >>> round(roughness_n(800.0 + noise, 1000.0), 1)
    0.8
    """
    sections = butter(4, ROUGH_FROM_HZ, btype="highpass", fs=rate_hz, output="sos")
    rough = sosfiltfilt(sections, values, padlen=min(len(values) - 1, round(0.1 * rate_hz)))
    length = max(8, round(0.05 * rate_hz))
    count = len(rough) // length
    if count < 4:
        return float(np.sqrt(np.mean(rough**2)))
    stretches = rough[: count * length].reshape(count, length)
    load_n = values[: count * length].reshape(count, length).min(axis=1)
    loaded = load_n >= LOADED_N
    kept = stretches[loaded] if loaded.any() else stretches
    return float(np.quantile(np.sqrt(np.mean(kept**2, axis=1)), 0.25))


def looks_smoothed(values: Values, rate_hz: float) -> bool:
    """Whether a force has so little noise above 100 Hz that it was smoothed before.

    Examples
    --------
    >>> noisy = 800.0 + np.random.default_rng(1).normal(0.0, 1.0, 4000)
    >>> looks_smoothed(noisy, 1000.0), looks_smoothed(low_pass(noisy, 1000.0, 26.64), 1000.0)
    (False, True)
    """
    if rate_hz < LEAST_RATE_TO_TELL_HZ or len(values) < 32:
        return False
    return roughness_n(values, rate_hz) < LEAST_ROUGH_N
