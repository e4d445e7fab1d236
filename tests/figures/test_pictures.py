import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import matplotlib as mpl
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib.figure import Figure

from leadfoot.desk.answer import Answer, Pattern
from leadfoot.figures.change import change_picture, headlines, hill
from leadfoot.figures.look import DAY, NIGHT, NUMBERS, PRINT, WORDS, Look
from leadfoot.figures.pattern import pattern_picture
from leadfoot.figures.picture import Picture
from leadfoot.figures.run import run_picture, spans
from leadfoot.figures.strip import strip_picture
from tests.reports import answers

Draw = Callable[[Answer], Picture]
PICTURES: dict[str, Draw] = {
    "pattern": pattern_picture,
    "change": change_picture,
    "run": run_picture,
}
SVG = "{http://www.w3.org/2000/svg}"


def texts(picture: Picture) -> list[str]:
    tree = ET.fromstring(picture.svg())  # noqa: S314  our own bytes
    return ["".join(element.itertext()) for element in tree.iter(f"{SVG}text")]


def marks(picture: Picture) -> int:
    tree = ET.fromstring(picture.svg())  # noqa: S314  our own bytes
    return sum(1 for _ in tree.iter(f"{SVG}use"))


@pytest.mark.parametrize("draw", PICTURES.values(), ids=PICTURES)
@pytest.mark.parametrize("make", answers.ALL.values(), ids=answers.ALL)
def test_every_answer_gives_every_picture(make: Callable[[], Answer], draw: Draw) -> None:
    picture = draw(make())
    assert texts(picture)
    assert f"<title>{picture.alt}" in picture.svg().decode()
    assert picture.png(dpi=50).startswith(b"\x89PNG")
    assert len(picture.alt) > 20


@pytest.mark.parametrize("draw", PICTURES.values(), ids=PICTURES)
def test_the_same_answer_gives_the_same_bytes(draw: Draw) -> None:
    first, second = draw(answers.keep()), draw(answers.keep())
    assert first.svg() == second.svg()
    assert first.png() == second.png()


def test_pictures_drawn_at_the_same_time_do_not_mix() -> None:
    pictures = [draw(make()) for make in answers.ALL.values() for draw in PICTURES.values()]
    alone = [picture.svg() for picture in pictures]
    with ThreadPoolExecutor(8) as pool:
        together = list(pool.map(lambda picture: picture.svg(), pictures))
    assert together == alone


def test_drawing_leaves_the_settings_of_the_machine_alone_and_ignores_them() -> None:
    plain = pattern_picture(answers.keep()).svg()
    with mpl.rc_context({"lines.linewidth": 9.0, "font.size": 30.0, "svg.fonttype": "path"}):
        before = dict(mpl.rcParams)
        assert pattern_picture(answers.keep()).svg() == plain
        assert dict(mpl.rcParams) == before


def test_words_stay_words_in_the_shipped_faces() -> None:
    svg = pattern_picture(answers.keep()).svg().decode()
    families = set(re.findall(r"'([^']+)'", " ".join(re.findall(r'style="([^"]*)"', svg))))
    assert families == {WORDS, NUMBERS}


def test_the_pattern_says_left_and_right_and_how_many() -> None:
    told = texts(pattern_picture(answers.keep()))
    assert "← left" in told
    assert "right →" in told
    assert {"before", "12 balls", "with the change", "15 balls"} <= set(told)
    assert "Diamond: the middle of the balls. Ring: holds two balls in three." in told
    assert "carry, yd" in told


def test_the_pattern_draws_every_ball_once() -> None:
    # 27 balls, two in the key, two middles.
    assert marks(pattern_picture(answers.keep())) == 27 + 2 + 2
    # Two balls lack a number; the two far ones stand at the edge.
    picture = pattern_picture(answers.with_mishits())
    assert marks(picture) == 25 + 2 + 2
    told = texts(picture)
    assert {"96 out, 31 left", "171 out, 88 right"} <= set(told)
    assert "Not drawn: 2 balls without both numbers." in told


def test_computed_carry_is_told_from_measured() -> None:
    assert "carry, yd (computed)" in texts(pattern_picture(answers.modelled_carry()))


def test_of_a_few_balls_none_is_called_far() -> None:
    pattern = replace(
        answers.balls(3, 2),
        offline=np.array([8.0, -2.0, 33.0, -3.0, -1.0]),
        carry=np.array([215.0, 218.0, 120.0, 230.0, 226.0]),
    )
    told = texts(pattern_picture(replace(answers.keep(), pattern=pattern)))
    assert not [text for text in told if "out," in text]


def _painted(picture: Picture) -> dict[str, list[tuple[float, float]]]:
    """The middles of the balls and of the target line, in points of the figure."""
    figure = Figure(figsize=(picture.width_mm / 25.4, picture.height_mm / 25.4), dpi=72)
    picture.paint(figure)
    found: dict[str, list[tuple[float, float]]] = {"hollow": [], "solid": [], "target": []}
    for axes in figure.axes[:1]:
        for line in axes.lines:
            data = np.column_stack([line.get_xdata(), line.get_ydata()]).astype(float)
            spots = [(float(x), float(y)) for x, y in axes.transData.transform(data)]
            if line.get_marker() == "o":
                hollow = line.get_markerfacecolor() == "none"
                found["hollow" if hollow else "solid"] += spots
            elif line.get_color() == picture.look.target:
                found["target"] += spots
    return found


def test_right_is_drawn_right_and_far_is_drawn_up_at_one_scale() -> None:
    pattern = replace(
        answers.balls(1, 2),
        offline=np.array([-10.0, 20.0, 0.0]),
        carry=np.array([220.0, 230.0, 250.0]),
    )
    spots = _painted(pattern_picture(replace(answers.keep(), pattern=pattern)))
    (left,), (right, straight) = spots["hollow"], spots["solid"]
    target = spots["target"][0][0]
    assert left[0] < target < right[0]
    assert straight[0] == pytest.approx(target)
    assert left[1] < right[1] < straight[1]
    per_yard_across = (right[0] - left[0]) / 30.0
    per_yard_up = (straight[1] - left[1]) / 30.0
    assert per_yard_across == pytest.approx(per_yard_up, rel=1e-6)


def test_a_left_handers_balls_are_mirrored_with_the_words_in_place() -> None:
    right, left = (_painted(pattern_picture(a)) for a in (answers.keep(), answers.left_hander()))
    axis = right["target"][0][0]
    assert left["target"][0][0] == axis
    for one, other in zip(right["hollow"], left["hollow"], strict=True):
        assert one[0] - axis == pytest.approx(axis - other[0])
        assert one[1] == pytest.approx(other[1])


@pytest.mark.parametrize(
    ("offline", "carry", "title", "missing"),
    [
        (True, False, "from the target line, yd", "No carry was measured."),
        (False, True, "carry, yd", "No direction was measured."),
        (False, False, "club speed, mph", "No direction was measured."),
    ],
)
def test_with_one_number_only_the_balls_stand_along_its_scale(
    offline: bool,
    carry: bool,
    title: str,
    missing: str,
) -> None:
    pattern = answers.balls(12, 15, offline=offline, carry=carry)
    picture = pattern_picture(replace(answers.keep(), pattern=pattern))
    told = texts(picture)
    assert title in told
    assert missing in told
    assert marks(picture) == 27 + 2 + 2
    assert ("← left" in told) is offline


def test_with_no_number_at_all_the_picture_says_so() -> None:
    empty = replace(answers.balls(3, 3, offline=False, carry=False), speed=np.full(6, np.nan))
    answer = replace(answers.keep(), pattern=empty)
    assert texts(pattern_picture(answer))[0] == "No direction, carry or speed was measured."
    assert texts(run_picture(answer)) == ["No speed or carry was measured."]
    assert strip_picture(empty).alt == "No direction, carry or speed was measured."


def test_the_alt_text_tells_what_the_picture_shows() -> None:
    assert pattern_picture(answers.keep()).alt == (
        "Where the balls came down, seen from above. Before: 12 balls, the middle of them 225 yd "
        "out, 9 yd right of the target line. With the change: 15 balls, the middle of them 239 yd "
        "out, 2 yd left of the target line."
    )
    assert change_picture(answers.only_speed()).alt == (
        "Estimated changes with their ranges: club speed +3.2 mph, likely +2.2 to +4.2."
    )
    assert run_picture(answers.only_speed()).alt == (
        "Club speed of every ball in the order hit, in mph. Before: 12 balls, the middle at "
        "95.0 mph. With the change: 15 balls, the middle at 98.1 mph."
    )


def test_every_change_stands_with_its_range_and_its_better_side() -> None:
    told = texts(change_picture(answers.keep()))
    assert {"+5.0 mph", "+3.6 to +6.6", "−0.9 yd", "−3.9 to +2.0", "−1 in 100", "−9 to +7"} <= set(
        told
    )
    assert {"more: better", "narrower: better", "fewer: better"} <= set(told)
    assert "moved left: toward the target" in told
    assert "moved right: toward the target" in texts(change_picture(answers.left_hander()))


def test_an_estimate_without_a_range_is_not_drawn() -> None:
    kept = answers.keep()
    assert kept.headline is not None
    bare = replace(
        kept,
        headline=replace(kept.headline, low=float("nan")),
        bias=None,
        spread=None,
        mishits=None,
    )
    assert headlines(bare) == ()
    assert texts(change_picture(bare)) == ["No change could be estimated yet."]


def test_the_hill_has_a_twentieth_beyond_each_end_of_the_range() -> None:
    # Closed form: the 90 % range of a normal leaves 5 % on each side.
    at = np.linspace(-20.0, 30.0, 200_001)
    height = hill(5.0, 3.0, 7.0, at)
    assert height[at < 3.0].sum() / height.sum() == pytest.approx(0.05, abs=1e-4)
    assert height[at > 7.0].sum() / height.sum() == pytest.approx(0.05, abs=1e-4)


def test_the_run_shows_speed_or_carry_as_the_sentence_does() -> None:
    kept = answers.keep()
    assert "club speed, mph" in texts(run_picture(kept))
    carry = next(one for one in kept.outcomes if one.quantity == "carry")
    assert "carry, yd" in texts(run_picture(replace(kept, headline=carry)))


def test_blocks_that_take_turns_are_marked_one_by_one() -> None:
    turns = np.array([False] * 5 + [True] * 5 + [False] * 5 + [True] * 5)
    assert [(start, stop) for start, stop, _ in spans(turns)] == [
        (0, 5),
        (5, 10),
        (10, 15),
        (15, 20),
    ]
    pattern = replace(answers.balls(10, 10), with_change=turns)
    told = texts(run_picture(replace(answers.keep(), pattern=pattern)))
    assert told.count("with the change") == 2 + 1  # the key as well
    assert spans(np.array([], dtype=bool)) == []


@st.composite
def patterns(draw: st.DrawFn) -> Pattern:
    n = draw(st.integers(0, 200))
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))

    def column(middle: float, spread: float) -> np.ndarray:
        values = middle + spread * rng.standard_t(2.0, n)
        return np.where(rng.random(n) < draw(st.sampled_from([0.0, 0.3, 1.0])), np.nan, values)

    return Pattern(
        rows=np.arange(n),
        with_change=rng.random(n) < 0.5,
        offline=column(0.0, 12.0),
        carry=column(draw(st.sampled_from([70.0, 230.0])), draw(st.sampled_from([0.0, 8.0]))),
        unit=draw(st.sampled_from(["yd", "m", "ft"])),
        carry_basis="measured",
        offline_basis="modelled",
        speed=column(95.0, 1.5),
        speed_unit="mph",
        speed_name="club speed",
    )


@settings(max_examples=25)
@given(patterns())
def test_any_pattern_can_be_drawn(pattern: Pattern) -> None:
    answer = replace(answers.keep(), pattern=pattern)
    for picture in (pattern_picture(answer), run_picture(answer)):
        ET.fromstring(picture.svg())  # noqa: S314  our own bytes
        assert b"nan" not in picture.svg().lower()


@pytest.mark.parametrize("look", [DAY, NIGHT, PRINT])
def test_a_picture_wears_the_colours_of_its_ground(look: Look) -> None:
    svg = pattern_picture(answers.keep(), look=look).svg().decode()
    for colour in (look.ground, look.before, look.after):
        assert colour in svg
