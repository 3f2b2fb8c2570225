"""What there is to know about the paints on a shelf before planning with them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from palette.appearance import Appearance, appearance_of
from palette.coat_table import CoatTable, tabulate_coats
from palette.coating import coating_notes, looks_of, surfaces_of
from palette.colour import Array, difference, lab_of_xyz
from palette.light import Light, light_unit, spectrum_of, white_of
from palette.likeness import likeness_sentence, look_alike
from palette.paint import Paint
from palette.paint_parameters import parameters_to_table

__all__ = [
    "CoatAdvice",
    "LookalikePair",
    "SwatchStudy",
    "study_paints",
    "study_to_dict",
]

# Blotches: an evening's brushwork varies by a fifth; a soft-edged patch is noticed from about
# 3 CIEDE2000, and one coat more is not seen below 1 (both from memory).
_UNEVENNESS = 0.2
_BLOTCH_SEEN = 3.0
_COAT_SEEN = 1.0
_MOST_COATS = 6  # nobody gives seven

_CARD_GROUNDS = ("white", "wood", "black")


@dataclass(frozen=True, slots=True, kw_only=True)
class LookalikePair:
    """Two paints that look alike under at least one light.

    `differences` holds CIEDE2000 by light, in the order of the study's lights, `alike` whether
    they pass for one there (see `palette.likeness`).
    """

    a: str
    b: str
    differences: tuple[tuple[str, float], ...]
    alike: tuple[tuple[str, bool], ...]

    def sentence(self) -> str:
        """Return the pair in words, like "moss and fern: far apart under D65, twins under led-395"."""
        return likeness_sentence(self.a, self.b, dict(self.differences), dict(self.alike))


@dataclass(frozen=True, slots=True, kw_only=True)
class CoatAdvice:
    """How many coats of a paint are worth it, over white.

    Parameters
    ----------
    paint : str
    even_from : int or None
        From this number of coats a film a fifth too thin or too thick is not noticed under any
        of the lights; None where six coats are not enough.
    enough_at : int or None
        From this number of coats one more changes nothing that is seen; None likewise.
    blotch : float
        CIEDE2000 of such unevenness at the paint's own number of coats.
    """

    paint: str
    even_from: int | None
    enough_at: int | None
    blotch: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SwatchStudy:
    """Looks, likeness, brightness and coats of a set of paints.

    Parameters
    ----------
    paints : tuple of Paint
    lights : tuple of Light
    appearance : Appearance
        Each paint in its own coats on its own ground.
    table : CoatTable
        Other coats and grounds.
    lookalikes : tuple of LookalikePair
        The most alike first.
    brightest_first : tuple of (str, tuple of str)
        Paint ids by light.
    advice : tuple of CoatAdvice
        How many coats are worth it.
    notes : tuple of str
        Sentences about how the paints were read.
    """

    paints: tuple[Paint, ...]
    lights: tuple[Light, ...]
    appearance: Appearance
    table: CoatTable
    lookalikes: tuple[LookalikePair, ...]
    brightest_first: tuple[tuple[str, tuple[str, ...]], ...]
    advice: tuple[CoatAdvice, ...]
    notes: tuple[str, ...]


def study_paints(paints: Sequence[Paint], lights: Sequence[Light]) -> SwatchStudy:
    """Return what a swatch card shows.

    Parameters
    ----------
    paints : sequence of Paint
    lights : sequence of Light

    Returns
    -------
    SwatchStudy

    Raises
    ------
    InputError
        A paint's look under one of the lights is not known.

    Examples
    --------
    >>> lights = [palette.light_by_name("D65"), palette.light_by_name("led-365")]
    >>> study = palette.study_paints(palette.generic_paints(), lights)
    >>> study.brightest_first[1][1][0]  # under the blacklight
    'generic fluorescent yellow'
    """
    appearance = appearance_of(paints, lights)
    filmed = [paint for paint in paints if paint.matrix is None]
    order = tuple(
        (
            light,
            tuple(appearance.paints[k] for k in np.argsort(-appearance.xyz[:, column, 1], kind="stable")),
        )
        for column, light in enumerate(appearance.lights)
    )
    return SwatchStudy(
        paints=tuple(paints),
        lights=tuple(lights),
        appearance=appearance,
        table=tabulate_coats(paints, lights, grounds=_CARD_GROUNDS),
        lookalikes=_lookalikes(appearance),
        brightest_first=order,
        advice=tuple(_advice(paint, lights) for paint in filmed),
        notes=tuple(note for paint in paints for note in coating_notes(paint)),
    )


def _lookalikes(appearance: Appearance) -> tuple[LookalikePair, ...]:
    tables = {light: appearance.differences(light) for light in appearance.lights}
    alike = {
        light: look_alike(appearance.lab[:, column], tables[light])
        for column, light in enumerate(appearance.lights)
    }
    weakest = np.min([tables[light] for light in appearance.lights], axis=0)
    somewhere = np.any([alike[light] for light in appearance.lights], axis=0)
    pairs = [
        (float(weakest[p, q]), p, q)
        for p in range(len(appearance.paints))
        for q in range(p + 1, len(appearance.paints))
        if somewhere[p, q]
    ]
    return tuple(
        LookalikePair(
            a=appearance.paints[p],
            b=appearance.paints[q],
            differences=tuple((light, float(tables[light][p, q])) for light in appearance.lights),
            alike=tuple((light, bool(alike[light][p, q])) for light in appearance.lights),
        )
        for _, p, q in sorted(pairs)
    )


def _advice(paint: Paint, lights: Sequence[Light]) -> CoatAdvice:
    counts = np.arange(1, _MOST_COATS + 2)
    thin, thick = 1 - _UNEVENNESS, 1 + _UNEVENNESS
    amounts = sorted(
        {float(n) for n in counts} | {float(n) * part for n in counts for part in (thin, thick)}
    )
    labs = _labs(paint, amounts, lights)
    place = {amount: k for k, amount in enumerate(amounts)}

    def apart(one: float, other: float) -> float:
        return float(difference(labs[place[one]], labs[place[other]]).max())

    blotch = [max(apart(n, n * thin), apart(n, n * thick)) for n in map(float, counts[:-1])]
    more = [apart(n, n + 1) for n in map(float, counts[:-1])]
    own = min(paint.coats, _MOST_COATS)
    return CoatAdvice(
        paint=paint.id,
        even_from=next((k + 1 for k, value in enumerate(blotch) if value < _BLOTCH_SEEN), None),
        enough_at=next((k + 1 for k, value in enumerate(more) if value < _COAT_SEEN), None),
        blotch=blotch[own - 1],
    )


def _labs(paint: Paint, amounts: Sequence[float], lights: Sequence[Light]) -> Array:
    """Return Lab of films on white, shape (amounts, lights, 3)."""
    surfaces = surfaces_of(paint, amounts, ("white",))[:, 0]
    return np.stack([lab_of_xyz(looks_of(surfaces, light), white_of(light)) for light in lights], axis=1)


def study_to_dict(study: SwatchStudy) -> dict[str, object]:
    """Return a study as JSON holds it: a row for every paint and light, then the findings.

    X, Y, Z: by day the perfect white has Y = 100. Under a blacklight they are 100 times what
    leaves for each unit of irradiance, so that the luminance of a wall is 683 / (100 pi) Y cd/m²
    per W/m² (CIE 1931, radiance factor 1 of a perfect white being 1 / pi). L, a, b are relative
    to the light's `white`; `Y_relative` is Y over that of the brightest paint.

    Parameters
    ----------
    study : SwatchStudy

    Returns
    -------
    dict
    """
    appearance = study.appearance
    scale = [100.0 * _unit(light) for light in study.lights]
    rows: list[dict[str, object]] = []
    for row, paint in enumerate(appearance.paints):
        for column, light in enumerate(appearance.lights):
            xyz = appearance.xyz[row, column] * scale[column]
            total = float(xyz.sum())
            lab = appearance.lab[row, column]
            rows.append(
                {
                    "paint": paint,
                    "light": light,
                    **{key: round(float(v), 6) for key, v in zip("XYZ", xyz, strict=True)},
                    "x": round(float(xyz[0]) / total, 6) if total > 0 else None,
                    "y": round(float(xyz[1]) / total, 6) if total > 0 else None,
                    **{key: round(float(v), 4) for key, v in zip("Lab", lab, strict=True)},
                    "Y_relative": round(float(appearance.relative_luminance(light)[row]), 6),
                }
            )
    return {
        "looks": rows,
        "lights": [
            {
                "light": light.id,
                "kind": light.kind,
                "white": [round(float(v) * scale[k], 6) for v in appearance.white_xyz[k]],
            }
            for k, light in enumerate(study.lights)
        ],
        "lookalikes": [
            {
                "paints": [pair.a, pair.b],
                "differences": dict(pair.differences),
                "alike_under": [light for light, same in pair.alike if same],
                "sentence": pair.sentence(),
            }
            for pair in study.lookalikes
        ],
        "brightest_first": {light: list(order) for light, order in study.brightest_first},
        "coats": [
            {
                "paint": advice.paint,
                "even_from": advice.even_from,
                "enough_at": advice.enough_at,
                "blotch": round(advice.blotch, 2),
            }
            for advice in study.advice
        ],
        "parameters": {
            paint.id: parameters_to_table(paint.parameters)
            for paint in study.paints
            if paint.parameters is not None
        },
        "notes": list(study.notes),
    }


def _unit(light: Light) -> float:
    """Return the Y, for each unit the scale of `study_to_dict` has, of a light's white."""
    return 1.0 if light.kind == "daylight" else light_unit(light) / float(spectrum_of(light).sum())
