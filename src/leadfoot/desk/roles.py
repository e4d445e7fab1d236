"""Which block is "before" and which "with the change": said by the coach, or guessed."""

import re
from collections.abc import Mapping, Sequence

from leadfoot.desk.records import Role
from leadfoot.errors import InputError

# Words that coaches write at the head of a block (common practice, no source). A guess from them is
# always shown and can be changed; it decides nothing by itself.
_BEFORE = re.compile(
    r"\b(before|baseline|without|no cue|usual|normal|own|old|start|first|pre|a\d?"
    r"|antes|sin|avant|sans|vorher|ohne|före|utan)\b|前|전",
    re.IGNORECASE,
)
_WITH = re.compile(
    r"\b(after|with|cue|new|change|changed|drill|aid|push|press|feel|post|b\d?"
    r"|después|con|après|avec|nachher|mit|efter|med)\b|後|후",
    re.IGNORECASE,
)
_NEITHER = re.compile(
    r"\b(warm[ -]?up|warming|loosen\w*|calentamiento|échauffement|aufwärmen|uppvärmning)\b"
    r"|ウォーム|워밍",
    re.IGNORECASE,
)


def guess_roles(labels: Sequence[str]) -> Mapping[str, Role]:
    """Guess what each block is from its label and its place.

    Parameters
    ----------
    labels
        Labels of the blocks in the order in which they were hit; a label may come back (A-B-A).

    Returns
    -------
    Mapping of label to role
        Warm-up blocks are neither. Where the words do not tell, the first block is "before" and
        all that follow are "with the change".

    Examples
    --------
    >>> guess_roles(["warm-up", "before", "soft block under the foot", "before"])
    {'warm-up': 'other', 'before': 'before', 'soft block under the foot': 'with_change'}
    """
    distinct = list(dict.fromkeys(labels))
    roles: dict[str, Role] = {label: _by_words(label) or "other" for label in distinct}
    open_ones = [label for label in distinct if _by_words(label) is None]
    if "before" not in roles.values() and open_ones:
        roles[open_ones.pop(0)] = "before"
    elif "before" not in roles.values():
        _promote(roles, "with_change", "before")
    for label in open_ones:
        roles[label] = "with_change"
    if "with_change" not in roles.values():
        _promote(roles, "before", "with_change", last=True)
    return roles


def roles_for(
    labels: Sequence[str], *, before: str | None, after: str | None
) -> Mapping[str, Role]:
    """Roles as the coach said them; what was not said is guessed.

    Raises
    ------
    InputError
        If a label does not occur, or there are fewer than two blocks to compare.

    Examples
    --------
    >>> roles_for(["x", "y", "z"], before="x", after="z")
    {'x': 'before', 'y': 'other', 'z': 'with_change'}
    """
    distinct = list(dict.fromkeys(labels))
    known = ", ".join(repr(label) for label in distinct) or "none"
    for wanted in (before, after):
        if wanted is not None and wanted not in distinct:
            raise InputError(
                f"No block is called {wanted!r}.", fix=f"The blocks here are: {known}."
            )
    if len(distinct) < 2:
        raise InputError(
            f"There is nothing to compare: the blocks here are {known}.",
            fix="Name the blocks in a column (--block), or give --before-rows and --after-rows.",
        )
    if before is not None and before == after:
        raise InputError(
            f"Block {before!r} can't be compared with itself.", fix=f"Choose two of: {known}."
        )
    if before is None and after is None:
        return guess_roles(labels)
    if before is not None and after is not None:
        return {label: _said(label, before, after) for label in distinct}
    return _with_one_said(distinct, before, after)


def _said(label: str, before: str, after: str) -> Role:
    if label == before:
        return "before"
    return "with_change" if label == after else "other"


def _with_one_said(
    distinct: Sequence[str], before: str | None, after: str | None
) -> Mapping[str, Role]:
    """One side was named: all the other blocks but warm-up are the other side."""
    said: tuple[str | None, Role, Role] = (
        (before, "before", "with_change")
        if before is not None
        else (after, "with_change", "before")
    )
    label_said, its_role, other_role = said
    return {
        label: its_role
        if label == label_said
        else ("other" if _NEITHER.search(label) else other_role)
        for label in distinct
    }


def _by_words(label: str) -> Role | None:
    if _NEITHER.search(label):
        return "other"
    before, with_change = bool(_BEFORE.search(label)), bool(_WITH.search(label))
    if before != with_change:
        return "before" if before else "with_change"
    return None


def _promote(roles: dict[str, Role], old: Role, new: Role, *, last: bool = False) -> None:
    """Give the first (or last) label of one role another, as long as one is left over."""
    those = [label for label, role in roles.items() if role == old]
    if len(those) > 1:
        roles[those[-1] if last else those[0]] = new
