"""Ways to begin: the demo, a drawing, measurements, a folder somebody zipped."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import palette
from palette.errors import InputError
from palette.page.documents import new_brief, set_brief_entry
from palette.page.folder import BRIEF, SCHEME, read_files
from palette.page.history import Files
from palette.page.zipping import files_from_zip

__all__ = [
    "Measured",
    "demo_files",
    "files_from_measurements",
    "files_from_upload",
    "generic_tables",
    "panel_name",
    "with_corrections",
    "with_panel",
]

PAINTS = "paints.toml"


def _demo_folder() -> Path:
    """Return the demo's folder: inside an installed package, or beside the code in a checkout."""
    package = Path(palette.__file__).parent
    inside = package / "data" / "canyon"
    return inside if inside.is_dir() else package.parent / "examples" / "canyon"


def demo_files() -> dict[str, bytes]:
    """Return the demo: a canyon wall, the hall's paints, the rules.

    Raises
    ------
    InputError
        This copy of palette came without it.
    """
    files = read_files(_demo_folder())
    if not files:
        raise InputError("demo", "this copy of palette came without it", "start from a drawing")
    return files


@lru_cache(maxsize=1)
def generic_tables() -> Mapping[str, Mapping[str, object]]:
    """Return the generic paints that ship with palette as a paint file writes them, by name."""
    import tomllib
    from importlib.resources import files as package_files

    text = (package_files("palette") / "data" / "paints" / "generic.toml").read_text("utf-8")
    return {str(table["name"]): table for table in tomllib.loads(text)["paint"]}


def with_panel(files: Files, panel: Mapping[str, bytes], *, name: str, entry: object) -> dict[str, bytes]:
    """Return a project with another panel: its shelf and rules stay, its scheme goes.

    `panel` are the files the panel consists of, `entry` what the brief says of it.
    """
    kept = {key: content for key, content in files.items() if key != SCHEME}
    kept.update(panel)
    if BRIEF in kept:
        return set_brief_entry(set_brief_entry(kept, "panel", entry), "name", name)
    kept[PAINTS] = demo_files()[PAINTS]
    kept[BRIEF] = new_brief(name, panel=entry, paints=PAINTS)  # type: ignore[arg-type]
    return kept


def files_from_upload(files: Files, name: str, data: bytes, *, size: str | None = None) -> dict[str, bytes]:
    """Return the project after somebody dropped a file: a drawing, a tape layout, a label image or a zip.

    Raises
    ------
    InputError
        The file is of another kind, or its first bytes are not what its name says.
    """
    suffix = Path(name).suffix.lower()
    if suffix == ".zip":
        return files_from_zip(data, where=name)
    if suffix not in (".svg", ".toml", ".png"):
        what = f'"{suffix}" is not a kind of file this page reads' if suffix else "its kind is not known"
        raise InputError(name, what, "drop an .svg drawing, a .toml layout, a .png label image or a .zip")
    if (suffix == ".png") != data.startswith(b"\x89PNG\r\n\x1a\n"):
        raise InputError(name, f"what is in it is not what {suffix} says", "save it again in that format")
    stored = f"wall{suffix}"
    entry: object = {"file": stored, "size": size} if size else stored
    return with_panel(files, {stored: data}, name=panel_name(name), entry=entry)


def panel_name(file: str) -> str:
    """Return a name for a panel from the name of its file."""
    words = Path(file).stem.replace("_", " ").replace("-", " ").strip()
    return words[:60] or "Wall"


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One rectangle from the tape: its name and four lengths as they were typed."""

    name: str
    left: str
    bottom: str
    width: str
    height: str
    role: str = "section"


def files_from_measurements(
    files: Files, name: str, size: str, rows: Sequence[Measured]
) -> dict[str, bytes]:
    """Return the project with a panel typed into the table, kept as a tape layout."""
    import tomlkit

    document = tomlkit.document()
    document["version"] = palette.FORMATS["wall"].version
    document["name"] = name
    document["size"] = size
    for role in ("section", "trim", "void"):
        tables = tomlkit.aot()
        for row in rows:
            if row.role == role:
                tables.append(_table(row))
        if len(tables):
            document[role] = tables
    for row in rows:
        if row.role == "hatch":
            document["hatch"] = _table(row)
    text = tomlkit.dumps(document).encode()
    return with_panel(files, {"wall.toml": text}, name=name, entry="wall.toml")


def _table(row: Measured):  # type: ignore[no-untyped-def]
    import tomlkit

    table = tomlkit.table()
    table.update(
        {"name": row.name, "left": row.left, "bottom": row.bottom, "width": row.width, "height": row.height}
    )
    return table


def with_corrections(files: Files, panel: palette.Panel, renamed: Mapping[str, str]) -> dict[str, bytes]:
    """Return the project with a corrected panel; sections that kept their names keep their paints."""
    from palette.page.renaming import with_sections_renamed

    changed = with_sections_renamed(files, renamed)
    changed["wall.svg"] = palette.panel_to_svg(panel).encode()
    return set_brief_entry(changed, "panel", "wall.svg")
