"""How fast the engine is and how good, beside OR-Tools CP-SAT with two workers in the same run.

``python tests/bench/solving.py [--json] [--only WORD]`` prints a row for each piece of work: work,
sections, ours_s, peer, peer_s, ours_value, peer_value, proven, bound. Walls are slabs and rubble with
eight invented paints under two lights. Seconds are of one run on the machine at hand; read the ratios.
"""

from __future__ import annotations

import argparse
import json
import statistics
import sys
import time
from pathlib import Path

import networkx as nx
import numpy as np
import shapely

sys.path[:0] = [str(Path(__file__).resolve().parents[1]), str(Path(__file__).resolve().parent)]

from grounds import EIGHT_LABS, make_survey, slab_wall, voronoi_wall
from peer import Peer

from palette.brief import read_brief, survey_brief
from palette.merits import measure_merits
from palette.rules import Clash, Depth, Pin, Quota, Stock, Stripe
from palette.scheme import Scheme
from palette.solving import Limits, find_alternatives, find_collision, find_ways_out, solve

CLASH = Clash(min_difference=10.0, min_hue_angle=None)
PLAIN = [CLASH, Depth(tolerance=25.0)]
WALLS = (slab_wall, voronoi_wall)
CANYON = Path(__file__).resolve().parents[2] / "examples" / "canyon" / "brief.toml"
FOUR = ("weakest-pair", "repeats", "balance", "contrast")
STOCK_SLACK = 1.5
"""Litres on hand over what an equal share of the wall needs of each paint."""


def stocked(wall, sections: int, seed: int):
    """Return a wall with so much of each paint that the eight together just outlast it by half."""
    bare = wall(sections, seed=seed)
    square_metres = sum(section.outline.area for section in bare.panel.sections) / 1e6
    return wall(sections, seed=seed, stock_l=[square_metres * 2 / 7 * 1.1 / 8 * STOCK_SLACK] * 8)


def all_rules(survey) -> list:
    first = survey.panel.ids[len(survey.panel.ids) // 2]
    pin = Pin(sections=(first,), paint=survey.appearance.paints[3])
    return [*PLAIN, pin, Stock(), Quota(at_least=1), Stripe()]


def timed(survey, rules, aims, seconds: float | None = None):
    start = time.perf_counter()
    scheme = solve(survey, rules, aims=aims, limits=Limits(seconds=seconds))
    return time.perf_counter() - start, {level.aim: level for level in scheme.proof.levels}, scheme


def row(work, survey, ours_s, peer_s, ours, theirs, *, proven, bound=None, peer="CP-SAT, 2 workers"):
    def short(value):
        return None if value is None else round(float(value), 3)

    return {
        "work": work,
        "sections": len(survey.panel.sections),
        "wall": survey.panel.name.split()[0],
        "ours_s": round(ours_s, 3),
        "peer": peer,
        "peer_s": short(peer_s),
        "ratio": short(ours_s / peer_s) if peer_s else None,
        "ours_value": short(ours),
        "peer_value": short(theirs),
        "proven": bool(proven),
        "bound": short(bound),
    }


def weakest_and_repeats_with_all_rules():
    for wall in WALLS:
        for seed in (1, 2, 3):
            survey = stocked(wall, 30, seed)
            rules = all_rules(survey)
            ours_s, levels, _ = timed(survey, rules, FOUR[:2])
            peer = Peer(survey, rules, seconds=60)
            peer.weakest()
            theirs = peer.repeats()
            last = levels["repeats"]
            proven = all(level.proven for level in levels.values())
            yield row("L1+L2, all rules", survey, ours_s, peer.spent, last.value, theirs, proven=proven)


def four_levels_with_all_rules():
    for wall in WALLS:
        for seed in (1, 2, 3):
            survey = stocked(wall, 30, seed)
            rules = all_rules(survey)
            ours_s, levels, _ = timed(survey, rules, FOUR)
            peer = Peer(survey, rules, seconds=60)
            for level in (peer.weakest, peer.repeats, peer.balance):
                level()
            theirs = peer.contrast()
            last = levels["contrast"]
            proven = all(level.proven for level in levels.values())
            yield row(
                "L1-L4, all rules",
                survey,
                ours_s,
                peer.spent,
                last.value,
                theirs,
                proven=proven,
                bound=last.bound,
            )


def large_without_stock():
    for sections in (100, 300, 1000):
        for wall in WALLS:
            survey = wall(sections, seed=11)
            ours_s, levels, _ = timed(survey, PLAIN, ("weakest-pair",))
            both_s, both, _ = timed(survey, PLAIN, FOUR[:2])
            peer = Peer(survey, PLAIN, seconds=60)
            theirs = peer.weakest()
            first_s = peer.spent
            one = levels["weakest-pair"]
            yield row("L1, no stock", survey, ours_s, first_s, one.value, theirs, proven=one.proven)
            theirs = peer.repeats()
            two = both["repeats"]
            yield row("L1+L2, no stock", survey, both_s, peer.spent, two.value, theirs, proven=two.proven)


def large_with_stock():
    for sections in (300, 1000):
        for wall in WALLS:
            survey = stocked(wall, sections, 11)
            rules = [*PLAIN, Stock()]
            ours_s, levels, _ = timed(survey, rules, ("weakest-pair",))
            relaxed = Peer(survey, rules, seconds=12, limits=False)
            bound = relaxed.weakest()
            peer = Peer(survey, rules, seconds=12)
            peer.scheme = relaxed.scheme
            theirs = peer.weakest(bound)
            one = levels["weakest-pair"]
            yield row(
                "L1, stock", survey, ours_s, relaxed.spent + peer.spent, one.value, theirs,
                proven=one.proven, bound=one.bound,
            )  # fmt: skip


def contrast_of_pairs():
    for sections, ours_limit, peer_limit in ((30, None, 20), (60, None, 20), (300, 15, 20), (1000, 15, 20)):
        for wall in WALLS:
            survey = wall(sections, seed=5)
            _, _, first = timed(survey, [CLASH], ("weakest-pair",))
            ours_s, levels, _ = timed(survey, [CLASH], ("contrast",), ours_limit)
            peer = Peer(survey, [CLASH], seconds=peer_limit)
            place = {paint: k for k, paint in enumerate(survey.appearance.paints)}
            peer.scheme = np.array([place[first.paint_of[section]] for section in survey.panel.ids])
            theirs = peer.contrast()
            one = levels["contrast"]
            yield row(
                "contrast, pairs only", survey, ours_s, peer.spent, one.value, theirs,
                proven=one.proven, bound=one.bound,
            )  # fmt: skip


def contrast_with_all_rules():
    for wall in WALLS:
        survey = stocked(wall, 100, 5)
        rules = [CLASH, Depth(tolerance=25.0), Stock(), Quota(at_least=1)]
        ours_s, levels, _ = timed(survey, rules, ("contrast",), 20)
        peer = Peer(survey, rules, seconds=20)
        theirs = peer.contrast()
        one = levels["contrast"]
        yield row(
            "contrast, all rules, equal time", survey, ours_s, peer.spent, one.value, theirs,
            proven=one.proven, bound=one.bound,
        )  # fmt: skip


def greedy_order():
    for sections in (30, 45, 60):
        for wall in WALLS:
            survey = wall(sections, seed=7)
            ours_s, levels, _ = timed(survey, [CLASH], ("weakest-pair",))
            start = time.perf_counter()
            colours = nx.greedy_color(survey.adjacency.to_networkx(), strategy="DSATUR")
            paint_of = {s: survey.appearance.paints[colours.get(s, 0)] for s in survey.panel.ids}
            theirs = measure_merits(survey, Scheme(paint_of=paint_of)).weakest
            spent = time.perf_counter() - start
            one = levels["weakest-pair"]
            yield row(
                "weakest pair", survey, ours_s, spent, one.value, theirs,
                proven=one.proven, peer="networkx DSATUR",
            )  # fmt: skip


def demo():
    brief = read_brief(CANYON)
    survey = survey_brief(brief)
    ours_s, levels, _ = timed(survey, brief.rules, FOUR)
    proven = all(level.proven for level in levels.values())
    yield row(
        "demo, four levels", survey, ours_s, None, levels["contrast"].value, None, proven=proven, peer=None
    )
    start = time.perf_counter()
    found = find_alternatives(survey, brief.rules, 5)
    spent = time.perf_counter() - start
    yield row("demo, five alternatives", survey, spent, None, len(found), None, proven=True, peer=None)


def reasons():
    for wall in WALLS:
        survey = wall(30, seed=3)
        rules = [Clash(), Depth(by="order"), Stripe(), Quota(at_least=1)]
        start = time.perf_counter()
        found = find_collision(survey, rules)
        spent = time.perf_counter() - start
        yield row(
            "reasons, smallest collision", survey, spent, None, len(found.places), None,
            proven=found.minimal, peer=None,
        )  # fmt: skip
        start = time.perf_counter()
        ways = find_ways_out(survey, rules)
        spent = time.perf_counter() - start
        yield row("reasons, ways out", survey, spent, None, len(ways), None, proven=True, peer=None)


def two_hundred_panels():
    boxes, contacts, left, beside = [], [], 0.0, []
    for number in range(200):
        panel = slab_wall(30, seed=number)
        first = len(boxes)
        place = {section: first + k for k, section in enumerate(panel.panel.ids)}
        new = [
            shapely.transform(s.outline, lambda c, x=left: c + np.array([x, 0.0]))
            for s in panel.panel.sections
        ]
        boxes += new
        contacts += [(place[c.a], place[c.b], c.border_mm) for c in panel.adjacency.neighbours]
        edge = [(first + k, box.bounds) for k, box in enumerate(new) if box.bounds[0] < left + 10]
        for i, here in beside:
            for j, there in edge:
                shared = min(here[3], there[3]) - max(here[1], there[1])
                if shared >= 25:
                    contacts.append((i, j, shared))
        right = left + panel.panel.width_mm
        beside = [(first + k, box.bounds) for k, box in enumerate(new) if box.bounds[2] > right - 10]
        left = right + 10
    litres = sum(box.area for box in boxes) / 1e6 * 2 / 7 * 1.1 / 8 * STOCK_SLACK
    survey = make_survey(boxes, contacts, EIGHT_LABS, stock_l=[litres] * 8, name="run")
    ours_s, levels, _ = timed(survey, [*PLAIN, Stock()], ("weakest-pair",))
    one = levels["weakest-pair"]
    yield row(
        "200 panels, shared stock, seams", survey, ours_s, None, one.value, None,
        proven=one.proven, bound=one.bound, peer=None,
    )  # fmt: skip


WORKS = (
    demo,
    reasons,
    greedy_order,
    weakest_and_repeats_with_all_rules,
    four_levels_with_all_rules,
    large_without_stock,
    large_with_stock,
    contrast_of_pairs,
    contrast_with_all_rules,
    two_hundred_panels,
)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--json", action="store_true", help="print one JSON list")
    parser.add_argument("--only", default="", help="works whose function has this in its name")
    given = parser.parse_args()
    warm = stocked(slab_wall, 12, 0)
    timed(warm, all_rules(warm)[:4], FOUR)
    Peer(warm, PLAIN, seconds=2).weakest()
    rows = []
    for work in WORKS:
        if given.only in work.__name__:
            for one in work():
                rows.append(one)
                if not given.json:
                    print("  ".join(f"{key} {value}" for key, value in one.items()), flush=True)
    if given.json:
        print(json.dumps(rows, indent=1))
        return
    for name in dict.fromkeys(one["work"] for one in rows):
        ratios = [one["ratio"] for one in rows if one["work"] == name and one["ratio"]]
        if ratios:
            print(f"{name}: median ratio {statistics.median(ratios):.3f}, worst {max(ratios):.3f}")


if __name__ == "__main__":
    main()
