"""Only `filing` writes what a person keeps, so what holds for it holds for every command."""

import ast
from pathlib import Path

import pytest

import palette

ROOT = Path(palette.__file__).parent
WRITING = {
    "write_text", "write_bytes", "mkstemp", "mkdtemp", "NamedTemporaryFile", "TemporaryDirectory",
    "save", "savefig", "imwrite", "rename", "replace", "unlink", "touch", "copy", "copytree", "rmtree",
}  # fmt: skip
# Values of ours with such a verb; and files in memory, by the names they have here.
OURS, IN_MEMORY = ("self.keeper.save", "naming.rename"), {"buffer", "file"}
# The page's temporary folders hold copies that anybody can make again.
DOORS = {"filing/journal.py", "filing/parts.py", "filing/together.py", "page/private_folder.py"}


def writes(call: ast.Call) -> bool:
    """Return whether a call may write to the disk."""
    called = call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")
    text = ast.unparse(call)
    if called == "open":
        modes = [each.value for each in (*call.args, *(key.value for key in call.keywords))
                 if isinstance(each, ast.Constant) and isinstance(each.value, str)]  # fmt: skip
        return any(set(mode) <= set("rwxabt+") and set(mode) & set("wxa+") for mode in modes)
    if called not in WRITING or text.startswith(OURS):
        return False
    # Text and values have a `replace` and a `copy` of their own.
    if called == "replace":
        return len(call.args) == 1 and not call.keywords
    if called == "copy":
        return "shutil" in text
    if called in ("save", "savefig"):
        # Without a file to write to it is another verb: a page of papers is saved to memory so.
        return bool(call.args) and ast.unparse(call.args[0]) not in IN_MEMORY
    return True


@pytest.mark.parametrize("path", sorted(ROOT.rglob("*.py")), ids=lambda path: str(path.relative_to(ROOT)))
def test_only_filing_writes(path):
    if path.relative_to(ROOT).as_posix() in DOORS:
        return
    calls = (node for node in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(node, ast.Call))
    assert [f"{call.lineno}: {ast.unparse(call)}" for call in calls if writes(call)] == []


def test_the_look_finds_a_write():
    found = [writes(node) for text in ("path.write_bytes(data)", "open(path, 'wb')", "part.replace(place)",
                                       "picture.save(path)", "open(path)", "name.replace('a', 'b')")
             for node in ast.walk(ast.parse(text)) if isinstance(node, ast.Call)]  # fmt: skip
    assert found == [True, True, True, True, False, False]
