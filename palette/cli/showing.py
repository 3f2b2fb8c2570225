"""What a person, or a script, sees on the terminal."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

import palette

if TYPE_CHECKING:
    from rich.console import Console

__all__ = ["console", "describe_proof", "print_json", "print_table", "tell", "tell_paint_notes"]


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
        table.add_column(heading, justify="right" if numeric else "left")
    for row in rows:
        table.add_row(*(Text(cell) for cell in row))
    console().print(table)


def tell_paint_notes(paints: Iterable[palette.Paint]) -> None:
    """Say on standard error, a sentence each, what was changed or missed in reading paints."""
    for paint in paints:
        for note in palette.coating_notes(paint):
            sys.stderr.write(f"{note}\n")


_AIM_WORDS = {
    "preferences": ("Preferred rules are broken", "in {:.0f} places"),
    "weakest-pair": ("The weakest pair of neighbours differs", "by {:.1f} CIEDE2000"),
    "repeats": ("Sections of one paint stand apart", "by at least {:.0f} mm"),
    "balance": ("The most and the least used paint differ", "by {:.0f} sections"),
    "areas": ("The paint that covers most covers", "{:.0f} mm²"),
    "contrast": ("Neighbours differ on the whole", "by {:.1f} CIEDE2000"),
}


def describe_proof(proof: palette.Proof) -> list[str]:
    """Return one sentence for each level of a proof."""
    sentences = []
    for level in proof.levels:
        what, amount = _AIM_WORDS.get(level.aim, (level.aim, "{:.1f} " + level.unit))
        told = f"{what} {amount.format(level.value)}"
        if level.proven:
            sentences.append(f"{told}: proven best.")
        else:
            short = abs(level.bound - level.value) / max(abs(level.bound), 1e-9)
            best = amount.format(level.bound)
            stopped = f"stopped after {proof.seconds:.0f} s"
            sentences.append(f"{told}: within {short:.0%} of the best possible ({best}), {stopped}.")
    return sentences
