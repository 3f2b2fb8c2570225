"""Evening out and naming, taken in turns: each tells the other what it lacks."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palette.colour import Array
from palette.light import LightKind
from palette.tracing.evening import (
    Samples,
    SectionColours,
    even_out,
    sample_sections,
    section_colours,
)
from palette.tracing.fields import Fields
from palette.tracing.grouping import group_colours
from palette.tracing.naming import Naming, name_sections

__all__ = ["Recognised", "group_sections", "recognise_paints"]

_ROUNDS = 3  # of light and names in turn; the third changes little


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Recognised:
    """What the colours of K sections say.

    `naming` against the paint list, or groups under made-up names; `colours` in even light;
    `spread` shape (K,): how far a section's samples scatter about its own even colour, as a part
    of it, slow changes of light taken out.
    """

    naming: Naming
    colours: SectionColours
    spread: Array


def recognise_paints(
    photo: NDArray[np.uint8], fields: Fields, listed: Array, kind: LightKind
) -> Recognised:
    """Return the paints of the sections of a squared photo.

    Parameters
    ----------
    photo : ndarray of uint8, shape (H, W, 3)
    fields : Fields
    listed : ndarray, shape (P, 3)
        Linear sRGB of the paints under the photo's light.
    kind : "daylight" or "blacklight"
        In daylight trim boards are taken to be near white, which tells exposure and balance.
    """
    count = int(fields.labels.max(initial=0))
    samples = sample_sections(photo, fields.labels, fields.trim)
    log_light = even_out(samples)
    colours = section_colours(samples, log_light, count)
    naming = name_sections(colours, listed, white=_white(colours, kind))
    for _ in range(_ROUNDS - 1):
        # A section that is none of the paints shares its constant with nobody.
        groups = [int(p) if p >= 0 else len(listed) + k for k, p in enumerate(naming.paint)]
        log_light = even_out(samples, groups)
        colours = section_colours(samples, log_light, count)
        again = name_sections(colours, listed, white=_white(colours, kind))
        settled = np.array_equal(again.paint, naming.paint)
        naming = again
        if settled:
            break
    return Recognised(naming=naming, colours=colours, spread=_spread(samples, log_light, count))


def group_sections(photo: NDArray[np.uint8], fields: Fields, kind: LightKind) -> Recognised:
    """Return the sections of a squared photo in as many groups as there seem to be paints."""
    count = int(fields.labels.max(initial=0))
    samples = sample_sections(photo, fields.labels, fields.trim)
    log_light = even_out(samples)
    for _ in range(2):
        colours = section_colours(samples, log_light, count)
        naming = group_colours(colours, _white(colours, kind))
        log_light = even_out(samples, naming.paint.tolist())
    colours = section_colours(samples, log_light, count)
    naming = group_colours(colours, _white(colours, kind))
    return Recognised(naming=naming, colours=colours, spread=_spread(samples, log_light, count))


def _white(colours: SectionColours, kind: LightKind) -> Array | None:
    board = colours.trim
    if kind != "daylight" or board is None or board.min() < 0.35 * board.max():
        return None
    return board


def _spread(samples: Samples, log_light: Array, count: int) -> Array:
    """Return the scatter of each section's samples, shape (count,)."""
    even = np.log(np.maximum(samples.linear.sum(axis=1), 1e-4)) - log_light
    spread = np.zeros(count)
    for number in range(1, count + 1):
        own = even[samples.surface == number]
        if len(own) > 3:
            low, high = np.percentile(own, [10, 90])
            spread[number - 1] = (high - low) / 2.56
    return spread
