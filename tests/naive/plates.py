"""The slow twin of force plates: one sample at a time, from where each sensor stands.

A plate of type 3 is eight forces at four corners; their moments about the middle of the surface
are summed one by one. The centre of pressure is where a force and a moment about the vertical alone
make the same.
"""

from collections.abc import Sequence

Vector = tuple[float, float, float]


def cross(a: Vector, b: Vector) -> Vector:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def added(a: Vector, b: Vector) -> Vector:
    return (a[0] + b[0], a[1] + b[1], a[2] + b[2])


def eight(channels: Sequence[float], a: float, b: float, depth: float) -> tuple[Vector, Vector]:
    """Force and moment about the surface: corner 1 at (a, b), 2 at (-a, b), 3 and 4 opposite.

    The sideways channels hold two sensors each, whose sum acts along a line through both.
    """
    fx12, fx34, fy14, fy23, fz1, fz2, fz3, fz4 = channels
    under = -depth
    sensors: list[tuple[Vector, Vector]] = [
        ((0.0, b, under), (fx12, 0.0, 0.0)),
        ((0.0, -b, under), (fx34, 0.0, 0.0)),
        ((a, 0.0, under), (0.0, fy14, 0.0)),
        ((-a, 0.0, under), (0.0, fy23, 0.0)),
        ((a, b, under), (0.0, 0.0, fz1)),
        ((-a, b, under), (0.0, 0.0, fz2)),
        ((-a, -b, under), (0.0, 0.0, fz3)),
        ((a, -b, under), (0.0, 0.0, fz4)),
    ]
    force: Vector = (0.0, 0.0, 0.0)
    moment: Vector = (0.0, 0.0, 0.0)
    for place, one in sensors:
        force = added(force, one)
        moment = added(moment, cross(place, one))
    return force, moment


def six(force: Vector, moment: Vector, origin: Vector) -> Vector:
    """Moment about the surface: the force acts at the sensors, which lie at -origin from it."""
    back = (-origin[0], -origin[1], -origin[2])
    return added(moment, cross(back, force))


def place_and_twist(force: Vector, moment: Vector) -> tuple[float, float, float]:
    """Centre of pressure and free moment: what is left there of the moment has z alone."""
    x, y = -moment[1] / force[2], moment[0] / force[2]
    left = added(moment, cross((-x, -y, 0.0), force))
    assert abs(left[0]) < 1e-9 * (1.0 + abs(moment[0]))
    assert abs(left[1]) < 1e-9 * (1.0 + abs(moment[1]))
    return x, y, left[2]


def together(
    plates: Sequence[tuple[Vector, float, float, float]],
) -> tuple[float, float, float]:
    """Two plates as one, by way of one moment about the floor's origin.

    Each plate is its force, the x and y of its centre of pressure, and its free moment.
    """
    force: Vector = (0.0, 0.0, 0.0)
    moment: Vector = (0.0, 0.0, 0.0)
    for one, x, y, twist in plates:
        force = added(force, one)
        moment = added(moment, added(cross((x, y, 0.0), one), (0.0, 0.0, twist)))
    return place_and_twist(force, moment)
