"""The swing against a textbook's pendulum, closed forms, published pulls and the trade's rules."""

import math
from dataclasses import replace

import numpy as np
import pytest

from leadfoot.physics.body import MEAN_MAN_KG, SEGMENTS, middle_body
from leadfoot.physics.body_energy import whole_body
from leadfoot.physics.clubs import club
from leadfoot.physics.golfer import Arms, Drive, Golfer, HeldClub, generic_golfer, textbook_golfer
from leadfoot.physics.hub import Pull
from leadfoot.physics.lift import Lift
from leadfoot.physics.push import body_worth
from leadfoot.physics.swing import swing, with_speed
from tests.outside.checks import Row, against, each

MPH = 0.44704


@against(model="swing", table="swing_textbook", check=37)
@each("swing_textbook")
def test_textbook_pendulum(row: Row) -> None:
    golfer = textbook_golfer()
    golfer = replace(
        golfer,
        drive=Drive(shoulder_nm=row["shoulder_nm"]),
        cock_rad=math.radians(row["cock_deg"]),
    )
    found = swing(golfer, gravity_mps2=row["gravity_mps2"], track=True)
    values = {
        "club_speed_mps": (found.club_speed_mps, 0.005),
        "strike_s": (found.strike_s, 0.00005),
        "release_s": (found.release_s, 0.00005),
        "arms_deg": (math.degrees(found.arms_rad), 0.05),
        "arms_radps": (found.arms_radps, 0.005),
        "club_radps": (found.club_radps, 0.005),
        "hands_mps": (found.hands_mps, 0.005),
    }
    for name, (value, digit) in values.items():
        if name in row.numbers:
            assert value == pytest.approx(row[name], rel=0.001, abs=digit), name
    if "release_arms_deg" in row.numbers:
        assert found.track is not None
        arms = np.interp(found.release_s, found.track.time_s, found.track.arms_rad)
        assert math.degrees(arms) == pytest.approx(row["release_arms_deg"], rel=0.001, abs=0.05)


def free_rods(arms_kg: float) -> Golfer:
    """Arms and club as points at the ends of rods without mass, the wrists at a right angle."""
    return Golfer(
        arms=Arms(mass_kg=arms_kg, centre_m=0.6, length_m=0.6, inertia_kgm2=arms_kg * 0.6**2),
        club=HeldClub(mass_kg=0.3, centre_m=1.1, length_m=1.1, inertia_kgm2=0.3 * 1.1**2),
        drive=Drive(shoulder_nm=0.0),
        top_rad=2.0,
        cock_rad=math.pi / 2.0,
        plane_rad=math.pi / 2.0,
    )


@against("white2006", model="swing", check=36)
def test_all_energy_reaches_the_head() -> None:
    # source: white2006 (check 36): with m1/m2 = 2 (L2/L1)(1 + cos 90°) the arms stop and the head
    # has (L1 + L2) w0 = 17 m/s, to 1e-6; 0.18428 s is a regression value
    found = swing(free_rods(1.1), gravity_mps2=0.0, start_radps=10.0, tolerance=1e-11)
    assert found.club_speed_mps == pytest.approx(17.0, rel=1e-6)
    assert found.arms_radps == pytest.approx(0.0, abs=1e-5)
    assert found.strike_s == pytest.approx(0.18428, abs=0.000005)


@against("white2006", model="swing")
def test_heavier_arms_keep_some_energy() -> None:
    # source: white2006 (beside check 36): arms half as heavy again, efficiency 0.9795, 18.647 m/s
    found = swing(free_rods(1.65), gravity_mps2=0.0, start_radps=10.0)
    head_j = 0.5 * 0.3 * found.club_speed_mps**2
    assert found.club_speed_mps == pytest.approx(18.647, rel=0.001)
    assert head_j / found.energy.kinetic_start_j == pytest.approx(0.9795, abs=0.0005)


@against("rotor", model="swing")
@pytest.mark.parametrize("cock_deg", [95.0, 110.0, 120.0])
def test_release_of_a_rigid_rotor(cock_deg: float) -> None:
    # source: rotor (closed form): held at an angle c under even torque the club pulls away after
    # (I + S L cos c) / (2 S L sin c) of turn, whatever the torque; no gravity
    golfer = replace(textbook_golfer(), cock_rad=math.radians(cock_deg))
    club, arms = golfer.club, golfer.arms
    common = club.mass_kg * club.centre_m * arms.length_m
    cock = golfer.cock_rad
    turn = (club.inertia_kgm2 + common * math.cos(cock)) / (2.0 * common * math.sin(cock))
    whole = arms.inertia_kgm2 + club.mass_kg * arms.length_m**2 + club.inertia_kgm2
    whole += 2.0 * common * math.cos(cock)
    found = swing(golfer, gravity_mps2=0.0)
    assert found.release_s == pytest.approx(math.sqrt(2.0 * turn * whole / 100.0), rel=1e-6)


@against("rotor", model="swing")
@pytest.mark.parametrize("factor", [0.5, 2.0])
def test_torque_only_changes_the_clock(factor: float) -> None:
    # source: rotor (closed form): without gravity the shape of the swing does not depend on the
    # torque; times go with its inverse root and speeds with its root
    golfer = textbook_golfer()
    other = replace(golfer, drive=Drive(shoulder_nm=100.0 * factor))
    found, scaled = swing(golfer, gravity_mps2=0.0), swing(other, gravity_mps2=0.0)
    assert scaled.arms_rad == pytest.approx(found.arms_rad, rel=1e-6)
    assert scaled.strike_s == pytest.approx(found.strike_s / math.sqrt(factor), rel=1e-6)
    assert scaled.club_speed_mps == pytest.approx(
        found.club_speed_mps * math.sqrt(factor), rel=1e-6
    )


@against("miura2001", model="swing", check=38)
@pytest.mark.parametrize("duration_s", [0.03, 0.04])
def test_a_pull_of_eight_centimetres(duration_s: float) -> None:
    # source: miura2001 (check 38): 0.08 m inward at the end, 46.8 to 50.1 m/s; +5 to +8 %. The
    # textbook's pendulum, hub pulled evenly against the head, until the strike
    golfer = textbook_golfer()
    still = swing(golfer)
    strike_s, arms_rad = still.strike_s, still.arms_rad
    for _ in range(4):
        pull = Pull(
            up_m=0.08 * math.cos(arms_rad),
            along_m=-0.08 * math.sin(arms_rad),
            start_s=strike_s - duration_s,
            duration_s=duration_s,
            kind="steady",
        )
        pulled = swing(golfer, pull)
        strike_s = pulled.strike_s
    # seen from the hub, as the pull itself also carries the head a little
    gain = _from_hub_mps(pulled, golfer) / _from_hub_mps(still, golfer) - 1.0
    assert 0.05 <= gain <= 0.08
    # the bound: a mass on a string pulled in slowly gains exp(pull / radius)
    assert math.exp(0.08 / 1.72) - 1.0 <= gain <= math.exp(0.08 / 1.10) - 1.0


def _from_hub_mps(found: object, golfer: Golfer) -> float:
    arms, club = (getattr(found, name) for name in ("arms_radps", "club_radps"))
    return float(golfer.arms.length_m * arms + golfer.club.length_m * club)


@against("nesbit2005", model="swing", check=39)
def test_energy_from_body_to_club() -> None:
    # source: nesbit2005 (check 39): 20 to 27 % of the whole body's work reaches the club (four
    # amateurs). NOT reproduced: an account of rigid parts gives 53 to 67 %, as all parts together
    # hold too little energy for less. What is asserted: the account stays over the paper's share,
    # and the paper's share asks for more work than any golfer of the account does, so that muscles
    # would have to take out again more than the club gets
    found = whole_body(95.0 * MPH, rng=np.random.default_rng(1), n=100)
    low, high = found.ranges["club_share"]
    assert (low, high) == pytest.approx((0.53, 0.67), abs=0.03)
    assert low > 0.27
    least_j = found.middle.club_j / 0.27
    assert least_j > found.ranges["muscles_j"][1]
    assert least_j - found.middle.net_j > 2.0 * found.middle.club_j


@against("nesbit2005", model="swing")
def test_most_of_the_work_is_done_below_the_shoulders() -> None:
    # source: nesbit2005 (beside check 39): back and hips do 71.8, 72.2, 70.0 and 68.7 % of the
    # body's work (read), the legs 3.3 to 3.8 % (second-hand): 72 to 76 % below the shoulders. The
    # account's middle lies there within 4 points, and its range holds all of it
    found = whole_body(95.0 * MPH, rng=np.random.default_rng(1), n=100)
    low, high = found.ranges["below_shoulders_share"]
    assert low < 0.687
    assert high > 0.76
    assert 0.68 < found.middle.below_shoulders_share < 0.80


@against("kenny2008", model="swing")
@pytest.mark.parametrize("club_key", ["driver", "iron7"])
def test_each_part_has_more_energy_than_the_one_before(club_key: str) -> None:
    # source: kenny2008: greatest energies of motion grow from hips to torso to arms to the club
    # head, with a driver and with a 7-iron (one elite golfer; the joules were not read)
    golfer = with_speed(generic_golfer(club_key), 95.0 * MPH)
    found, body = swing(golfer, track=True), middle_body()
    assert found.track is not None
    arms_j = 0.5 * golfer.arms.inertia_kgm2 * float(found.track.arms_radps.max()) ** 2
    hips_j = replace(body, thorax_radps=0.0).turning_j(kept=False)
    torso_j = body.turning_j(kept=False) - hips_j
    head_j = 0.5 * club(club_key).head_mass_kg * found.club_speed_mps**2
    assert hips_j < torso_j < arms_j < head_j < found.energy.club_j


@against("deleva1996", model="swing")
@pytest.mark.parametrize(
    ("name", "mass_share", "length_m", "radius"),
    [
        ("head", 0.0694, 0.2033, 0.312),
        ("thorax", 0.1596, 0.1707, 0.659),
        ("abdomen", 0.1633, 0.2155, 0.468),
        ("pelvis", 0.1117, 0.1457, 0.587),
        ("thigh", 0.1416, 0.4222, 0.149),
    ],
)
def test_segments_turn_as_hard_as_their_radii_say(
    name: str, mass_share: float, length_m: float, radius: float
) -> None:
    # source: deleva1996: share of the body's mass, length and radius of gyration about the long
    # axis, over the length (another table of the same scan): mass and inertia to 3 %
    mass_kg = mass_share * MEAN_MAN_KG
    assert SEGMENTS[name].mass_kg == pytest.approx(mass_kg, rel=0.03)
    assert SEGMENTS[name].turn_kgm2 == pytest.approx(mass_kg * (radius * length_m) ** 2, rel=0.03)


@against("kinetics", model="swing")
@pytest.mark.parametrize(("club_key", "share"), [("driver", 0.656), ("iron7", 0.644)])
def test_the_clubs_part_of_the_energy(club_key: str, share: float) -> None:
    # source: kinetics (closed form): a rod has m v²/2 of its centre of mass and I w²/2 about it,
    # not I w²/2 about a joint that itself moves
    golfer = with_speed(generic_golfer(club_key), 95.0 * MPH)
    found, held = swing(golfer), golfer.club
    centre_mps = found.hands_mps + held.centre_m * found.club_radps
    about_centre_kgm2 = held.inertia_kgm2 - held.mass_kg * held.centre_m**2
    club_j = 0.5 * held.mass_kg * centre_mps**2 + 0.5 * about_centre_kgm2 * found.club_radps**2
    assert found.energy.club_j == pytest.approx(club_j, rel=1e-6)
    assert club_j / found.energy.kinetic_j == pytest.approx(share, abs=0.001)


@against("trade", model="swing")
@pytest.mark.parametrize("club_key", ["driver", "iron7"])
def test_a_downswing_lasts_a_quarter_to_a_third_of_a_second(club_key: str) -> None:
    # source: trade: a downswing lasts 0.2 to 0.35 s, top to strike; the arms then hang about
    # straight down
    found = swing(with_speed(generic_golfer(club_key), 95.0 * MPH))
    assert 0.2 < found.strike_s < 0.35
    assert abs(found.arms_rad) < math.radians(20.0)


@against("trade", model="swing")
@pytest.mark.parametrize("club_key", ["driver", "iron7"])
def test_taking_the_body_out_costs_about_fifteen_miles_an_hour(club_key: str) -> None:
    # source: trade: taking the body out costs about 15 of 95 mph; taken as 10 to 20, and inside
    # the model's own range. The two numbers that it hangs on most, the trunk's turn and the fading
    # of torque, are from memory
    worth = body_worth(
        95.0 * MPH, Lift(height_m=0.06), rng=np.random.default_rng(1), club_key=club_key
    )
    assert worth.with_push.club_speed_mps / MPH == pytest.approx(95.0, abs=0.05)
    assert 10.0 <= worth.gain_mps / MPH <= 20.0
    assert worth.low_mps / MPH <= 15.0 <= worth.high_mps / MPH
