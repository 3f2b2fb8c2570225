"""The address of the page for a phone in the workshop, as a code to scan."""

from __future__ import annotations

from nicegui import ui

from palette.page.controls import button, words
from palette.page.tab import Tab

__all__ = ["show_share"]


def show_share(tab: Tab, address: str) -> None:
    """Show the address and its code."""
    import segno

    code = segno.make(address, error="m")
    with tab.dialog("Open this page on a phone", style="paper desk share") as dialog:
        words("On a phone in the same network", tag="h3")
        ui.image(code.png_data_uri(scale=8, border=4)).classes("code").props["alt"] = (
            "Code to scan with the phone"
        )
        words(address, style="address")
        words("Whoever has this address can change this wall until the page is closed.", style="note")
        button("Close", dialog.close, style="act")
