"""The notebooks run from top to bottom, and what is stored of them is whole, small and clean."""

from __future__ import annotations

import ast
import re

import pytest
from executing import FOLDER, NAMES, clean, execute, read

MOST_BYTES = 600_000
MOST_OUTPUT = 80_000
"""Letters of one output: a picture below 60 kB, with its words."""

MACHINE = re.compile(r"/(?:work|tmp|home|root|usr|Users|var|opt)/|[A-Z]:\\\\|site-packages|0x[0-9a-f]{6,}")
"""Paths and addresses of a machine."""


def code_cells(notebook):
    return [cell for cell in notebook.cells if cell.cell_type == "code"]


def shows_something(source):
    """Return whether a cell ends in an expression, or prints."""
    body = ast.parse(source).body
    prints = any(
        isinstance(node, ast.Call) and getattr(node.func, "id", "") == "print"
        for node in ast.walk(ast.parse(source))
    )
    return prints or isinstance(body[-1], ast.Expr)


def kinds_of(cell):
    """Return what a cell put out: for each output its type and its MIME types."""
    return [
        (output.output_type, output.get("name", ""), tuple(sorted(output.get("data", {}))))
        for output in cell.outputs
    ]


@pytest.fixture(scope="module", params=NAMES)
def stored(request):
    return request.param, read(request.param)


def test_the_folder_holds_these_five_and_nothing_else():
    assert sorted(path.name for path in FOLDER.glob("*.ipynb")) == [f"{name}.ipynb" for name in NAMES]


def test_it_runs_and_puts_out_what_is_stored(stored):
    name, notebook = stored
    fresh = clean(execute(read(name)))
    for old, new in zip(code_cells(notebook), code_cells(fresh), strict=True):
        # Kind, not content: a picture's bytes depend on the library that packs them.
        assert kinds_of(old) == kinds_of(new), f"{name}, cell {old.id}: run tests/notebooks/refresh.py"
        assert not any(kind == "error" for kind, _, _ in kinds_of(new))


def test_every_cell_that_shows_something_has_it_stored(stored):
    name, notebook = stored
    for cell in code_cells(notebook):
        assert bool(cell.outputs) == shows_something(cell.source), f"{name}, cell {cell.id}"
        assert cell.execution_count, f"{name}, cell {cell.id} was never run"


def test_cells_were_run_from_top_to_bottom(stored):
    _, notebook = stored
    counts = [cell.execution_count for cell in code_cells(notebook)]
    assert counts == list(range(1, len(counts) + 1))


def test_stored_outputs_are_small_and_clean(stored):
    name, notebook = stored
    assert (FOLDER / f"{name}.ipynb").stat().st_size < MOST_BYTES
    for cell in code_cells(notebook):
        for output in cell.outputs:
            assert output.output_type in {"stream", "execute_result", "display_data"}
            assert output.get("name", "stdout") == "stdout", f"{name}, cell {cell.id} warns: {output.text}"
            words = str(output.get("text", "")) + "".join(
                str(data) for kind, data in output.get("data", {}).items() if kind.startswith("text/")
            )
            assert not MACHINE.search(words), f"{name}, cell {cell.id}"
            assert sum(len(str(data)) for data in output.get("data", {}).values()) < MOST_OUTPUT


def test_nothing_is_stored_that_changes_from_run_to_run(stored):
    _, notebook = stored
    assert set(notebook.metadata) == {"kernelspec", "language_info"}
    assert notebook.metadata.kernelspec.name == "python3"
    assert all(not cell.metadata for cell in notebook.cells)
    ids = [cell.id for cell in notebook.cells]
    assert len(set(ids)) == len(ids)


def test_cells_call_the_facade_and_stay_short(stored):
    name, notebook = stored
    for cell in code_cells(notebook):
        assert len(cell.source.splitlines()) <= 22, f"{name}, cell {cell.id}"
        for node in ast.walk(ast.parse(cell.source)):
            if isinstance(node, ast.ImportFrom):
                assert node.module in {"dataclasses", "pathlib", "tempfile"}
            if isinstance(node, ast.Import):
                assert [alias.name for alias in node.names] == ["palette"]
            # One step below the façade would be a room.
            if (
                isinstance(node, ast.Attribute)
                and isinstance(node.value, ast.Name)
                and node.value.id == "palette"
            ):
                assert node.attr in ast_public_names(), f"{name}, cell {cell.id}: palette.{node.attr}"


def ast_public_names():
    import palette

    return set(palette.__all__)


def test_links_between_the_notebooks_lead_somewhere(stored):
    _, notebook = stored
    for cell in notebook.cells:
        if cell.cell_type == "markdown":
            for target in re.findall(r"\]\(([^)]+)\)", cell.source):
                assert (FOLDER / target).exists(), target
