"""Notebooks run from top to bottom by a kernel of this very Python, and cleaned for keeping."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

import nbformat
from jupyter_client.kernelspec import KernelSpecManager
from jupyter_client.manager import AsyncKernelManager
from nbclient import NotebookClient
from nbformat import NotebookNode

__all__ = ["FOLDER", "NAMES", "clean", "execute", "read", "write"]

FOLDER = Path(__file__).resolve().parents[2] / "notebooks"
NAMES = (
    "1-first-wall",
    "2-your-own-paints",
    "3-rules-and-reasons",
    "4-a-photo-checked",
    "5-lamps-and-looks",
)

_LONGEST_S = 300


def read(name: str) -> NotebookNode:
    """Return a stored notebook, checked against the format."""
    notebook = nbformat.read(FOLDER / f"{name}.ipynb", as_version=4)
    nbformat.validate(notebook)
    return notebook


def write(notebook: NotebookNode, name: str) -> None:
    """Store a notebook."""
    nbformat.validate(notebook)
    nbformat.write(notebook, FOLDER / f"{name}.ipynb")


def execute(notebook: NotebookNode) -> NotebookNode:
    """Run every cell in the notebooks' folder, as a reader does; raise CellExecutionError at a fault.

    The kernel is the one that came with ipykernel into this environment, whatever else a machine
    has registered, and knows no settings of a user's.
    """
    specs = KernelSpecManager(kernel_dirs=[str(Path(sys.prefix) / "share" / "jupyter" / "kernels")])
    with TemporaryDirectory() as settings:
        manager = AsyncKernelManager(kernel_name="python3", kernel_spec_manager=specs)
        client = NotebookClient(
            notebook,
            km=manager,
            timeout=_LONGEST_S,
            resources={"metadata": {"path": str(FOLDER)}},
        )
        client.execute(env={**os.environ, "IPYTHONDIR": settings})
    return notebook


def clean(notebook: NotebookNode) -> NotebookNode:
    """Take off everything that changes from run to run, so that a difference means something."""
    notebook.metadata = NotebookNode(
        kernelspec={"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"},
        language_info={"name": "python"},
    )
    for cell in notebook.cells:
        cell.metadata = NotebookNode()
        if cell.cell_type == "code":
            cell.outputs = _merged(cell.outputs)
    return notebook


def _merged(outputs: list[NotebookNode]) -> list[NotebookNode]:
    """Return outputs with what was printed in one piece; a kernel sends it in pieces of chance."""
    kept: list[NotebookNode] = []
    for output in outputs:
        if output.output_type == "stream" and kept and kept[-1].get("name") == output.name:
            kept[-1].text += output.text
        else:
            kept.append(output)
    return kept
