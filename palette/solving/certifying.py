"""Proofs that others can check: the clauses in DIMACS, the refutation in DRAT."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from palette.demands import Rule
from palette.errors import InputError
from palette.scheme import Scheme
from palette.solving.clauses import write_formula
from palette.solving.engine import certified_refutation
from palette.solving.gathering import build_model
from palette.solving.weakest import switches_of_strengths
from palette.survey import Survey

__all__ = ["Certificate", "certify"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Certificate:
    """A claim that something cannot be, and what is needed to check it.

    Parameters
    ----------
    claim : str
        In words.
    cnf : str
        A formula in DIMACS that can be satisfied exactly when the claim is wrong.
    proof : str
        Its refutation in DRAT, one step a line, as checkers of SAT competitions read it.
    """

    claim: str
    cnf: str
    proof: str


def certify(survey: Survey, rules: Sequence[Rule], scheme: Scheme | None = None) -> Certificate:
    """Return the certificate that there is no scheme, or none with a stronger weakest pair.

    Without a scheme the claim is that the rules cannot all be kept. With one it is that no scheme
    that keeps the rules has a weakest pair stronger than this one's.

    Sums of unequal areas are held by clauses only roughly; the clauses that make up for it are
    marked in the formula, and follow from the areas, not from the clauses before them.

    Raises
    ------
    InputError
        The claim is wrong: there is such a scheme.
    """
    model = build_model(survey, rules)
    formula = write_formula(model)
    claim = f"The rules of {survey.panel.name} cannot all be kept."
    if scheme is not None:
        if not len(model.contacts):
            what = "the panel has no neighbours, so there is no weakest pair"
            raise InputError("proof", what, "ask for no proof")
        place = {paint: k for k, paint in enumerate(survey.appearance.paints)}
        painted = np.array([place[scheme.paint_of[section]] for section in survey.panel.ids])
        first, second = painted[model.contacts[:, 0]], painted[model.contacts[:, 1]]
        value = float(model.strength[first, second].min())
        strengths, switches = switches_of_strengths(formula)
        above = int(np.searchsorted(strengths, value, side="right"))
        claim = f"No scheme of {survey.panel.name} has a weakest pair above {value:.6f} CIEDE2000."
        if above == len(strengths):
            formula.add_clause([])  # no two paints differ more: nothing is left to refute
        for switch in switches[: above + 1].tolist() if above < len(strengths) else ():
            formula.add_clause([switch])
    if formula.loosening is not None:
        formula.add_clause([-formula.loosening])
    clauses, cuts, proof = certified_refutation(formula)
    if proof is None:
        raise InputError("proof", f"this is not so: {claim[0].lower()}{claim[1:-1]}", "ask for no proof")
    return Certificate(claim=claim, cnf=_dimacs(claim, formula.variables, clauses, cuts), proof=proof)


def _dimacs(claim: str, variables: int, clauses: list[list[int]], cuts: list[list[int]]) -> str:
    lines = [f"c {claim}", f"p cnf {variables} {len(clauses) + len(cuts)}"]
    lines += [" ".join(map(str, [*clause, 0])) for clause in clauses]
    if cuts:
        lines.append("c The clauses below follow from the areas: these sections together pass a limit.")
        lines += [" ".join(map(str, [*clause, 0])) for clause in cuts]
    return "\n".join(lines) + "\n"
