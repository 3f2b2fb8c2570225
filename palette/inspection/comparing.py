"""A photo of the finished panel against its scheme."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from palette.errors import InputError
from palette.inspection.reading import PhotoReading, listed_colours
from palette.scheme import Scheme

__all__ = ["Comparison", "SectionNote", "compare_with_scheme", "comparison_to_dict"]

_GROUND_SHOWS = 0.14
"""Part of white ground mixed into a section's colour from which the coat counts as thin. Judgement."""

_WEAK_GLOW = 0.72
"""Glow over the glow of the paint's other sections, or of the list, below which it counts as thin:
fluorescent paint gives about that of its full glow in one coat where two are meant. Judgement."""

_BLOTCHY = 2.2
"""Scatter of a section's colour over the usual one on this panel from which it counts as blotchy,
if it also is above `_VISIBLE`. Judgement."""

_VISIBLE = 0.06  # scatter, natural logarithm of light; judgement


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionNote:
    """One section that is not as planned.

    Parameters
    ----------
    section : str
    planned, painted : str
        Paint names; `painted` is None for none of the list.
    wrong : bool
        They differ.
    thin : bool
        The coat looks thin.
    blotchy : bool
        The coat looks uneven.
    ground : float or None
        Share of white ground that shows, 0 to 1; daylight only.
    glow : float or None
        Strength of its glow over what it should be, a share; blacklight only.
    blotch : float
        Its scatter over the usual one, a ratio.
    sentence : str
        For people.
    """

    section: str
    planned: str
    painted: str | None
    wrong: bool
    thin: bool
    blotchy: bool
    ground: float | None
    glow: float | None
    blotch: float
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Comparison:
    """What differs from the scheme.

    Parameters
    ----------
    notes : tuple of SectionNote
        Section by section, in the panel's order.
    sections : int
        How many were compared.
    """

    notes: tuple[SectionNote, ...]
    sections: int

    @property
    def as_planned(self) -> bool:
        """True when every section has its paint and none is thin or blotchy."""
        return not self.notes


def compare_with_scheme(reading: PhotoReading, scheme: Scheme) -> Comparison:
    """Return which sections got the wrong paint, and which look thin or blotchy.

    Parameters
    ----------
    reading : PhotoReading
        Read with the paint list and with the scheme's layout, so that sections keep their names.
    scheme : Scheme

    Returns
    -------
    Comparison

    Raises
    ------
    InputError
        The photo was read without a paint list, or it has other sections than the scheme.
    """
    appearance = reading.appearance
    if appearance is None:
        raise InputError(reading.photo.source, "it was read without a paint list", "give one with --paints")
    ids = [found.id for found in reading.findings]
    missing = [section for section in scheme.paint_of if section not in ids]
    unplanned = [section for section in ids if section not in scheme.paint_of]
    if missing or unplanned:
        named = ", ".join((missing or unplanned)[:6])
        side = (
            "the scheme has sections the photo lacks" if missing else "the photo has sections not planned"
        )
        mend = "read the photo with the layout of this scheme"
        raise InputError(reading.photo.source, f"{side}: {named}", mend)
    place = {paint: k for k, paint in enumerate(appearance.paints)}
    unknown = sorted({paint for paint in scheme.paint_of.values() if paint not in place})
    if unknown:
        what = f'the paint list has no "{unknown[0]}"'
        raise InputError("scheme", what, "give the paint list the scheme was made with")
    listed = listed_colours(appearance, reading.light)
    gains = reading.recognised.naming.gains
    usual = float(np.median([found.spread for found in reading.findings])) or 1e-6
    notes = []
    for row, found in enumerate(reading.findings):
        planned = scheme.paint_of[found.id]
        distance = reading.recognised.naming.distance[row]
        # A near tie between two look-alikes is no reason to send anyone up a ladder.
        wrong = found.paint != planned and bool(distance[place[planned]] - distance.min() > 4.0)
        expected = gains * listed[place[planned]]
        ground = glow = None
        thin = False
        if not wrong and reading.light.kind == "daylight":
            ground = _white_part(found.linear, expected, gains)
            thin = ground > _GROUND_SHOWS
        elif not wrong:
            glow = _glow(found.linear, expected)
            thin = glow < _WEAK_GLOW
        blotch = found.spread / usual
        blotchy = blotch > _BLOTCHY and found.spread > _VISIBLE
        if wrong or thin or blotchy:
            sentence = _sentence(found.id, planned, found.paint, wrong=wrong, thin=thin, blotchy=blotchy)
            notes.append(
                SectionNote(
                    section=found.id,
                    planned=planned,
                    painted=found.paint,
                    wrong=wrong,
                    thin=thin,
                    blotchy=blotchy,
                    ground=ground,
                    glow=glow,
                    blotch=round(blotch, 2),
                    sentence=sentence,
                )
            )
    return Comparison(notes=tuple(notes), sections=len(ids))


def _white_part(seen: np.ndarray, expected: np.ndarray, gains: np.ndarray) -> float:
    """Return the share of white ground that best explains a colour, 0 to 1.

    Only channels the camera did not burn out and the paint does not glow in: there white adds light.
    """
    white = 0.85 * gains
    use = (seen < 0.9) & (expected < 0.6 * white)
    if not use.any():
        return 0.0
    base = np.maximum(expected[use], 0.0)
    toward = white[use] - base
    share = float(np.dot(toward, seen[use] - base) / np.dot(toward, toward))
    return round(float(np.clip(share, 0.0, 1.0)), 2)


def _glow(seen: np.ndarray, expected: np.ndarray) -> float:
    """Return how strong a section glows over what is expected, by its strongest channel."""
    channel = int(np.argmax(expected))
    return round(float(seen[channel] / max(min(float(expected[channel]), 1.0), 1e-4)), 2)


def _sentence(
    section: str, planned: str, painted: str | None, *, wrong: bool, thin: bool, blotchy: bool
) -> str:
    if wrong:
        got = f"has {painted}" if painted is not None else "has none of the listed paints"
        return f"{section} {got}, planned was {planned}."
    faults = " and ".join(word for word, is_so in (("thin", thin), ("blotchy", blotchy)) if is_so)
    return f"{section} ({planned}) looks {faults}; give it another coat."


def comparison_to_dict(comparison: Comparison) -> dict[str, object]:
    """Return the comparison as JSON values: ``as_planned``, ``sections``, ``notes``.

    Parameters
    ----------
    comparison : Comparison

    Returns
    -------
    dict
    """
    return {
        "as_planned": comparison.as_planned,
        "sections": comparison.sections,
        "notes": [
            {
                "section": note.section,
                "planned": note.planned,
                "painted": note.painted,
                "wrong": note.wrong,
                "thin": note.thin,
                "blotchy": note.blotchy,
                "ground": note.ground,
                "glow": note.glow,
                "sentence": note.sentence,
            }
            for note in comparison.notes
        ],
    }
