"""Where balls are hit: a few plain words, or a name of one's own."""

from collections.abc import Mapping

from leadfoot.errors import InputError
from leadfoot.language.say import noted, say

STUDIO = "studio"
"""Where a lesson is held unless somebody says otherwise."""
PLACES: Mapping[str, str] = {
    STUDIO: noted("in the studio"),
    "range": noted("at the range"),
    "course": noted("on the course"),
    "net": noted("into a net"),
    "indoors": noted("indoors elsewhere"),
}
"""Places that have a word, as pages say them. Our own choice."""
MOST_LETTERS = 60


def place_named(chosen: str, own: str = "") -> str:
    """A place as the book keeps it: one of `PLACES`, or a name.

    Parameters
    ----------
    chosen
        One of `PLACES`, or a name; what counts where nothing is in `own`.
    own
        A name of one's own, such as "Hill Farm"; one that means one of `PLACES` becomes it.

    Raises
    ------
    InputError
        If it has no letters, or too many.

    Examples
    --------
    >>> place_named("range"), place_named("range", " Hill  Farm "), place_named("", "On the course")
    ('range', 'Hill Farm', 'course')
    """
    said = " ".join((own.strip() or chosen).split())
    if not said:
        raise InputError(
            say("The place has no name."),
            fix=say("Choose {places}, or type one.", places=", ".join(PLACES)),
        )
    if len(said) > MOST_LETTERS:
        raise InputError(
            say("The name of the place has {n} letters.", n=len(said)),
            fix=say("Type at most {most}.", most=MOST_LETTERS),
        )
    plain = said.casefold()
    return next((key for key, words in PLACES.items() if plain in {key, words}), said)


def said_place(place: str) -> str:
    """A place as a sentence says it.

    Examples
    --------
    >>> said_place("range"), said_place("Hill Farm")
    ('at the range', 'at Hill Farm')
    """
    return say(PLACES[place]) if place in PLACES else say("at {place}", place=place)


def same_place(one: str, other: str) -> bool:
    """Whether two places are one, however they are written.

    Examples
    --------
    >>> same_place("Hill Farm", "hill farm"), same_place("range", "studio")
    (True, False)
    """
    return one.casefold() == other.casefold()
