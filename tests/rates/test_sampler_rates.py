"""Fifty lessons against an independent sampler: the long version of tests/outside/test_sampler."""

import pytest

from tests.outside.sampler import draw_changes
from tests.outside.test_sampler import check_agreement, varied_lessons


@pytest.mark.rates
def test_fifty_lessons_agree_with_the_sampler() -> None:
    lessons = varied_lessons(50, seed=51)
    check_agreement(lessons, draw_changes(lessons, seed=2))
