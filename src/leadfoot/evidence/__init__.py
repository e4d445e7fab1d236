"""Evidence: what a handful of shots can and cannot tell.

Made for lessons of golf, usable on any numbers that come ball by ball, or try by try: plain arrays
go in, small frozen records come out, in the units in which the arrays were (SI inside Leadfoot). No
files, no clock, no hidden random state: the same numbers always give the same answer. The page
docs/guide/evidence-api.md walks through it; other people's methods are in
`leadfoot.evidence.second`.
"""

from leadfoot.evidence.change import LevelChange, level_change
from leadfoot.evidence.dispersion import ShotPattern, shot_pattern
from leadfoot.evidence.drawn_order import DrawnOrder, drawn_order, possible_orders
from leadfoot.evidence.ellipse import Ellipse, ellipse_around, mean_factor, prediction_factor
from leadfoot.evidence.judge import judge
from leadfoot.evidence.judgement import Judgement, LessonShots, Track, UsualSpread
from leadfoot.evidence.lesson import Seen
from leadfoot.evidence.memory import learn_usual_spread
from leadfoot.evidence.mishits import MishitChange, mishit_change
from leadfoot.evidence.misses import average_miss
from leadfoot.evidence.pattern import PatternChange, pattern_change
from leadfoot.evidence.plan import LessonPlan, plan_lesson
from leadfoot.evidence.retention import BlockLevel, Retention, block_level, retention
from leadfoot.evidence.robust import Cloud, robust_cloud
from leadfoot.evidence.settings import JudgeSettings
from leadfoot.evidence.share import Share, posterior_share, wilson_share
from leadfoot.evidence.solid import mishit_odds
from leadfoot.evidence.usual import usual_spread
from leadfoot.evidence.what_works import Tries, WhatWorks, what_works

__all__ = [
    "BlockLevel",
    "Cloud",
    "DrawnOrder",
    "Ellipse",
    "JudgeSettings",
    "Judgement",
    "LessonPlan",
    "LessonShots",
    "LevelChange",
    "MishitChange",
    "PatternChange",
    "Retention",
    "Seen",
    "Share",
    "ShotPattern",
    "Track",
    "Tries",
    "UsualSpread",
    "WhatWorks",
    "average_miss",
    "block_level",
    "drawn_order",
    "ellipse_around",
    "judge",
    "learn_usual_spread",
    "level_change",
    "mean_factor",
    "mishit_change",
    "mishit_odds",
    "pattern_change",
    "plan_lesson",
    "possible_orders",
    "posterior_share",
    "prediction_factor",
    "retention",
    "robust_cloud",
    "shot_pattern",
    "usual_spread",
    "what_works",
    "wilson_share",
]
