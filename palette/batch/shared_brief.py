"""A brief of its own for each wall, made from one that many walls share."""

from __future__ import annotations

from pathlib import Path

from palette.batch.named_files import find_namings
from palette.reading import read_toml_document
from palette.references import find_named, name_from

__all__ = ["brief_for_layout"]


def brief_for_layout(shared: Path, layout: Path, folder: Path) -> bytes:
    """Return the brief of one layout by the paints, lights, rules and aims of a shared brief.

    It is the shared brief with another panel and no name of its own, comments and all, its file
    names as seen from `folder`, where it is to lie.

    Raises
    ------
    InputError
        The shared brief cannot be read or is not TOML.
    """
    import tomlkit

    document = read_toml_document(shared)
    for key in ("panel", "panels", "gap", "name"):
        document.pop(key, None)
    for naming in find_namings(document):
        naming.rename(name_from(folder, find_named(shared.parent, naming.file)))
    made = tomlkit.document()
    made.add(tomlkit.comment(f"Made from {name_from(folder, shared)}: change it there, not here."))
    made.add("panel", tomlkit.item(name_from(folder, layout)))
    return (tomlkit.dumps(made) + tomlkit.dumps(document)).encode()
