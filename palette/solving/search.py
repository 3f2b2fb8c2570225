"""The walk from rules to a proven scheme."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from types import MappingProxyType

from palette.demands import Rule
from palette.errors import InputError, Stopped
from palette.progress import OnProgress, Step, silent
from palette.scheme import Level, Proof, Scheme
from palette.solving.aims import DEFAULT_AIMS, PREFERENCES, Aim, read_aims
from palette.solving.balance import even_areas, even_counts
from palette.solving.clauses import write_formula
from palette.solving.collision import no_scheme
from palette.solving.confirming import restate
from palette.solving.contrast import sharpen
from palette.solving.engine import Engine, engine_name
from palette.solving.formula import Ints
from palette.solving.gathering import build_model
from palette.solving.limits import Clock, Limits
from palette.solving.preferences import meet_preferences
from palette.solving.repeats import spread_repeats
from palette.solving.standing import Standing
from palette.solving.symmetry import tell_apart
from palette.solving.weakest import strengthen
from palette.survey import Survey

__all__ = ["solve"]

_MEET = {
    PREFERENCES: meet_preferences,
    "weakest-pair": strengthen,
    "repeats": spread_repeats,
    "balance": even_counts,
    "areas": even_areas,
    "contrast": sharpen,
}


def solve(
    survey: Survey,
    rules: Sequence[Rule],
    *,
    aims: Sequence[str | Aim] = DEFAULT_AIMS,
    limits: Limits | None = None,
    seed: int = 0,
    on_progress: OnProgress = silent,
) -> Scheme:
    """Return the scheme that keeps every rule and meets the aims best, with its proof.

    Parameters
    ----------
    survey : Survey
    rules : sequence of Rule
    aims : sequence of str or Aim
        What to improve once the rules are kept, most important first; see `AIMS`. A name may
        carry a tolerance: ``"weakest-pair within 2"``.
    limits : Limits
        When to stop; what is reached by then is returned, with a bound instead of a proof.
    seed : int
        The same survey, rules, aims and seed give the same scheme, unless seconds are limited.
    on_progress : callable
        Told of each step. Raising `Stopped` in it, or pressing Ctrl-C, ends the search with the
        best scheme so far, if there is one.

    Raises
    ------
    InputError
        A rule cannot be used on this panel, or an aim is unknown.
    NoScheme
        The rules cannot all be kept, or no scheme was found within the limits.
    Stopped
        The caller stopped before there was any scheme.
    Disagreement
        The checker does not confirm what the engine found: a fault of palette's own.
    """
    clock = Clock(limits or Limits())
    wanted = read_aims(aims)
    InputError.gather(fault for rule in rules for fault in rule.faults(survey))
    if any(rule.strength == "prefer" for rule in rules) and all(aim.name != PREFERENCES for aim in wanted):
        wanted = (Aim(name=PREFERENCES), *wanted)
    on_progress(Step(room="solving", done=0, total=0, note="gathering the rules"))
    formula = write_formula(build_model(survey, rules), seed=seed)
    apart = tell_apart(formula)
    levels: list[Level] = []
    with Engine(formula, clock) as engine:
        standing = Standing(
            survey=survey,
            model=formula.model,
            formula=formula,
            engine=engine,
            clock=clock,
            on_progress=on_progress,
            best=_first(survey, rules, engine, apart),
        )
        stopped = _meet_all(standing, wanted, levels)
    proof = Proof(
        status="optimal" if not stopped and all(level.proven for level in levels) else "feasible",
        levels=tuple(levels),
        engine=engine_name(),
        seed=seed,
        seconds=clock.seconds,
    )
    restated = restate(survey, rules, scheme_of(survey, standing.best, None), levels, wanted)
    return scheme_of(survey, standing.best, replace(proof, levels=restated, seconds=clock.seconds))


def _first(survey: Survey, rules: Sequence[Rule], engine: Engine, apart: list[int]) -> Ints:
    found = engine.find(apart)
    if found is None:
        raise no_scheme(survey, rules)
    return found


def _meet_all(standing: Standing, wanted: Sequence[Aim], levels: list[Level]) -> bool:
    """Meet the aims in turn; return whether the caller stopped it."""
    for aim in wanted:
        try:
            standing.pay_debt()
            level = _MEET[aim.name](standing, aim)
        except (Stopped, KeyboardInterrupt):
            return True
        if level is not None:
            levels.append(level)
    return False


def scheme_of(survey: Survey, found: Ints, proof: Proof | None) -> Scheme:
    """Return paint numbers as a scheme."""
    paints = survey.appearance.paints
    painted = {section: paints[p] for section, p in zip(survey.panel.ids, found.tolist(), strict=True)}
    return Scheme(paint_of=MappingProxyType(painted), proof=proof)
