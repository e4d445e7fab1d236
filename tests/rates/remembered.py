"""Invented students whose spread and whose day-to-day wander are known."""

import math
from dataclasses import dataclass

import numpy as np

from leadfoot.evidence.judgement import UsualSpread
from leadfoot.evidence.memory import Memory, PastLesson, remember
from leadfoot.evidence.usual import BALLS_PER_LOG, DAY_DOUBT, STUDENT_DOUBT

START = UsualSpread(sd=8.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Student:
    """How one invented student strays, and what is remembered of it."""

    own_sd: float
    wander: float
    memory: Memory

    @property
    def off(self) -> float:
        """How far the remembered spread lies from the true one, in its own doubts."""
        return math.log(self.memory.usual.sd / self.own_sd) / own_doubt(self.memory.usual)

    @property
    def wander_in_range(self) -> bool:
        """Whether the true day-to-day wander lies in the range that is given."""
        found = self.memory.day_to_day
        assert found is not None
        return found.low <= self.wander <= found.high


def own_doubt(usual: UsualSpread) -> float:
    """Standard deviation of the logarithm of the student's own spread, days apart."""
    return math.sqrt(1.0 / (1.0 / STUDENT_DOUBT**2 + usual.n_shots / BALLS_PER_LOG))


def student(rng: np.random.Generator, *, n_lessons: int, wander_sd: float | None = None) -> Student:
    """One student of whom all is as the memory assumes; the wander is drawn where none is given."""
    own_sd = START.sd * math.exp(STUDENT_DOUBT * rng.standard_normal())
    share = abs(rng.standard_normal()) if wander_sd is None else wander_sd
    lessons = []
    for _ in range(n_lessons):
        day_sd = own_sd * math.exp(DAY_DOUBT * rng.standard_normal())
        level = 200.0 + share * own_sd * rng.standard_normal()
        before, after = (level + _balls(rng, 8, day_sd) for _ in range(2))
        lessons.append(PastLesson(age_days=0.0, blocks=(before, after + 9.0), baseline=before))
    return Student(
        own_sd=own_sd, wander=share * own_sd, memory=remember(lessons, start=START, aim="more")
    )


def _balls(rng: np.random.Generator, n: int, sd: float) -> np.ndarray:
    solid = sd * rng.standard_normal(n)
    mishit = -2.0 * sd + 4.0 * sd * rng.standard_normal(n)
    return np.where(rng.random(n) < 0.08, mishit, solid)
