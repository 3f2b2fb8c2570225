"""Proofs checked by a checker of the tests' own: every step must follow by unit propagation."""

from __future__ import annotations

import networkx as nx
import pytest
from grounds import distinct_labs, graph_survey, slab_wall

from palette.errors import InputError
from palette.rules import Clash, Depth, Quota, Stock
from palette.solving import certify, solve

SAME = Clash(min_difference=None, min_hue_angle=None)


def read_dimacs(text: str) -> tuple[int, list[tuple[int, ...]]]:
    lines = [line for line in text.splitlines() if line and not line.startswith("c")]
    _, _, variables, count = lines[0].split()
    clauses = [tuple(int(word) for word in line.split()[:-1]) for line in lines[1:]]
    assert len(clauses) == int(count)
    assert max((abs(v) for clause in clauses for v in clause), default=0) <= int(variables)
    return int(variables), clauses


def propagates_to_conflict(clauses: set[tuple[int, ...]], assumed: list[int]) -> bool:
    true = set(assumed)
    moving = True
    while moving:
        moving = False
        for clause in clauses:
            if any(literal in true for literal in clause):
                continue
            left = [literal for literal in clause if -literal not in true]
            if not left:
                return True
            if len(left) == 1:
                true.add(left[0])
                moving = True
    return False


def refutes(clauses: list[tuple[int, ...]], proof: str) -> bool:
    """Check a proof step by step (reverse unit propagation), ending in the empty clause."""
    known = {tuple(sorted(clause)) for clause in clauses}
    for line in proof.splitlines():
        words = line.split()
        if words[0] == "d":
            # Keeping what may be forgotten makes no wrong step right: all steps are implied ones.
            continue
        lemma = tuple(sorted(int(word) for word in words[:-1]))
        assert propagates_to_conflict(known, [-literal for literal in lemma]), (
            f"step {line} does not follow"
        )
        if not lemma:
            return True
        known.add(lemma)
    return propagates_to_conflict(known, [])


@pytest.mark.parametrize(
    ("graph", "paints"), [(nx.cycle_graph(5), 2), (nx.complete_graph(4), 3), (nx.wheel_graph(6), 3)]
)
def test_impossible_is_proven_step_by_step(graph, paints):
    survey = graph_survey(sorted(graph.edges), len(graph), distinct_labs(paints))
    certificate = certify(survey, [SAME])
    assert certificate.claim == "The rules of test wall cannot all be kept."
    assert refutes(read_dimacs(certificate.cnf)[1], certificate.proof)


def test_no_stronger_weakest_pair_is_proven_step_by_step():
    survey = slab_wall(8, seed=4)
    rules = [Clash(min_difference=10.0, min_hue_angle=None), Depth(tolerance=30.0)]
    scheme = solve(survey, rules, aims=("weakest-pair",))
    certificate = certify(survey, rules, scheme)
    assert f"{scheme.proof.levels[0].value:.6f}" in certificate.claim
    assert refutes(read_dimacs(certificate.cnf)[1], certificate.proof)


def test_cuts_from_areas_are_marked():
    """Three boxes of unequal area and too little of both paints."""
    survey = slab_wall(7, seed=1, labs=distinct_labs(2), stock_l=[0.07, 0.07])
    certificate = certify(survey, [Stock()])
    variables, clauses = read_dimacs(certificate.cnf)
    assert variables > 14
    assert refutes(clauses, certificate.proof)


def test_what_is_possible_gets_no_certificate():
    survey = graph_survey([(0, 1)], 2, distinct_labs(2))
    with pytest.raises(InputError, match="this is not so"):
        certify(survey, [SAME, Quota(at_least=1)])
