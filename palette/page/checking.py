"""A photo of the painted wall beside its scheme. Plain values."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

import palette
from palette.page.folder import SCHEME
from palette.page.history import Files
from palette.page.photo_reading import Corners, picture_uri
from palette.page.private_folder import PrivateFolder

__all__ = ["CheckedWall", "check_wall"]


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckedWall:
    """What a photo shows: sections not as planned, look-alikes that touch, the marked photo.

    `picture` is a data address; `light` the one the photo was judged under.
    """

    sections: int
    amiss: tuple[str, ...]
    clashes: tuple[str, ...]
    warnings: tuple[str, ...]
    light: str
    picture: str


def check_wall(files: Files, photo: palette.Photo, corners: Corners, *, light: str) -> CheckedWall:
    """Return how a photo of the painted wall compares with the project's scheme.

    Parameters
    ----------
    corners : sequence of (x, y)
        Of the wall, from top left clockwise, in pixels of the upright photo.
    light : str
        "daylight" or "blacklight"; the wall's own light of that kind is meant.

    Raises
    ------
    InputError
        The photo cannot be read as this wall; the sentence says how to shoot again.
    """
    with PrivateFolder() as private:
        private.lay_out(files)
        brief = palette.read_brief(private.path / "brief.toml")
        scheme = palette.read_scheme(private.path / SCHEME)
    own = next((each for each in brief.lights if each.kind == light), None)
    reading = palette.read_panel(
        photo,
        own or palette.light_by_name(light, where="Light of the photo"),
        paints=brief.paints,
        corners=np.array(corners, float),
        layout=brief.panel,
    )
    comparison = palette.compare_with_scheme(reading, scheme)
    verdict = palette.judge_reading(reading)
    here = [clash for clash in verdict.clashes if clash.light == reading.light.id]
    return CheckedWall(
        sections=comparison.sections,
        amiss=tuple(note.sentence for note in comparison.notes),
        clashes=tuple(
            palette.clash_sentence(reading, each.a, each.b, each.difference, each.light) + "."
            for each in here
        ),
        warnings=reading.warnings,
        light=reading.light.id,
        picture=picture_uri(palette.draw_findings(reading, verdict).image),
    )
