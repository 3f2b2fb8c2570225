"""Other schemes that are as good where it counts, and really different."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from palette.demands import Rule
from palette.errors import Stopped
from palette.merits import Merits, measure_merits
from palette.progress import OnProgress, silent
from palette.scheme import Level, Scheme
from palette.solving.aims import DEFAULT_AIMS, Aim
from palette.solving.confirming import restate
from palette.solving.counting import cap_sum
from palette.solving.formula import Ints
from palette.solving.limits import Clock, Limits
from palette.solving.search import begin, check_wishes, meet_aims, scheme_of, solve
from palette.solving.standing import Standing
from palette.survey import Survey

__all__ = ["DEFAULT_DIFFERENCE", "Alternative", "difference_of", "find_alternatives"]

DEFAULT_DIFFERENCE = 1 / 3
"""Of the sections: fewer, and people take the second picture for the first. Judgement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """One of several schemes.

    Parameters
    ----------
    scheme : Scheme
    difference : float
        Least share of sections painted otherwise than in any scheme before it, 0 to 1, after the
        paints of one are renamed as well as can be, so that a mere swap counts as nothing.
    merits : Merits
    best_at : str
        What it does better than all the others, in words.
    """

    scheme: Scheme
    difference: float
    merits: Merits
    best_at: str


def find_alternatives(
    survey: Survey,
    rules: Sequence[Rule],
    many: int,
    *,
    aims: Sequence[str | Aim] = DEFAULT_AIMS,
    keep: int = 1,
    difference: float = DEFAULT_DIFFERENCE,
    limits: Limits | None = None,
    seed: int = 0,
    on_progress: OnProgress = silent,
) -> tuple[Alternative, ...]:
    """Return up to so many schemes, the best one first, the others different from all before.

    All reach the first `keep` aims as well as the best scheme does; the aims after those are
    given up for the difference. Fewer come back where there are no more.

    Parameters
    ----------
    survey : Survey
    rules : sequence of Rule
    many : int
        Schemes at most, the best among them.
    aims : sequence of str or Aim
        As in `solve`.
    keep : int
        Aims, from the first, that all reach.
    difference : float
        Share of the sections, 0 to 1, in which any two differ at least.
    limits : Limits or None
        When to stop, for each scheme.
    seed : int
        As in `solve`.
    on_progress : callable
        Told of each step.

    Returns
    -------
    tuple of Alternative

    Raises
    ------
    InputError, NoScheme, Disagreement
        As in `solve`.
    """
    best = solve(survey, rules, aims=aims, limits=limits, seed=seed, on_progress=on_progress)
    wanted = check_wishes(survey, rules, aims)[:keep]
    place = {paint: k for k, paint in enumerate(survey.appearance.paints)}
    schemes = [best]
    found = [np.array([place[best.paint_of[section]] for section in survey.panel.ids], np.int64)]
    levels: list[Level] = []
    clock = Clock(limits or Limits())
    with begin(survey, rules, clock=clock, seed=seed, on_progress=on_progress) as standing:
        if not meet_aims(standing, wanted, levels):
            standing.pay_debt()
            while len(found) < many and (other := _another(standing, found, difference)) is not None:
                scheme = scheme_of(survey, other)
                restate(survey, rules, scheme, levels, wanted)
                found.append(other)
                schemes.append(scheme)
    return _described(survey, schemes, found)


def difference_of(one: Ints, other: Ints, paints: int) -> float:
    """Return the least share of sections that differ, over all renamings of the paints."""
    from scipy.optimize import linear_sum_assignment

    shared = np.zeros((paints, paints), np.int64)
    np.add.at(shared, (one, other), 1)
    rows, columns = linear_sum_assignment(-shared)
    return 1.0 - float(shared[rows, columns].sum()) / len(one)


def _another(standing: Standing, found: list[Ints], difference: float) -> Ints | None:
    """Return a scheme that differs enough from all found: very different if it can be had."""
    paints = standing.model.shape[1]
    for share in sorted({min(1.0, 2 * difference), min(1.0, 1.5 * difference), difference}, reverse=True):
        switch = int(standing.formula.new_variables(1)[0])
        for scheme in found:
            _forbid_near(standing, scheme, share, switch)
        # Each answer that is a renaming of an earlier scheme rules out that renaming.
        for _ in range(20):
            standing.tell(f"another scheme, {share:.0%} different")
            try:
                answer = standing.ask([-switch], patience=20_000)
            except (Stopped, KeyboardInterrupt):
                return None
            if not answer:
                break
            near = [
                scheme for scheme in found if difference_of(standing.best, scheme, paints) < share - 1e-9
            ]
            if not near:
                return standing.best
            for scheme in near:
                _forbid_near(standing, _renamed(scheme, standing.best, paints), share, switch)
    return None


def _forbid_near(standing: Standing, scheme: Ints, share: float, switch: int) -> None:
    """Demand, unless the switch lifts it, that so great a share of sections is painted otherwise."""
    sections = len(scheme)
    literals = standing.formula.paint[np.arange(sections), scheme]
    alike = sections - int(np.ceil(share * sections - 1e-9))
    cap_sum(standing.formula, literals, np.ones(sections, np.int64), alike, switch)


def _renamed(scheme: Ints, toward: Ints, paints: int) -> Ints:
    """Return a scheme with its paints renamed so that it is as near to another as can be."""
    from scipy.optimize import linear_sum_assignment

    shared = np.zeros((paints, paints), np.int64)
    np.add.at(shared, (scheme, toward), 1)
    _, columns = linear_sum_assignment(-shared)
    renamed: Ints = columns.astype(np.int64)[scheme]
    return renamed


def _described(survey: Survey, schemes: list[Scheme], found: list[Ints]) -> tuple[Alternative, ...]:
    paints = len(survey.appearance.paints)
    merits = [measure_merits(survey, scheme) for scheme in schemes]
    return tuple(
        Alternative(
            scheme=scheme,
            difference=min((difference_of(found[k], other, paints) for other in found[:k]), default=1.0),
            merits=merits[k],
            best_at=_best_at(merits, k),
        )
        for k, scheme in enumerate(schemes)
    )


def _best_at(merits: list[Merits], k: int) -> str:
    """Return in which measures one scheme is ahead of all others, in words."""
    measures = (
        ("strongest weakest pair", lambda merit: merit.weakest or 0.0),
        ("repeats farthest apart", lambda merit: merit.repeat_mm or 0.0),
        ("paints most evenly used", lambda merit: -float(merit.count_range)),
        ("least of any one paint", lambda merit: -float(merit.largest_area_mm2)),
        ("most contrast", lambda merit: merit.contrast or 0.0),
    )
    others = [merit for n, merit in enumerate(merits) if n != k]
    ahead = [
        told
        for told, measure in measures
        if others and all(measure(merits[k]) > measure(other) + 1e-6 for other in others)
    ]
    return ", ".join(ahead) or "as good where it counts"
