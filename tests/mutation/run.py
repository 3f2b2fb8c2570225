"""Try every mutant of the checker, the rules and the neighbours against the tests that must notice it.

    python tests/mutation/run.py                              all; goes on where it was stopped
    python tests/mutation/run.py palette/rules/clash.py …     some modules
    python tests/mutation/run.py --again                      the survivors once more, after new tests
    python tests/mutation/run.py --again --thorough           … by every test that reaches them
    python tests/mutation/run.py --share 0.2                  a fifth of them, taken evenly: a first figure
    python tests/mutation/run.py --list                       what is known so far; tries nothing

What was found is kept in `.mutation/` at the top of the checkout; `survivors.txt` beside this file lists
the mutants that live, and why each may.
"""

from __future__ import annotations

import argparse
import importlib
import os
import sys

from children import run_in_child
from judging import judge
from mutants import make_mutants
from results import Results, place_of, tell_figures
from subject import ROOT, Group, read_groups

MOST_LIVING = 0.1
"""The share of survivors at which the run fails."""


def run_group(group: Group, paths: set[str], *, again: bool, thorough: bool, share: float) -> None:
    """Try the mutants of some of a group's modules that are not known yet, or its survivors again."""

    results = Results()

    def waiting():
        for path in group.paths:
            if path in paths:
                for mutant in make_mutants((ROOT / path).read_text(encoding="utf-8")):
                    wanted = results.outcome(path, mutant) in ((None, "survived") if again else (None,))
                    if wanted and place_of(path, mutant) < share:
                        yield path, mutant

    first = list(waiting())
    if not first:
        return

    # In a child, so that the next group finds a process free of the house.
    def work() -> bool:
        judge(group, first, results.add, thorough=thorough)
        return True

    if run_in_child(work, seconds=24 * 3600, silent=False).answer is None:
        raise SystemExit(1)


def main() -> None:
    """Run, and exit with 1 where too many mutants live."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("modules", nargs="*", help="paths of modules; all when left out")
    parser.add_argument("--again", action="store_true", help="try the survivors once more")
    parser.add_argument("--thorough", action="store_true", help="run every test that reaches a mutant")
    parser.add_argument("--share", type=float, default=1.0, help="try only such a share of the mutants")
    parser.add_argument("--list", action="store_true", help="tell what is known, try nothing")
    given = parser.parse_args()
    os.chdir(ROOT)
    os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"
    sys.path[:0] = [str(ROOT), str(ROOT / "tests")]
    groups = read_groups()
    paths = given.modules or [path for group in groups for path in group.paths]
    if not given.list:
        for group in groups:
            for name in group.preload:
                importlib.import_module(name)
            run_group(group, set(paths), again=given.again, thorough=given.thorough, share=given.share)
    raise SystemExit(1 if tell_figures(paths, Results()) >= MOST_LIVING else 0)


if __name__ == "__main__":
    main()
