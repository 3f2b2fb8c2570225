"""Briefs, schemes, verdicts, choices and ways out."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from palette.brief import Brief, Outcome
from palette.choosing import Reasons
from palette.demands import Verdict, WeakestPair
from palette.merits import Merits
from palette.notebook.scheme_sheet import draw_scheme_sheet
from palette.notebook.shown import Shown, listing, paragraph, table
from palette.preview import Change, Preview
from palette.report import describe_cost, describe_proof
from palette.rules import state_rule
from palette.scheme import Proof, Scheme
from palette.solving import Alternative, Finished, Purchase, WayOut

__all__ = [
    "show_alternative",
    "show_alternatives",
    "show_brief",
    "show_change",
    "show_finished",
    "show_merits",
    "show_outcome",
    "show_proof",
    "show_purchase",
    "show_purchases",
    "show_reasons",
    "show_scheme",
    "show_verdict",
    "show_way_out",
    "show_ways_out",
]


def show_brief(brief: Brief) -> Shown:
    """Show what is wanted: the rules as sentences, what stands on the shelf, the lights."""
    words = (
        f'Brief "{brief.name}": {len(brief.panel.sections)} sections, {len(brief.paints)} paints, '
        f"{len(brief.rules)} rules"
    )
    shelf = ", ".join(paint.id for paint in brief.paints)
    lights = " and ".join(light.id for light in brief.lights)
    told = f"{len(brief.panel.sections)} sections, {len(brief.paints)} paints, seen under {lights}."
    return Shown(
        words=words,
        markup=(
            paragraph(told, bold=f"{brief.name}."),
            listing(state_rule(rule) for rule in brief.rules),
            paragraph(f"{shelf}.", bold="On the shelf:"),
        ),
    )


def show_outcome(outcome: Outcome) -> Shown:
    """Show the wall in both lights, with the paints and their sections below."""
    words = (
        f"{outcome.brief.name}: {len(outcome.scheme.paint_of)} sections in "
        f"{len(set(outcome.scheme.paint_of.values()))} paints. {_verdict_words(outcome.verdict)}"
    )
    return Shown(
        words=words, picture=lambda: draw_scheme_sheet(outcome, told=_verdict_words(outcome.verdict))
    )


def show_change(change: Change) -> Shown:
    """Show a moving picture as five of its frames beside each other, day to dark."""
    dark = len(change.frames) // 2
    frames = [change.frames[dark * step // 4] for step in range(5)]
    words = f"Moving picture ({change.light}), {len(change.frames)} frames; its to_png() gives the file"
    strip = np.concatenate(frames, axis=1)
    return Shown(words=words, picture=lambda: Preview(image=strip, mm_per_px=1.0, light=change.light))


def show_scheme(scheme: Scheme) -> Shown:
    """Show which section gets which paint, and what is proven."""
    sections: dict[str, list[str]] = {}
    for section, paint in scheme.paint_of.items():
        sections.setdefault(paint, []).append(section)
    words = f"Scheme: {len(scheme.paint_of)} sections in {len(sections)} paints"
    rows = [(paint, ", ".join(names)) for paint, names in sections.items()]
    proven = () if scheme.proof is None else (listing(describe_proof(scheme.proof)),)
    return Shown(words=words, markup=(table(("paint", "sections"), rows), *proven))


def show_proof(proof: Proof) -> Shown:
    """Show a proof aim by aim."""
    told = describe_proof(proof)
    return Shown(words=" ".join(told) or "Nothing was aimed at.", markup=(listing(told),) if told else ())


def show_verdict(verdict: Verdict) -> Shown:
    """Show a verdict in sentences."""
    markup = [paragraph("", bold=_kept_words(verdict))]
    if verdict.breaches:
        markup.append(listing(breach.sentence for breach in verdict.breaches))
    if verdict.missed:
        markup.append(paragraph("", bold="Preferred, and not kept:"))
        markup.append(listing(breach.sentence for breach in verdict.missed))
    if verdict.weakest is not None:
        markup.append(paragraph(_weakest_words(verdict.weakest)))
    return Shown(words=_verdict_words(verdict), markup=tuple(markup))


def show_merits(merits: Merits) -> Shown:
    """Show how good a scheme is, figure by figure."""
    rows = [
        ("weakest pair of neighbours", _figure(merits.weakest, "CIEDE2000", 1)),
        ("least distance between sections of one paint", _figure(merits.repeat_mm, "mm", 0)),
        ("sections of the most used paint less those of the least used", f"{merits.count_range}"),
        ("neighbours on the whole", _figure(merits.contrast, "CIEDE2000", 1)),
    ]
    words = "; ".join(f"{name}: {value}" for name, value in rows)
    return Shown(words=words, markup=(table(("measure", "figure"), rows),))


def show_alternative(one: Alternative) -> Shown:
    """Show an alternative by what it is best at, and its sections."""
    scheme = show_scheme(one.scheme)
    words = f"Alternative: {one.best_at}"
    return Shown(words=words, markup=(paragraph(f"{one.best_at}."), *scheme.markup))


def show_alternatives(found: Sequence[Alternative]) -> Shown:
    """Show several alternatives beside each other by their figures."""
    rows = [
        (
            str(number),
            "the best" if number == 1 else f"{one.difference:.0%} of the sections",
            _figure(one.merits.weakest, "", 1),
            _figure(one.merits.repeat_mm, "mm", 0),
            one.best_at,
        )
        for number, one in enumerate(found, 1)
    ]
    headings = ("", "differs in", "weakest pair", "repeats apart", "best at")
    return Shown(words=f"{len(found)} schemes", markup=(table(headings, rows),))


def show_finished(finished: Finished) -> Shown:
    """Show what it costs to keep what is painted already, aim by aim."""
    told = describe_cost(finished.cost)
    markup = (paragraph("", bold="With what is painted already:"), listing(told))
    return Shown(words=" ".join(told), markup=markup)


def show_way_out(way: WayOut) -> Shown:
    """Show what to change."""
    told = "; and ".join(way.changes)
    return Shown(words=told, markup=(listing(way.changes),))


def show_ways_out(ways: Sequence[WayOut]) -> Shown:
    """Show ways out, each a line: any one of them is enough."""
    return Shown(
        words=f"{len(ways)} ways out",
        markup=(
            paragraph("", bold="Any one of these is enough:"),
            listing("; and ".join(way.changes) for way in ways),
        ),
    )


def show_purchase(purchase: Purchase) -> Shown:
    """Show what one paint would bring."""
    return Shown(words=_purchase_words(purchase), markup=(paragraph(_purchase_words(purchase)),))


def show_purchases(purchases: Sequence[Purchase]) -> Shown:
    """Show what each paint on offer would bring, best first."""
    rows = [
        (
            one.paint,
            "yes" if one.possible else "no",
            _figure(one.weakest, "CIEDE2000", 1),
            "" if one.gain is None else f"{one.gain:+.1f}",
        )
        for one in purchases
    ]
    headings = ("paint", "a scheme with it", "weakest pair", "gain")
    return Shown(words=f"{len(purchases)} paints on offer", markup=(table(headings, rows),))


def show_reasons(reasons: Reasons) -> Shown:
    """Show where the rules collide, drawn."""
    words = f"The rules collide at the sections marked; {len(reasons.ways_out)} ways out"
    return Shown(words=words, picture=lambda: reasons.picture)


def _kept_words(verdict: Verdict) -> str:
    if verdict.kept:
        return "Every rule is kept."
    count = len(verdict.breaches)
    return f"Rules are broken in {count} place{'s' if count > 1 else ''}."


def _weakest_words(weakest: WeakestPair) -> str:
    return (
        f"The two neighbours most alike are {weakest.a} and {weakest.b}: "
        f"{weakest.difference:.1f} CIEDE2000 under {weakest.light}."
    )


def _verdict_words(verdict: Verdict) -> str:
    weakest = "" if verdict.weakest is None else f" {_weakest_words(verdict.weakest)}"
    return _kept_words(verdict) + weakest


def _purchase_words(purchase: Purchase) -> str:
    if not purchase.possible:
        return f"{purchase.paint}: no scheme even with it."
    weakest = _figure(purchase.weakest, "CIEDE2000", 1)
    gain = "" if purchase.gain is None else f", {purchase.gain:+.1f}"
    return f"{purchase.paint}: a scheme with it; weakest pair {weakest}{gain}."


def _figure(value: float | None, unit: str, digits: int) -> str:
    return "none" if value is None else f"{value:.{digits}f} {unit}".rstrip()
