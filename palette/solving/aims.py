"""What to improve once the rules are kept, most important first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from palette.errors import InputError

__all__ = ["AIMS", "AIM_UNITS", "DEFAULT_AIMS", "PREFERENCES", "Aim", "read_aims"]

PREFERENCES = "preferences"
"""As few breaches of preferred rules as can be; comes first of itself where a rule is preferred."""

AIM_UNITS = {
    PREFERENCES: "breaches",
    "weakest-pair": "CIEDE2000",
    "repeats": "mm",
    "balance": "sections",
    "areas": "mm2",
    "contrast": "CIEDE2000",
}

AIMS = {
    PREFERENCES: "preferred rules are broken in as few places as can be",
    "weakest-pair": "the two neighbours that look most alike differ as much as can be",
    "repeats": "sections of one paint stand as far apart as can be",
    "balance": "the most and the least used paint are on as nearly the same number of sections as can be",
    "areas": "the paint that covers most covers as little as can be",
    "contrast": "neighbours differ as much as can be on the whole, by the length of their borders",
}
"""What can be improved once the rules are kept, each in words."""

DEFAULT_AIMS = ("weakest-pair", "repeats", "balance", "contrast")


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """One aim, and how much of it may be given up.

    Parameters
    ----------
    name : str
        One of `AIMS`.
    within : float
        How much of its best value the aims after it may give up, in its unit (CIEDE2000, mm or
        sections).
    """

    name: str
    within: float = 0.0


def read_aims(given: Iterable[str | Aim], *, where: str = "aims") -> tuple[Aim, ...]:
    """Return aims from names, from ``"weakest-pair within 2"``, or as they are.

    Raises
    ------
    InputError
        An aim is unknown, stands twice, or its tolerance is not a number of at least 0.
    """
    aims: list[Aim] = []
    for item in given:
        aim = item if isinstance(item, Aim) else _read(item, where)
        if aim.name not in AIMS:
            raise InputError(where, f'there is no aim "{aim.name}"', f"use one of: {', '.join(AIMS)}")
        if any(other.name == aim.name for other in aims):
            raise InputError(where, f'the aim "{aim.name}" stands twice', "keep one of them")
        aims.append(aim)
    return tuple(aims)


def _read(text: str, where: str) -> Aim:
    name, joint, slack = text.partition(" within ")
    if not joint:
        return Aim(name=text.strip())
    try:
        within = float(slack)
    except ValueError:
        within = -1.0
    if not 0 <= within < float("inf"):
        mend = f'write it like "{name.strip()} within 2"'
        raise InputError(where, f'"{slack.strip()}" is not a tolerance of at least 0', mend)
    return Aim(name=name.strip(), within=within)
