"""Every public name says what it takes, in which units, what it returns and what it raises.

numpydoc's own checks (https://numpydoc.readthedocs.io, "Docstring validation") judge the form. The
examples in the docstrings are run.
"""

import ast
import dataclasses
import doctest
import importlib
import inspect
import re
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from numpydoc.docscrape import FunctionDoc
from numpydoc.validate import validate

import palette

ROOT = Path(__file__).parents[1]

# GL: sections known and in order; SS: a summary of one line that ends well; PR: parameters are those of
# the signature, in its order, with types; RT: what is returned; YD: what is yielded. Not asked for:
# extended summaries, "see also", an example everywhere, a description where name and type say it all.
LEFT_OUT = {"GL01", "ES01", "SA01", "EX01", "PR07", "PR08", "PR09", "RT02", "RT03", "RT04", "RT05"}


def _is_value(thing):
    return inspect.isclass(thing) and dataclasses.is_dataclass(thing)


def _is_function(thing):
    return inspect.isfunction(thing)


VALUES = [name for name in palette.__all__ if _is_value(getattr(palette, name))]
FUNCTIONS = [name for name in palette.__all__ if _is_function(getattr(palette, name))]


def documented(name):
    """Return the documented parameters of a name: name to (type, text)."""
    doc = FunctionDoc(getattr(palette, name), role="func")
    found = {}
    for entry in doc["Parameters"]:
        for one in entry.name.split(", "):
            found[one] = (entry.type, " ".join(entry.desc))
    return found


@pytest.mark.parametrize("name", VALUES + FUNCTIONS)
def test_the_docstring_has_the_house_form(name):
    thing = getattr(palette, name)
    found = validate(f"{thing.__module__}.{thing.__qualname__}")
    assert not [f"{code}: {said}" for code, said in found["errors"] if code not in LEFT_OUT]


# What a number is in: a unit, or a word that says it has none.
UNITS = re.compile(
    r"\bmm\b|mm²|m² of|\bpx\b|pixels|\bnm\b|\bL\b|[lL]itres|m²/L|\bW/m²|W/sr|\bs\b|seconds|\bms\b|\bh\b"
    r"|degrees|angle|CIEDE2000|[yY]ears|[sS]hare|[rR]atio|0 to 1|over its|over mean|multiplied|any scale"
    r"|its unit|`unit`|aim's unit|Y over"
)
# Names that carry their unit themselves.
TELLING = re.compile(r"_(mm|mm2|m2|px|nm|l|s|deg|w_sr|w_m2|m2_per_l)$|^(mm|seconds)$")


def _floats():
    for name in VALUES:
        for item in dataclasses.fields(getattr(palette, name)):
            if re.search(r"\bfloat\b", str(item.type)):
                yield name, item.name
    for name in FUNCTIONS:
        for item in inspect.signature(getattr(palette, name)).parameters.values():
            if re.search(r"\bfloat\b", str(item.annotation)):
                yield name, item.name


@pytest.mark.parametrize(("name", "item"), [*_floats()])
def test_every_float_says_its_unit(name, item):
    kind, text = documented(name)[item]
    assert TELLING.search(item) or UNITS.search(f"{kind} {text}"), f"{name}.{item}: {text!r}"


@pytest.mark.parametrize("name", FUNCTIONS)
def test_an_array_says_its_shape(name):
    for item in inspect.signature(getattr(palette, name)).parameters.values():
        if re.search(r"\bArray\b|NDArray", str(item.annotation)):
            assert "shape (" in documented(name)[item.name][0], item.name
    if re.search(r"\bArray\b|NDArray", str(inspect.signature(getattr(palette, name)).return_annotation)):
        assert "shape (" in (FunctionDoc(getattr(palette, name))["Returns"][0].type)


@pytest.mark.parametrize("name", VALUES)
def test_an_array_field_says_its_shape(name):
    told = documented(name)
    for item in dataclasses.fields(getattr(palette, name)):
        if re.search(r"\bArray\b|NDArray", str(item.type)):
            assert "shape (" in told[item.name][0], item.name


@pytest.mark.parametrize("name", VALUES + FUNCTIONS)
def test_errors_it_raises_itself_are_told(name):
    thing = getattr(palette, name)
    makes = getattr(thing, "__post_init__", None) if inspect.isclass(thing) else thing
    if makes is None:
        return
    body = inspect.getsource(makes)
    # What is raised by a name in small letters is made there, and is an InputError.
    raised = {name if name[0].isupper() else "InputError" for name in re.findall(r"raise (\w+)\(", body)}
    raised |= {"InputError"} if ".gather(" in body else set()
    told = " ".join(entry.type for entry in FunctionDoc(thing, role="func")["Raises"])
    assert not [error for error in sorted(raised) if error not in told]


WITH_EXAMPLES = [name for name in FUNCTIONS if ">>>" in (getattr(palette, name).__doc__ or "")]


@pytest.mark.parametrize("name", WITH_EXAMPLES)
def test_examples_give_what_they_say(name, monkeypatch):
    monkeypatch.chdir(ROOT)
    known = {"palette": palette, "np": np, "Path": Path}
    thing = getattr(palette, name)
    tests = doctest.DocTestFinder(recurse=False).find(thing, name, globs=known)
    failed, tried = 0, 0
    for test in tests:
        result = doctest.DocTestRunner(optionflags=doctest.ELLIPSIS).run(test)
        failed, tried = failed + result.failed, tried + result.attempted
    assert tried
    assert not failed


def test_the_main_functions_have_examples():
    main = {
        "read_layout",
        "find_neighbours",
        "read_brief",
        "run",
        "draw_under",
        "light_by_name",
        "parse_length",
    }
    assert main <= set(WITH_EXAMPLES)
    assert len(WITH_EXAMPLES) >= 12


def _module_of(name):
    for line in (Path(palette.__file__).parent / "__init__.pyi").read_text(encoding="utf-8").splitlines():
        found = re.fullmatch(rf"from \.([\w.]+) import {name} as {name}", line)
        if found:
            return importlib.import_module(f"palette.{found[1]}")
    raise AssertionError(name)


OTHERS = sorted(set(palette.__all__) - set(VALUES) - set(FUNCTIONS))


@pytest.mark.parametrize("name", OTHERS)
def test_errors_and_constants_say_what_they_are(name):
    thing = getattr(palette, name)
    if inspect.isclass(thing):
        assert thing.__doc__
        return
    # A constant has its text below it, in the module of its room that makes it.
    room = _module_of(name).__name__.split(".")[1]
    texts = []
    for file in sorted({*(ROOT / "palette" / room).rglob("*.py"), *(ROOT / "palette").glob(f"{room}.py")}):
        body = ast.parse(file.read_text(encoding="utf-8")).body
        for node, after in pairwise([*body, ast.Pass()]):
            target = node.target if isinstance(node, ast.AnnAssign) else getattr(node, "targets", [None])[0]
            if isinstance(target, ast.Name) and target.id == name:
                texts.append(getattr(getattr(after, "value", None), "value", None))
    assert texts
    assert all(isinstance(text, str) for text in texts)
