"""Whether a folder is whole: every file readable to its end and true to its schema."""

from __future__ import annotations

import io
import json
from functools import cache
from pathlib import Path

import jsonschema
from referencing import Registry, Resource

import palette

__all__ = ["check_files", "contents", "open_project"]

_SCHEMAS = {"scheme.json": "scheme", "page.json": "page", "photo.json": "photo"}


@cache
def _all_schemas() -> Registry:
    # One schema names parts of another.
    kinds = ((f"{name}.schema.json", palette.read_schema(name)) for name in palette.FORMATS)
    return Registry().with_resources((name, Resource.from_contents(schema)) for name, schema in kinds)


def contents(folder: Path) -> dict[str, bytes]:
    """Return every file of a folder that is not a waiting one."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in sorted(folder.rglob("*"))
            if path.is_file() and not path.name.startswith(".palette.")}  # fmt: skip


def check_files(folder: Path) -> None:
    """Read every file of a folder to its end.

    Raises
    ------
    Exception
        Whatever its reader says of a file that is not whole.
    """
    for name, content in contents(folder).items():
        path = Path(name)
        if path.name in _SCHEMAS:
            schema = palette.read_schema(_SCHEMAS[path.name])
            jsonschema.Draft202012Validator(schema, registry=_all_schemas()).validate(json.loads(content))
        elif path.suffix == ".png":
            from PIL import Image

            with Image.open(io.BytesIO(content)) as picture:
                picture.load()
        elif path.suffix == ".pdf":
            from pypdf import PdfReader

            assert len(PdfReader(io.BytesIO(content), strict=True).pages), name
        elif path.suffix == ".svg":
            from defusedxml.ElementTree import fromstring

            fromstring(content)
        elif path.name == "paints.toml":
            palette.read_paints(folder / name)
        assert content, f"{name} is empty"


def open_project(folder: Path) -> dict[str, bytes]:
    """Open a project as the page does, with all that it means; return its files."""
    from palette.page.sitting import Sitting

    sitting = Sitting(folder)
    try:
        sitting.open()
        assert not sitting.fault, sitting.fault
        assert sitting.history.undoable is None
        assert sitting.history.redoable is None, "the evening's history begins with its opening"
        return dict(sitting.files)
    finally:
        sitting.close()
