"""The engine's answer held against the checker and the measures, which share no code with it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from palette.demands import Rule, Verdict, check_scheme
from palette.errors import Disagreement
from palette.merits import Merits, measure_merits
from palette.scheme import Level, Scheme
from palette.solving.aims import PREFERENCES, Aim
from palette.survey import Survey

__all__ = ["restate"]

_BETTER_IS_LESS = (PREFERENCES, "balance", "areas")


def restate(
    survey: Survey, rules: Sequence[Rule], scheme: Scheme, levels: Sequence[Level], aims: Sequence[Aim]
) -> tuple[Level, ...]:
    """Return the levels with the values the finished wall shows.

    An aim's value may lie below its best by the tolerance it was given: the aims after it used it.

    Raises
    ------
    Disagreement
        A rule is broken, a level is worse than promised, or better than proven possible.
    """
    verdict = check_scheme(survey, rules, scheme)
    if verdict.breaches:
        raise Disagreement(f"The engine's scheme breaks a rule: {verdict.breaches[0].sentence}")
    merits = measure_merits(survey, scheme)
    within = {aim.name: aim.within for aim in aims}
    restated = []
    for level in levels:
        seen = _seen(level.aim, verdict, merits)
        sign = -1.0 if level.aim in _BETTER_IS_LESS else 1.0
        slack = 1e-6 * max(1.0, abs(level.value)) + 1e-5
        promised = sign * level.value - within[level.aim]
        if seen is None or sign * seen < promised - slack or sign * seen > sign * level.bound + slack:
            claim = f"{level.value:g}, at best {level.bound:g}"
            raise Disagreement(f"For {level.aim} the engine says {claim}; the checker says {seen}.")
        bound = min(level.bound, seen) if sign < 0 else max(level.bound, seen)
        restated.append(replace(level, value=seen, bound=bound))
    return tuple(restated)


def _seen(aim: str, verdict: Verdict, merits: Merits) -> float | None:
    measures = {
        PREFERENCES: float(len(verdict.missed)),
        "weakest-pair": merits.weakest,
        "repeats": merits.repeat_mm,
        "balance": float(merits.count_range),
        "areas": float(merits.largest_area_mm2),
        "contrast": merits.contrast,
    }
    return measures[aim]
