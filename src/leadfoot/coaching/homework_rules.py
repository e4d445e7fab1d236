"""What a plan for home rests on: each rule with its label and where it comes from.

Abstracts and excerpts were read, not the full papers, where nothing else is said.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from leadfoot.language.say import noted

Label = Literal["inference", "rule of thumb", "house rule"]
"""Inferred from studies of other tasks; what teachers go by; our own choice."""
LABELS: tuple[str, ...] = (noted("inference"), noted("rule of thumb"), noted("house rule"))
"""The same, marked for the catalogue of texts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One rule: its words for the student, its label, and its source."""

    key: str
    label: Label
    text: str
    source: str


def _rules(*rules: Rule) -> Mapping[str, Rule]:
    return MappingProxyType({rule.key: rule for rule in rules})


RULES: Mapping[str, Rule] = _rules(
    Rule(
        key="spacing",
        label="inference",
        text=noted("Three or four sessions a week, on days apart, for three or four weeks."),
        source=noted(
            "sessions over days beat one day at a test 24 hours later (Shea and others, Human "
            "Movement Science 19, 739, 2000); best gap grows with the time to the test (Cepeda and "
            "others, Psychological Bulletin 132, 354, 2006); no trial of the full swing was found"
        ),
    ),
    Rule(
        key="dose",
        label="inference",
        text=noted("30 to 60 balls a session: 10 to warm up, 10 as a test at the end."),
        source=noted(
            "studied doses: 100 to 270 full or pitch shots in all; no dose-response trial of "
            "the full swing was found"
        ),
    ),
    Rule(
        key="cue_blocks",
        label="inference",
        text=noted(
            "Two to four short blocks of five balls with one cue, about something outside the body."
        ),
        source=noted(
            "pushing against the ground beat an inward cue after three days (An, Wulf and Kim, "
            "Journal of Motor Learning and Development 1, 2013); over the whole literature the "
            "effect is about nothing (McKay and others, Psychological Bulletin 150, 1347, 2024)"
        ),
    ),
    Rule(
        key="mixing",
        label="inference",
        text=noted("From the second week change club or target every ball or two."),
        source=noted(
            "transfer 0.55 standard deviations better, in applied settings 0.34 and not shown "
            "(Czyz and others, Frontiers in Psychology, 2024); in sport the net is unclear (Ammar "
            "and others, Educational Psychology Review, 2024)"
        ),
    ),
    Rule(
        key="feedback",
        label="inference",
        text=noted("Guess before you look, and look at numbers after at most half of the balls."),
        source=noted(
            "gains under guided feedback are lost at later tests (Journal of Motor Behavior 53, "
            "385, 2021); complex tasks may bear more (Sigrist and others, Psychonomic Bulletin and "
            "Review 20, 21, 2013)"
        ),
    ),
    Rule(
        key="test",
        label="inference",
        text=noted("The last balls are hit without the cue and without numbers, and counted."),
        source=noted(
            "a later test without help tells learning from a good day (Kantak and Winstein, "
            "Behavioural Brain Research, 2012); taught golfers were worse at once and better after "
            "two weeks (Guadagnoli and others, 2002)"
        ),
    ),
    Rule(
        key="difficulty",
        label="rule of thumb",
        text=noted(
            "Easier when under about half meet the criterion, harder above about four in five."
        ),
        source=noted(
            "difficulty matched to skill (Guadagnoli and Lee, 2004, read second-hand); the two "
            "numbers are a rule of thumb"
        ),
    ),
    Rule(
        key="load",
        label="house rule",
        text=noted("Not more than half as many balls again as in the weeks before."),
        source=noted("no source; our own choice"),
    ),
)
"""All rules, in the order in which a session meets them."""
