"""A fault put into the running process: what a module holds is exchanged for what its mutant holds.

Functions and methods get the code and the defaults of the mutant's, classes their fields and plain
values, modules their constants, also where others have imported these by name. So whoever holds on to a
function or a class meets the fault, and nothing has to be imported again.
"""

from __future__ import annotations

import sys
import types
from collections.abc import Iterable, Iterator

from subject import ROOT, module_name

__all__ = ["exchange", "renew"]


def exchange(path: str, source: str) -> None:
    """Make a module what another source of it would have made it; raises what running that raises."""
    module = sys.modules[module_name(path)]
    other = types.ModuleType(module.__name__)
    other.__file__, other.__package__, other.__path__ = module.__file__, module.__package__, []
    exec(compile(source, str(ROOT / path), "exec", dont_inherit=True), other.__dict__)
    theirs = dict(_functions(other))
    for name, function in _functions(module):
        if name in theirs:
            new = theirs[name]
            function.__code__ = new.__code__
            function.__defaults__, function.__kwdefaults__ = new.__defaults__, new.__kwdefaults__
    for name, value in vars(module).copy().items():
        new = vars(other).get(name)
        if isinstance(value, type) and value.__module__ == module.__name__:
            _exchange_values(value, new)
        elif _is_plain(value) and name[:2] != "__" and not _is_equal(value, new):
            for holder in list(sys.modules.values()):
                if getattr(holder, "__dict__", {}).get(name) is value:
                    setattr(holder, name, new)


def renew(paths: Iterable[str]) -> None:
    """Run modules once more, for what they make of an exchanged function while they are imported."""
    for path in paths:
        if module_name(path) in sys.modules:
            exchange(path, (ROOT / path).read_text(encoding="utf-8"))


def _exchange_values(old: type, new: type) -> None:
    for name, value in vars(new).items():
        plain = not isinstance(value, (types.FunctionType, types.MemberDescriptorType, property))
        plain = plain and not isinstance(value, (staticmethod, classmethod, types.GetSetDescriptorType))
        if plain and (name[:2] != "__" or name == "__dataclass_fields__"):
            setattr(old, name, value)


def _functions(module: types.ModuleType) -> Iterator[tuple[str, types.FunctionType]]:
    """Yield the functions and methods that a module defines itself, by qualified name."""
    for name, value in vars(module).items():
        if isinstance(value, types.FunctionType) and value.__module__ == module.__name__:
            yield name, value
        elif isinstance(value, type) and value.__module__ == module.__name__:
            for inner, method in vars(value).items():
                bare = method.fget if isinstance(method, property) else getattr(method, "__func__", method)
                if isinstance(bare, types.FunctionType):
                    yield f"{name}.{inner}", bare


def _is_plain(value: object) -> bool:
    return not isinstance(value, (type, types.FunctionType, types.ModuleType))


def _is_equal(one: object, two: object) -> bool:
    try:
        return type(one) is type(two) and bool(one == two)
    except ValueError:  # arrays
        return False
