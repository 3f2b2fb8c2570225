"""Parameters of a paint as people write them in a paint file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from palette.colour import xyz_of_swatch
from palette.errors import InputError
from palette.optics.parameters import Band, GlowParameters, Knots, PaintParameters, finish_of_parameters
from palette.optics.swatches import body_of_colour
from palette.reading import refuse_unknown_keys, take_number
from palette.spectrum import EXCITATION_NM

__all__ = ["parameters_from_table", "parameters_to_table"]

_GLOW_KEYS = ("peak", "width", "skew", "strength", "excitation", "bands")
_MOST_PAIRS = 1000  # 200 to 1000 nm, one by one
_MOST_BANDS = 20

_BAND_KEYS = ("peak", "width", "skew", "share")


def parameters_from_table(table: Mapping[str, Any], *, where: str) -> PaintParameters:
    """Return the parameters of the keys ``body`` and ``glow`` of a ``[[paint]]`` table.

    ``body``: the colour by reflection alone, ``"#rrggbb"``, ``[L, a, b]``, or a list of
    ``[nm, reflectance]``; a white one where it is left out. ``glow``: a table, or a list of
    them, with ``peak``, ``width`` (full width at half maximum, nm), ``strength`` (power given
    off over power received where it is excited best, 0 to 1) and, where known, ``skew``,
    ``excitation`` as a list of ``[nm, share]``, or several ``bands`` in place of one peak.

    Raises
    ------
    InputError
        A value is missing, out of range, or no paint can have it.
    """
    body = _body(table.get("body", "#f4f4f2"), where=f"{where}, body")
    given = table.get("glow", [])
    rows = given if isinstance(given, list) else [given]
    if len(rows) > _MOST_BANDS:
        raise InputError(f"{where}, glow", f"it has {len(rows):,} of them", f"write at most {_MOST_BANDS}")
    glows, faults = [], []
    for number, row in enumerate(rows, 1):
        here = f"{where}, glow" if len(rows) == 1 else f"{where}, glow {number}"
        try:
            glows.append(_glow(row, where=here))
        except InputError as fault:
            faults.append(fault)
    InputError.gather(faults)
    parameters = PaintParameters(body=body, glows=tuple(glows))
    finish_of_parameters(parameters, where=where)
    return parameters


def parameters_to_table(parameters: PaintParameters) -> dict[str, Any]:
    """Return parameters as the keys a paint file has for them."""
    return {
        "body": [list(knot) for knot in parameters.body],
        "glow": [
            {
                "strength": glow.strength,
                "bands": [
                    {"peak": band.peak, "width": band.width, "skew": band.skew, "share": band.share}
                    for band in glow.bands
                ],
                **({"excitation": [list(k) for k in glow.excitation]} if glow.excitation else {}),
            }
            for glow in parameters.glows
        ],
    }


def _body(value: Any, *, where: str) -> Knots:
    pairs = isinstance(value, list) and value and all(isinstance(row, list) for row in value)
    if pairs:
        return _knots(value, where=where)
    reflectance = body_of_colour(xyz_of_swatch(value, where=where))
    return tuple((float(nm), float(r)) for nm, r in zip(EXCITATION_NM, reflectance, strict=True))


def _knots(value: Any, *, where: str) -> Knots:
    mend = "write pairs like [[400, 0.1], [550, 0.9]], nm from 200 to 1000"
    good = isinstance(value, list) and all(
        isinstance(row, list)
        and len(row) == 2
        and all(isinstance(v, (int, float)) and not isinstance(v, bool) for v in row)
        for row in value
    )
    if not good or not value:
        raise InputError(where, "it is not a list of [nm, value] pairs", mend)
    if len(value) > _MOST_PAIRS:
        raise InputError(where, f"it has {len(value):,} pairs", f"write at most {_MOST_PAIRS:,}")
    for nm, number in value:
        if not 200 <= nm <= 1000 or not 0 <= number <= 1:
            raise InputError(
                where, f"the pair [{nm:g}, {number:g}] is out of range", mend + ", values from 0 to 1"
            )
    return tuple((float(nm), float(number)) for nm, number in value)


def _glow(row: Any, *, where: str) -> GlowParameters:
    if not isinstance(row, dict):
        mend = "write glow = { peak = 595, width = 54, strength = 0.5 }"
        raise InputError(where, "it is not a table", mend)
    refuse_unknown_keys(row, _GLOW_KEYS, where=where)
    if "strength" not in row:
        raise InputError(where, 'the key "strength" is missing', "add strength = a share from 0 to 1")
    strength = take_number(row, "strength", where=where, least=0, most=1)
    if "bands" in row:
        if any(key in row for key in _GLOW_KEYS[:3]):
            raise InputError(where, "it has bands and a peak of its own as well", "keep one of them")
        rows = row["bands"]
        if not isinstance(rows, list) or not rows or not all(isinstance(band, dict) for band in rows):
            raise InputError(
                where, '"bands" is not a list of tables', "write bands = [{ peak = …, width = … }]"
            )
        if len(rows) > _MOST_BANDS:
            raise InputError(where, f"it has {len(rows):,} bands", f"write at most {_MOST_BANDS}")
        bands = tuple(_band(band, where=where) for band in rows)
    else:
        bands = (_band({key: row[key] for key in ("peak", "width", "skew") if key in row}, where=where),)
    excitation = _knots(row["excitation"], where=f"{where}, excitation") if "excitation" in row else None
    return GlowParameters(bands=bands, strength=strength, excitation=excitation)


def _band(row: Mapping[str, Any], *, where: str) -> Band:
    refuse_unknown_keys(row, _BAND_KEYS, where=where)
    if "peak" not in row:
        raise InputError(
            where, 'the key "peak" is missing', "add peak = the emission's highest point in nm"
        )
    ranges = {"peak": (380.0, 780.0), "width": (10.0, 200.0), "skew": (0.2, 5.0), "share": (0.0, 1.0)}
    values = {
        key: take_number(row, key, where=where, least=least, most=most)
        for key, (least, most) in ranges.items()
        if key in row
    }
    return Band(**values)
