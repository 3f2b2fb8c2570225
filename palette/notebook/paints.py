"""Paints, shelves and lights."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element

from palette.appearance import Appearance
from palette.colour import D65_WHITE
from palette.errors import InputError
from palette.light import Light, LightKind, spectrum_of
from palette.light_words import parse_light
from palette.notebook.shown import Cell, Shown, chips, paragraph, table
from palette.notebook.spectra import draw_lights, draw_paint
from palette.paint import Paint
from palette.preview import draw_swatch_card
from palette.preview.tone import screen_colours
from palette.spectrum import EXCITATION_NM
from palette.swatch_study import SwatchStudy, study_paints

__all__ = ["show_appearance", "show_light", "show_lights", "show_paint", "show_shelf", "show_study"]

_WIDTH_PX = 1000
_USUAL_LIGHTS = ("D65", "led-365", "led-395")
"""As ``palette paints`` shows paints under."""


def show_paint(paint: Paint) -> Shown:
    """Show a paint as a card: its looks under the usual lights, what excites it, what it gives back."""
    known = {"matrix": paint.matrix is not None, "parameters": paint.parameters is not None}
    best = next((name for name, there in known.items() if there), "swatches")
    kinds = {
        "matrix": "a measured surface",
        "parameters": "known by body and glow",
        "swatches": "swatches only",
    }
    stock = "" if paint.stock_l is None else f", {paint.stock_l:.2f} L on the shelf"
    words = f'Paint "{paint.id}", {kinds[best]}, {paint.coats} coats{stock}'
    if best == "swatches" and len(paint.swatch) < 2:
        told = paragraph("Known by one look only; give the other swatch too.", bold=f"{words}.")
        return Shown(words=words, markup=(told, _swatch_table([paint])))
    return Shown(words=words, picture=lambda: draw_paint(paint, _usual_lights()))


def show_shelf(paints: Sequence[Paint]) -> Shown:
    """Show several paints as their swatch card, or by the swatches there are where some lack one."""
    words = f"{len(paints)} paints: {', '.join(paint.id for paint in paints)}"
    try:
        study = study_paints(paints, _usual_lights())
    except InputError:
        return Shown(words=words, markup=(_swatch_table(paints),))
    return Shown(words=words, picture=show_study(study).picture)


def show_study(study: SwatchStudy) -> Shown:
    """Show a study as its swatch card."""
    words = f"{len(study.paints)} paints under {', '.join(light.id for light in study.lights)}"
    told = f"{words}; {len(study.lookalikes)} pairs look alike under one of them"
    return Shown(words=told, picture=lambda: draw_swatch_card(study, width_px=_WIDTH_PX))


def show_appearance(appearance: Appearance) -> Shown:
    """Show how every paint looks under every light, as fields of colour."""
    columns = [
        screen_colours(appearance.xyz[:, k], white=white).tolist()
        for k, white in enumerate(appearance.white_xyz)
    ]
    rows: list[tuple[Cell, ...]] = [
        (paint, *(chips([tuple(column[row])]) for column in columns))
        for row, paint in enumerate(appearance.paints)
    ]
    words = f"Looks of {len(appearance.paints)} paints under {', '.join(appearance.lights)}"
    return Shown(words=words, markup=(table(("paint", *appearance.lights), rows),))


def show_light(light: Light) -> Shown:
    """Show a light as its spectrum."""
    return Shown(words=_light_words(light), picture=lambda: draw_lights([light]))


def show_lights(lights: Sequence[Light]) -> Shown:
    """Show several lights' spectra below each other."""
    return Shown(words=f"{len(lights)} lights", picture=lambda: draw_lights(lights))


def _swatch_table(paints: Sequence[Paint]) -> Element:
    def chip(paint: Paint, kind: LightKind) -> Cell:
        if kind not in paint.swatch:
            return "not known"
        red, green, blue = screen_colours(paint.swatch[kind][None], white=D65_WHITE)[0].tolist()
        return chips([(red, green, blue)])

    rows = [(paint.id, chip(paint, "daylight"), chip(paint, "blacklight")) for paint in paints]
    return table(("paint", "by day", "under blacklight"), rows)


def _light_words(light: Light) -> str:
    power = spectrum_of(light)
    beyond = float(power[EXCITATION_NM < 400].sum() / power.sum())
    return f'Light "{light.id}", a {light.kind}, {beyond:.0%} of its power below 400 nm'


def _usual_lights() -> tuple[Light, ...]:
    return tuple(parse_light(word, where="light") for word in _USUAL_LIGHTS)
