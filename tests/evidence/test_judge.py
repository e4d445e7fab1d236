import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from leadfoot.errors import InputError
from leadfoot.evidence.judge import judge
from leadfoot.evidence.judgement import Judgement, LessonShots
from tests.evidence.shots import SPREAD, lesson_of

QUANTITIES = ("club_speed", "carry", "smash_factor", "offline", "launch_direction")
TYPICAL = {
    "club_speed": 42.0,
    "carry": 190.0,
    "smash_factor": 1.43,
    "offline": 5.0,
    "launch_direction": 0.01,
}


def usual_lesson(
    seed: int = 0,
    n_before: int = 10,
    n_after: int = 10,
    *,
    gains: dict[str, float] | None = None,
    quantities: tuple[str, ...] = QUANTITIES,
) -> LessonShots:
    """A lesson of an invented student; gains in usual spreads."""
    rng = np.random.default_rng(seed)
    n = n_before + n_after
    with_change = np.arange(n) >= n_before
    stray = {key: rng.standard_normal(n) for key in QUANTITIES}
    return lesson_of(
        with_change,
        {
            key: TYPICAL[key]
            + SPREAD[key] * (stray[key] + (gains or {}).get(key, 0.0) * with_change)
            for key in quantities
        },
        distance="carry" if "carry" in quantities else None,
        direction="offline" if "offline" in quantities else None,
    )


def well_formed(answer: Judgement) -> None:
    for outcome in answer.outcomes:
        assert math.isfinite(outcome.before)
        assert math.isfinite(outcome.after)
        assert outcome.low <= outcome.change <= outcome.high
        assert outcome.change == pytest.approx(outcome.after - outcome.before, abs=1e-9)
        assert 0.0 <= outcome.odds_better <= 1.0
    claims = (answer.longer.odds, answer.straighter.odds, answer.both.odds)
    losses = (answer.odds_shorter, answer.odds_wilder, answer.odds_more_mishits)
    for odds in (*claims, *losses, answer.chance_more_tells):
        assert odds is None or 0.0 <= odds <= 1.0
    assert answer.n_more is None or answer.n_more >= 1
    if answer.decision != "hit_more":
        assert answer.n_more is None


def test_a_clear_gain_of_speed_is_kept() -> None:
    answer = judge(usual_lesson(gains={"club_speed": 3.3, "carry": 1.3}))
    assert answer.decision == "keep"
    assert answer.longer.verdict == "yes"
    assert answer.n_more is None
    assert {"longer", "faster"} & set(answer.reasons)


def test_faster_carries_the_claim_only_if_the_carry_does_not_speak_against_it() -> None:
    with_it = judge(usual_lesson(0, gains={"club_speed": 4.0, "carry": 0.4}))
    assert with_it.reasons == ("faster",)
    assert with_it.longer.verdict == "yes"
    against = judge(usual_lesson(0, gains={"club_speed": 4.0, "carry": -0.8}))
    assert against.longer.verdict != "yes"
    assert "faster" not in against.reasons
    assert against.n_more is None or against.n_more > 1  # the speed, long shown, is not waited for


def test_every_directed_quantity_has_its_outcome() -> None:
    answer = judge(usual_lesson())
    found = [(outcome.quantity, outcome.kind) for outcome in answer.outcomes]
    assert found == [
        ("club_speed", "level"),
        ("carry", "level"),
        ("smash_factor", "level"),
        ("offline", "bias"),
        ("launch_direction", "bias"),
        ("offline", "spread"),
        ("mishits", "mishits"),
    ]
    assert answer.bias == answer.outcomes[3]
    assert answer.spread == answer.outcomes[5]
    assert answer.mishits == answer.outcomes[6]
    well_formed(answer)


@pytest.mark.parametrize(("n_before", "n_after"), [(10, 4), (4, 10), (1, 1), (4, 4), (20, 1)])
def test_small_blocks_cannot_tell_yet(n_before: int, n_after: int) -> None:
    gains = {"club_speed": 8.0, "carry": 8.0, "offline": -8.0}
    answer = judge(usual_lesson(1, n_before, n_after, gains=gains))
    verdicts = {outcome.verdict for outcome in answer.outcomes}
    claims = {answer.longer.verdict, answer.straighter.verdict, answer.both.verdict}
    assert verdicts | claims == {"not_yet"}
    assert answer.decision == "hit_more"
    assert answer.n_more == max(5 - n_before, 0) + max(5 - n_after, 0)
    assert answer.reasons == ("too_early",)
    well_formed(answer)


@pytest.mark.parametrize(("n_before", "n_after"), [(0, 0), (8, 0), (0, 8)])
def test_one_block_only_has_no_odds(n_before: int, n_after: int) -> None:
    answer = judge(usual_lesson(1, n_before, n_after))
    assert answer.outcomes == ()
    assert answer.longer.odds is None
    assert answer.straighter.odds is None
    assert answer.both.odds is None
    assert answer.decision == "hit_more"
    assert answer.reasons == ("no_comparison",)
    assert answer.n_more is not None
    assert answer.n_more >= 5


def test_a_lesson_without_values_has_no_odds() -> None:
    lesson = lesson_of(np.arange(12) >= 6, {"carry": np.full(12, np.nan)}, distance="carry")
    answer = judge(lesson)
    assert answer.longer.odds is None
    assert answer.mishits is None
    assert answer.decision == "hit_more"


@pytest.mark.parametrize(("n_before", "n_after", "n_more"), [(8, 0, 5), (2, 3, 5), (6, 6, None)])
def test_a_lesson_without_any_quantity_counts_its_balls(
    n_before: int, n_after: int, n_more: int | None
) -> None:
    answer = judge(lesson_of(np.arange(n_before + n_after) >= n_before, {}))
    assert answer.decision == "hit_more"
    assert (answer.n_more, answer.chance_more_tells) == (n_more, None)


def test_missing_values_only_cost_their_own_quantity() -> None:
    lesson = usual_lesson(2, gains={"club_speed": 4.0})
    holes = lesson.tracks["offline"].values.copy()
    holes[10:] = np.nan
    tracks = {**lesson.tracks, "offline": replace(lesson.tracks["offline"], values=holes)}
    answer = judge(replace(lesson, tracks=tracks))
    assert answer.bias is None
    assert answer.straighter.odds is None
    assert answer.longer == judge(lesson).longer


def test_a_longer_ball_with_many_mishits_is_not_kept() -> None:
    lesson = usual_lesson(4, 12, 15, gains={"carry": 3.0})
    carry = lesson.tracks["carry"].values.copy()
    carry[[13, 15, 18, 20, 22, 25]] -= 60.0
    tracks = {**lesson.tracks, "carry": replace(lesson.tracks["carry"], values=carry)}
    answer = judge(replace(lesson, tracks=tracks))
    assert answer.longer.verdict == "yes"
    assert answer.decision != "keep"
    assert {"more_mishits", "maybe_more_mishits"} & set(answer.reasons)
    assert answer.mishits is not None
    assert answer.mishits.change > 0


def test_a_longer_but_wilder_pattern_is_not_kept() -> None:
    lesson = usual_lesson(5, 15, 15, gains={"carry": 3.0, "club_speed": 3.0})
    offline = lesson.tracks["offline"].values.copy()
    offline[15:] *= 4.0
    tracks = {**lesson.tracks, "offline": replace(lesson.tracks["offline"], values=offline)}
    answer = judge(replace(lesson, tracks=tracks))
    assert answer.longer.verdict == "yes"
    assert answer.straighter.verdict == "no"
    assert answer.both.verdict == "no"
    assert answer.decision == "drop"
    assert "wilder" in answer.reasons


def test_direction_alone_can_be_judged() -> None:
    lesson = usual_lesson(6, 20, 20, quantities=("offline",))
    offline = lesson.tracks["offline"].values.copy()
    offline[:20] += 30.0
    offline[20:] *= 0.4
    tracks = {"offline": replace(lesson.tracks["offline"], values=offline)}
    answer = judge(replace(lesson, tracks=tracks))
    assert answer.straighter.verdict == "yes"
    assert answer.longer.odds is None
    assert answer.decision == "keep"
    assert answer.mishits is None


def test_how_many_more_comes_with_its_chance() -> None:
    answer = judge(usual_lesson(7, 10, 6, gains={"club_speed": 0.9, "carry": 0.7}))
    assert answer.decision == "hit_more"
    assert answer.n_more is not None
    assert answer.chance_more_tells is not None
    assert answer.chance_more_tells >= 0.5


def test_left_out_balls_keep_their_number() -> None:
    lesson = usual_lesson(7)
    answer = judge(replace(lesson, ball_number=lesson.ball_number + 12.0))
    assert answer.longer.odds != judge(lesson).longer.odds  # twelve balls have warmed the student


def test_the_same_shots_give_the_same_answer() -> None:
    assert judge(usual_lesson(8)) == judge(usual_lesson(8))


def test_misuse_is_refused() -> None:
    lesson = usual_lesson(9)
    with pytest.raises(InputError):
        judge(replace(lesson, with_change=lesson.with_change[:-1]))
    with pytest.raises(InputError):
        judge(replace(lesson, declared_distance="total"))


@st.composite
def any_lessons(draw: st.DrawFn) -> LessonShots:
    n = draw(st.integers(0, 24))
    size = draw(st.sampled_from([1.0, 1e-3, 1e4, 1e9, 1.7e308]))
    finite = st.floats(-size, size) | st.just(math.nan) | st.sampled_from([0.0, 1.0, -size])
    tracks = {key: draw(arrays(np.float64, n, elements=finite)) for key in ("carry", "offline")}
    sd = draw(st.sampled_from([1e-9, 1e-3, 1.0, 8.0, 1e9]))
    return lesson_of(
        draw(arrays(np.bool_, n)),
        tracks,
        distance="carry",
        direction="offline",
        sds={"carry": sd, "offline": sd},
    )


@given(any_lessons())
def test_any_finite_numbers_give_an_answer_or_a_clear_refusal(lesson: LessonShots) -> None:
    try:
        answer = judge(lesson)
    except InputError as refusal:
        assert "beyond" in refusal.what  # noqa: PT017 - either outcome is right
        return
    for outcome in answer.outcomes:
        size = max(abs(outcome.before), abs(outcome.after), 1e-300)
        assert outcome.change == pytest.approx(outcome.after - outcome.before, abs=1e-9 * size)
        assert outcome.low <= outcome.change <= outcome.high
        assert 0.0 <= outcome.odds_better <= 1.0
    for odds in (answer.longer.odds, answer.straighter.odds, answer.odds_more_mishits):
        assert odds is None or 0.0 <= odds <= 1.0


seeds = st.integers(0, 10**6)
sizes = st.integers(0, 12)


@given(seeds, sizes, sizes, st.sampled_from([0.44704, 0.9144, 1 / 3.6, 57.29577951308232]))
def test_units_change_nothing(seed: int, n_before: int, n_after: int, scale: float) -> None:
    lesson = usual_lesson(seed, n_before, n_after)
    other = replace(
        lesson,
        tracks={
            key: replace(
                track,
                values=track.values * scale,
                usual=replace(track.usual, sd=track.usual.sd * scale),
            )
            for key, track in lesson.tracks.items()
        },
    )
    a, b = judge(lesson), judge(other)
    well_formed(a)
    assert b.decision == a.decision
    for one, two in zip(a.outcomes, b.outcomes, strict=True):
        factor = 1.0 if one.kind == "mishits" else scale
        assert two.odds_better == pytest.approx(one.odds_better, abs=3e-3)
        assert two.change == pytest.approx(one.change * factor, abs=0.02 * abs(factor))


@given(seeds)
def test_left_and_right_are_mirror_images(seed: int) -> None:
    lesson = usual_lesson(seed)
    mirrored = replace(
        lesson,
        tracks={
            key: replace(track, values=-track.values) if track.aim == "nearer_zero" else track
            for key, track in lesson.tracks.items()
        },
    )
    a, b = judge(lesson), judge(mirrored)
    assert b.longer == a.longer
    assert b.straighter.odds == pytest.approx(a.straighter.odds, abs=2e-3)
    assert a.bias is not None
    assert b.bias is not None
    assert b.bias.change == pytest.approx(-a.bias.change, abs=1e-6)
    assert b.bias.odds_better == pytest.approx(a.bias.odds_better, abs=2e-3)


@given(seeds, st.floats(-500.0, 500.0))
def test_a_constant_on_every_carry_changes_no_odds(seed: int, shift: float) -> None:
    lesson = usual_lesson(seed)
    carry = lesson.tracks["carry"]
    shifted = {**lesson.tracks, "carry": replace(carry, values=carry.values + shift)}
    a, b = judge(lesson), judge(replace(lesson, tracks=shifted))
    assert b.longer.odds == pytest.approx(a.longer.odds, abs=1e-4)
    assert b.decision == a.decision
