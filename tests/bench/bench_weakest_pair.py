"""Seconds to prove the strongest weakest pair, beside OR-Tools CP-SAT on the same model.

Run it as a script: ``python tests/bench/bench_weakest_pair.py [--json]``. Both solve one wall of slabs
and one of rubble in the same run, with the depth rule on; the peer gets two workers, the pairs
as allowed-assignment tables, depth as the same step function, and the threshold as a variable.
"""

from __future__ import annotations

import argparse
import itertools
import json
import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from grounds import slab_wall, voronoi_wall

from palette.rules import Clash, Depth
from palette.solving import solve
from palette.solving.gathering import build_model

RULES = [Clash(min_difference=10.0, min_hue_angle=None), Depth(tolerance=25.0)]


def ours(survey) -> tuple[float, float]:
    start = time.perf_counter()
    scheme = solve(survey, RULES, aims=("weakest-pair",))
    return time.perf_counter() - start, scheme.proof.levels[0].value


def peer(survey, seconds: float) -> tuple[float, float | None, bool]:
    """Return seconds, the value in CIEDE2000 and whether CP-SAT proved it."""
    from ortools.sat.python import cp_model

    start = time.perf_counter()
    model = build_model(survey, RULES)
    tables = model.must.tables
    cp = cp_model.CpModel()
    sections, paints = model.shape
    has = [[cp.new_bool_var("") for _ in range(paints)] for _ in range(sections)]
    for row in has:
        cp.add_exactly_one(row)
    strengths, rank = np.unique(model.strength, return_inverse=True)
    rank = rank.reshape(model.strength.shape)
    reach = [cp.new_bool_var("") for _ in strengths]
    for lower, upper in itertools.pairwise(reach):
        cp.add_implication(upper, lower)
    for (a, b), table in zip(tables.pairs.tolist(), tables.table_of.tolist(), strict=True):
        for p in range(paints):
            for q in range(paints):
                if not tables.tables[table][p, q]:
                    cp.add_bool_or(~has[a][p], ~has[b][q])
                elif rank[p, q] + 1 < len(strengths):
                    cp.add_bool_or(~has[a][p], ~has[b][q], ~reach[rank[p, q] + 1])
    for slope in model.must.slopes:
        values, value = np.unique(slope.value, return_inverse=True)
        places, place = np.unique(slope.position, return_inverse=True)
        low = [[cp.new_bool_var("") for _ in values] for _ in places]
        for g in range(len(places)):
            for k in range(len(values)):
                if g:
                    cp.add_implication(low[g - 1][k], low[g][k])
                if k:
                    cp.add_implication(low[g][k - 1], low[g][k])
        for s in range(sections):
            for p in range(paints):
                cp.add_implication(has[s][p], low[place[s]][value[p]])
                too_low = [k for k in range(len(values)) if slope.value[p] - values[k] > slope.tolerance]
                if too_low and place[s]:
                    cp.add_implication(low[place[s] - 1][too_low[-1]], ~has[s][p])
    cp.maximize(sum(reach))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 2
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(cp)
    spent = time.perf_counter() - start
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return spent, None, False
    return spent, float(strengths[round(solver.objective_value) - 1]), status == cp_model.OPTIMAL


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--peer-seconds", type=float, default=30.0)
    given = parser.parse_args()
    ours(slab_wall(10, seed=0))  # loads the libraries of both sides
    peer(slab_wall(10, seed=0), 5.0)
    rows = []
    for sections in (100, 300, 1000):
        for wall in (slab_wall, voronoi_wall):
            survey = wall(sections, seed=11)
            our_seconds, our_value = ours(survey)
            peer_seconds, peer_value, proven = peer(survey, given.peer_seconds)
            row = {
                "wall": survey.panel.name,
                "ours_s": round(our_seconds, 3),
                "peer_s": round(peer_seconds, 3),
                "ratio": round(our_seconds / peer_seconds, 3),
                "ours_value": our_value,
                "peer_value": peer_value,
                "peer_proven": proven,
            }
            rows.append(row)
            if not given.json:
                print("  ".join(f"{key} {value}" for key, value in row.items()))
    if given.json:
        print(json.dumps(rows))


if __name__ == "__main__":
    main()
