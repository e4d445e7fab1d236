"""What is odd about a recording is named with its figure; what is well is left alone."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from leadfoot.errors import InputError, OutOfRangeError
from leadfoot.ground.c3d import read_c3d
from leadfoot.ground.choices import Choices
from leadfoot.ground.feet import foot_in_words
from leadfoot.ground.frame import AXES, frame_of
from leadfoot.ground.quiet import quiet_stance, quiet_stances
from leadfoot.ground.recording import Plate, Recording, Remark
from leadfoot.ground.table import read_force_table
from tests.ground.c3d_files import Made, written
from tests.ground.force_tables import stance, table
from tests.ground.people import swaying


def said(
    made: Made | list[Made], choices: Choices | None = None, **more: object
) -> dict[str, Remark]:
    plates = made if isinstance(made, list) else [made]
    read = read_c3d(written(plates, **more), choices)  # type: ignore[arg-type]
    return {remark.kind: remark for remark in read.remarks}


def test_a_good_recording_is_left_alone() -> None:
    found = said(swaying(2), Choices(target="+y", scale_n=900.0))
    assert found == {}


def with_flight(offset_n: float = 0.0, noise_n: float = 0.4) -> Made:
    made = swaying(2, noise_n=0.4)
    rng = np.random.default_rng(9)
    made.force_n[1500:2100] = rng.normal([0.0, 0.0, offset_n], noise_n, (600, 3))
    return made


def test_an_offset_in_flight() -> None:
    found = said(with_flight(offset_n=7.3))
    assert found["offset"].text.startswith("Plate 1 reads 7.3 N with nobody on it (1.55 to 2.05 s)")
    assert "offset" not in said(with_flight(offset_n=2.0))


def test_noise_in_flight() -> None:
    found = said(with_flight(noise_n=5.0))
    assert found["noise"].text.startswith("Plate 1 varies by ")
    assert 4.5 < float(found["noise"].text.split()[4]) < 5.5


def test_drift_between_two_flights() -> None:
    made = with_flight(offset_n=-4.0)
    made.force_n[2300:2900] = [0.0, 0.0, 4.0]
    assert "drift" in said(made)


def test_clipping() -> None:
    made = swaying(2)
    made.force_n[:, 2] = np.minimum(made.force_n[:, 2], 1100.0)
    found = said(made)
    assert found["clipping"].weight == "fault"
    assert found["clipping"].text == "Channel 3 of plate 1 is cut off at its largest value."


def test_whole_numbers_at_full_scale_are_clipped() -> None:
    made = swaying(2)
    scale = {("ANALOG", "BITS"): 12}
    assert "clipping" in said(made, is_float=False, parameters=scale)


def test_a_plate_that_nobody_stood_on() -> None:
    empty = swaying(2, weight_n=1.0)
    empty.force_n *= 0.01
    empty.twist_nmm *= 0.0
    found = said([swaying(2), empty])
    assert found["unloaded"].text == "Nobody stood on plate 2."
    assert found["unloaded"].weight == "note"


def test_held_values_drop_outs_and_spikes() -> None:
    held = swaying(2)
    for values in (held.force_n, held.place_mm, held.twist_nmm):
        values[1500:1560] = values[1500]
    assert said(held)["held"].text.startswith("Plate 1 repeats one value for 60 ms, first at 1.500")
    gone = swaying(2)
    gone.force_n[1500:1510] = 0.0
    assert said(gone)["gap"].text == ("Plate 1 has 10 samples without a value, first at 1.500 s.")
    spike = swaying(2)
    spike.force_n[1500, 2] += 5000.0
    assert said(spike)["spike"].weight == "fault"


def test_the_weight_against_a_scale() -> None:
    assert "scale" not in said(swaying(2), Choices(scale_n=905.0))
    assert said(swaying(2), Choices(scale_n=915.0))["scale"].weight == "doubt"
    found = said(swaying(2), Choices(scale_n=1000.0))["scale"]
    assert found.weight == "fault"
    assert found.text == "The plates weigh 900.0 N, the scale 1000.0 N: -10.0 %."
    assert "scale" not in said(swaying(2))


def test_a_foot_off_the_plate() -> None:
    made = swaying(2)
    made.force_n[2000:] = made.force_n[:1000] - [0.0, 0.0, 40.0]
    assert said(made)["missing_weight"].text == (
        "Standing still, the person weighs 860 N at one time and 900 N at another."
    )


def test_nobody_stands_still() -> None:
    rng = np.random.default_rng(2)
    made = swaying(2, n=600)
    made.force_n[:, 2] += rng.normal(0.0, 3.0, 600)
    assert said(made)["no_stance"].weight == "doubt"


def test_a_weight_in_another_unit() -> None:
    made = swaying(2, weight_n=3500.0)
    assert said(made)["weight"].text == "The person weighs 3500 N in quiet stance."


def test_a_plate_that_is_not_level() -> None:
    made = swaying(2)
    made.force_n[:, 0] += 20.0
    assert said(made)["sideways"].text.startswith("In quiet stance the plates push sideways by 20.")


def test_a_force_off_the_plate_and_one_that_slides() -> None:
    made = swaying(2)
    made.place_mm[:, 0] += 400.0
    assert "outside" in said(made)
    made = swaying(2)
    made.force_n[1500:, 0] += 1500.0
    assert "shear" in said(made)


def test_a_free_moment_no_foot_makes() -> None:
    made = swaying(2)
    made.twist_nmm = made.twist_nmm * 15.0
    assert said(made, Choices(feet=("lead",)))["free_moment"].weight == "doubt"


def test_two_plates_of_opposite_signs() -> None:
    first, second = swaying(2), swaying(2, seed=8)
    second.force_n, second.twist_nmm = -second.force_n, -second.twist_nmm
    found = said([first, second])
    assert found["sign"].text.startswith("Plate 2 reads -9")


def test_a_slow_rate() -> None:
    one = stance(n=400, rate_hz=100.0, share=1.0)
    recording = read_force_table(table({"time": one["time"], "fz": one["fz"]})).recording
    assert recording is not None
    assert "slow" in {remark.kind for remark in recording.remarks}


@given(
    weight_n=st.floats(min_value=300.0, max_value=1500.0),
    noise_n=st.floats(min_value=0.1, max_value=5.0),
    gap=st.booleans(),
    seed=st.integers(min_value=0, max_value=999),
)
def test_the_quiet_stance_weighs_right(
    weight_n: float, noise_n: float, gap: bool, seed: int
) -> None:
    rng = np.random.default_rng(seed)
    force_n = weight_n + rng.normal(0.0, noise_n, 4000)
    force_n[2000:3000] += 0.5 * weight_n * np.sin(np.linspace(0.0, 12.0, 1000))
    if gap:
        force_n[100:120] = np.nan
    quiet = quiet_stance(force_n, 1000.0)
    assert quiet is not None
    assert quiet.weight_n == pytest.approx(weight_n, abs=5.0 * noise_n / 1000.0**0.5 + 1e-9)
    assert quiet.spread_n == pytest.approx(noise_n, rel=0.15)
    assert not np.isnan(force_n[quiet.first : quiet.last]).any()


def test_windows_without_a_person_do_not_count() -> None:
    assert quiet_stances(np.zeros(3000), 1000.0) == []
    assert quiet_stance(np.full(500, 800.0), 1000.0) is None


@pytest.mark.parametrize("target", AXES)
@pytest.mark.parametrize("up", ["+x", "+y", "+z"])
def test_every_frame_keeps_lengths_and_the_moment_of_a_force(target: str, up: str) -> None:
    if target[1] == up[1]:
        with pytest.raises(InputError, match="that is up or down here"):
            frame_of(target, up, "right")  # type: ignore[arg-type]
        return
    place, force = np.array([[0.3], [-0.1], [0.2]]), np.array([[5.0], [7.0], [-2.0]])
    for hand in ("right", "left"):
        frame = frame_of(target, up, hand)  # type: ignore[arg-type]
        moment = np.cross(place, force, axis=0)
        turned = np.cross(frame.vector(place), frame.vector(force), axis=0)
        assert np.abs(turned - frame.moment(moment)).max() < 1e-12
        assert np.linalg.norm(frame.vector(force)) == pytest.approx(float(np.linalg.norm(force)))


def test_words_for_feet() -> None:
    assert foot_in_words("Fz left Fz right", "right") is None
    assert foot_in_words("rear plate", "left") == "trail"


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"force_unit": "dyn"}, "'dyn' is no unit of force that plates are read in."),
        ({"mat_m": 2.0}, "Thickness of the mat is 2; it takes 0 to 0.3 in SI units."),
        ({"rate_hz": 0.0}, "Rate is 0; it takes 1 to 200000 in SI units."),
        ({"scale_n": float("nan")}, "Weight on the scale is nan"),
    ],
)
def test_choices_that_can_not_be(given: dict[str, object], says: str) -> None:
    with pytest.raises((InputError, OutOfRangeError)) as caught:
        Choices(**given)  # type: ignore[arg-type]
    assert str(caught.value).startswith(says)


def test_plates_and_recordings_of_wrong_shapes() -> None:
    good = Plate(
        name="a",
        foot=None,
        force_n=np.zeros((5, 3)),
        cop_m=np.zeros((5, 2)),
        free_moment_nm=np.zeros(5),
    )
    with pytest.raises(InputError, match=r"cop_m of 'a' has the shape \(4, 2\)"):
        Plate(
            name="a",
            foot=None,
            force_n=np.zeros((5, 3)),
            cop_m=np.zeros((4, 2)),
            free_moment_nm=np.zeros(5),
        )
    with pytest.raises(InputError, match="The recording has no plate"):
        Recording(rate_hz=1000.0, plates=())
    with pytest.raises(InputError, match="The rate of the recording is 0 Hz"):
        Recording(rate_hz=0.0, plates=(good,))
    with pytest.raises(InputError, match="different lengths"):
        Recording(rate_hz=1000.0, plates=(good,), trigger=np.zeros(3))
