"""Slightly wrong copies of a module, one fault each.

The faults are mutmut's own (`mutmut.mutation.mutators`). mutmut's way of trying them, a switch inside
each function, cannot reach what runs while a module is imported, and a rule's options are built just
then; so the faulty source is made here as a whole, and `run.py` imports it.
"""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import libcst as cst
from mutmut.mutation.mutators import mutation_operators, operator_arg_removal, operator_string

__all__ = ["Mutant", "make_mutants"]

# Their values are for type checkers and star imports alone.
_NAMES_FOR_READERS = {"__all__", "Strength", "Demand", "Side", "Ladder"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Mutant:
    """One fault: where it is, the lines before and after, and the whole faulty module."""

    line: int
    function: str
    before: str
    after: str
    source: str


@functools.cache
def make_mutants(source: str) -> tuple[Mutant, ...]:
    """Return every mutant of a module, in the order of its text.

    Left alone are annotations, decorators, docstrings, imports, `strict` of zip (an assertion of its
    own), and texts with a space in them: wording is for readers to judge, and tests hold its key parts.
    """
    module = cst.parse_module(source)
    found = _Finder()
    module.visit(found)
    # Only the statement that holds the fault is written anew.
    pieces = [module.code_for_node(statement) for statement in module.body]
    head, tail = module.with_changes(body=[]).code, ""
    if head + "".join(pieces) != source:
        head, tail = source.split("".join(pieces))
    seen = {source}
    made = []
    for path, mutated, function in found.faults:
        k = next(k for k, statement in enumerate(module.body) if statement is path[0])
        piece = module.code_for_node(_replace(path, mutated))
        faulty = "".join([head, *pieces[:k], piece, *pieces[k + 1 :], tail])
        # Two operators may make the same fault, and some make none.
        if faulty not in seen:
            seen.add(faulty)
            line, before, after = _compare(source, faulty)
            made.append(Mutant(line=line, function=function, before=before, after=after, source=faulty))
    return tuple(made)


def _replace(path: Sequence[cst.CSTNode], mutated: cst.CSTNode) -> cst.CSTNode:
    """Return the first node of a path with its last one replaced."""
    new = mutated
    for parent, child in zip(path[-2::-1], path[:0:-1], strict=True):
        for item in dataclasses.fields(parent):
            value = getattr(parent, item.name)
            if value is child:
                new = parent.with_changes(**{item.name: new})
                break
            if isinstance(value, (list, tuple)) and any(one is child for one in value):
                new = parent.with_changes(**{item.name: [new if one is child else one for one in value]})
                break
    return new


def _compare(source: str, faulty: str) -> tuple[int, str, str]:
    """Return the first line that differs, and the differing lines of either, each as one line."""
    old, new = source.splitlines(), faulty.splitlines()
    first = _count_equal(old, new)
    last = min(_count_equal(old[::-1], new[::-1]), len(old) - first, len(new) - first)
    before, after = old[first : len(old) - last], new[first : len(new) - last]
    return first + 1, " ".join(" ".join(before).split()), " ".join(" ".join(after).split())


def _count_equal(one: list[str], two: list[str]) -> int:
    """Return how many lines two texts share at their beginning."""
    return next(
        (k for k, (a, b) in enumerate(zip(one, two, strict=False)) if a != b), min(len(one), len(two))
    )


class _Finder(cst.CSTVisitor):
    """Collects each node that can be mutated with all it stands in, what it becomes, and the function."""

    def __init__(self) -> None:
        super().__init__()
        self.faults: list[tuple[tuple[cst.CSTNode, ...], cst.CSTNode, str]] = []
        self._inside: list[str] = []
        self._path: list[cst.CSTNode] = []

    def on_visit(self, node: cst.CSTNode) -> bool:
        if not isinstance(node, cst.Module):
            self._path.append(node)
        if isinstance(node, (cst.FunctionDef, cst.ClassDef)):
            self._inside.append(node.name.value)
        if _is_left_alone(node):
            return False
        for kind, operator in mutation_operators:
            if isinstance(node, kind):
                place = tuple(self._path), ".".join(self._inside)
                self.faults += [(place[0], faulty, place[1]) for faulty in _mutate(node, operator)]
        return True

    def on_leave(self, original_node: cst.CSTNode) -> None:
        if isinstance(original_node, (cst.FunctionDef, cst.ClassDef)):
            self._inside.pop()
        if self._path:
            self._path.pop()


def _mutate(node, operator) -> Iterator[cst.CSTNode]:
    if operator is operator_string:
        # Its first fault is another text; the next two only change the case of letters.
        if isinstance(node, cst.SimpleString) and " " not in node.value:
            yield from list(operator(node))[:1]
    elif operator is operator_arg_removal:
        for mutated in operator(node):
            kept = {_show(arg) for arg in mutated.args}
            changed = [arg for arg in node.args if _show(arg) not in kept]
            if not any(arg.keyword is not None and arg.keyword.value == "strict" for arg in changed):
                yield mutated
    else:
        yield from operator(node)


def _show(arg: cst.Arg) -> str:
    return cst.Module([]).code_for_node(arg.with_changes(comma=cst.MaybeSentinel.DEFAULT))


def _is_left_alone(node: cst.CSTNode) -> bool:
    if isinstance(node, (cst.Annotation, cst.Decorator, cst.Import, cst.ImportFrom)):
        return True
    if isinstance(node, cst.Assign):
        return any(getattr(target.target, "value", "") in _NAMES_FOR_READERS for target in node.targets)
    if isinstance(node, cst.Arg):
        return node.keyword is not None and node.keyword.value == "strict"
    if isinstance(node, cst.If):
        return getattr(node.test, "value", "") == "TYPE_CHECKING"
    if isinstance(node, cst.Expr):  # a docstring
        return isinstance(node.value, (cst.SimpleString, cst.ConcatenatedString))
    return False
