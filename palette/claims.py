"""The proof in a scheme file held against the scheme beside it.

A proof speaks of the scheme the engine found. Who edits the file, or copies a proof into it, has another
scheme; what the wall shows then tells the proof from a true one, as far as it can be told without
searching again.
"""

from __future__ import annotations

from collections.abc import Iterator

from palette.demands import Verdict
from palette.merits import Merits, measure_merits
from palette.scheme import Level, Proof, Scheme
from palette.solving.aims import AIM_UNITS, PREFERENCES
from palette.survey import Survey

__all__ = ["find_void_claims"]

_BETTER_IS_LESS = (PREFERENCES, "balance", "areas")


def find_void_claims(survey: Survey, scheme: Scheme, verdict: Verdict, proof: Proof) -> tuple[str, ...]:
    """Return what a proof says of a scheme and is not so, one sentence each; none where all may be true.

    Parameters
    ----------
    survey : Survey
    scheme : Scheme
    verdict : Verdict
        The checker's, of this scheme.
    proof : Proof
        As it stands in the scheme's file.

    Returns
    -------
    tuple of str
    """
    merits = measure_merits(survey, scheme)
    void = [told for level in proof.levels for told in _judge(level, verdict, merits)]
    if verdict.breaches:
        void.append("A scheme that was found keeps every rule; this one breaks one.")
    if proof.status == "optimal" and not all(level.proven for level in proof.levels):
        void.append('Its status is "optimal", but not every level is proven.')
    return tuple(void)


def _judge(level: Level, verdict: Verdict, merits: Merits) -> Iterator[str]:
    unit = AIM_UNITS.get(level.aim)
    if unit is None:
        yield f'There is no aim "{level.aim}".'
        return
    if level.unit != unit:
        yield f"For {level.aim} it reckons in {level.unit}; that aim is in {unit}."
    seen = _seen(level.aim, verdict, merits)
    if seen is None:
        yield f"For {level.aim} it says {level.value:g} {unit}; on this wall there is nothing to measure."
        return
    slack = 1e-6 * max(1.0, abs(seen))
    if abs(level.value - seen) > slack:
        yield f"For {level.aim} it says {level.value:g} {unit}; this scheme has {seen:g}."
    beyond = level.bound - seen if level.aim in _BETTER_IS_LESS else seen - level.bound
    if beyond > slack:
        told = f"For {level.aim} it says that no scheme gets past {level.bound:g} {unit}"
        yield f"{told}; this one has {seen:g}."


def _seen(aim: str, verdict: Verdict, merits: Merits) -> float | None:
    return {
        PREFERENCES: float(len(verdict.missed)),
        "weakest-pair": merits.weakest,
        "repeats": merits.repeat_mm,
        "balance": float(merits.count_range),
        "areas": float(merits.largest_area_mm2),
        "contrast": merits.contrast,
    }[aim]
