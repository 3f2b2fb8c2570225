"""``palette page``."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from palette.cli.showing import print_json, tell

if TYPE_CHECKING:
    from palette.page import Address

__all__ = ["register"]


def register(app: typer.Typer) -> None:
    """Add the command."""
    app.command("page")(page)


def page(
    folder: Annotated[Path, typer.Argument(help="The project folder; made with the first save.")] = Path(
        "my-wall"
    ),
    port: Annotated[
        int | None,
        typer.Option(
            help="The port to answer at; the first free one from 8430 if left out.",
            min=1,
            max=65535,
            show_default=False,
        ),
    ] = None,
    share: Annotated[
        bool,
        typer.Option("--share", help="Also answer to a phone in the same network; shows a code to scan."),
    ] = False,
    browser: Annotated[
        bool, typer.Option("--browser/--no-browser", help="Open the page in the browser.")
    ] = True,
    json: Annotated[bool, typer.Option("--json", help="Print one JSON object instead of a line.")] = False,
) -> None:
    """Do the whole evening's work on a page in the browser.

    Example: `palette page my-wall`
    """
    from palette.page import serve

    def ready(address: Address) -> None:
        if json:
            document = {"address": address.here, "shared": address.shared, "folder": str(folder)}
            print_json(document, "answer-page")
        else:
            tell(
                f"The page is at {address.here}",
                "It is yours alone: keep the address to yourself. Ctrl-C ends it.",
            )
            if address.shared:
                import segno

                tell(f"On the phone: {address.shared}")
                segno.make(address.shared).terminal(compact=True)
        if browser:
            import webbrowser

            webbrowser.open(address.opening)

    def complain(sentence: str) -> None:
        sys.stderr.write(f"{sentence}\n")

    serve(folder, port=port, share=share, on_ready=ready, on_fault=complain)
