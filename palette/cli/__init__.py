"""The command line: parse, call one verb of the façade, show the answer.

Each command is a module with a ``register(app)``. Exit codes: 0 done, 1 no scheme or a broken
rule, 2 wrong input.
"""

from __future__ import annotations

import sys

import typer

from palette.cli import assign, check, lamps, neighbours, page, paints, photo, plan, preview
from palette.errors import InputError, PaletteError

__all__ = ["app", "main"]

app = typer.Typer(
    name="palette",
    help="Decide which section of a UV-painted wall panel gets which paint, and prove it.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode="markdown",
    context_settings={"help_option_names": ["-h", "--help"]},
)

for command in (neighbours, assign, check, preview, paints, page, plan, lamps, photo):
    command.register(app)


def main() -> None:
    """Run the command line; every error a person can cause is one sentence and an exit code."""
    try:
        app()
    except PaletteError as fault:
        sys.stderr.write(f"{fault}\n")
        raise SystemExit(2 if isinstance(fault, InputError) else 1) from None
    except BrokenPipeError:
        # The reader of a pipe went away: nobody is left to tell.
        sys.stderr.close()
        raise SystemExit(1) from None
