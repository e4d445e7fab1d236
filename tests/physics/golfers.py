"""Golfers and moves of the hub for the property tests of the swing."""

import math
from dataclasses import replace

from hypothesis import strategies as st

from leadfoot.physics.golfer import Arms, Drive, Golfer, HeldClub
from leadfoot.physics.hub import Pull


def _arms(mass_kg: float, length_m: float, share: float, spread: float) -> Arms:
    centre_m = share * length_m
    return Arms(
        mass_kg=mass_kg,
        centre_m=centre_m,
        length_m=length_m,
        inertia_kgm2=mass_kg * (centre_m**2 + (spread * length_m) ** 2),
    )


def _club(mass_kg: float, length_m: float, share: float, spread: float) -> HeldClub:
    centre_m = share * length_m
    return HeldClub(
        mass_kg=mass_kg,
        centre_m=centre_m,
        length_m=length_m,
        inertia_kgm2=mass_kg * (centre_m**2 + (spread * length_m) ** 2),
    )


arms = st.builds(
    _arms,
    mass_kg=st.floats(4.0, 10.0),
    length_m=st.floats(0.5, 0.75),
    share=st.floats(0.4, 0.6),
    spread=st.floats(0.2, 0.35),
)
clubs = st.builds(
    _club,
    mass_kg=st.floats(0.28, 0.5),
    length_m=st.floats(0.75, 1.1),
    share=st.floats(0.6, 0.85),
    spread=st.floats(0.2, 0.35),
)
golfers = st.builds(
    Golfer,
    arms=arms,
    club=clubs,
    drive=st.builds(
        Drive,
        shoulder_nm=st.floats(60.0, 180.0),
        wrist_nm=st.floats(0.0, 10.0),
        fades_at_radps=st.sampled_from([math.inf, 25.0, 35.0]),
        trunk_radps=st.floats(0.0, 10.0),
    ),
    top_rad=st.floats(2.3, 3.1),
    cock_rad=st.floats(1.2, 2.1),
    plane_rad=st.floats(0.7, math.pi / 2.0),
)
pulls = st.builds(
    Pull,
    up_m=st.floats(-0.02, 0.1),
    along_m=st.floats(-0.1, 0.1),
    start_s=st.floats(0.0, 0.2),
    duration_s=st.floats(0.15, 0.4),
)


def without_torque(golfer: Golfer) -> Golfer:
    """The same golfer, swinging by what motion there is."""
    return replace(golfer, drive=Drive(shoulder_nm=0.0))
