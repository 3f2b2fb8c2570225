"""The edge of a panel that is painted already, for the seam of the one beside it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from palette.errors import InputError
from palette.layouts import read_layout
from palette.reading import take_text
from palette.references import find_named
from palette.rules import DEFAULT_EDGE_REACH_MM, edge_sections
from palette.scheme_file import read_scheme

__all__ = ["facing_from_files"]


def facing_from_files(table: Mapping[str, Any], folder: Path, *, where: str) -> dict[str, Any]:
    """Return a seam rule's table with the other panel's edge in place of its files.

    A seam may name a layout and its scheme (``panel``, ``scheme``); what of them stands at the
    edge that faces this panel becomes ``facing``.

    Raises
    ------
    InputError
        A file is missing or wrong, the scheme leaves out a section at that edge, or the table has
        ``facing`` already.
    """
    if "facing" in table:
        raise InputError(where, "it names the other panel and gives its edge as well", "keep one of them")
    panel = read_layout(find_named(folder, take_text(table, "panel", where=where)))
    scheme_file = find_named(folder, take_text(table, "scheme", where=where))
    paint_of = read_scheme(scheme_file).paint_of
    # What stands to the right of this panel faces it with its own left edge.
    side = "left" if table.get("side", "right") == "right" else "right"
    edging = edge_sections(
        panel.sections,
        side="left" if side == "left" else "right",
        at_mm=0.0 if side == "left" else panel.width_mm,
        height_mm=panel.height_mm,
        reach_mm=DEFAULT_EDGE_REACH_MM,
    )
    facing = []
    for edge in edging:
        if edge.section not in paint_of:
            what = f'the section "{edge.section}" at the {side} edge of {panel.name} has no paint'
            raise InputError(str(scheme_file), what, "name the scheme of that panel")
        low, high = panel.height_mm - edge.bottom_mm, panel.height_mm - edge.top_mm
        facing.append({"from": f"{low:.3f} mm", "to": f"{high:.3f} mm", "paint": paint_of[edge.section]})
    rest = {key: value for key, value in table.items() if key not in ("panel", "scheme")}
    return {**rest, "facing": facing}
