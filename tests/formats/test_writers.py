"""Files are written in one room, which writes each whole or not at all; pictures are made in memory."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import palette

ROOT = Path(palette.__file__).parent
MODULES = sorted(ROOT.rglob("*.py"))

# `filing` writes beside the place, syncs and renames; the page's private folder is scratch nobody keeps.
WRITERS = {"filing", "page/private_folder.py"}
WRITING = {
    "write_text",
    "write_bytes",
    "imwrite",
    "tofile",
    "mkstemp",
    "mkdtemp",
    "fdopen",
    "dump",
    "copyfile",
}


def in_memory(call: ast.Call, function: ast.AST) -> bool:
    """Return whether what a picture is saved to is a buffer made in the same function."""
    if not call.args or not isinstance(call.args[0], ast.Name):
        return not call.args
    return any(
        isinstance(node, ast.Assign)
        and ast.unparse(node.targets[0]) == call.args[0].id
        and ast.unparse(node.value).endswith("BytesIO()")
        for node in ast.walk(function)
    )


def modes(call: ast.Call) -> list[str]:
    """Return the texts among a call's arguments that could be a mode."""
    given = [*call.args, *(keyword.value for keyword in call.keywords if keyword.arg == "mode")]
    return [arg.value for arg in given if isinstance(arg, ast.Constant) and isinstance(arg.value, str)]


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_nothing_is_written_past_the_room_that_writes(path):
    place = path.relative_to(ROOT).as_posix()
    if WRITERS & {place, place.split("/")[0]}:
        return
    for function in ast.walk(ast.parse(path.read_text("utf-8"))):
        if not isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef):
            continue
        for call in ast.walk(function):
            if not isinstance(call, ast.Call):
                continue
            name = call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")
            spot = f"{place}:{call.lineno}: {ast.unparse(call)[:80]}"
            assert name not in WRITING, spot
            if name == "open":
                assert not any(set(mode) & set("wax+") for mode in modes(call) if len(mode) < 4), spot
            if name in ("save", "savefig") and "keeper" not in ast.unparse(call.func):
                assert in_memory(call, function), spot


def test_the_look_for_writers_finds_them():
    caught = ast.parse("def f(p):\n    Image.new('L', (1, 1)).save(p, 'PNG')").body[0]
    call = next(
        node
        for node in ast.walk(caught)
        if isinstance(node, ast.Call) and ast.unparse(node.func).endswith("save")
    )
    assert not in_memory(call, caught)
    held = ast.parse("def f():\n    b = io.BytesIO()\n    picture.save(b, 'PNG')").body[0]
    call = next(node for node in ast.walk(held) if isinstance(node, ast.Call) and node.args)
    assert in_memory(call, held)
