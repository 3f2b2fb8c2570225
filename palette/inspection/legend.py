"""The words below a marked photo: the verdict, the clashes, and which section has which paint."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from palette.colour import encode_srgb
from palette.inspection.reading import PhotoReading, listed_colours
from palette.inspection.verdict import PhotoVerdict
from palette.preview.canvas import load_font

if TYPE_CHECKING:
    from PIL.ImageFont import FreeTypeFont, ImageFont

__all__ = ["clash_sentence", "draw_legend"]

_GROUND, _INK, _SOFT = (250, 249, 246), (24, 24, 28), (110, 108, 104)
_RED, _AMBER = (205, 20, 38), (176, 106, 0)
_MOST_LINES = 14
_FINER = 2

Colour = tuple[int, int, int]


def clash_sentence(reading: PhotoReading, a: str, b: str, difference: float, light: str) -> str:
    """Return one clash in words.

    Parameters
    ----------
    reading : PhotoReading
    a, b : str
        Section ids.
    difference : float
        CIEDE2000.
    light : str

    Returns
    -------
    str
    """
    first, second = (reading.finding(k).paint for k in (a, b))
    if difference == 0:
        return f"{a} and {b} are both {first}"
    return f"{a} ({first}) and {b} ({second}) differ by only {difference:.1f} under {light}"


def draw_legend(reading: PhotoReading, verdict: PhotoVerdict, *, width_px: int) -> NDArray[np.uint8]:
    """Return the legend as a picture, uint8 of shape (H, width_px, 3)."""
    from PIL import Image, ImageDraw

    width = width_px * _FINER
    size = max(22.0, width / 62)
    line = 1.5 * size
    margin = 1.2 * size
    half = width / 2
    font = load_font(size)
    left = _verdict_lines(reading, verdict)
    left = [(part, colour) for text, colour in left for part in _wrap(text, font, half - 2.2 * margin)]
    right = _paint_lines(reading)
    wrapped = [(_wrap(text, font, half - 2.2 * margin - 2 * size), chip) for text, chip in right]
    rows = max(len(left), sum(len(parts) for parts, _ in wrapped))
    height = round(2 * margin + 2.0 * size + rows * line)
    height += height % _FINER
    image = Image.new("RGB", (width, height), _GROUND)
    pen = ImageDraw.Draw(image)
    pen.text(
        (margin, margin), _headline(reading, verdict), fill=_INK, font=load_font(1.25 * size), anchor="lm"
    )
    top = margin + 2.1 * size
    for k, (text, colour) in enumerate(left):
        pen.text((margin, top + k * line), text, fill=colour, font=font, anchor="lm")
    row = 0
    for parts, chip in wrapped:
        y = top + row * line
        x = half + 0.4 * margin
        if chip is not None:
            box = (x, y - 0.55 * size, x + 1.5 * size, y + 0.55 * size)
            pen.rectangle(box, fill=chip, outline=_SOFT, width=2)
        for part in parts:
            pen.text((x + 2.1 * size, top + row * line), part, fill=_INK, font=font, anchor="lm")
            row += 1
    return np.asarray(image.reduce(_FINER), np.uint8)[:, :width_px]


def _headline(reading: PhotoReading, verdict: PhotoVerdict) -> str:
    here = sum(1 for c in verdict.clashes if c.light == reading.light.id)
    sections, borders = len(reading.findings), len(reading.adjacency.neighbours)
    clashes = "no clash" if here == 0 else f"{here} clash{'es' if here > 1 else ''}"
    return f"{reading.panel.name}, {reading.light.id}: {sections} sections, {borders} borders, {clashes}"


def _verdict_lines(reading: PhotoReading, verdict: PhotoVerdict) -> list[tuple[str, Colour]]:
    lines: list[tuple[str, Colour]] = []
    told: set[tuple[str, str]] = set()
    for clash in verdict.clashes:
        here = clash.light == reading.light.id
        if not here and (clash.a, clash.b) in told:
            continue
        told.add((clash.a, clash.b))
        text = clash_sentence(reading, clash.a, clash.b, clash.difference, clash.light)
        lines.append((text + ".", _RED if here else _AMBER))
    if not verdict.clashes:
        lines.append(("All neighbours look different, in every light the list knows.", _INK))
    lines += [(breach.sentence, _RED) for breach in verdict.depth]
    if verdict.hatch is not None:
        shows = verdict.hatch.shows
        text = (
            "The hatch's outline is plainer than the other gaps."
            if shows
            else "The hatch's outline does not stand out."
        )
        lines.append((text, _RED if shows else _INK))
    if len(lines) > _MOST_LINES:
        rest = len(lines) - _MOST_LINES + 1
        lines = [*lines[: _MOST_LINES - 1], (f"and {rest} more, see the table.", _INK)]
    doubtful = [f.id for f in reading.findings if f.paint is None or f.confidence < 0.45]
    if doubtful:
        lines.append(("Not sure of the paint: " + ", ".join(doubtful) + ".", _SOFT))
    if any(colour == _AMBER for _, colour in lines):
        lines.append(("Red: alike in this light. Dashed: alike under the other one.", _SOFT))
    return lines


def _paint_lines(reading: PhotoReading) -> list[tuple[str, Colour | None]]:
    by_paint: dict[str | None, list[str]] = {}
    for found in reading.findings:
        by_paint.setdefault(found.paint, []).append(found.id)
    chips = _chips(reading)
    order = [name for name in chips if name in by_paint]
    lines: list[tuple[str, Colour | None]] = [
        (f"{name}: {', '.join(by_paint[name])}", chips[name]) for name in order
    ]
    if None in by_paint:
        lines.append((f"none of the list: {', '.join(by_paint[None])}", None))
    return lines


def _chips(reading: PhotoReading) -> dict[str, Colour]:
    """Return the colour of each paint's chip: the list's, or what the photo shows of a group."""
    if reading.appearance is not None:
        linear = listed_colours(reading.appearance, reading.light)
        names = reading.appearance.paints
    else:
        groups: dict[str, list[NDArray[np.float64]]] = {}
        for found in reading.findings:
            groups.setdefault(found.paint or "", []).append(found.linear)
        names = tuple(sorted(groups, key=lambda name: (len(name), name)))
        linear = np.array([np.mean(groups[name], axis=0) for name in names]).reshape(-1, 3)
    coded = encode_srgb(linear)
    return {name: (int(r), int(g), int(b)) for name, (r, g, b) in zip(names, coded, strict=True)}


def _wrap(text: str, font: FreeTypeFont | ImageFont, width: float) -> list[str]:
    parts: list[str] = []
    current = ""
    for word in text.split(" "):
        trial = f"{current} {word}".strip()
        if current and font.getlength(trial) > width:
            parts.append(current)
            current = word
        else:
            current = trial
    return [*parts, current]
