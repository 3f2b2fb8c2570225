"""The command line: parse, call one verb of the façade, show the answer.

Each command is a module with a ``register(app)``. Exit codes: 0 done, 1 no scheme or a broken
rule, 2 wrong input.
"""

from __future__ import annotations

import io
import os
import sys
from importlib.metadata import version
from typing import Annotated

import typer

from palette.cli import (
    assign,
    batch,
    buy,
    check,
    compare,
    lamps,
    neighbours,
    page,
    paints,
    photo,
    plan,
    preview,
    repaint,
    rules,
    swatches,
)
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

for command in (
    neighbours, assign, check, preview, rules, buy, paints, page, plan, lamps,
    photo, compare, repaint, swatches, batch,
):  # fmt: skip
    command.register(app)


def _tell_version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"palette {version('slabglow')}")
        raise typer.Exit


@app.callback()
def common(
    show_version: Annotated[
        bool,
        typer.Option(
            "--version", help="Print the version and stop.", callback=_tell_version, is_eager=True
        ),
    ] = False,
) -> None:
    """Decide which section of a UV-painted wall panel gets which paint, and prove it."""


def main() -> None:
    """Run the command line; every error a person can cause is one sentence and an exit code."""
    _speak_utf8()
    try:
        try:
            app()
        finally:
            sys.stdout.flush()
    except PaletteError as fault:
        sys.stderr.write(f"{fault}\n")
        raise SystemExit(2 if isinstance(fault, InputError) else 1) from None
    except BrokenPipeError:
        # The reader of a pipe went away: nobody is left to tell.
        _be_silent()
        raise SystemExit(1) from None
    except OSError as fault:
        _be_silent()
        sys.stderr.write(f"standard output: it cannot be written ({fault.strerror}); free some space.\n")
        raise SystemExit(2) from None


def _speak_utf8() -> None:
    # A pipe or an old console may be set to a narrow code page, in which a name cannot be said.
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper) and "utf" not in stream.encoding.lower():
            stream.reconfigure(encoding="utf-8", errors="replace")


def _be_silent() -> None:
    # What is still buffered would fail once more when Python ends (as its own documentation advises).
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
