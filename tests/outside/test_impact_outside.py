"""Impact against closed forms, worked examples and measured shares."""

import dataclasses
import math

import numpy as np
import pytest

from leadfoot.physics.ball import AIR_MODELS, STANDARD_BALL, Ball
from leadfoot.physics.best import best_loft
from leadfoot.physics.clubs import Club, Inertia, Restitution, club, clubs
from leadfoot.physics.contact import peak_force_n
from leadfoot.physics.delivery import deliveries
from leadfoot.physics.flight import Launch, fly
from leadfoot.physics.impact import Delivery, strike, strike_many
from leadfoot.units import si_from
from tests.outside.checks import Row, against, each

RPM = math.pi / 30.0
YARD_M = 0.9144
MPH = 0.44704


def head(mass_kg: float, restitution: float) -> Club:
    return Club(
        name="test head",
        club_class="driver",
        head_mass_kg=mass_kg,
        loft_rad=0.0,
        restitution=Restitution(value=restitution, slope_per_mps=0.0),
    )


@against(model="impact forward", table="impact_cases", check=12)
@each("impact_cases")
def test_vector_cases(row: Row) -> None:
    delivery = Delivery(
        club_speed_mps=row["club_speed_mps"],
        attack_angle_rad=math.radians(row["attack_angle_deg"]),
        club_path_rad=math.radians(row["club_path_deg"]),
        face_angle_rad=math.radians(row["face_angle_deg"]),
        dynamic_loft_rad=math.radians(row["dynamic_loft_deg"]),
    )
    launch = strike(delivery, head(row["head_mass_kg"], row["restitution"]))
    assert launch.ball_speed_mps == pytest.approx(row["ball_speed_mps"], rel=0.005)
    assert launch.spin_rate_radps / RPM == pytest.approx(row["spin_rate_rpm"], rel=0.005)
    angles = {
        "launch_angle_deg": launch.launch_angle_rad,
        "launch_direction_deg": launch.launch_direction_rad,
        "spin_axis_deg": launch.spin_axis_rad,
        "spin_loft_deg": delivery.spin_loft_rad,
    }
    for name, angle in angles.items():
        assert math.degrees(angle) == pytest.approx(row[name], rel=0.005, abs=0.006), name


@against(model="impact forward", table="impact_planar", check=9)
@each("impact_planar")
def test_planar_cases(row: Row) -> None:
    old_wood = Club(
        name="wood before titanium",
        club_class="driver",
        head_mass_kg=0.2,
        loft_rad=0.0,
        restitution=Restitution(value=0.86, at_mps=0.0, slope_per_mps=-0.0029),
    )
    ball = Ball(mass_kg=0.0459, diameter_m=0.04268)
    delivery = Delivery(
        club_speed_mps=row["club_speed_mps"],
        dynamic_loft_rad=math.radians(row["dynamic_loft_deg"]),
    )
    launch = strike(delivery, old_wood, ball=ball)
    assert launch.ball_speed_mps == pytest.approx(row["ball_speed_mps"], rel=0.001)
    assert math.degrees(launch.launch_angle_rad) == pytest.approx(
        row["launch_angle_deg"], rel=0.001
    )
    assert launch.spin_rate_radps / RPM == pytest.approx(row["spin_rate_rpm"], rel=0.001)


@against(model="impact forward", table="impact_face_share", check=11)
@each("impact_face_share")
def test_most_of_the_start_direction_is_the_face(row: Row) -> None:
    struck = head(row["head_mass_kg"], row["restitution"])
    loft = math.radians(row["dynamic_loft_deg"])
    small = 1e-3
    face = strike(Delivery(club_speed_mps=40, dynamic_loft_rad=loft, face_angle_rad=small), struck)
    path = strike(Delivery(club_speed_mps=40, dynamic_loft_rad=loft, club_path_rad=small), struck)
    share = face.launch_direction_rad / (face.launch_direction_rad + path.launch_direction_rad)
    assert row["share_low"] <= share <= row["share_high"]


@against("wood2018", model="impact forward", check=11)
@pytest.mark.parametrize("springs_back", [0.0, 0.1, 0.2])
@pytest.mark.parametrize(
    ("loft_deg", "mass_kg", "restitution"), [(10.0, 0.2, 0.83), (46.0, 0.3, 0.70)]
)
def test_a_springy_cover_stays_within_the_measured_shares(
    loft_deg: float, mass_kg: float, restitution: float, springs_back: float
) -> None:
    # source: wood2018 (check 11): 61 to 83 % toward the face also with e_t up to 0.2; by the
    # formula the 46 deg face leaves the range at e_t 0.3
    struck, loft, small = head(mass_kg, restitution), math.radians(loft_deg), 1e-4
    face, path = (
        strike(
            Delivery(club_speed_mps=40.0, dynamic_loft_rad=loft, **turn),
            struck,
            extra_spin_share=springs_back,
        ).launch_direction_rad
        for turn in ({"face_angle_rad": small}, {"club_path_rad": small})
    )
    assert 0.61 <= face / (face + path) <= 0.83


@against("impulse", model="impact forward", check=6)
def test_greatest_smash_factor() -> None:
    # source: impulse (check 6): 1.488 ± 0.001 without loft, head 200 g, restitution 0.83
    launch = strike(Delivery(club_speed_mps=40.0, dynamic_loft_rad=0.0), head(0.2, 0.83))
    assert launch.ball_speed_mps / 40.0 == pytest.approx(1.488, abs=0.001)
    assert launch.spin_rate_radps == pytest.approx(0.0, abs=1e-9)


@against("distance_standard", model="impact forward", check=7)
@pytest.mark.parametrize(("club_mph", "ball_mph"), [(120.0, 176.0), (125.0, 183.0)])
def test_ball_speed_of_the_distance_standard(club_mph: float, ball_mph: float) -> None:
    # source: distance_standard (check 7): ratio 1.465 ± 0.02, head at the limit of restitution
    delivery = Delivery(club_speed_mps=club_mph * MPH, dynamic_loft_rad=math.radians(11.5))
    launch = strike(delivery, head(0.2, 0.822))
    assert launch.ball_speed_mps / MPH / ball_mph == pytest.approx(1.0, abs=0.02 / 1.465)


@against("distance_standard", model="impact forward", check=7)
@pytest.mark.parametrize(
    ("club_mph", "ball_mph", "spin_rpm", "loft_deg"),
    [(120.0, 176.0, 2520.0, 8.6), (125.0, 183.0, 2220.0, 7.13)],
)
def test_our_driver_is_a_little_slower_than_the_distance_standard(
    club_mph: float, ball_mph: float, spin_rpm: float, loft_deg: float
) -> None:
    # source: distance_standard (check 7): at its club speed and spin the generic driver, whose
    # restitution falls as that of older woods did, makes 1.8 % less ball speed
    delivery = Delivery(club_speed_mps=club_mph * MPH, dynamic_loft_rad=math.radians(loft_deg))
    launch = strike(delivery, club("driver"))
    assert launch.spin_rate_radps / RPM == pytest.approx(spin_rpm, rel=0.03)
    assert launch.ball_speed_mps / MPH / ball_mph == pytest.approx(0.982, abs=0.004)


@against("cor_protocol", model="impact forward", check=8)
def test_protocol_of_restitution() -> None:
    # source: cor_protocol (check 8): a head at rest, a ball fired at it, Vout/Vin 0.4882 ± 0.0002.
    # In the frame of the head it is our strike: the ball comes off with smash less 1 of the speed.
    launch = strike(Delivery(club_speed_mps=40.5, dynamic_loft_rad=0.0), head(0.2, 0.83))
    assert launch.ball_speed_mps / 40.5 - 1.0 == pytest.approx(0.4882, abs=0.0002)


@against("palmer", model="impact forward", check=10)
def test_textbook_impact() -> None:
    # source: palmer (check 10): 70.6 m/s level and 10.4 m/s up, ± 0.5. The book treats the part
    # along the face in its own way; the tolerance covers that.
    delivery = Delivery(club_speed_mps=50.0, dynamic_loft_rad=math.radians(10.0))
    launch = strike(delivery, head(0.2, 0.78))
    level = launch.ball_speed_mps * math.cos(launch.launch_angle_rad)
    up = launch.ball_speed_mps * math.sin(launch.launch_angle_rad)
    assert level == pytest.approx(70.6, abs=0.5)
    assert up == pytest.approx(10.4, abs=0.5)


def turning_head(kind: str, *, bulged: bool) -> Club:
    """The plain head of the formula, or that of the published table."""
    of_formula = Inertia(out_kgm2=5e-4, up_kgm2=5e-4, toe_kgm2=5e-4)
    of_table = Inertia(
        out_kgm2=2843e-7,
        up_kgm2=5679e-7,
        toe_kgm2=4085e-7,
        out_up_kgm2=-733e-7,
        out_toe_kgm2=530.2e-7,
        up_toe_kgm2=0.5e-7,
    )
    table = kind == "table"
    return Club(
        name=kind,
        club_class="driver",
        head_mass_kg=0.204 if table else 0.2,
        loft_rad=0.0,
        restitution=Restitution(value=0.83, slope_per_mps=0.0),
        inertia=of_table if table else of_formula,
        com_depth_m=0.0423 if table else 0.04,
        com_up_m=0.0029 if table else 0.0,
        com_toe_m=0.001 if table else 0.0,
        bulge_m=0.305 if bulged else math.inf,
    )


@against(model="impact forward", table="impact_off_centre", check=13)
@each("impact_off_centre")
def test_off_centre_cases(row: Row) -> None:
    delivery = Delivery(
        club_speed_mps=45.0,
        dynamic_loft_rad=math.radians(row["dynamic_loft_deg"]),
        strike_heel_toe_m=row["strike_heel_toe_mm"] * 1e-3,
        strike_high_low_m=row["strike_high_low_mm"] * 1e-3,
    )
    launch = strike(delivery, turning_head(row.words["head"], bulged=row["bulged"] > 0.0))
    seen = {
        "ball_speed_mps": launch.ball_speed_mps,
        "launch_angle_deg": math.degrees(launch.launch_angle_rad),
        "launch_direction_deg": math.degrees(launch.launch_direction_rad),
    }
    for name, value in seen.items():
        assert value == pytest.approx(row[name], rel=0.001, abs=0.015), name
    side, back = spin_about_upright_and_level_axis(launch)
    assert side / RPM == pytest.approx(row["side_spin_rpm"], rel=0.001, abs=1.0)
    assert back / RPM == pytest.approx(row["backspin_rpm"], rel=0.001, abs=1.0)


def spin_about_upright_and_level_axis(launch: Launch) -> tuple[float, float]:
    """Spin about the axes y and z of the ball frame; one push makes it square to the velocity."""
    up, right, tilt = launch.launch_angle_rad, launch.launch_direction_rad, launch.spin_axis_rad
    plane = np.array(
        [
            math.sin(tilt) * math.sin(up),
            -math.sin(tilt) * math.cos(up),
            math.cos(tilt) * math.cos(up),
        ]
    )
    ahead, above, aside = launch.spin_rate_radps * plane / np.linalg.norm(plane)
    return float(above), float(ahead * math.sin(right) + aside * math.cos(right))


@against("gear_formula", model="impact forward", check=13)
def test_gear_effect_by_hand() -> None:
    # source: gear_formula (check 13): 1381 rpm to the left, speed x 0.971, ± 0.5 %
    struck = turning_head("plain", bulged=False)
    middle = strike(Delivery(club_speed_mps=45.0, dynamic_loft_rad=0.0), struck)
    toe = strike(
        Delivery(club_speed_mps=45.0, dynamic_loft_rad=0.0, strike_heel_toe_m=0.02), struck
    )
    m, r, mass, inertia, depth, x = 0.04593, 0.021335, 0.2, 5e-4, 0.04, 0.02
    push = 1.83 * 45.0 / (1.0 / m + 1.0 / mass + x**2 / inertia)
    turn = push * x / inertia
    by_hand = 2.5 * turn * depth / (r * (3.5 + m / mass + m * depth**2 / inertia))
    assert push == pytest.approx(2.985, abs=0.002)
    assert math.degrees(turn) == pytest.approx(6840.0, rel=0.001)
    assert by_hand / RPM == pytest.approx(1381.0, rel=0.005)
    assert toe.spin_rate_radps == pytest.approx(by_hand, rel=0.005)
    assert math.sin(toe.spin_axis_rad) == pytest.approx(-1.0, abs=1e-6)
    across = toe.ball_speed_mps * math.cos(toe.launch_direction_rad)
    assert across / middle.ball_speed_mps == pytest.approx(0.971, rel=0.005)


@against("wood2018", model="impact forward", check=11)
@pytest.mark.parametrize("key", list(clubs()))
def test_face_share_of_every_generic_club(key: str) -> None:
    # source: wood2018 (check 11): 61 to 83 % toward the face, by type of club
    struck = clubs()[key]
    loft = struck.loft_rad * (1.3 if key == "driver" else 0.85)
    small = 1e-4
    turned = {"face_angle_rad": small}, {"club_path_rad": small}
    face, path = (
        strike(
            Delivery(club_speed_mps=38.0, dynamic_loft_rad=loft, **turn), struck
        ).launch_direction_rad
        for turn in turned
    )
    assert 0.61 <= face / (face + path) <= 0.83


@against("smits_ogg2004", "peak_force", model="impact forward", check=14)
def test_a_fast_drive_touches_as_long_as_measured() -> None:
    # source: smits_ogg2004, peak_force (check 14): a rigid impulse has no duration, but ours with
    # the published force of a fast drive, some 3000 lbf, as half a sine, takes 400 to 500 µs. The
    # drive is that of the distance standard, 125 mph and 2220 rpm; ours leaves at 180 mph, not 183
    struck = club("driver")
    drive = strike(Delivery(club_speed_mps=125.0 * MPH, dynamic_loft_rad=0.1245), struck)
    assert drive.ball_speed_mps / MPH == pytest.approx(183.0, rel=0.02)
    assert drive.spin_rate_radps / RPM == pytest.approx(2220.0, rel=0.01)
    push_ns = STANDARD_BALL.mass_kg * drive.ball_speed_mps
    in_one_second_n = peak_force_n(push_ns, 1.0)
    contact_time_s = in_one_second_n / (3000.0 * 4.4482216)
    assert 400e-6 < contact_time_s < 500e-6


@against("gobush1996", model="impact forward")
def test_a_ball_slides_where_the_measured_friction_says() -> None:
    # source: gobush1996: friction 0.38 to 0.29 along the face; a rigid head holds the ball without
    # sliding up to μ (1 + e) (3.5 + m/M) / (1 + m/M) = tan(spin loft), so 57 to 63 deg here
    struck = head(0.3, 0.66)
    for friction, low_deg, high_deg in ((0.29, 56.0, 57.5), (0.38, 62.5, 64.0)):
        rough = dataclasses.replace(struck, friction=friction)
        for loft_deg, slides in ((low_deg, False), (high_deg, True)):
            loft = np.array([math.radians(loft_deg)])
            assert bool(strike_many(deliveries(30.0, loft), rough).slid[0]) is slides


def seven_iron(club_mph: float, springs_back: float = 0.0, **delivery: float) -> Launch:
    angles = {name: math.radians(value) for name, value in delivery.items()}
    swing = Delivery(club_speed_mps=club_mph * MPH, **angles)
    return strike(swing, club("iron7"), extra_spin_share=springs_back)


@against("trade", model="flight")
def test_a_seven_iron_goes_as_far_as_it_does() -> None:
    # source: trade: a 7-iron at about 94 mph goes about 165 yd, carry or total, within 15 %
    flight = fly(seven_iron(94.0, dynamic_loft_rad=26.0, attack_angle_rad=-4.0))
    assert flight.carry_m / YARD_M == pytest.approx(165.0, rel=0.15)


@against("trade", model="flight")
def test_a_face_a_little_right_of_a_path_a_little_left() -> None:
    # source: trade: a 7-iron at 94 mph, face 0.6 deg right, path 1 deg left, ends a few feet right;
    # held to under 6 yd. Most of it is curve, and no rigid impact has less: see the next test
    launch = seven_iron(
        94.0, dynamic_loft_rad=26.0, attack_angle_rad=-4.0, face_angle_rad=0.6, club_path_rad=-1.0
    )
    assert 0.3 < fly(launch).offline_m / YARD_M < 6.0


@against("impulse_vectors", model="flight")
def test_what_makes_up_a_little_fade() -> None:
    # source: impulse_vectors: the spin off a head that does not turn lies along V x n, worked by
    # hand; ours turns and is 0.03 deg off. The tilt alone makes five of the six yards, in every
    # model of the air and whatever the cover springs back
    swing = {
        "dynamic_loft_rad": 26.0,
        "attack_angle_rad": -4.0,
        "face_angle_rad": 0.6,
        "club_path_rad": -1.0,
    }
    launch = seven_iron(94.0, **swing)
    loft, down, face, path = (math.radians(value) for value in (26.0, 4.0, 0.6, 1.0))
    way = [math.cos(down) * math.cos(path), -math.sin(down), -math.cos(down) * math.sin(path)]
    normal = [math.cos(loft) * math.cos(face), math.sin(loft), math.cos(loft) * math.sin(face)]
    spin = np.cross(way, normal)
    by_hand = math.degrees(math.atan2(-spin[1], spin[2]))
    assert math.degrees(launch.spin_axis_rad) == pytest.approx(by_hand, abs=0.05)
    assert fly(launch).offline_m / YARD_M == pytest.approx(5.8, abs=0.1)
    for springs_back in (0.0, 0.2, 0.4):
        ball = seven_iron(94.0, springs_back=springs_back, **swing)
        straight = dataclasses.replace(ball, spin_axis_rad=0.0)
        for model in AIR_MODELS.values():
            curve_m = fly(ball, model=model).offline_m - fly(straight, model=model).offline_m
            assert 4.5 < curve_m / YARD_M < 7.2


@against("trade", model="impact forward")
def test_face_angle_sets_most_of_the_start_direction() -> None:
    # source: trade: face angle sets most of the start direction
    face = seven_iron(94.0, dynamic_loft_rad=26.0, attack_angle_rad=-4.0, face_angle_rad=2.0)
    path = seven_iron(94.0, dynamic_loft_rad=26.0, attack_angle_rad=-4.0, club_path_rad=2.0)
    assert face.launch_direction_rad > 2.0 * path.launch_direction_rad > 0.0


@against("trade", model="flight")
def test_a_ball_teed_high_and_hit_up_goes_farther_at_the_same_speed() -> None:
    # source: trade: a driver hit 5 deg up outdrives the same speed hit 5 deg down, each at its best
    up, down = (
        best_loft(100.0 * MPH, math.radians(attack), club("driver")).carry_m for attack in (5, -5)
    )
    assert up > down + 5.0


@against("trade", model="flight")
def test_best_launch_of_a_hundred_mile_drive() -> None:
    # source: trade: a level 100 mph drive is longest (bounce and roll included) with some 10 to 14
    # deg and 2200 to 2900 rpm, and carries some 225 to 250 yd; held to 10 % beyond
    best = best_loft(100.0 * MPH, 0.0, club("driver"), goal="total")
    assert 9.0 < math.degrees(best.launch.launch_angle_rad) < 15.4
    assert 2000.0 < best.launch.spin_rate_radps / RPM < 3190.0
    assert 203.0 < best.carry_m / YARD_M < 275.0


@against("trade", model="impact forward")
def test_a_toe_strike_of_a_driver_loses_yards() -> None:
    # source: trade: half an inch off the middle costs a drive some 3 to 10 % of its carry
    middle = Delivery(club_speed_mps=45.0, dynamic_loft_rad=0.24)
    toe = dataclasses.replace(middle, strike_heel_toe_m=0.0127)
    share = fly(strike(toe, club("driver"))).carry_m / fly(strike(middle, club("driver"))).carry_m
    assert 0.9 < share < 0.99


@against("convex_face", model="impact forward")
def test_the_bulge_of_drivers_is_near_the_best_one() -> None:
    # source: convex_face: the bulge that brings heel and toe strikes back to the middle lies among
    # those of drivers, 10 to 14 in, widened by an inch
    toe = Delivery(club_speed_mps=45.0, dynamic_loft_rad=0.24, strike_heel_toe_m=0.02)

    def offline_m(bulge_in: float) -> float:
        face = dataclasses.replace(club("driver"), bulge_m=bulge_in * 0.0254)
        return fly(strike(toe, face)).offline_m

    assert offline_m(9.0) > 0.0 > offline_m(15.0)


@against("chou1994", model="impact forward")
def test_restitution_falls_as_measured() -> None:
    # source: chou1994: 0.0028 for each m/s between 20 and 45 m/s, ± 0.0004 (half a unit of both)
    fall = Restitution(value=0.8).at(20.0) - Restitution(value=0.8).at(45.0)
    assert fall / 25.0 == pytest.approx(0.0028, abs=0.0004)


@against("initial_velocity", model="ball", check=3)
def test_initial_velocity_of_a_ball_at_the_limit() -> None:
    # source: initial_velocity (check 3): 76.2 m/s, 77.7 with tolerance; off a striker that is far
    # heavier than the ball and does not spring, a ball at the limit has a restitution of 0.74,
    # among those of our faces that do not spring (irons and wedges, at that speed)
    limit_mps = si_from(250.0, "ft/s")
    assert limit_mps == pytest.approx(76.2, abs=1e-9)
    assert si_from(255.0, "ft/s") == pytest.approx(77.7, abs=0.05)
    striker_mps = si_from(143.8, "ft/s")
    restitution = limit_mps / striker_mps - 1.0
    faces = [one.restitution.at(striker_mps) for one in clubs().values() if "iron" in one.name]
    assert min(faces) - 0.02 < restitution < max(faces) + 0.02


@against("impulse_vectors", model="impact forward")
@pytest.mark.parametrize(
    ("loft_deg", "mass_kg", "restitution", "share"),
    [(10.0, 0.2, 0.83, 0.82), (46.0, 0.3, 0.70, 0.76)],
)
def test_vertical_share_of_the_face(
    loft_deg: float, mass_kg: float, restitution: float, share: float
) -> None:
    # source: impulse_vectors: the launch angle lies 0.82 (driver) and 0.76 (46 deg) of the way from
    # the attack angle to the loft, ± 0.01 (two printed digits)
    loft = math.radians(loft_deg)
    launch = strike(
        Delivery(club_speed_mps=40.5, dynamic_loft_rad=loft), head(mass_kg, restitution)
    )
    assert launch.launch_angle_rad / loft == pytest.approx(share, abs=0.01)
