"""Names of channels: which force or moment a label means, and whether the order is as it says."""

import re

from leadfoot.ground.channels import ROLES
from leadfoot.ground.recording import Remark

_EIGHT = re.compile(
    r"f\d?(x)[_ ]?\d?(12|34)|f\d?(y)[_ ]?\d?(14|23)|f\d?(z)[_ ]?(?:\d[_ ]?)?([1-4])"
)
_SIX = re.compile(r"(?:^|[^a-z])(?:\d)?([fmp])\d?[_ ]?(x|y|z)(?![a-z])")


def role_of(label: str, kind: int) -> str | None:
    """Tell which channel of a plate a label means, or None.

    Parameters
    ----------
    label
        The label as it stands.
    kind
        Type of the plate.

    Examples
    --------
    >>> role_of("F2z3", 3), role_of("Force.Fx1", 2), role_of("Moment.Mz2", 2), role_of("EMG", 2)
    ('fz3', 'fx', 'mz', None)
    """
    text = label.casefold()
    if kind == 3:
        found = _EIGHT.search(text)
        return None if found is None else "f" + "".join(part for part in found.groups() if part)
    short = _SIX.search(text)
    return None if short is None else short[1] + short[2]


def order_by_labels(
    channels: tuple[int, ...], labels: tuple[str, ...], kind: int, name: str
) -> tuple[tuple[int, ...], list[Remark]]:
    """Put the channels of a plate into the order of its type, where their labels say it is not so.

    Parameters
    ----------
    channels
        Places of the channels in the order of the file.
    labels
        Labels of all channels.
    kind
        Type of the plate.
    name
        Its name, for the remark.

    Examples
    --------
    >>> labels = ("Fz1", "Fz2", "Fz3", "Fz4", "Fx12", "Fx34", "Fy14", "Fy23")
    >>> order_by_labels(tuple(range(8)), labels, 3, "plate 1")[0]
    (4, 5, 6, 7, 0, 1, 2, 3)
    """
    wanted = ROLES[kind]
    told = [role_of(labels[channel], kind) for channel in channels]
    known = [(role, said) for role, said in zip(wanted, told, strict=True) if said in wanted]
    if all(role == said for role, said in known):
        return channels, []
    said_all = "labels " + ", ".join(labels[channel] for channel in channels)
    if sorted(filter(None, told)) == sorted(wanted):
        remark = Remark(
            kind="channel_order",
            weight="doubt",
            plate=name,
            text=f"The channels of {name} are not in the order of type {kind}: {said_all}. They "
            "are read by their labels.",
            fix="Check that the vertical force is the weight.",
        )
        return tuple(channels[told.index(role)] for role in wanted), [remark]
    remark = Remark(
        kind="channel_order",
        weight="fault",
        plate=name,
        text=f"The channels of {name} have the {said_all}, which do not fit type {kind}.",
        fix="Check FORCE_PLATFORM:CHANNEL and the labels in the laboratory's settings.",
    )
    return channels, [remark]
