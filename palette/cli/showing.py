"""What a person, or a script, sees on the terminal."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import palette

if TYPE_CHECKING:
    from rich.console import Console

__all__ = ["console", "print_json", "print_table", "tell", "tell_paint_notes"]


def console() -> Console:
    """Return the terminal; in a pipe rich leaves colours out by itself."""
    from rich.console import Console

    return Console(highlight=False, soft_wrap=not sys.stdout.isatty())


def tell(*lines: str) -> None:
    """Print plain lines; nothing in them is read as markup."""
    screen = console()
    for line in lines:
        screen.print(line, markup=False)


def print_json(document: Mapping[str, Any], kind: str) -> None:
    """Print one JSON object and nothing else; `kind` is its schema's name in `palette.FORMATS`."""
    stamped = palette.FORMATS[kind].stamp(document)
    sys.stdout.write(json.dumps(stamped, indent=2, ensure_ascii=False) + "\n")


def print_table(title: str, headings: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Print a table; headings that end in a unit, like "border mm", are set to the right."""
    from rich import box
    from rich.table import Table
    from rich.text import Text

    table = Table(title=title, box=box.SIMPLE_HEAD, title_justify="left")
    for heading in headings:
        numeric = heading.rsplit(" ", 1)[-1] in {"mm", "CIEDE2000", "L*", "litres", "m²"}
        table.add_column(heading, justify="right" if numeric else "left", overflow="fold")
    for row in rows:
        table.add_row(*(Text(cell) for cell in row))
    console().print(table)


def tell_paint_notes(paints: Iterable[palette.Paint]) -> None:
    """Say on standard error, a sentence each, what was changed or missed in reading paints."""
    for paint in paints:
        for note in palette.coating_notes(paint):
            sys.stderr.write(f"{note}\n")
