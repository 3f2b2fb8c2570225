"""From photos of painted swatches to a paint description."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from palette.colour import Array, lab_of_xyz
from palette.errors import InputError
from palette.formats import FORMATS
from palette.tracing import Photo, SquaredPhoto, find_fields, square_photo
from palette.tracing.evening import sample_sections
from palette.tracing.pixels import XYZ_OF_LINEAR

__all__ = ["CARDS", "SwatchReading", "read_swatches", "swatches_to_toml"]

CARDS = {"gray card": 0.18, "grey card": 0.18, "white card": 0.9}
"""Names a reference card is called by, and its reflectance: common practice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SwatchReading:
    """Paints as photographed on a board.

    Parameters
    ----------
    names : tuple of str
    daylight : ndarray, shape (N, 3)
        CIELAB against D65.
    blacklight : ndarray, shape (N, 3), or None
        The same; None without a blacklight photo.
    warnings : tuple of str
        Sentences.
    """

    names: tuple[str, ...]
    daylight: Array
    blacklight: Array | None
    warnings: tuple[str, ...]


def read_swatches(
    daylight: Photo,
    corners: Array,
    names: Sequence[str],
    *,
    blacklight: Photo | None = None,
    blacklight_corners: Array | None = None,
) -> SwatchReading:
    """Return the colours of a board of swatches.

    Parameters
    ----------
    daylight : Photo
        The board with a gray or white card among the swatches.
    corners : ndarray, shape (4, 2)
        The board's, from top left clockwise, in pixels of the upright photo.
    names : sequence of str
        Row by row from the top, each row from the left; the card is "gray card" or "white card".
    blacklight : Photo or None
        The same board under the lamps; `blacklight_corners` where they are not the same.
    blacklight_corners : ndarray, shape (4, 2), or None
        As `corners`, on the blacklight photo, where they differ.

    Returns
    -------
    SwatchReading

    Raises
    ------
    InputError
        The names do not match what is seen, or the card is missing: the message says what to add.

    Notes
    -----
    In daylight the card sets exposure and white balance. Under the lamps it is nearly black and can
    set neither: there the strongest channel of the whole board is 1, as in any blacklight swatch,
    and the balance is left as the camera had it.
    """
    squared = square_photo(daylight, corners)
    labels = find_fields(squared.pixels).labels
    count = int(labels.max(initial=0))
    cards = [k for k, name in enumerate(names) if name.strip().lower() in CARDS]
    where = daylight.source
    if not cards:
        what = "no gray or white card is among the names"
        raise InputError(where, what, 'lay one beside the swatches and name it "gray card" or "white card"')
    if count != len(names):
        what = f"{count} swatches are seen, but {len(names)} names are given"
        mend = "name every swatch and the card row by row, with black between them so that they part"
        raise InputError(where, what, mend)
    seen = _colours(squared, labels, count)
    warnings: list[str] = []
    card = cards[0]
    if seen[card].max() > 0.93 or seen[card].max() < 0.02:
        raise InputError(
            where, "the card is burnt out or too dark", "shoot again with exposure locked on it"
        )
    scale = CARDS[names[card].strip().lower()] / seen[card]
    kept = [k for k in range(count) if k not in cards]
    burnt = [names[k] for k in kept if seen[k].max() > 0.93]
    if burnt:
        told = ", ".join(burnt)
        warnings.append(
            f"Burnt out in daylight, so the real colour is stronger: {told}; shoot a stop darker."
        )
    day = lab_of_xyz((seen * scale)[kept] @ XYZ_OF_LINEAR.T)
    night = None
    if blacklight is None:
        warnings.append("There is no blacklight photo: the paints have daylight swatches only.")
    else:
        lit = square_photo(blacklight, corners if blacklight_corners is None else blacklight_corners)
        glow = _colours(lit, _resized(labels, lit), count)[kept]
        if glow.max() < 0.03:
            raise InputError(blacklight.source, "nothing glows in it", "shoot with the lamps on and longer")
        burnt = [names[k] for k, colour in zip(kept, glow, strict=True) if colour.max() > 0.93]
        if burnt:
            told = ", ".join(burnt)
            warnings.append(f"Burnt out under the lamps, so the hue is off: {told}; shoot a stop darker.")
        night = lab_of_xyz((glow / glow.max()) @ XYZ_OF_LINEAR.T)
    return SwatchReading(
        names=tuple(names[k] for k in kept), daylight=day, blacklight=night, warnings=tuple(warnings)
    )


def _resized(labels: np.ndarray, squared: SquaredPhoto) -> np.ndarray:
    import cv2

    height, width = squared.pixels.shape[:2]
    return np.asarray(cv2.resize(labels, (width, height), interpolation=cv2.INTER_NEAREST))


def _colours(squared: SquaredPhoto, labels: np.ndarray, count: int) -> Array:
    """Return the median linear sRGB of every swatch, shape (count, 3)."""
    samples = sample_sections(squared.pixels, labels, np.zeros(labels.shape, bool))
    found = np.zeros((count, 3))
    for number in range(1, count + 1):
        own = samples.linear[samples.surface == number]
        if len(own):
            found[number - 1] = np.median(own, axis=0)
    return found


def swatches_to_toml(reading: SwatchReading) -> str:
    """Return the paints as a paint file.

    Parameters
    ----------
    reading : SwatchReading

    Returns
    -------
    str
    """
    import json

    lines = [f"version = {FORMATS['paints'].version}", ""]
    for row, name in enumerate(reading.names):
        swatch = f"daylight = {_triple(reading.daylight[row])}"
        if reading.blacklight is not None:
            swatch += f", blacklight = {_triple(reading.blacklight[row])}"
        lines += [
            "[[paint]]",
            f"name = {json.dumps(name, ensure_ascii=False)}",
            f"swatch = {{ {swatch} }}",
            "",
        ]
    return "\n".join(lines)


def _triple(lab: Array) -> str:
    return "[" + ", ".join(f"{value:.1f}" for value in lab) + "]"
