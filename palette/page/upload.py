"""A place to drop a file on, which is also a button."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

from nicegui import events, ui

from palette.page.guarding import MAX_UPLOAD_BYTES
from palette.page.tab import Tab

__all__ = ["upload"]

Take = Callable[[events.UploadEventArguments], Awaitable[None]]

_DROP = """
<q-btn flat no-caps class="drop" @click="props.pickFiles">{label}</q-btn>
<span class="drop-field" aria-hidden="true"><q-uploader-add-trigger /></span>
"""


def upload(tab: Tab, label: str, kinds: str, take: Take) -> ui.upload:
    """Add a place to drop a file on; pressed, it opens the file chooser. `label` is ours, never a name."""
    most = MAX_UPLOAD_BYTES // 2**20

    def refuse() -> None:
        tab.say(f"That file cannot be taken: it must be one of {kinds} and at most {most} MiB.")

    element = ui.upload(
        auto_upload=True, max_file_size=MAX_UPLOAD_BYTES, on_upload=take, on_rejected=refuse
    ).props(f"accept={kinds} flat bordered")
    # The library's own header has a button without a name; this one is a button as a whole.
    element.add_slot("header", _DROP.format(label=label))
    element.on_upload(element.reset)
    return element
