"""The walk from rules to a proven scheme."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from types import MappingProxyType

import numpy as np

from palette.demands import Rule
from palette.errors import InputError, NoScheme, Stopped
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

__all__ = ["begin", "check_wishes", "meet_aims", "scheme_of", "solve"]

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

    Returns
    -------
    Scheme

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
    wanted = check_wishes(survey, rules, aims)
    levels: list[Level] = []
    with begin(survey, rules, clock=clock, seed=seed, on_progress=on_progress) as standing:
        stopped = meet_aims(standing, wanted, levels)
    proven = not stopped and all(level.proven for level in levels)
    restated = restate(survey, rules, scheme_of(survey, standing.best), levels, wanted)
    proof = Proof(
        status="optimal" if proven else "feasible",
        levels=restated,
        engine=engine_name(),
        seed=seed,
        seconds=clock.seconds,
    )
    return scheme_of(survey, standing.best, proof)


def check_wishes(survey: Survey, rules: Sequence[Rule], aims: Sequence[str | Aim]) -> tuple[Aim, ...]:
    """Return the aims, preferences first where a rule is preferred and they have no place yet.

    Raises
    ------
    InputError
        A rule cannot be used on this panel, or an aim is unknown.
    """
    wanted = read_aims(aims)
    InputError.gather(fault for rule in rules for fault in rule.faults(survey))
    if any(rule.strength == "prefer" for rule in rules) and all(aim.name != PREFERENCES for aim in wanted):
        return (Aim(name=PREFERENCES), *wanted)
    return wanted


@contextmanager
def begin(
    survey: Survey, rules: Sequence[Rule], *, clock: Clock, seed: int, on_progress: OnProgress
) -> Iterator[Standing]:
    """Give the search its first scheme.

    Raises
    ------
    NoScheme
        There is none, or none was found within the limits.
    """
    on_progress(Step(room="solving", done=0, total=0, note="gathering the rules"))
    formula = write_formula(build_model(survey, rules), seed=seed)
    apart = tell_apart(formula)
    with Engine(formula, clock) as engine:
        standing = Standing(
            survey=survey,
            model=formula.model,
            formula=formula,
            engine=engine,
            clock=clock,
            on_progress=on_progress,
            best=np.zeros(len(survey.panel.sections), np.int64),
        )
        answer = standing.ask(apart)
        if answer is None:
            told = f"No scheme for {survey.panel.name} was found within the limits, and none was ruled out."
            raise NoScheme(told)
        if not answer:
            raise no_scheme(survey, rules)
        yield standing


def meet_aims(standing: Standing, wanted: Sequence[Aim], levels: list[Level]) -> bool:
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


def scheme_of(survey: Survey, found: Ints, proof: Proof | None = None) -> Scheme:
    """Return paint numbers as a scheme."""
    paints = survey.appearance.paints
    painted = {section: paints[p] for section, p in zip(survey.panel.ids, found.tolist(), strict=True)}
    return Scheme(paint_of=MappingProxyType(painted), proof=proof)
