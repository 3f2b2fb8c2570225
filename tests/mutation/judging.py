"""Whether the tests of a group notice a fault.

They are collected once. Each mutant then gets a forked child, which exchanges the module's content
(`exchanging`) and runs the tests that are known to reach the fault, those first that noticed others there.
"""

from __future__ import annotations

import contextlib
import gc
import importlib
import sys
import time
from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

import pytest
from children import run_in_child
from exchanging import exchange, renew
from mutants import Mutant
from subject import ROOT, Group

__all__ = ["Judged", "judge"]

_PYTEST = ["-x", "-o", "addopts=", "-p", "no:cacheprovider", "-p", "no:terminal", "-m", "not slow"]

Called = set[tuple[str, str]]
"""Module paths and the qualified names of their functions that ran."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """What became of a mutant: "killed", "timeout" or "survived"; by which test; CPU seconds."""

    outcome: str
    by: str
    seconds: float


QUICK_S = 1.5
"""CPU seconds of tests a mutant is first given, the quickest tests first: most need far less."""


def judge(
    group: Group,
    waiting: Iterable[tuple[str, Mutant]],
    tell: Callable[[str, Mutant, Judged], None],
    *,
    thorough: bool,
) -> None:
    """Tell what became of each mutant; a thorough judgement runs every test that reaches it.

    Raises
    ------
    SystemExit
        The tests cannot be collected, or one fails without any fault.
    """
    on_import: Called = set()
    with _Watch(group, on_import):
        plugin = _Loop(group, list(waiting), tell, on_import, thorough)
        code = int(pytest.main([*_PYTEST, *group.tests], plugins=[plugin]))
    if code:
        raise SystemExit(f"the tests of {', '.join(group.paths)} cannot be run: pytest ended with {code}")


@dataclass(eq=False)
class _Loop:
    """In place of pytest's own loop over the tests: one child for each mutant."""

    group: Group
    waiting: list[tuple[str, Mutant]]
    tell: Callable[[str, Mutant, Judged], None]
    on_import: Called
    thorough: bool
    killers: dict[tuple[str, str], list[str]] = field(default_factory=lambda: defaultdict(list))

    def pytest_configure(self, config):
        # The other styles read all sources again for every failure.
        config.option.tbstyle = "native"

    def pytest_runtestloop(self, session):
        sys.setprofile(None)
        clean = run_in_child(lambda: self._measure(session), seconds=900.0)
        if session.testsfailed or clean.answer is None:
            raise SystemExit("the tests fail without a fault")
        seconds_of, called_by, libraries = clean.answer
        # What the tests load as they go is loaded once, here, and not by every child.
        for name in libraries:
            with contextlib.suppress(ImportError):
                importlib.import_module(name)
        gc.freeze()
        items = sorted(session.items, key=lambda item: seconds_of[item.nodeid])
        for path, mutant in self.waiting:
            known = self.killers[path, mutant.function]
            others = self.killers[path, ""]
            chosen = [item for item in items if self._reaches(called_by[item.nodeid], path, mutant)]
            chosen.sort(key=lambda item: (item.nodeid not in known, item.nodeid not in others))
            if not self.thorough:
                chosen = _first_seconds(chosen, seconds_of, QUICK_S)
            allowed = 3 * sum(seconds_of[item.nodeid] for item in chosen) + 3
            judged = self._try(session, path, mutant, chosen, allowed)
            for noticed in (known, others):
                if judged.by and judged.by not in noticed:
                    noticed.append(judged.by)
            self.tell(path, mutant, judged)
        return True

    def _measure(self, session) -> tuple[dict[str, float], dict[str, Called], list[str]] | None:
        seconds_of, called_by = {}, {}
        before = set(sys.modules)
        for item in session.items:
            called: Called = set()
            started = time.process_time()
            with _Watch(self.group, called):
                item.config.hook.pytest_runtest_protocol(item=item, nextitem=None)
            # Watching makes a test slower; as a bound for its time that does no harm.
            seconds_of[item.nodeid], called_by[item.nodeid] = time.process_time() - started, called
        libraries = [name for name in sys.modules if name not in before and not name.startswith("palette")]
        return None if session.testsfailed else (seconds_of, called_by, libraries)

    def _runs_on_import(self, path: str, mutant: Mutant) -> bool:
        if not _is_function(mutant.function):
            return True
        # A function written inside another is made when the outer one runs.
        names = mutant.function.split(".")
        return any((path, ".".join(names[: k + 1])) in self.on_import for k in range(len(names)))

    def _reaches(self, called: Called, path: str, mutant: Mutant) -> bool:
        if not self._runs_on_import(path, mutant):
            return _is_called(path, mutant.function, called)
        # A constant, or a class's own line, may show anywhere.
        return bool(called)

    def _try(self, session, path: str, mutant: Mutant, items, allowed: float) -> Judged:
        def work() -> str:
            try:
                exchange(path, mutant.source)
                if self._runs_on_import(path, mutant):
                    renew(other for other in self.group.paths if other != path)
            except Exception:  # noqa: BLE001 - a module that cannot even be run is noticed
                return "import"
            for item in items:
                item.config.hook.pytest_runtest_protocol(item=item, nextitem=None)
                if session.testsfailed:
                    return str(item.nodeid)
            return ""

        ended = run_in_child(work, seconds=allowed)
        if ended.timeout:
            return Judged(outcome="timeout", by="", seconds=ended.seconds)
        outcome = "survived" if ended.answer == "" else "killed"
        return Judged(outcome=outcome, by=str(ended.answer or ""), seconds=ended.seconds)


class _Watch:
    """Collects the functions of a group that are called while it lasts."""

    def __init__(self, group: Group, called: Called) -> None:
        self._path_of = {str(ROOT / path): path for path in group.paths}
        self._called = called

    def __enter__(self) -> None:
        sys.setprofile(self._note)

    def __exit__(self, *_: object) -> None:
        sys.setprofile(None)

    def _note(self, frame, event, _):
        if event == "call":
            path = self._path_of.get(frame.f_code.co_filename)
            if path is not None:
                self._called.add((path, frame.f_code.co_qualname.replace(".<locals>", "")))


def _first_seconds(items: list, seconds_of: dict[str, float], most: float) -> list:
    """Return as many of the first items as take so many seconds together, one at least."""
    taken, spent = [], 0.0
    for item in items:
        spent += seconds_of[item.nodeid]
        if taken and spent > most:
            break
        taken.append(item)
    return taken


def _is_function(name: str) -> bool:
    """Return whether a mutant's place is a function or a method, by the house's way of naming classes."""
    return bool(name) and not name.rpartition(".")[2].lstrip("_")[:1].isupper()


def _is_called(path: str, function: str, called: Called) -> bool:
    """Return whether a function or method, or one written inside it, ran."""
    return any(
        where == path and (name == function or name.startswith(function + ".")) for where, name in called
    )
