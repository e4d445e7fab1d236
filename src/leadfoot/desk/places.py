"""Where balls are hit: a few plain words, or a name of one's own."""

from collections.abc import Mapping

from leadfoot.errors import InputError

STUDIO = "studio"
"""Where a lesson is held unless somebody says otherwise."""
PLACES: Mapping[str, str] = {
    STUDIO: "in the studio",
    "range": "at the range",
    "course": "on the course",
    "net": "into a net",
    "indoors": "indoors elsewhere",
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
        raise InputError("The place has no name.", fix=f"Choose {', '.join(PLACES)}, or type one.")
    if len(said) > MOST_LETTERS:
        raise InputError(
            f"The name of the place has {len(said)} letters.", fix=f"Type at most {MOST_LETTERS}."
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
    return PLACES.get(place) or f"at {place}"


def same_place(one: str, other: str) -> bool:
    """Whether two places are one, however they are written.

    Examples
    --------
    >>> same_place("Hill Farm", "hill farm"), same_place("range", "studio")
    (True, False)
    """
    return one.casefold() == other.casefold()
