"""Elementary functions as polynomials: a call into the maths library would unpack the vectors.

The coefficients are least-squares fits with weights moved toward the largest error; the tests hold
the errors that are stated here.
"""

import numpy as np

from leadfoot.kernels._jit import inlined

HALF_PI = 1.5707963267948966
LN_2 = 0.6931471805599453
_MANTISSA = np.int64((1 << 52) - 1)
_ONE = np.int64(1023 << 52)
_BIAS = np.int64(1023)
_SHIFT = np.int64(52)


@inlined
def log2_of(x: float) -> float:
    """Binary logarithm of a positive number: 2e-7 of its own size near 1, 2e-7 elsewhere."""
    bits = np.float64(x).view(np.int64)
    exponent = (bits >> _SHIFT) - _BIAS
    u = np.int64((bits & _MANTISSA) | _ONE).view(np.float64) - 1.0
    p = 0.06360726334347268 - 0.012319295459586507 * u
    p = -0.3533946099325952 + u * (0.2560091115202559 + u * (-0.15535099742212477 + u * p))
    p = 1.4426947604898026 + u * (-0.7213100856615076 + u * (0.48006365880938395 + u * p))
    return np.float64(exponent) + u * p


@inlined
def power(x: float, exponent: float) -> float:
    """``x ** exponent`` for x not negative and small exponents: 3e-7 of its own size."""
    t = exponent * log2_of(x)
    whole = np.floor(t)
    f = t - whole
    p = 0.05582631655965414 + f * (0.008989341870284896 + f * 0.0018775759398093198)
    p = 0.9999999250645698 + f * (0.6931530731417724 + f * (0.2401536175489875 + f * p))
    bits = np.float64(p).view(np.int64) + (np.int64(whole) << _SHIFT)
    return np.int64(bits).view(np.float64)


@inlined
def more_to_0_43(u: float) -> float:
    """``(1 + u) ** 0.43``: 1.4e-6 of its own size for u from 0 to 24; a tenth off at 250.

    A ratio of two polynomials: quicker than `power`, whose steps wait for each other.
    """
    over = 1.00000133227955 + u * (
        1.4062764761771012
        + u * (0.5173957698059354 + u * (0.048380518699493814 + u * 0.0007446178801410523))
    )
    under = 1.0 + u * (
        0.9763355203630657
        + u * (0.21972286196639415 + u * (0.010487390674268503 + u * 5.084200963939835e-05))
    )
    return over / under


@inlined
def ln(x: float) -> float:
    """Natural logarithm of a positive number: 2e-7."""
    return LN_2 * log2_of(x)


@inlined
def sine(x: float) -> float:
    """Sine of an angle from -π to π: 3e-11."""
    turned = (2.0 * HALF_PI - abs(x)) * np.sign(x)
    r = turned if abs(x) > HALF_PI else x
    q = r * r
    p = -0.00019840832823124586 + q * (2.7523971071503817e-06 - q * 2.386834657302973e-08)
    p = 0.9999999999788477 + q * (-0.1666666660882601 + q * (0.008333330720556696 + q * p))
    return r * p


@inlined
def cosine(x: float) -> float:
    """Cosine of an angle from -π to π: 3e-11, the same for x and -x."""
    return sine(HALF_PI - abs(x))


@inlined
def sine_of_small(x: float) -> float:
    """Sine of an angle from -35° to 35°: 4e-10."""
    q = x * x
    p = 0.008332856745770225 - q * 0.00019636585601692688
    return x * (0.999999999585925 + q * (-0.1666666311310131 + q * p))


@inlined
def cosine_of_small(x: float) -> float:
    """Cosine of an angle from -35° to 35°: 4e-12."""
    q = x * x
    p = 0.041666655557853254 + q * (-0.0013888054665865026 + q * 2.454569599655525e-05)
    return 0.9999999999961372 + q * (-0.4999999994821126 + q * p)


@inlined
def steepness(rise: float, run: float) -> float:
    """Angle from -π/2 to π/2 whose tangent is ``rise / run``, with ``run`` not negative: 2e-8."""
    size = abs(rise)
    steep = size > run
    low = run if steep else size
    high = size if steep else run
    t = low / max(high, 1e-300)
    q = t * t
    p = 0.04269127553225322 + q * (-0.016068478616758915 + q * 0.0028498519602156614)
    p = -0.14203642030823016 + q * (0.106409244168809 + q * (-0.07504273972031106 + q * p))
    p = 0.9999999847646616 + q * (-0.33333073330726337 + q * (0.19992619088782038 + q * p))
    angle = t * p
    angle = HALF_PI - angle if steep else angle
    return -angle if rise < 0.0 else angle
