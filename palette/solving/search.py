"""The walk from rules to a proven scheme."""

from __future__ import annotations

from collections.abc import Sequence
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from palette.demands import Rule, check_scheme
from palette.errors import Disagreement, InputError
from palette.progress import OnProgress, Step, silent
from palette.scheme import Level, Proof, Scheme
from palette.solving.clauses import write_formula
from palette.solving.collision import no_scheme
from palette.solving.engine import Engine, engine_name
from palette.solving.limits import Clock, Limits
from palette.solving.model import build_model
from palette.solving.symmetry import tell_apart
from palette.solving.weakest import AIM as WEAKEST_PAIR
from palette.solving.weakest import strengthen
from palette.survey import Survey

__all__ = ["AIMS", "solve"]

AIMS = (WEAKEST_PAIR,)


def solve(
    survey: Survey,
    rules: Sequence[Rule],
    *,
    aims: Sequence[str] = AIMS,
    limits: Limits | None = None,
    seed: int = 0,
    on_progress: OnProgress = silent,
) -> Scheme:
    """Return the scheme that keeps every rule and meets the aims best, with its proof.

    Parameters
    ----------
    survey : Survey
    rules : sequence of Rule
    aims : sequence of str
        What to improve once the rules are kept, most important first; see `AIMS`.
    limits : Limits
    seed : int
        The same survey, rules and seed give the same scheme.
    on_progress : callable
        Told of each step.

    Raises
    ------
    InputError
        A rule cannot be used on this panel, or an aim is unknown.
    NoScheme
        The rules cannot all be kept.
    Disagreement
        The checker does not confirm what the engine found: a fault of palette's own.
    """
    clock = Clock(limits or Limits())
    InputError.gather(_faults(survey, rules, aims))
    on_progress(Step(room="solving", done=0, total=0, note="gathering the rules"))
    formula = write_formula(build_model(survey, rules), seed=seed)
    apart = tell_apart(formula)
    levels: list[Level] = []
    with Engine(formula) as engine:
        found = engine.find(apart)
        if found is None:
            raise no_scheme(survey, rules)
        if WEAKEST_PAIR in aims:
            found, level = strengthen(formula, engine, found, on_progress)
            levels += [level] if level is not None else []
    proof = Proof(
        status="optimal" if all(level.proven for level in levels) else "feasible",
        levels=tuple(levels),
        engine=engine_name(),
        seed=seed,
        seconds=clock.seconds,
    )
    scheme = _scheme_of(survey, found, proof)
    _confirm(survey, rules, scheme)
    return scheme


def _faults(survey: Survey, rules: Sequence[Rule], aims: Sequence[str]) -> list[InputError]:
    faults = [fault for rule in rules for fault in rule.faults(survey)]
    for aim in aims:
        if aim not in AIMS:
            faults.append(InputError("aims", f'there is no aim "{aim}"', f"use one of: {', '.join(AIMS)}"))
    return faults


def _scheme_of(survey: Survey, found: NDArray[np.int64], proof: Proof) -> Scheme:
    paints = survey.appearance.paints
    painted = {section: paints[p] for section, p in zip(survey.panel.ids, found.tolist(), strict=True)}
    return Scheme(paint_of=MappingProxyType(painted), proof=proof)


def _confirm(survey: Survey, rules: Sequence[Rule], scheme: Scheme) -> None:
    """Hold the engine's answer against the checker, which shares no code with the encodings."""
    verdict = check_scheme(survey, rules, scheme)
    if verdict.breaches:
        raise Disagreement(f"The engine's scheme breaks a rule: {verdict.breaches[0].sentence}")
    for level in scheme.proof.levels if scheme.proof else ():
        if level.aim == WEAKEST_PAIR:
            seen = verdict.weakest.difference if verdict.weakest else None
            if seen is None or abs(seen - level.value) > 1e-9:
                told = f"The engine says the weakest pair is {level.value}, the checker {seen}."
                raise Disagreement(told)
