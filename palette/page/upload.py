"""A place to drop a file on, which is also a button."""

from __future__ import annotations

import unicodedata
from collections.abc import Awaitable, Callable
from pathlib import PurePosixPath

from nicegui import events, ui

from palette.page.guarding import MAX_UPLOAD_BYTES
from palette.page.tab import Tab

__all__ = ["shown_name", "upload"]

_LONGEST_NAME, _LONGEST_SUFFIX = 80, 12

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

    def complain() -> None:
        tab.say("The file did not arrive whole. Drop it once more.")

    async def taken(event: events.UploadEventArguments) -> None:
        event.file.name = shown_name(event.file.name)
        await take(event)

    element = ui.upload(
        auto_upload=True, max_file_size=MAX_UPLOAD_BYTES, on_upload=taken, on_rejected=refuse
    ).props(f"accept={kinds} flat bordered")
    element.on("failed", complain, args=[])
    # The library's own header has a button without a name; this one is a button as a whole.
    element.add_slot("header", _DROP.format(label=label))
    element.on_upload(element.reset)
    return element


def shown_name(name: str) -> str:
    """Return the name of a file as it may stand in a sentence: one short line, read in one direction.

    Signs that cannot be seen go: a right-to-left override would show the end of a name as its beginning.
    """
    seen = "".join(sign for sign in name if unicodedata.category(sign)[0] != "C")
    plain = " ".join(seen.split()) or "The file"
    suffix = PurePosixPath(plain).suffix[:_LONGEST_SUFFIX]
    return plain if len(plain) <= _LONGEST_NAME else plain[: _LONGEST_NAME - len(suffix) - 1] + "…" + suffix
