"""Practice at home for the student's real week: which days, which blocks, how many balls.

No dose-response trial of practice for the full swing was found. What stands here is inferred from
studies of other tasks and labelled so, rule by rule (`leadfoot.coaching.homework_rules`).
"""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from itertools import combinations, groupby
from typing import Any, Literal

from leadfoot.coaching.homework_rules import RULES, Rule
from leadfoot.errors import OutOfRangeError
from leadfoot.language.say import Message, noted, say

Place = Literal["range", "net", "no_club"]
BlockKind = Literal["warm_up", "cue", "mixed", "test", "swings"]

PLACE_WORDS: Mapping[Place, str] = {
    "range": noted("at the range"),
    "net": noted("into a net"),
    "no_club": noted("without a ball"),
}
MOST_SESSIONS_A_WEEK = 4
SECONDS_A_BALL = 40.0
"""Time for one ball with a pause and a look at the target. House rule, no source."""
MOST_BALLS, WARM_UP_BALLS, TEST_BALLS, CUE_BALLS = 60, 10, 10, 5
FEWEST_BALLS = 8
"""With fewer there is no room for a warm-up, a block with the cue and a test. House rule."""
MOST_CUE_BLOCKS = 4
MIXED_FROM_WEEK = 2
MOST_WEEKS = 8
_WITHOUT_BALL = ("spacing", "cue_blocks")
"""Rules on which a plan without a ball rests; the others are about balls."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """The student's real week.

    Attributes
    ----------
    days
        Days on which there is time, 0 for Monday to 6 for Sunday; at least one.
    minutes
        Time a session, 10 to 180.
    balls
        Balls there are for a session, 0 to 200; not looked at without a ball.
    place
        Where.
    usual_balls
        Full balls that the student hits in a usual week anyway; None where not known.
    """

    days: tuple[int, ...]
    minutes: int
    balls: int
    place: Place
    usual_balls: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HomeBlock:
    """A run of balls (or of swings without a ball) in one session.

    Attributes
    ----------
    kind
        Warm-up, with the cue, mixed, a test, or swings without a ball.
    n
        Balls or swings, above 0.
    with_cue, with_numbers
        Whether the cue is used, and whether the student may look at numbers. Never in a test.
    words
        What to do, for the student.
    """

    kind: BlockKind
    n: int
    with_cue: bool
    with_numbers: bool
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HomeSession:
    """One session; ``number`` counts from 1, ``week`` from 1, ``day`` is 0 for Monday."""

    number: int
    week: int
    day: int
    blocks: tuple[HomeBlock, ...]

    @property
    def n_balls(self) -> int:
        """Full balls of the session."""
        return sum(block.n for block in self.blocks if block.kind != "swings")

    def runs(self) -> tuple[tuple[int, HomeBlock], ...]:
        """The blocks, equal ones in a row told once with how many there are."""
        return tuple((len(list(same)), block) for block, same in groupby(self.blocks))


@dataclass(frozen=True, slots=True, kw_only=True)
class HomePlan:
    """The whole plan.

    Attributes
    ----------
    cue, criterion
        The one cue, and what counts as met, in words; without a ball nothing is counted.
    place, minutes, n_weeks
        Where, how long a session, how many weeks.
    sessions
        In order.
    rules
        What the plan rests on, each with its label.
    notes
        What does not fit: too few days, more balls than help, a load that jumps; to be said in the
        language of the reader.
    cautions
        What to watch.
    """

    cue: str
    criterion: str
    place: Place
    minutes: int
    n_weeks: int
    sessions: tuple[HomeSession, ...]
    rules: tuple[Rule, ...]
    notes: tuple[Message, ...]
    cautions: tuple[str, ...]

    @property
    def counts(self) -> bool:
        """Whether there are balls to be counted."""
        return self.place != "no_club"

    def balls_by_week(self) -> tuple[int, ...]:
        """Full balls in each week of the plan."""
        return tuple(
            sum(one.n_balls for one in self.sessions if one.week == week + 1)
            for week in range(self.n_weeks)
        )

    def as_json(self) -> dict[str, Any]:
        """The plan in its published form, ``leadfoot.homework/1``; its own words are English."""
        return {
            "schema": "leadfoot.homework/1",
            **asdict(replace(self, notes=())),
            "notes": [note.in_english for note in self.notes],
            "notes_to_say": [{"text": note.text, "values": note.values} for note in self.notes],
        }


def plan_homework(
    week: Week,
    *,
    cue: str,
    criterion: str,
    n_weeks: int = 4,
    first_week: int = 1,
    first_day: int = 0,
    cautions: Sequence[str] = (),
) -> HomePlan:
    """Plan practice at home.

    Parameters
    ----------
    week
        The student's week.
    cue
        The one cue, best about something outside the body.
    criterion
        What counts as a ball that met it, such as: starts between the two posts; without a ball
        it may be empty.
    n_weeks
        1 to 8.
    first_week
        At which stage it begins: 1 for a new change, 2 and more for one that settles already.
    first_day
        Day of the week on which the plan's weeks begin, 0 for Monday.
    cautions
        What to watch, as the catalogue and the student's history have it.

    Raises
    ------
    OutOfRangeError
        If the week can't be: no day, too little time, too few balls.

    Examples
    --------
    >>> week = Week(days=(0, 2, 5), minutes=45, balls=50, place="range")
    >>> plan = plan_homework(week, cue="press the block flat", criterion="starts right of the pole")
    >>> len(plan.sessions), plan.balls_by_week()
    (12, (120, 150, 150, 150))
    >>> [(block.kind, block.n) for block in plan.sessions[0].blocks]
    [('warm_up', 10), ('cue', 5), ('cue', 5), ('cue', 5), ('cue', 5), ('test', 10)]
    """
    _check(week, n_weeks, first_week)
    days = sorted(spread_days(week.days), key=lambda day: (day - first_day) % 7)
    sessions = tuple(
        HomeSession(
            number=place * len(days) + k + 1,
            week=place + 1,
            day=day,
            blocks=_blocks(week, first_week + place),
        )
        for place in range(n_weeks)
        for k, day in enumerate(days)
    )
    return HomePlan(
        cue=cue.strip(),
        criterion=criterion.strip(),
        place=week.place,
        minutes=week.minutes,
        n_weeks=n_weeks,
        sessions=sessions,
        rules=tuple(RULES[key] for key in (RULES if week.place != "no_club" else _WITHOUT_BALL)),
        notes=_notes(week, days, sessions),
        cautions=tuple(cautions),
    )


def spread_days(days: Sequence[int]) -> tuple[int, ...]:
    """Of the days there are, at most four, as far apart as they can be over the weeks.

    Examples
    --------
    >>> spread_days([0, 1, 2, 3, 4, 5, 6]), spread_days([5, 6])
    ((0, 2, 4, 6), (5, 6))
    """
    known = sorted(set(days))
    n = min(len(known), MOST_SESSIONS_A_WEEK)

    def gaps(chosen: tuple[int, ...]) -> list[int]:
        turned = (*chosen[1:], chosen[0] + 7)
        return sorted(later - day for day, later in zip(chosen, turned, strict=True))

    # The smallest gap counts most; of equals the one that begins soonest, then the evenest.
    return max(combinations(known, n), key=lambda chosen: (gaps(chosen), -chosen[0], chosen[1:]))


def balls_a_session(week: Week) -> int:
    """Balls of a session: what there is, what there is time for, and no more than help.

    Examples
    --------
    >>> balls_a_session(Week(days=(0,), minutes=20, balls=100, place="range"))
    30
    """
    return min(week.balls, int(week.minutes * 60.0 / SECONDS_A_BALL), MOST_BALLS)


def _check(week: Week, n_weeks: int, first_week: int) -> None:
    if not week.days or not set(week.days) <= set(range(7)):
        raise OutOfRangeError(
            f"The days {list(week.days)} are no days of a week.",
            fix="Name one day or more, 0 for Monday to 6 for Sunday.",
        )
    if not 10 <= week.minutes <= 180:
        raise OutOfRangeError(
            f"{week.minutes} minutes a session can't be planned.", fix="Give 10 to 180 minutes."
        )
    if not 0 <= week.balls <= 200:
        raise OutOfRangeError(
            f"{week.balls} balls a session can't be planned.", fix="Give 0 to 200 balls."
        )
    if week.place != "no_club" and balls_a_session(week) < FEWEST_BALLS:
        raise OutOfRangeError(
            f"{week.balls} balls in {week.minutes} minutes are too few for a session.",
            fix=f"Give {FEWEST_BALLS} balls or more, or choose a place without a ball.",
        )
    if not 1 <= n_weeks <= MOST_WEEKS or first_week < 1:
        raise OutOfRangeError(
            f"A plan of {n_weeks} weeks from stage {first_week} can't be made.",
            fix=f"Give 1 to {MOST_WEEKS} weeks, and a stage of 1 or more.",
        )


def _blocks(week: Week, stage: int) -> tuple[HomeBlock, ...]:
    if week.place == "no_club":
        return _swings(week.minutes)
    n = balls_a_session(week)
    ends = n if n >= 30 else 2 * (n // 4)
    warm = test = WARM_UP_BALLS if ends == n else ends // 2
    left = n - warm - test
    most = MOST_CUE_BLOCKS if stage < MIXED_FROM_WEEK else MOST_CUE_BLOCKS // 2
    n_cue = min(most, max(left // CUE_BALLS, 1))
    cue = [min(CUE_BALLS, left - k * CUE_BALLS) for k in range(n_cue)]
    mixed = left - sum(cue) if stage >= MIXED_FROM_WEEK else 0
    words = _CUE_WORDS[week.place == "range"]
    blocks = [_block("warm_up", warm, _WARM_UP_WORDS)]
    blocks += [_block("cue", balls, words, with_cue=True, with_numbers=True) for balls in cue]
    if mixed:
        words = _MIXED_WORDS[week.place == "range"]
        blocks.append(_block("mixed", mixed, words, with_cue=True, with_numbers=True))
    blocks.append(_block("test", test, _TEST_WORDS))
    return tuple(blocks)


_WARM_UP_WORDS = noted("Easy balls, short clubs first. Nothing counts yet.")
_CUE_WORDS = {
    True: noted(
        "With the cue; a new target for each. Look at a number only after you have guessed it, and "
        "at most every second ball. Count the balls that met the criterion."
    ),
    False: noted(
        "With the cue; a new club for each. Look at a number only after you have guessed it, and "
        "at most every second ball. Count the balls that met the criterion."
    ),
}
"""At the range, and where there is no target to choose."""
_MIXED_WORDS = {
    True: noted("With the cue; another club or target after every ball or two. Count as before."),
    False: noted("With the cue; another club after every ball or two. Count as before."),
}
_TEST_WORDS = noted("No cue, no numbers: just hit them. Count them, and write it down.")
_EASY_SWINGS = noted("Loosen up: easy half swings, without a ball.")
_REHEARSE = noted(
    "Slow swings with the cue, without a ball. See the flight before each. Then rest."
)


def _block(
    kind: BlockKind, n: int, words: str, *, with_cue: bool = False, with_numbers: bool = False
) -> HomeBlock:
    return HomeBlock(kind=kind, n=n, with_cue=with_cue, with_numbers=with_numbers, words=words)


def _swings(minutes: int) -> tuple[HomeBlock, ...]:
    """Rehearsals without a ball: few, slow, with pauses; nothing to count."""
    n = min(MOST_CUE_BLOCKS, max(minutes // 5 - 1, 1))
    easy = _block("swings", CUE_BALLS, _EASY_SWINGS)
    return (easy, *(_block("swings", CUE_BALLS, _REHEARSE, with_cue=True) for _ in range(n)))


def _notes(week: Week, days: Sequence[int], sessions: Sequence[HomeSession]) -> tuple[Message, ...]:
    notes = []
    if len(days) < 3:
        notes.append(Message(_FEW_DAYS))
    if len(set(week.days)) > len(days):
        notes.append(Message(_DAYS_USED, {"n": len(days)}))
    if week.place == "no_club":
        notes.append(Message(_NO_COUNT))
        return tuple(notes)
    most = max(session.n_balls for session in sessions)
    if most < week.balls:
        notes.append(Message(_BALLS_USED, {"most": most, "all": week.balls}))
    in_a_week = most * len(days)
    if week.usual_balls is not None and in_a_week > JUMP_SHARE * max(week.usual_balls, JUMP_BALLS):
        notes.append(Message(_LOAD_RISES, {"n": in_a_week, "usual": week.usual_balls}))
    return tuple(notes)


_FEW_DAYS = noted(
    "Fewer than three days a week: three or four short ones would serve better than one or two "
    "long ones (inference)."
)
_DAYS_USED = noted("{n} of the days are used, as far apart as they can be (inference).")
_NO_COUNT = noted("Without a ball nothing can be counted: the test waits for the next lesson.")
_BALLS_USED = noted(
    "At most {most} of {all} balls are used: no study shows that more help, and tired balls teach "
    "a tired swing (house rule)."
)
_LOAD_RISES = noted(
    "About {n} balls a week come to the usual {usual}: build up over two or three weeks, and stop "
    "at any pain (house rule)."
)
JUMP_SHARE = 1.5
"""A week with half as many balls again as before is warned of. House rule, no source."""
JUMP_BALLS = 40
"""Below so many balls a week nothing is warned of. House rule, no source."""
EASE_BELOW, HARDEN_ABOVE, FEWEST_COUNTED = 0.5, 0.8, 10
"""Shares that met the criterion, and balls that must be counted. Rule of thumb."""

Next = Literal["ease", "stay", "harden", "count_more"]
NEXT_WORDS: Mapping[Next, str] = {
    "ease": noted(
        "Under half met it: make it easier. A larger target, a shorter swing, or slower."
    ),
    "stay": noted("Between a half and four in five met it: stay there."),
    "harden": noted(
        "More than four in five met it: harder now. A smaller target, or swap more often."
    ),
    "count_more": noted("Too few balls are counted to say."),
}


def next_difficulty(n_met: int, n_counted: int) -> Next:
    """Easier, the same, or harder, by how many balls met the criterion. Rule of thumb.

    Parameters
    ----------
    n_met, n_counted
        Balls that met the criterion, of those that were counted.

    Raises
    ------
    OutOfRangeError
        If more met it than were counted.

    Examples
    --------
    >>> next_difficulty(4, 10), next_difficulty(7, 10), next_difficulty(17, 20)
    ('ease', 'stay', 'harden')
    """
    if not 0 <= n_met <= n_counted:
        raise OutOfRangeError(
            f"{n_met} of {n_counted} balls can't have met it.",
            fix="Give at most as many balls as were counted.",
        )
    if n_counted < FEWEST_COUNTED:
        return "count_more"
    share = n_met / n_counted
    return "ease" if share < EASE_BELOW else "harden" if share > HARDEN_ABOVE else "stay"


def load_jump(balls_by_week: Sequence[int]) -> str | None:
    """A warning where the last week has far more balls than those before it; None otherwise.

    Parameters
    ----------
    balls_by_week
        Full balls of each week, the oldest first.

    Examples
    --------
    >>> load_jump([100, 110, 90]) is None
    True
    >>> load_jump([100, 100, 220])
    '220 balls this week after about 100: that is a jump. Go back, and build up (house rule).'
    """
    before = balls_by_week[:-1][-4:]
    if not before:
        return None
    usual, last = sum(before) / len(before), balls_by_week[-1]
    if last <= JUMP_SHARE * max(usual, JUMP_BALLS):
        return None
    return say(
        "{last} balls this week after about {usual}: that is a jump. Go back, and build up "
        "(house rule).",
        last=last,
        usual=f"{usual:.0f}",
    )
