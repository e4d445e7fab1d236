"""From a table of shots with its blocks to the answer: longer, straighter, both, or cannot tell."""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from leadfoot.desk.answer import (
    Answer,
    AnswerBlock,
    AnswerClaim,
    AnswerOutcome,
    Basis,
    Pattern,
)
from leadfoot.desk.degrees import in_degrees
from leadfoot.desk.records import Role
from leadfoot.desk.same_air import Landing, landing
from leadfoot.desk.sides import Question, Sides, choose_sides
from leadfoot.desk.studio import Studio, UnitChoice, conditions_numbers
from leadfoot.desk.wording import known_from, outcome_name, sentence
from leadfoot.evidence.cues import trial_of
from leadfoot.evidence.judge import judge
from leadfoot.evidence.judgement import Aim, Claim, Judgement, LessonShots, Outcome, Track
from leadfoot.evidence.lesson import Planned, check_lesson, order_of_blocks
from leadfoot.evidence.memory import Memory, PastLesson, remember
from leadfoot.evidence.next_step import next_step
from leadfoot.evidence.posteriors import posteriors
from leadfoot.evidence.usual import usual_spread
from leadfoot.language.numbers import number
from leadfoot.language.say import noted, say, say_n
from leadfoot.physics.air import STANDARD_AIR
from leadfoot.quantities import glossary
from leadfoot.shots.club import club_class
from leadfoot.shots.shot import ShotTable
from leadfoot.tables.problem import Problem
from leadfoot.units import si_into, unit_named

_SIDE: Mapping[Role, str] = {"before": "before", "with_change": "after", "other": "other"}
_DISTANCE = ("carry", "ball_speed", "club_speed")
_DIRECTION = ("offline", "launch_direction", "face_angle", "face_to_path", "club_path")


def answer_for(question: Question) -> Answer:
    """Judge one change from one table of shots.

    Parameters
    ----------
    question
        The shots, their blocks and what is known of the student.

    Returns
    -------
    Answer
        In the units of the table; where too few shots speak, the answer says so.

    Raises
    ------
    InputError
        If no shot is "before" or none is "with the change", or the club asked for was not hit.
    """
    table = question.table
    sides = choose_sides(question)
    lands = landing(table, sides.judged, question.studio.air)
    basis = {"carry": lands.carry_basis, "offline": lands.offline_basis}
    memories = _memories(question, sides, lands)
    lesson = _lesson(question, sides, lands, memories)
    check_lesson(lesson)
    found = posteriors(lesson)
    judgement = judge(lesson, found=found)
    units = {key: _unit_of(key, table, basis, question.studio.units) for key in glossary()}
    outcomes = tuple(_shown(outcome, units, basis) for outcome in judgement.outcomes)
    headline = _headline(outcomes, lesson, judgement)
    bias = _shown(judgement.bias, units, basis) if judgement.bias else None
    spread = _shown(judgement.spread, units, basis) if judgement.spread else None
    degrees = (
        in_degrees(sides, lands, memories["offline"].usual)
        if lesson.declared_direction == "offline"
        else None
    )
    return Answer(
        before_label=_label_of("before", question),
        after_label=_label_of("with_change", question),
        club=sides.club,
        blocks=_blocks(question, sides),
        outcomes=outcomes,
        longer=_claim(judgement.longer),
        bias=bias,
        spread=spread,
        straighter=_claim(judgement.straighter),
        both=_claim(judgement.both),
        mishits=_shown(judgement.mishits, units, basis) if judgement.mishits else None,
        odds_wilder=judgement.odds_wilder,
        odds_more_mishits=judgement.odds_more_mishits,
        decision=judgement.decision,
        n_more=judgement.n_more,
        chance_more_tells=judgement.chance_more_tells,
        next_step=next_step(lesson, found=found) if judgement.decision == "hit_more" else None,
        trial=trial_of(lesson),
        degrees=degrees,
        headline=headline,
        sentence=sentence(judgement, headline=headline, bias=bias, spread=spread),
        notes=(
            *((degrees.note,) if degrees and degrees.note else ()),
            *_notes(question, lands, lesson, judgement),
            *_known_from(lesson, memories),
        ),
        problems=(*question.problems, *_club_problems(sides)),
        pattern=_pattern(table, sides, lands, units),
    )


def _values(question: Question, sides: Sides, lands: Landing) -> dict[str, NDArray[np.float64]]:
    """Values of the judged shots, of each quantity with balls on both sides; SI."""
    chosen = sides.judged
    values_of = {
        key: question.table.si(key)[chosen]
        for key, quantity in glossary().items()
        if quantity.better != "none"
    }
    values_of["carry"] = lands.carry_m[chosen]
    values_of["offline"] = lands.offline_m[chosen]
    changed = sides.with_change[chosen]
    return {
        key: values
        for key, values in values_of.items()
        if np.isfinite(values[changed]).any() and np.isfinite(values[~changed]).any()
    }


def _memories(question: Question, sides: Sides, lands: Landing) -> dict[str, Memory]:
    """The student's usual spreads: from players in general, then from earlier lessons."""
    carry_m = _middle(lands.carry_m[sides.judged])
    comparable = _comparable(question, lands)
    found = {}
    for key, values in _values(question, sides, lands).items():
        typical_si = carry_m if key == "offline" else _middle(values)
        start = usual_spread(key, club_class(sides.club), typical_si)
        found[key] = remember(comparable.get(key, ()), start=start, aim=_aim(key))
    return found


def _aim(key: str) -> Aim:
    return "more" if glossary()[key].better == "more" else "nearer_zero"


def _lesson(
    question: Question, sides: Sides, lands: Landing, memories: Mapping[str, Memory]
) -> LessonShots:
    """Turn the judged shots into tracks for the evidence engine."""
    tracks = {
        key: Track(quantity=key, values=values, aim=_aim(key), usual=memories[key].usual)
        for key, values in _values(question, sides, lands).items()
    }
    return LessonShots(
        with_change=sides.with_change[sides.judged],
        ball_number=np.flatnonzero(sides.judged).astype(np.float64),
        tracks=tracks,
        declared_distance=next((key for key in _DISTANCE if key in tracks), None),
        declared_direction=next((key for key in _DIRECTION if key in tracks), None),
        planned=None if question.planned is None else np.array(question.planned, dtype=np.bool_),
    )


def _middle(values: NDArray[np.float64]) -> float | None:
    finite = values[np.isfinite(values)]
    return float(np.median(finite)) if finite.size else None


def _comparable(question: Question, lands: Landing) -> Mapping[str, Sequence[PastLesson]]:
    """Earlier lessons that mean the same: a measured spread says nothing of a modelled one."""
    modelled = {
        key
        for key, basis in (("carry", lands.carry_basis), ("offline", lands.offline_basis))
        if basis == "modelled"
    }
    return {key: past for key, past in question.earlier.items() if key not in modelled}


def _unit_of(
    key: str, table: ShotTable, basis: Mapping[str, Basis], chosen: UnitChoice
) -> str | None:
    """The unit that the studio chose, else that of the table, of its kin, or the usual one."""
    if chosen.of(key) is not None:
        return chosen.of(key)
    found = table.readings.get(key)
    if found is not None and basis.get(key, "measured") == "measured":
        return found.unit
    usual = glossary()[key].unit
    if glossary()[key].dimension == "length":
        for kin in ("carry", "total", "offline"):
            if kin in table.readings and table.readings[kin].unit in {"yd", "m", "ft"}:
                return table.readings[kin].unit
    return usual


def _shown(
    outcome: Outcome, units: Mapping[str, str | None], basis: Mapping[str, Basis]
) -> AnswerOutcome:
    unit = units.get(outcome.quantity) if outcome.kind != "mishits" else None

    def people(value: float) -> float:
        return si_into(value, unit)

    return AnswerOutcome(
        quantity="mishits" if outcome.kind == "mishits" else outcome.quantity,
        kind=outcome.kind,
        name=outcome_name(outcome.quantity, outcome.kind),
        unit=unit,
        basis=basis.get(outcome.quantity, "measured"),
        before=people(outcome.before),
        after=people(outcome.after),
        change=people(outcome.change),
        low=people(outcome.low),
        high=people(outcome.high),
        odds_better=outcome.odds_better,
        verdict=outcome.verdict,
        n_before=outcome.n_before,
        n_after=outcome.n_after,
    )


def _claim(claim: Claim) -> AnswerClaim:
    return AnswerClaim(verdict=claim.verdict, odds=claim.odds)


def _headline(
    outcomes: tuple[AnswerOutcome, ...], lesson: LessonShots, judgement: Judgement
) -> AnswerOutcome | None:
    """The outcome to speak of: the declared distance, or club speed where it carries the claim."""
    levels = {outcome.quantity: outcome for outcome in outcomes if outcome.kind == "level"}
    declared = levels.get(lesson.declared_distance or "")
    if {"slower", "faster"} & set(judgement.reasons):
        return levels.get("club_speed", declared)
    return declared


def _label_of(role: Role, question: Question) -> str:
    """The labels of one side, in the order in which they were hit."""
    labels = dict.fromkeys(
        label
        for label in question.table.blocks
        if label is not None and question.roles.get(label) == role
    )
    return " + ".join(labels)


def _blocks(question: Question, sides: Sides) -> tuple[AnswerBlock, ...]:
    table = question.table
    labels = dict.fromkeys(label for label in table.blocks if label is not None)
    blocks = []
    for label in labels:
        inside = np.array([name == label for name in table.blocks], dtype=bool)
        role = question.roles.get(label, "other")
        counted = inside & sides.judged if role != "other" else inside
        clubs = {sides.clubs[i] for i in np.flatnonzero(inside)}
        blocks.append(
            AnswerBlock(
                label=label,
                club=sides.club if role != "other" else (clubs.pop() if len(clubs) == 1 else None),
                role=_SIDE[role],  # type: ignore[arg-type]
                n_shots=int(counted.sum()),
                n_left_out=int(inside.sum() - counted.sum()),
            )
        )
    return tuple(blocks)


def _club_problems(sides: Sides) -> tuple[Problem, ...]:
    return tuple(
        Problem(
            row=None,
            column="club",
            text=name,
            reason=_not_judged(n, sides.club),
        )
        for name, n in sides.other_clubs.items()
    )


def _not_judged(n: int, club: str | None) -> str:
    if club:
        return say_n(
            "{n} ball with this club was not judged together with {club}; name the club to judge "
            "it.",
            "{n} balls with this club were not judged together with {club}; name the club to judge "
            "it.",
            n,
            club=club,
        )
    return say_n(
        "{n} ball with this club was not judged together with the balls without a club; name the "
        "club to judge it.",
        "{n} balls with this club were not judged together with the balls without a club; name the "
        "club to judge it.",
        n,
    )


def _notes(
    question: Question, lands: Landing, lesson: LessonShots, judgement: Judgement
) -> tuple[str, ...]:
    notes = []
    computed = tuple(
        name
        for name, basis, values in (
            ("carry", lands.carry_basis, lands.carry_m),
            ("offline", lands.offline_basis, lands.offline_m),
        )
        if basis == "modelled" and np.isfinite(values).any()
    )
    if computed:
        notes.append(_computed_words(computed, question.studio))
    new = [key for key, track in lesson.tracks.items() if track.usual.n_shots == 0]
    if len(new) == len(lesson.tracks) and new:
        notes.append(
            say(
                "The usual spread from ball to ball is assumed from players in general, not yet "
                "learnt from this student."
            )
        )
    elif new:
        notes.append(
            say(
                "The usual spread from ball to ball is assumed from players in general for "
                "{quantities}, not yet learnt from this student.",
                quantities=_names(new),
            )
        )
    if judgement.decision == "hit_more" and (on_the_way := _plan_words(lesson)):
        notes.append(on_the_way)
    if "wider_than_usual" in judgement.reasons:
        notes.append(say("Today's balls vary more than usual: that was counted in."))
    notes.extend(
        say("Left out, ball {number}: {reason}.", number=index + 1, reason=say(reason))
        for index, reason in sorted(question.left_out.items())
    )
    return tuple(notes)


def _plan_words(lesson: LessonShots) -> str:
    """Why good odds may not be enough yet: a plan spends little of its doubt on the way."""
    if lesson.planned is None:
        return ""
    plan, order = Planned.of(lesson.planned), order_of_blocks(lesson.with_change)
    n_after = int(lesson.with_change.sum())
    n_before = len(lesson.with_change) - n_after
    if not plan.comes_back or not plan.holds(order, n_before, n_after):
        return ""
    return say(
        "As the blocks were planned, the looks on the way ask for more than the last ones. So far "
        "the balls tell {share} of what the whole plan can tell.",
        share=f"{number(100.0 * min(plan.told(n_before, n_after), 1.0))} %",
    )


def _computed_words(computed: tuple[str, ...], studio: Studio) -> str:
    """That a length was computed, and in which air."""
    if studio.air == STANDARD_AIR:
        return say(_COMPUTED[computed])
    return say(
        "Computed by the flight model in the still air of the studio ({air}) from ball speed, "
        "launch and spin, not measured for every ball: {quantities}.",
        air=conditions_numbers(studio.conditions, studio.units),
        quantities=_names(list(computed)),
    )


_COMPUTED = {
    ("carry",): noted(
        "Carry computed by the flight model in still standard air from ball speed, launch and "
        "spin: not measured for every ball."
    ),
    ("offline",): noted(
        "Offline computed by the flight model in still standard air from ball speed, launch and "
        "spin: not measured for every ball."
    ),
    ("carry", "offline"): noted(
        "Carry and offline computed by the flight model in still standard air from ball speed, "
        "launch and spin: not measured for every ball."
    ),
}


def _known_from(lesson: LessonShots, memories: Mapping[str, Memory]) -> tuple[str, ...]:
    """Where the usual spread of the declared quantities came from, if from the student's balls."""
    declared = (lesson.declared_distance, lesson.declared_direction)
    known = [memories[key] for key in declared if key is not None and key in memories]
    learnt = max(known, key=lambda memory: memory.n_balls, default=None)
    return (known_from(learnt),) if learnt is not None and learnt.source == "learnt" else ()


def _names(keys: list[str]) -> str:
    return ", ".join(say(glossary()[key].name) for key in keys)


def _pattern(
    table: ShotTable, sides: Sides, lands: Landing, units: Mapping[str, str | None]
) -> Pattern:
    chosen = sides.judged
    length = units["carry"] or "yd"
    speed_key = "club_speed" if np.isfinite(table.si("club_speed")[chosen]).any() else "ball_speed"
    speed_unit = units[speed_key] or "mph"
    return Pattern(
        rows=table.rows[chosen],
        with_change=sides.with_change[chosen],
        offline=_in_unit(lands.offline_m[chosen], length),
        carry=_in_unit(lands.carry_m[chosen], length),
        unit=length,
        carry_basis=lands.carry_basis,
        offline_basis=lands.offline_basis,
        speed=_in_unit(table.si(speed_key)[chosen], speed_unit),
        speed_unit=speed_unit,
        speed_name=glossary()[speed_key].name,
    )


def _in_unit(values_si: NDArray[np.float64], symbol: str) -> NDArray[np.float64]:
    unit = unit_named(symbol)
    result: NDArray[np.float64] = (values_si - unit.si_offset) / unit.si_per_unit
    return result
