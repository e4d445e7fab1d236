"""The slow twin of the impact: two bodies in the ball frame, their equations as one matrix."""

import math

import numpy as np
from numpy.typing import NDArray

from leadfoot.physics.clubs import Club
from leadfoot.physics.delivery import Delivery

Vector = NDArray[np.float64]

MASS_KG = 0.04593
RADIUS_M = 0.021335
INERTIA_KGM2 = 0.4 * MASS_KG * RADIUS_M**2


def cross_matrix(v: Vector) -> Vector:
    return np.array([[0.0, -v[2], v[1]], [v[2], 0.0, -v[0]], [-v[1], v[0], 0.0]])


def strike(delivery: Delivery, club: Club) -> tuple[Vector, Vector]:
    """Velocity and spin of the ball, in the ball frame; a right-hander's strike.

    Unknown are the velocity and the turning of ball and head after the impact and the impulse: 15
    numbers. They follow from momentum, angular momentum, and what holds where the two touch.
    """
    loft, face = delivery.dynamic_loft_rad, delivery.face_angle_rad
    out = np.array(
        [math.cos(loft) * math.cos(face), math.sin(loft), math.cos(loft) * math.sin(face)]
    )
    toe = np.array([-math.sin(face), 0.0, math.cos(face)])
    up = np.cross(toe, out)
    axes = np.column_stack([out, up, toe])
    x, y = delivery.strike_heel_toe_m, delivery.strike_high_low_m
    normal = out + x / club.bulge_m * toe + y / club.roll_m * up
    normal /= np.linalg.norm(normal)
    arm = x * toe + y * up - axes @ [-club.com_depth_m, club.com_up_m, club.com_toe_m]
    assert club.inertia is not None
    inertia = axes @ np.array(club.inertia.rows()) @ axes.T
    attack, path = delivery.attack_angle_rad, delivery.club_path_rad
    head = delivery.club_speed_mps * np.array(
        [math.cos(attack) * math.cos(path), math.sin(attack), math.cos(attack) * math.sin(path)]
    )
    across = float(head @ normal)
    restitution = club.restitution.at(across)

    def after(contact: Vector, wanted: Vector) -> Vector:
        """Solve for ball v, ball ω, head v, head ω, J; `contact` are the rows where they touch."""
        one, none = np.eye(3), np.zeros((3, 3))
        rows = np.block(
            [
                [MASS_KG * one, none, none, none, -one],
                [none, INERTIA_KGM2 * one, none, none, RADIUS_M * cross_matrix(normal)],
                [none, none, club.mass_kg * one, none, one],
                [none, none, none, inertia, cross_matrix(arm)],
                [contact],
            ]
        )
        known = np.concatenate([np.zeros(6), club.mass_kg * head, np.zeros(3), wanted])
        return np.linalg.solve(rows, known)

    # Speed of the face against the ball where they touch, by the 12 velocities.
    against = np.hstack(
        [
            -np.eye(3),
            -RADIUS_M * cross_matrix(normal),
            np.eye(3),
            -cross_matrix(arm),
            np.zeros((3, 3)),
        ]
    )
    found = after(against, -restitution * across * normal)
    push = found[12:]
    press = float(push @ normal)
    rub = push - press * normal
    if np.linalg.norm(rub) > club.friction * press:
        lean = normal + club.friction * rub / np.linalg.norm(rub)
        # The push must lie along `lean`: two directions square to it get nothing.
        side = np.cross(lean, [0.0, 0.0, 1.0] if abs(lean[2]) < 0.9 else [1.0, 0.0, 0.0])
        other = np.cross(lean, side)
        contact = np.zeros((3, 15))
        contact[0] = normal @ against
        contact[1, 12:], contact[2, 12:] = side, other
        found = after(contact, np.array([-restitution * across, 0.0, 0.0]))
    return found[:3], found[3:6]
