"""The photo on its way to a wall: four corners put in place, the size, the light."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import dataclass, replace
from functools import partial

from nicegui import events, run, ui

import palette
from palette.errors import PaletteError
from palette.page.controls import button, choice, enable, field, number_field, words
from palette.page.photo_reading import Corners, picture_uri, propose_corners, read_wall
from palette.page.tab import Tab

__all__ = ["Errand", "PhotoCorners", "PlacedPhoto", "begin_with_photo", "put_corners"]

_NAMES = ("top left", "top right", "bottom right", "bottom left")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlacedPhoto:
    """A photo with its wall's corners in place; `size` as written, "" where it is not asked for."""

    photo: palette.Photo
    corners: Corners
    size: str
    light: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Errand:
    """What the corners are put in place for.

    `use` says whether it is done; `go` is the button for it and `busy` what is said meanwhile.
    """

    go: str
    busy: str
    asks_size: bool
    use: Callable[[PlacedPhoto], Awaitable[bool]]


class PhotoCorners:
    """A photo with four corners to drag."""

    def __init__(self, tab: Tab, photo: palette.Photo, found: tuple[Corners, str], errand: Errand) -> None:
        self._tab, self._photo, self._errand = tab, photo, errand
        self._corners = [(float(x), float(y)) for x, y in found[0]]
        self._held: int | None = None
        self._size: ui.input | None = None
        self._light = "daylight"
        shown = min(1.0, 1600 / max(photo.pixels.shape[:2]))
        self._scale = photo.pixels.shape[1] * shown / photo.width_px
        label = "The corners of the wall on the photo"
        with tab.dialog(label, style="paper desk") as self._dialog:
            with ui.element("div").classes("row"):
                words("Where is the wall on the photo?", tag="h3")
                ui.element("div").classes("grow")
                button("Leave it", self._dialog.close, style="quiet")
                self._go = button(errand.go, self._act, style="act")
            told = "Drag each corner onto the wall's own corner."
            words(f"{found[1]}; check them. {told}" if found[1] else told, style="note")
            with ui.element("div").classes("row"):
                if errand.asks_size:
                    self._size = field("Size of the wall", "", lambda _: None, hint="96 in x 72 in")
                lights = {"daylight": "Taken in daylight", "blacklight": "Under blacklight"}
                choice("Light of the photo", lights, "daylight", self._set_light)
            self._busy = words("", style="note")
            self._busy.props["aria-live"] = "polite"
            with ui.element("div").classes("desk-parts"):
                self._picture = ui.interactive_image(
                    picture_uri(photo.pixels), events=["pointerdown", "pointermove", "pointerup"],
                    on_mouse=self._drag, sanitize=False,
                ).classes("desk-picture grab")  # fmt: skip
                # For the pointer only: the figures beside it say and do the same.
                self._picture.props["aria-hidden"] = "true"
                self._picture.style(f"--ratio: {photo.width_px / photo.height_px:.4f}")
                with ui.element("details").classes("desk-side"):
                    words("Type the corners instead", tag="summary")
                    self._fields = [self._typed(k) for k in range(4)]
        self._show()

    def _typed(self, corner: int) -> tuple[ui.number, ui.number]:
        with ui.element("div").classes("row"):
            words(_NAMES[corner].capitalize(), tag="span", style="note")
            pair = []
            for axis, word in ((0, "across"), (1, "down")):
                control = number_field("", None, partial(self._type, corner, axis), style="blank short")
                control.props["aria-label"] = f"Corner {_NAMES[corner]}, pixels {word}"
                pair.append(control)
        return pair[0], pair[1]

    def _set_light(self, light: str) -> None:
        self._light = light

    def _type(self, corner: int, axis: int, value: float | None) -> None:
        if value is not None:
            point = list(self._corners[corner])
            point[axis] = float(value)
            self._corners[corner] = (point[0], point[1])
            self._show()

    def _drag(self, event: events.MouseEventArguments) -> None:
        point = (event.image_x / self._scale, event.image_y / self._scale)
        if event.type == "pointerdown":
            away = [(x - point[0]) ** 2 + (y - point[1]) ** 2 for x, y in self._corners]
            self._held = away.index(min(away))
        if self._held is None:
            return
        width, height = self._photo.width_px, self._photo.height_px
        self._corners[self._held] = (min(max(point[0], 0.0), width), min(max(point[1], 0.0), height))
        if event.type == "pointerup" or not event.buttons:
            self._held = None
        self._show()

    def _show(self) -> None:
        corners = [(x * self._scale, y * self._scale) for x, y in self._corners]
        line = " ".join(f"{x:.1f},{y:.1f}" for x, y in corners)
        parts = [f'<polygon class="desk-line" points="{line}"/>']
        for number, (x, y) in enumerate(corners, 1):
            at = f'x="{x:.1f}" y="{y:.1f}"'
            parts.append(f'<circle class="desk-corner" cx="{x:.1f}" cy="{y:.1f}" r="22"/>')
            parts.append(f'<text class="desk-number" font-size="26" {at}>{number}</text>')
        self._picture.set_content("".join(parts))
        for (x, y), pair in zip(self._corners, self._fields, strict=True):
            pair[0].value, pair[1].value = round(x), round(y)

    async def _act(self) -> None:
        size = "" if self._size is None else str(self._size.value or "").strip()
        placed = PlacedPhoto(photo=self._photo, corners=list(self._corners), size=size, light=self._light)
        self._busy.set_text(self._errand.busy)
        enable(self._go, False)
        try:
            done = await self._errand.use(placed)
        except PaletteError as fault:
            self._tab.say(str(fault))
            return
        finally:
            self._busy.set_text("")
            enable(self._go, True)
        if done:
            self._dialog.close()


async def put_corners(tab: Tab, name: str, data: bytes, errand: Errand) -> None:
    """Open the corners of a photo somebody dropped."""
    from palette.page.photo_reading import open_photo

    try:
        photo = await run.io_bound(open_photo, name, data)
        if photo is None:
            return
        found = await run.io_bound(propose_corners, photo)
    except PaletteError as fault:
        tab.say(str(fault))
        return
    if found is not None:
        # Sentences name the photo as its owner does.
        PhotoCorners(tab, replace(photo, source=name), found, errand)


async def begin_with_photo(tab: Tab, name: str, data: bytes) -> None:
    """Make a wall of a photo somebody dropped."""
    sitting = tab.sitting

    async def use(placed: PlacedPhoto) -> bool:
        read = await run.io_bound(
            read_wall, sitting.files, name, data, placed.photo, placed.corners,
            size=placed.size, light=placed.light,
        )  # fmt: skip
        if read is None or not tab.attempt(lambda: sitting.act(f"read {name}", read.files)):
            return False
        tab.say(f"{read.sections} sections were found. {' '.join(read.warnings)}".strip(), good=True)
        return True

    busy = "Finding the sections; this takes a few seconds."
    await put_corners(tab, name, data, Errand(go="Find the sections", busy=busy, asks_size=True, use=use))
