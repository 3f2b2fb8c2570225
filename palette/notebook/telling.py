"""Which function shows which type, told to a notebook by name so that nothing is loaded too early."""

from __future__ import annotations

import sys
from collections.abc import Callable
from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from palette.notebook.shown import Shown

__all__ = ["SHOWN_BY", "tell_formatter", "tell_notebook"]

SHOWN_BY = {
    "palette.adjacency.contact.Adjacency": "walls.show_adjacency",
    "palette.appearance.Appearance": "paints.show_appearance",
    "palette.brief.Brief": "schemes.show_brief",
    "palette.brief.Outcome": "schemes.show_outcome",
    "palette.choosing.Reasons": "schemes.show_reasons",
    "palette.demands.Breach": "sentences.show_breach",
    "palette.demands.Verdict": "schemes.show_verdict",
    "palette.inspection.comparing.Comparison": "photos.show_comparison",
    "palette.inspection.reading.PhotoReading": "photos.show_reading",
    "palette.inspection.swatches.SwatchReading": "photos.show_swatches",
    "palette.inspection.verdict.PhotoVerdict": "photos.show_verdict",
    "palette.lamps.exposure.Exposure": "lamps.show_exposure",
    "palette.lamps.irradiance.IrradianceMap": "lamps.show_irradiance",
    "palette.lamps.lamp.Lamp": "lamps.show_lamp",
    "palette.lamps.placing.Placing": "lamps.show_placing",
    "palette.light.Light": "paints.show_light",
    "palette.merits.Merits": "schemes.show_merits",
    "palette.paint.Paint": "paints.show_paint",
    "palette.panel.Panel": "walls.show_panel",
    "palette.plan.lamp_plan.LampPlan": "lamps.show_lamp_plan",
    "palette.plan.making.Plan": "plans.show_plan",
    "palette.preview.change.Change": "schemes.show_change",
    "palette.scheme.Proof": "schemes.show_proof",
    "palette.scheme.Scheme": "schemes.show_scheme",
    "palette.solving.alternatives.Alternative": "schemes.show_alternative",
    "palette.solving.certifying.Certificate": "sentences.show_certificate",
    "palette.solving.finishing.Finished": "schemes.show_finished",
    "palette.solving.ways_out.Purchase": "schemes.show_purchase",
    "palette.solving.ways_out.WayOut": "schemes.show_way_out",
    "palette.survey.Survey": "walls.show_survey",
    "palette.swatch_study.LookalikePair": "sentences.show_lookalike",
    "palette.swatch_study.SwatchStudy": "paints.show_study",
    "palette.tracing.corners.CornerGuess": "sentences.show_corners",
    "palette.tracing.photo.Photo": "photos.show_photo",
}
"""Type to function, the functions in this room."""

SERIES_BY = {
    "palette.demands.Breach": "sentences.show_breaches",
    "palette.lamps.exposure.Exposure": "lamps.show_exposures",
    "palette.lamps.lamp.Lamp": "lamps.show_lamps",
    "palette.light.Light": "paints.show_lights",
    "palette.paint.Paint": "paints.show_shelf",
    "palette.solving.alternatives.Alternative": "schemes.show_alternatives",
    "palette.solving.ways_out.Purchase": "schemes.show_purchases",
    "palette.solving.ways_out.WayOut": "schemes.show_ways_out",
    "palette.swatch_study.LookalikePair": "sentences.show_lookalikes",
}
"""The same for a tuple or a list whose members are all of one type."""


def tell_notebook() -> None:
    """Tell the notebook this process runs in how to show palette's values; do nothing elsewhere."""
    shells = sys.modules.get("IPython")
    shell = shells.get_ipython() if shells is not None and hasattr(shells, "get_ipython") else None
    if shell is not None:
        tell_formatter(shell.display_formatter)


def tell_formatter(formatter: Any) -> None:
    """Tell an IPython display formatter how to show palette's values.

    In a terminal, which has words only, it is told the words only.
    """
    words = formatter.formatters["text/plain"]
    words_only = list(formatter.active_types) == ["text/plain"]
    for name, function in SHOWN_BY.items():
        module, _, kind = name.rpartition(".")
        words.for_type_by_name(module, kind, _in_words(function))
        if not words_only:
            formatter.mimebundle_formatter.for_type_by_name(module, kind, _in_full(function))
    if not words_only:
        for series in (tuple, list):
            formatter.mimebundle_formatter.for_type(series, _series_in_full)


def _function(name: str) -> Callable[[Any], Shown | None]:
    module, _, function = name.partition(".")
    found: Callable[[Any], Shown | None] = getattr(import_module(f"palette.notebook.{module}"), function)
    return found


def _in_words(name: str) -> Callable[[Any, Any, bool], None]:
    def write(value: Any, printer: Any, cycle: bool) -> None:  # noqa: ARG001  IPython's form
        shown = _function(name)(value)
        printer.text(shown.words if shown is not None else object.__repr__(value))

    return write


def _in_full(name: str) -> Callable[[Any], Any]:
    def bundle(value: Any) -> Any:
        shown = _function(name)(value)
        return {} if shown is None else shown.bundle()

    return bundle


def _series_in_full(values: Any) -> Any:
    """Return the bundle of a plain tuple or list of one of our types; other series show as ever."""
    if type(values) not in (tuple, list):
        own = getattr(values, "_repr_mimebundle_", None)
        return {} if own is None else own()
    kinds = {type(value) for value in values}
    if len(kinds) != 1:
        return {}
    kind = kinds.pop()
    function = SERIES_BY.get(f"{kind.__module__}.{kind.__qualname__}")
    shown = None if function is None else _function(function)(values)
    return {} if shown is None else shown.bundle()
