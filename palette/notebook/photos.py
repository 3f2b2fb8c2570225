"""Photos, and what was read on them."""

from __future__ import annotations

from palette.colour import D65_WHITE, xyz_of_lab
from palette.inspection import (
    Comparison,
    PhotoReading,
    PhotoVerdict,
    SwatchReading,
    draw_findings,
    judge_reading,
)
from palette.notebook.shown import Shown, chips, listing, paragraph, table
from palette.preview import Preview
from palette.preview.tone import screen_colours
from palette.tracing import Photo

__all__ = ["show_comparison", "show_photo", "show_reading", "show_swatches", "show_verdict"]


def show_photo(photo: Photo) -> Shown:
    """Show a photo."""
    words = f"Photo {photo.source}, {photo.width_px} × {photo.height_px} pixels"
    return Shown(words=words, picture=lambda: Preview(image=photo.pixels, mm_per_px=1.0, light="photo"))


def show_reading(reading: PhotoReading) -> Shown:
    """Show the photo with its sections outlined and numbered, clashes tied, the paints below."""
    words = (
        f"{reading.photo.source} under {reading.light.id}: {len(reading.findings)} sections, "
        f"{len(reading.adjacency.neighbours)} borders, {len(reading.warnings)} notes"
    )
    return Shown(words=words, picture=lambda: draw_findings(reading, judge_reading(reading)))


def show_verdict(verdict: PhotoVerdict) -> Shown:
    """Show what is wrong on a photo, in sentences."""
    told = [
        f"{clash.a} and {clash.b} have one paint."
        if clash.difference == 0
        else f"{clash.a} and {clash.b} differ by only {clash.difference:.1f} CIEDE2000 under {clash.light}."
        for clash in verdict.clashes
    ]
    told += [breach.sentence for breach in verdict.depth]
    if verdict.hatch is not None and verdict.hatch.shows:
        told.append("The hatch's outline is plainer to see than the other gaps.")
    doubtful = [
        f"{clash.a} and {clash.b} may clash under {clash.light}; their swatches stop at the screen's limit."
        for clash in verdict.possible
    ]
    doubtful += [
        f"{near.a} and {near.b} stand only {near.hue_angle:.0f} degrees of hue apart under {near.light}."
        for near in verdict.near_hues
    ]
    headline = "Nothing clashes." if verdict.sound else "Something is wrong."
    markup = [paragraph("", bold=headline)]
    markup += [listing(told)] if told else []
    markup += [paragraph("Worth a look:"), listing(doubtful)] if doubtful else []
    return Shown(words=" ".join([headline, *told]), markup=tuple(markup))


def show_comparison(comparison: Comparison) -> Shown:
    """Show which sections are not as planned."""
    if comparison.as_planned:
        words = f"All {comparison.sections} sections are as planned."
        return Shown(words=words, markup=(paragraph(words),))
    told = [note.sentence for note in comparison.notes]
    is_or_are = "is" if len(told) == 1 else "are"
    headline = f"{len(told)} of {comparison.sections} sections {is_or_are} not as planned."
    return Shown(words=" ".join([headline, *told]), markup=(paragraph("", bold=headline), listing(told)))


def show_swatches(reading: SwatchReading) -> Shown:
    """Show paints as photographed, by day and under the lamps."""
    looks = [reading.daylight] + ([reading.blacklight] if reading.blacklight is not None else [])
    screens = [screen_colours(xyz_of_lab(look), white=D65_WHITE).tolist() for look in looks]
    rows = [
        (name, chips([tuple(screen[row]) for screen in screens])) for row, name in enumerate(reading.names)
    ]
    words = f"{len(reading.names)} swatches read: {', '.join(reading.names)}"
    heading = "by day, under the lamps" if len(looks) > 1 else "by day"
    markup = [table(("paint", heading), rows)]
    markup += [listing(reading.warnings)] if reading.warnings else []
    return Shown(words=words, markup=tuple(markup))
