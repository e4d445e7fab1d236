import pytest

from leadfoot.figures.look import DAY, FLAG, INK, NIGHT, OKABE_ITO, PRINT, Look, contrast

GROUNDS = {"day": DAY, "night": NIGHT, "print": PRINT}
TEXT, MARK = 4.5, 3.0  # WCAG 2.2, success criteria 1.4.3 (AA) and 1.4.11


@pytest.mark.parametrize(
    ("one", "other", "expected"),
    [
        ("#000000", "#ffffff", 21.0),  # WCAG 2.2, definition of contrast ratio: 1 to 21
        ("#ffffff", "#ffffff", 1.0),
        ("#777777", "#ffffff", 4.48),  # the usual example of a grey that just fails; from memory
    ],
)
def test_contrast_follows_the_guideline(one: str, other: str, expected: float) -> None:
    assert contrast(one, other) == pytest.approx(expected, abs=0.005)
    assert contrast(other, one) == contrast(one, other)


@pytest.mark.parametrize("look", GROUNDS.values(), ids=GROUNDS)
@pytest.mark.parametrize("part", ["ink", "quiet"])
def test_text_can_be_read_on_its_ground(look: Look, part: str) -> None:
    assert contrast(getattr(look, part), look.ground) >= TEXT


@pytest.mark.parametrize("look", GROUNDS.values(), ids=GROUNDS)
@pytest.mark.parametrize("part", ["before", "after", "target"])
def test_marks_stand_out_from_their_ground(look: Look, part: str) -> None:
    assert contrast(getattr(look, part), look.ground) >= MARK


@pytest.mark.parametrize("look", GROUNDS.values(), ids=GROUNDS)
def test_what_is_compared_has_colours_that_everyone_tells_apart(look: Look) -> None:
    assert {look.before, look.after} <= set(OKABE_ITO.values())
    assert look.before != look.after


def test_the_sheet_prints_its_labels_and_its_stamp_readably() -> None:
    for colour in (INK, "#566058", "#2f6b45", FLAG):
        assert contrast(colour, PRINT.ground) >= TEXT
