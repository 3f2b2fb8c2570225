"""Paints from photos of a board of swatches, one in each light, onto the shelf."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from functools import partial

from nicegui import events, run, ui
from nicegui.elements.mixins.text_element import TextElement

import palette
from palette.errors import InputError, PaletteError
from palette.page.controls import button, enable, field, words
from palette.page.documents import add_table
from palette.page.history import Files
from palette.page.photo_reading import open_photo
from palette.page.tab import Tab
from palette.page.upload import upload

__all__ = ["SwatchPhotos", "with_paints_of_board"]

_LIGHTS = {"daylight": "in daylight", "blacklight": "under blacklight"}
_KINDS = ".jpg,.jpeg,.png,.heic,.heif,.webp"


def with_paints_of_board(
    files: Files, photos: dict[str, palette.Photo], *, names: str, corners: dict[str, str]
) -> tuple[dict[str, bytes], palette.SwatchReading]:
    """Return the project with the paints of a board on its shelf, and what was read.

    Parameters
    ----------
    photos : dict
        Of the board, by "daylight" and "blacklight".
    names : str
        Row by row, commas between, the card among them.
    corners : dict
        Of the board by light, "x,y x,y x,y x,y" in pixels of the upright photo; empty in daylight:
        they are looked for; empty under blacklight: as in daylight.

    Raises
    ------
    InputError
        Something is missing or cannot be read; the sentence asks for it.
    """
    for light, told in _LIGHTS.items():
        if light not in photos:
            raise InputError("The board", f"there is no photo of it {told}", "drop one: a paint needs both")
    given = [" ".join(name.split())[:60] for name in names.split(",")]
    if not all(given):
        what = "a name is missing" if any(given) else "the swatches have no names yet"
        raise InputError("Names", what, "write them row by row with commas between, the card too")
    day, lit = photos["daylight"], photos["blacklight"]
    typed = {light: corners.get(light, "").strip() for light in _LIGHTS}
    if typed["daylight"]:
        outline = palette.parse_corners(typed["daylight"], where="Corners in daylight")
    else:
        guess = palette.find_corners(day)
        if not guess.sure:
            what = "the corners of the board are not found for certain"
            raise InputError(day.source, what, "type them, from top left clockwise")
        outline = guess.corners
    if typed["blacklight"]:
        lit_outline = palette.parse_corners(typed["blacklight"], where="Corners under blacklight")
    elif (day.width_px, day.height_px) == (lit.width_px, lit.height_px):
        lit_outline = outline
    else:
        what = "it is not as large as the daylight photo, so the board's corners are elsewhere"
        raise InputError(lit.source, what, "type its corners under blacklight too")
    reading = palette.read_swatches(day, outline, given, blacklight=lit, blacklight_corners=lit_outline)
    changed = dict(files)
    for table in tomllib.loads(palette.swatches_to_toml(reading))["paint"]:
        changed = add_table(changed, "paint", table)
    return changed, reading


class SwatchPhotos:
    """Two photos to drop, the names of what is on them, and a button."""

    def __init__(self, tab: Tab) -> None:
        self._tab = tab
        self._photos: dict[str, palette.Photo] = {}
        self._held: dict[str, TextElement] = {}
        self._corners: dict[str, ui.input] = {}
        with ui.element("details").classes("can") as self.box:
            with ui.element("summary"):
                words("Paints from a photo of swatches", tag="span", style="can-title")
            with ui.element("div").classes("stack can-board"):
                words(
                    "Paint swatches on a board with black between them and a gray or white card among them."
                    " Photograph it in both lights from the same spot.",
                    style="note",
                )
                for light, told in _LIGHTS.items():
                    upload(tab, f"Drop the board {told} here", _KINDS, partial(self._take, light))
                    self._held[light] = words("", style="note")
                    self._held[light].props["aria-live"] = "polite"
                self._names = field("Names, row by row", "", lambda _: None, hint="moss, coral, gray card")
                for light, told in _LIGHTS.items():
                    label = f"Corners of the board {told}, in pixels"
                    hint = (
                        "80,60 1500,70 1490,1120 90,1110; empty: looked for"
                        if light == "daylight"
                        else "empty: as in daylight"
                    )
                    self._corners[light] = field(label, "", lambda _: None, hint=hint)
                self._go = button("Put its paints on the shelf", self._read, style="act")

    async def _take(self, light: str, event: events.UploadEventArguments) -> None:
        name = event.file.name
        data = await event.file.read()
        try:
            photo = await run.io_bound(open_photo, name, data)
        except PaletteError as fault:
            self._tab.say(str(fault))
            return
        if photo is not None:
            # Sentences name the photo as its owner does.
            self._photos[light] = replace(photo, source=name)
            size = f"{photo.width_px} by {photo.height_px} pixels"
            self._held[light].set_text(f"The board {_LIGHTS[light]}: {name}, {size}.")

    async def _read(self) -> None:
        sitting = self._tab.sitting
        before = sitting.files
        corners = {light: str(each.value or "") for light, each in self._corners.items()}
        enable(self._go, False)
        try:
            read = await run.io_bound(
                with_paints_of_board, before, dict(self._photos),
                names=str(self._names.value or ""), corners=corners,
            )  # fmt: skip
        except PaletteError as fault:
            self._tab.say(str(fault))
            return
        finally:
            enable(self._go, True)
        if read is None:
            return
        files, reading = read
        if sitting.files is not before:
            self._tab.say("The project changed meanwhile. Press the button again.")
            return
        count = len(reading.names)
        paints = f"{count} paint{'s' * (count != 1)}"
        if self._tab.change(f"added {paints} from a photo", files):
            told = f"Now on the shelf: {', '.join(reading.names)}. {' '.join(reading.warnings)}"
            self._tab.say(told.strip(), good=not reading.warnings)
