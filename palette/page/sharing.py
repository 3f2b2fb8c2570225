"""The address of the page for a phone in the workshop, as a code to scan."""

from __future__ import annotations

from nicegui import ui

from palette.page.controls import button, words

__all__ = ["show_share"]


def show_share(address: str) -> None:
    """Show the address and its code."""
    import segno

    code = segno.make(address, error="m")
    with ui.dialog(value=True) as dialog, ui.element("div").classes("paper share"):
        dialog.props["aria-label"] = "Open this page on a phone"
        words("On a phone in the same network", tag="h3")
        ui.image(code.png_data_uri(scale=8, border=4)).classes("code").props["alt"] = (
            "Code to scan with the phone"
        )
        words(address, style="address")
        words("Whoever has this address can change this wall until the page is closed.", style="note")
        button("Close", dialog.close, style="act")
