import numpy as np
import pytest
from scipy.integrate import quad

from leadfoot.evidence.noise import DIRECTION_NOISE, LENGTH_NOISE, Noise, split

BOTH = pytest.mark.parametrize("noise", [LENGTH_NOISE, DIRECTION_NOISE])


def density(residual: float, scale: float, noise: Noise) -> float:
    parts = split(np.array([residual]), np.array(scale), noise)
    return float(np.exp(parts.log_density[0]) / np.sqrt(2 * np.pi))


@BOTH
def test_density_has_area_one(noise: Noise) -> None:
    area = quad(density, -60, 60, args=(1.7, noise), points=[-3.4, 0.0, 3.4], limit=200)[0]
    assert area == pytest.approx(1.0, abs=1e-7)


@BOTH
@pytest.mark.parametrize("residual", [-14.0, -5.0, -2.6, -0.3, 0.0, 1.1, 3.0, 8.0])
def test_score_and_curvature_are_the_derivatives(residual: float, noise: Noise) -> None:
    scale, step = 1.3, 1e-4
    around = residual + step * np.array([-1.0, 0.0, 1.0])
    parts = split(around, np.array(scale), noise)
    low, middle, high = parts.log_density
    assert parts.score[1] == pytest.approx(-(high - low) / (2 * step), abs=1e-6)
    assert parts.curvature[1] == pytest.approx(-(high - 2 * middle + low) / step**2, abs=1e-5)


def test_a_short_ball_is_a_mishit_and_a_usual_one_is_not() -> None:
    solid = split(np.array([-5.0, 0.0]), np.array(1.0), LENGTH_NOISE).solid
    assert solid[0] < 0.001
    assert solid[1] > 0.97


def test_the_furthest_ball_stays_finite() -> None:
    parts = split(np.array([-1e4, 1e4]), np.array(0.3), LENGTH_NOISE)
    for name in ("log_density", "solid", "score", "weight", "curvature"):
        assert np.isfinite(getattr(parts, name)).all()
